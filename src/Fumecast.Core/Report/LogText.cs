// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Trial;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes how a log was understood: plain words first, then what was measured, the clock, and what is not used.</summary>
public static class LogText
{
    private const int MostOther = 12;
    private const int MostSketched = 8;
    private const int LabelWidth = 26;
    private const int MostStretches = 4000;

    /// <summary>Writes it.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="log">The log.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, MeterLog log, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(log);
        ArgumentNullException.ThrowIfNull(style);
        var page = new TextPage(output, style);
        Lead(page, log);
        Quantities(page, log, style);
        if (style.Sketches)
        {
            Sketch(page, log);
        }

        Clock(page, log);
        Other(page, log);
        Notes(page, log);
        EstimateText.WriteFindings(page, log.Diagnostics);
    }

    private static void Lead(TextPage page, MeterLog log)
    {
        var name = log.File == "-" ? "The log on standard input" : log.File;
        var kinds = log.Quantities.Select(static quantity => LogWordsOf.Quantity(quantity).Replace(' ', TextPage.HardBlank)).ToList();
        var what = kinds.Count <= 6 ? Joined(kinds) : $"{string.Join(", ", kinds.Take(5))} and {Invariant($"{kinds.Count - 5}")} more";
        var every = log.IntervalS is { } interval ? $", one every {LogWordsOf.Step(interval)}" : "";
        page.Lead($"{name} holds {what}: {Invariant($"{log.Rows:#,0}").Replace(',', TextPage.HardBlank)} rows over {Duration(log.ToS - log.FromS)}{every}{(log.Time.StartLocal is null ? "" : $", from {LogWordsOf.Moment(log, log.FromS)}")}.");
    }

    private static string Joined(List<string> names) => names.Count == 1 ? names[0] : $"{string.Join(", ", names[..^1])} and {names[^1]}";

    private static void Quantities(TextPage page, MeterLog log, TextStyle style)
    {
        page.Gap();
        var names = log.Quantities.Select(static quantity => quantity.Column).ToList();
        var width = Math.Min(Math.Clamp(names.Max(static name => ColumnWidth.Of(TextPage.Clean(name))) + 2, 9, 40), style.CutsNames ? Math.Max(9, style.Width - 71) : 40);
        int[] widths = [2 + Math.Max(10, log.Quantities.Max(static quantity => quantity.Name.Length) + 2), width, 6, 8, 7, 6, 6, 8, 8];
        page.HeadingRow(widths, "QUANTITY", "column", "unit", "used", "held", "over", "none", "mean", "min", "max");
        foreach (var quantity in log.Quantities)
        {
            var none = quantity.Count(ReadingState.ErrorMark) + quantity.Count(ReadingState.Missing) + quantity.Count(ReadingState.Repeated);
            page.Row(widths, "  " + quantity.Name, ColumnWidth.Cut(TextPage.Clean(quantity.Column), width - 2), LogWordsOf.Unit(quantity.Unit), Count(quantity.UsedCount), Count(quantity.Count(ReadingState.Held)),
                Count(quantity.Count(ReadingState.OverRange)), Count(none), Value(quantity.Mean), Value(quantity.Min), Value(quantity.Max));
        }

        page.Indented("Held: the last reading once more. Over: at the end of the meter's range. None: empty, an error mark, or a time that stood before.");
        var counted = log.Quantities.Where(static quantity => LogWordsOf.Cut(quantity).Length > 0).Select(static quantity => quantity.Name + LogWordsOf.Cut(quantity)).ToList();
        if (counted.Count > 0)
        {
            page.Point($"Particles that count: {string.Join(", ", counted)}");
        }

        foreach (var group in log.Quantities.Where(static quantity => quantity.Factor != 1).GroupBy(static quantity => (quantity.Factor, quantity.WrittenUnit, quantity.Unit)))
        {
            var same = string.Join(", ", group.Select(static quantity => quantity.Name));
            page.Point(group.Key is { Unit: "c" } ? $"{same}: converted from degF" : Invariant($"{same}: as written{(group.Key.WrittenUnit is { } unit ? $" in {unit}" : "")}, times {group.Key.Factor:0.######}"));
        }
    }

    private static void Sketch(TextPage page, MeterLog log)
    {
        var drawn = log.Quantities.Where(static quantity => quantity.Kind is not ("temperature" or "humidity") && quantity.UsedCount > 1).ToList();
        drawn = drawn.Count > 0 ? drawn : [.. log.Quantities.Where(static quantity => quantity.UsedCount > 1)];
        var lengthS = log.ToS - log.FromS;
        if (drawn.Count == 0 || !(lengthS > 0))
        {
            return;
        }

        page.Gap();
        page.Heading("AGAINST TIME, from the first row");
        var curve = new BlockCurve(page, lengthS, LabelWidth);
        foreach (var quantity in drawn.Take(MostSketched))
        {
            var stretches = Stretches(log, quantity);
            var highest = curve.HighestOf(stretches);
            curve.Write(["  " + LogWordsOf.Quantity(quantity), highest > 0 ? $"  █ is {Significant(highest, 2)} {LogWordsOf.Unit(quantity.Unit)}" : "  none"], stretches);
        }

        curve.WriteAxis();
    }

    /// <summary>The readings that count, a few neighbours together where there are many: a sketch has some hundred columns.</summary>
    private static List<Stretch> Stretches(MeterLog log, LogQuantity quantity)
    {
        var stretches = new List<Stretch>();
        var together = 1 + (quantity.UsedCount / MostStretches);
        var mostS = log.Gaps > 0 && log.IntervalS is { } interval ? 30 * interval * together : double.PositiveInfinity;
        var (count, sum, startS) = (0, 0.0, 0.0);
        for (var i = 0; i < quantity.States.Length; i++)
        {
            if (quantity.States[i] != ReadingState.Used)
            {
                continue;
            }

            var timeS = quantity.TimesS[i] - log.FromS;
            if (count == together)
            {
                stretches.Add(new Stretch(startS, Math.Min(timeS, startS + mostS), sum / count));
                (count, sum) = (0, 0);
            }

            startS = count == 0 ? timeS : startS;
            sum += quantity.Values[i];
            count++;
        }

        stretches.Add(new Stretch(startS, Math.Min(log.ToS - log.FromS, startS + mostS), sum / Math.Max(1, count)));
        return stretches;
    }

    private static void Clock(TextPage page, MeterLog log)
    {
        page.Gap();
        page.Heading("TIME");
        page.Labelled("Column", $"{log.Time.Column}: {log.Time.Form} ({log.Time.Because})");
        if (log.Time.StartLocal is not null)
        {
            page.Labelled("Zone", log.Time.Offset is null ? "not stated; give it with --zone, such as --zone +01:00, where it matters" : log.Time.Zone);
        }

        page.Labelled("From", log.Time.StartLocal is null ? $"{Significant(log.FromS, 4)} to {Significant(log.ToS, 6)} s" : $"{LogWordsOf.Moment(log, log.FromS)} to {LogWordsOf.Moment(log, log.ToS)}");
        var irregular = log.Gaps == 0 ? "no gaps" : Invariant($"{log.Gaps} {(log.Gaps == 1 ? "gap" : "gaps")}, the longest {Duration(log.LongestStepS)}");
        page.Labelled("Steps", $"{(log.IntervalS is { } interval ? LogWordsOf.Step(interval) : "none")}; {irregular}{(log.BackwardSteps > 0 ? Invariant($"; {log.BackwardSteps} back") : "")}{(log.RepeatedTimes > 0 ? Invariant($"; {log.RepeatedTimes} repeated") : "")}");
        page.Labelled("Table", $"{Form(log.Form)}{(log.HeaderLine > 0 ? Invariant($", header in line {log.HeaderLine}") : ", no header")}{(log.RowsLeftOut > 0 ? Invariant($", {log.RowsLeftOut} rows left out") : "")}");
    }

    private static string Form(LogForm form) => form switch
    {
        LogForm.OneRowPerReading => "one row for each reading",
        LogForm.Transposed => "one column for each time",
        _ => "one row for each time",
    };

    private static void Other(TextPage page, MeterLog log)
    {
        if (log.OtherColumns.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("NOT USED");
        foreach (var group in log.OtherColumns.GroupBy(static column => column.Why).Take(MostOther))
        {
            var names = group.Select(static column => column.Column).ToList();
            page.Point($"{string.Join(", ", names.Take(8))}{(names.Count > 8 ? Invariant($" and {names.Count - 8} more") : "")}: {group.Key}");
        }
    }

    private static void Notes(TextPage page, MeterLog log)
    {
        var notes = log.Diagnostics.Where(static finding => finding.Severity == Severity.Note).ToList();
        if (notes.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("NOTES");
        foreach (var note in notes)
        {
            page.Point(DiagnosticText.Line(note));
        }
    }

    private static string Count(int count) => Invariant($"{count}");

    private static string Value(double? value) => value is not { } known ? "-" : Math.Abs(known) >= 1e6 ? Power(known, 3) : Significant(known, Math.Abs(known) >= 100 ? 4 : 3);
}
