// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>What reading a log may have to say, in one place.</summary>
internal static class LogFindings
{
    /// <summary>CO2 outdoors is some 420 ppm; a meter that shows less than this was never set or is just starting [ppm]. Common practice, no source.</summary>
    private const double LeastCo2Ppm = 350;

    private const double ManyLeftOut = 0.5;

    /// <summary>A step this long is a clock that was set late, rather than a gap [s]; a choice of ours.</summary>
    private const double ClockSetLateS = 300 * 86400.0;

    public static void RowsLeftOut(DiagnosticLog findings, int rows, int leftOut, string file)
    {
        if (leftOut > ManyLeftOut * (rows + leftOut) && leftOut > 3)
        {
            var first = findings.Entries.FirstOrDefault(static finding => finding.Code == "row-without-time");
            throw new InputProblem(file, first?.Line ?? 1, first?.Column ?? 1, FormattableString.Invariant($"{leftOut} of {rows + leftOut} rows have no time that is understood; {first?.Message}; name the right column with --columns time=HEADER"));
        }
    }

    public static void RowWithoutTime(DiagnosticLog findings, long line, int column, ReadOnlySpan<char> cell) =>
        findings.Report(Severity.Warning, "row-without-time", line, column, $"a row without a time that is understood is left out: found {(cell.IsEmpty ? "nothing" : $"'{cell[..Math.Min(40, cell.Length)]}'")}");

    public static void RepeatedHeader(DiagnosticLog findings, long line) => findings.Report(Severity.Note, "repeated-header", line, 1, "the header stands here once more");

    public static void GluedHeader(DiagnosticLog findings, long line) =>
        findings.Report(Severity.Note, "glued-header", line, 1, "the first row follows the header without a line end; they were parted");

    public static void NoSuchDate(DiagnosticLog findings, int count) =>
        findings.Report(Severity.Warning, "no-such-date", 0, 0, FormattableString.Invariant($"{count} {(count == 1 ? "row has a date that does" : "rows have dates that do")} not exist and {(count == 1 ? "is" : "are")} left out"));

    public static void UnknownColumns(DiagnosticLog findings, long line, List<ReadingColumn> columns, List<string> unknown)
    {
        if (unknown.Count == 0)
        {
            return;
        }

        var hasAir = columns.Exists(static column => column.Kind is not ("temperature" or "humidity"));
        var names = string.Join(", ", unknown.Take(8)) + (unknown.Count > 8 ? FormattableString.Invariant($" and {unknown.Count - 8} more") : "");
        findings.Report(hasAir ? Severity.Note : Severity.Warning, "columns-unknown", line, 0,
            $"the header does not say what {names} {(unknown.Count == 1 ? "holds" : "hold")}; if you know, add such as --columns 'co2={unknown[0]}' (or pm25, tvoc, ...; a unit may follow in square brackets)");
    }

