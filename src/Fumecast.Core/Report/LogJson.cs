// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Trial;

namespace Fumecast.Report;

/// <summary>Writes how logs were understood as JSON, schema <c>fumecast/log/1</c>.</summary>
/// <remarks>Keys are stable and in a fixed order; what is absent is left out; numbers are finite. Readings themselves go to CSV.</remarks>
public static class LogJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="logs">The logs.</param>
    public static void Write(Stream output, IReadOnlyList<MeterLog> logs)
    {
        ArgumentNullException.ThrowIfNull(logs);
        ReportJson.Write(output, new LogDocument
        {
            Version = ReportJson.ProgramVersion,
            Logs = [.. logs.Select(OneLogJson.Of)],
            Diagnostics = [.. logs.SelectMany(static log => log.Diagnostics.Select(found => LogDiagnosticJson.Of(log.File, DiagnosticJson.Of(found))))],
        }, ReportJson.Default.LogDocument);
    }
}

/// <summary>The whole document.</summary>
internal sealed record LogDocument
{
    [JsonPropertyName("schema")]
    public string Schema { get; init; } = "fumecast/log/1";

    [JsonPropertyName("version")]
    public required string Version { get; init; }

    [JsonPropertyName("logs")]
    public required OneLogJson[] Logs { get; init; }

    [JsonPropertyName("diagnostics")]
    public required LogDiagnosticJson[] Diagnostics { get; init; }
}

/// <summary>A log, as JSON.</summary>
internal sealed record OneLogJson
{
    [JsonPropertyName("file")]
    public required string File { get; init; }

    [JsonPropertyName("rows")]
    public required int Rows { get; init; }

    [JsonPropertyName("rows_left_out")]
    public required int RowsLeftOut { get; init; }

    [JsonPropertyName("form")]
    public required string Form { get; init; }

    [JsonPropertyName("header_line")]
    public int? HeaderLine { get; init; }

    [JsonPropertyName("time")]
    public required LogTimeJson Time { get; init; }

    [JsonPropertyName("from")]
    public string? From { get; init; }

    [JsonPropertyName("to")]
    public string? To { get; init; }

    [JsonPropertyName("from_s")]
    public required double FromS { get; init; }

    [JsonPropertyName("to_s")]
    public required double ToS { get; init; }

    [JsonPropertyName("interval_s")]
    public double? IntervalS { get; init; }

    [JsonPropertyName("gaps")]
    public required int Gaps { get; init; }

    [JsonPropertyName("longest_step_s")]
    public required double LongestStepS { get; init; }

    [JsonPropertyName("backward_steps")]
    public required int BackwardSteps { get; init; }

    [JsonPropertyName("repeated_times")]
    public required int RepeatedTimes { get; init; }

    [JsonPropertyName("quantities")]
    public required LogQuantityJson[] Quantities { get; init; }

    [JsonPropertyName("other_columns")]
    public required UnusedColumnJson[] OtherColumns { get; init; }

    /// <summary>The JSON of a log.</summary>
    public static OneLogJson Of(MeterLog log) => new()
    {
        File = log.File,
        Rows = log.Rows,
        RowsLeftOut = log.RowsLeftOut,
        Form = LogWordsOf.Form(log.Form),
        HeaderLine = log.HeaderLine > 0 ? log.HeaderLine : null,
        Time = new LogTimeJson(log.Time.Column, log.Time.Form, log.Time.Because, log.Time.StartLocal is null ? null : log.Time.Zone),
        From = log.Time.StartLocal is null ? null : log.Time.Show(log.FromS),
        To = log.Time.StartLocal is null ? null : log.Time.Show(log.ToS),
        FromS = log.FromS,
        ToS = log.ToS,
        IntervalS = log.IntervalS,
        Gaps = log.Gaps,
        LongestStepS = log.LongestStepS,
        BackwardSteps = log.BackwardSteps,
        RepeatedTimes = log.RepeatedTimes,
        Quantities = [.. log.Quantities.Select(LogQuantityJson.Of)],
        OtherColumns = [.. log.OtherColumns.Select(static column => new UnusedColumnJson(column.Column, column.Why))],
    };
}

