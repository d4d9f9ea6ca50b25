// SPDX-License-Identifier: MIT
using Fumecast.GCode;

namespace Fumecast.Trial;

/// <summary>How the table of a log is laid out.</summary>
public enum LogForm
{
    /// <summary>One row for each time, one column for each quantity.</summary>
    Wide,

    /// <summary>The long form: one row for each time and quantity, which a column names.</summary>
    OneRowPerReading,

    /// <summary>One column for each time, one row for each quantity.</summary>
    Transposed,
}

/// <summary>A meter's log as it was understood. Nothing of it is deleted: readings that are not used are marked, rows that could not be read are counted.</summary>
public sealed record MeterLog
{
    /// <summary>The file as the user named it.</summary>
    public required string File { get; init; }

    /// <summary>How the table is laid out.</summary>
    public required LogForm Form { get; init; }

    /// <summary>Line of the header, 1-based; 0 where there is none [-].</summary>
    public required int HeaderLine { get; init; }

    /// <summary>The clock of the log.</summary>
    public required LogTime Time { get; init; }

    /// <summary>Rows with a time that was understood [-].</summary>
    public required int Rows { get; init; }

    /// <summary>Rows below the header that are none: repeated headers, footers, rows without a time [-]. Empty ones are not counted.</summary>
    public required int RowsLeftOut { get; init; }

    /// <summary>Median step from one time to the next [s]; null for fewer than two times.</summary>
    public double? IntervalS { get; init; }

    /// <summary>Time of the first row [s], in the same count as <see cref="LogQuantity.TimesS"/>.</summary>
    public required double FromS { get; init; }

    /// <summary>Time of the last row [s].</summary>
    public required double ToS { get; init; }

    /// <summary>Steps of more than three intervals [-].</summary>
    public required int Gaps { get; init; }

    /// <summary>The longest step [s]; 0 for a single row.</summary>
    public required double LongestStepS { get; init; }

    /// <summary>Rows that were earlier than the one before them, once the order of the file is allowed for [-].</summary>
    public required int BackwardSteps { get; init; }

    /// <summary>Rows at a time that an earlier row has already [-].</summary>
    public required int RepeatedTimes { get; init; }

    /// <summary>What was measured, in the order of the columns.</summary>
    public required IReadOnlyList<LogQuantity> Quantities { get; init; }

    /// <summary>Columns that are not used, with the reason.</summary>
    public required IReadOnlyList<UnusedColumn> OtherColumns { get; init; }

    /// <summary>What was noticed while reading.</summary>
    public required IReadOnlyList<Diagnostic> Diagnostics { get; init; }

    /// <summary>The quantity of a name, such as <c>pm25</c> or <c>pm25#2</c>; null where the log has none.</summary>
    /// <param name="name">The name.</param>
    public LogQuantity? Find(string name) => Quantities.FirstOrDefault(quantity => quantity.Name == name);
}

/// <summary>A column that is not used.</summary>
/// <param name="Column">Its header, or <c>column 3</c>.</param>
/// <param name="Why">Why it is not used.</param>
public sealed record UnusedColumn(string Column, string Why);