    /// <summary>What the order of times had to say.</summary>
    public static void Times(DiagnosticLog findings, TimeLine main, List<TimeLine> lines, LogTime clock)
    {
        if (main.LongestStepS > ClockSetLateS)
        {
            findings.Report(Severity.Warning, "clock-set-late", 0, 0, FormattableString.Invariant($"there is a step of {main.LongestStepS / 86400:0} days between two rows: the clock was set only then, or the first rows are of another time"));
        }

        if (main.IsNewestFirst)
        {
            findings.Report(Severity.Note, "newest-first", 0, 0, "the newest row stands first; the order was turned");
        }

        var back = lines.Sum(static line => line.BackwardSteps);
        if (back > 0)
        {
            findings.Report(Severity.Warning, "backward-steps", 0, 0, FormattableString.Invariant($"time steps back {back} {(back == 1 ? "time" : "times")}: the clock was set, or two logs overlap; rows were put in order"));
        }

        var repeated = lines.Sum(static line => line.RepeatedTimes);
        if (repeated > 0)
        {
            findings.Report(Severity.Note, "repeated-times", 0, 0, FormattableString.Invariant($"{repeated} {(repeated == 1 ? "row has" : "rows have")} a time that stood before; of readings at one time the first counts"));
        }

        if (main.SpreadOverS > 0)
        {
            findings.Report(Severity.Warning, "times-spread", 0, 0,
                $"times are cut to full {(main.SpreadOverS == 60 ? "minutes" : "seconds")} although rows come more often; rows of one {(main.SpreadOverS == 60 ? "minute" : "second")} were spread evenly over it");
        }

        foreach (var line in lines.Where(static line => !double.IsNaN(line.ClockChangeAtS)).Take(1))
        {
            // In seconds since 1970 of the clock's own time.
            var at = DateTime.UnixEpoch.AddSeconds(Math.Round(line.ClockChangeAtS));
            findings.Report(Severity.Warning, "clock-change", 0, 0, FormattableString.Invariant(
                $"the clock was put {(line.ClockChangeS > 0 ? "forward" : "back")} by an hour after {at:yyyy-MM-dd HH:mm}, as summer time {(line.ClockChangeS > 0 ? "begins" : "ends")}; later times are given in the clock before"), changesResult: true);
        }

        if (clock is { StartLocal: null } && main.IntervalS is null)
        {
            findings.Report(Severity.Note, "single-time", 0, 0, "all rows have one time");
        }
    }

    public static void Held(DiagnosticLog findings, List<string> headers, double rowsOfOne, ReadingState[] flags)
    {
        var held = flags.Count(static flag => flag == ReadingState.Held);
        findings.Report(Severity.Note, "held-readings", 0, 0, FormattableString.Invariant(
            $"{string.Join(", ", headers.Take(4))}{(headers.Count > 4 ? ", ..." : "")}: the meter is read more often than it measures, about {rowsOfOne:0.#} rows for each reading; {held} rows that repeat the last one do not count"), subject: headers[0]);
    }

    /// <summary>What the readings had to say.</summary>
    public static void Quantities(DiagnosticLog findings, List<LogQuantity> quantities, List<ReadingColumn> columns)
    {
        foreach (var column in columns)
        {
            var header = column.Header;
            if (column.Texts > 0)
            {
                findings.Report(Severity.Warning, "not-a-number", column.FirstTextLine, column.Column + 1,
                    FormattableString.Invariant($"{header}: {column.Texts} {(column.Texts == 1 ? "cell is" : "cells are")} no number, the first '{column.FirstText}'; counted as error marks"), subject: header);
            }

            if (column.OtherUnits > 0)
            {
                findings.Report(Severity.Note, "mixed-units", 0, column.Column + 1, FormattableString.Invariant($"{header}: {column.OtherUnits} cells have a unit of their own and were converted"), subject: header);
            }

            if (column.Grouped > 0)
            {
                findings.Report(Severity.Note, "thousands", 0, column.Column + 1, FormattableString.Invariant($"{header}: in {column.Grouped} cells thousands are set apart; read as one number"), subject: header);
            }
        }

        foreach (var quantity in quantities)
        {
            if (quantity.Count(ReadingState.OverRange) is > 0 and var over)
            {
                findings.Report(Severity.Warning, "over-range", 0, 0, FormattableString.Invariant($"{quantity.Column}: {over} {(over == 1 ? "reading is" : "readings are")} at the end of the meter's range and {(over == 1 ? "does" : "do")} not count"), subject: quantity.Name);
            }

            if (quantity is { Kind: "co2", Min: < LeastCo2Ppm } && quantity.UsedCount > 0)
            {
                findings.Report(Severity.Warning, "co2-low", 0, 0, FormattableString.Invariant($"{quantity.Column}: readings fall to {quantity.Min:0} ppm, below that of fresh air outdoors (some 420): the meter starts up or was never set"), subject: quantity.Name);
            }

            if (quantity.UsedCount > 0 && quantity.Kind is "humidity" && quantity.Max > 110)
            {
                findings.Report(Severity.Warning, "implausible", 0, 0, FormattableString.Invariant($"{quantity.Column}: readings reach {quantity.Max:0} %, which no humidity does; is the column the right one?"), subject: quantity.Name);
            }
        }
    }
}