/// <summary>The clock of a log, as JSON.</summary>
internal sealed record LogTimeJson(
    [property: JsonPropertyName("column")] string Column,
    [property: JsonPropertyName("form")] string Form,
    [property: JsonPropertyName("because")] string Because,
    [property: JsonPropertyName("zone")] string? Zone);

/// <summary>A quantity of a log, as JSON. All counts together are its rows in the log; those of <c>rows</c> count.</summary>
internal sealed record LogQuantityJson
{
    [JsonPropertyName("quantity")]
    public required string Quantity { get; init; }

    [JsonPropertyName("column")]
    public required string Column { get; init; }

    [JsonPropertyName("unit")]
    public required string Unit { get; init; }

    [JsonPropertyName("written_unit")]
    public string? WrittenUnit { get; init; }

    [JsonPropertyName("factor")]
    public required double Factor { get; init; }

    [JsonPropertyName("above_um")]
    public double? AboveUm { get; init; }

    [JsonPropertyName("below_um")]
    public double? BelowUm { get; init; }

    [JsonPropertyName("rows")]
    public required int Rows { get; init; }

    [JsonPropertyName("mean")]
    public double? Mean { get; init; }

    [JsonPropertyName("min")]
    public double? Min { get; init; }

    [JsonPropertyName("max")]
    public double? Max { get; init; }

    [JsonPropertyName("held")]
    public required int Held { get; init; }

    [JsonPropertyName("over_range")]
    public required int OverRange { get; init; }

    [JsonPropertyName("error_marks")]
    public required int ErrorMarks { get; init; }

    [JsonPropertyName("missing")]
    public required int Missing { get; init; }

    [JsonPropertyName("repeated")]
    public required int Repeated { get; init; }

    /// <summary>The JSON of a quantity.</summary>
    public static LogQuantityJson Of(LogQuantity quantity) => new()
    {
        Quantity = quantity.Name,
        Column = quantity.Column,
        Unit = quantity.Unit,
        WrittenUnit = quantity.WrittenUnit,
        Factor = quantity.Factor,
        AboveUm = quantity.CutFromUm,
        BelowUm = quantity.CutToUm,
        Rows = quantity.UsedCount,
        Mean = quantity.Mean,
        Min = quantity.Min,
        Max = quantity.Max,
        Held = quantity.Count(ReadingState.Held),
        OverRange = quantity.Count(ReadingState.OverRange),
        ErrorMarks = quantity.Count(ReadingState.ErrorMark),
        Missing = quantity.Count(ReadingState.Missing),
        Repeated = quantity.Count(ReadingState.Repeated),
    };
}

/// <summary>A column that is not used, as JSON.</summary>
internal sealed record UnusedColumnJson([property: JsonPropertyName("column")] string Column, [property: JsonPropertyName("why")] string Why);

/// <summary>A finding of one log, as JSON.</summary>
internal sealed record LogDiagnosticJson(
    [property: JsonPropertyName("file")] string File,
    [property: JsonPropertyName("severity")] string Severity,
    [property: JsonPropertyName("code")] string Code,
    [property: JsonPropertyName("line")] long? Line,
    [property: JsonPropertyName("column")] int? Column,
    [property: JsonPropertyName("count")] long Count,
    [property: JsonPropertyName("changes_result")] bool ChangesResult,
    [property: JsonPropertyName("message")] string Message)
{
    /// <summary>The JSON of a finding.</summary>
    public static LogDiagnosticJson Of(string file, DiagnosticJson found) =>
        new(file, found.Severity, found.Code, found.Line, found.Column, found.Count, found.ChangesResult, found.Message);
}
