// SPDX-License-Identifier: MIT
using Fumecast.GCode;

namespace Fumecast.Trial;

/// <summary>Makes the log of what was read: decides dates, puts times in order, flags what is no reading, converts units.</summary>
internal sealed class LogEnding(string file, LogLayout layout, LogForm form, LogOptions options, DiagnosticLog findings, TimePlan plan, TimeReader time)
{
    private const int MostUnused = 200;
    private const double DayS = 86400;

    /// <summary>Share of steps near the middle one below which rows follow changes and not a clock [-]; a choice of ours.</summary>
    private const double RegularShare = 0.5;

    private static readonly string[][] Families = [["pm1", "pm25", "pm4", "pm10", "number"], ["tvoc", "formaldehyde", "tvoc_index"], ["co2"]];

    /// <summary>Makes the log.</summary>
    public MeterLog End(int rows, int leftOut, List<ReadingColumn> columns, List<UnusedColumn> unused, Grown<double> dayFirst, Grown<double> monthFirst)
    {
        var (order, because) = Order(columns, dayFirst, monthFirst, out var shared);
        var (isUtc, zone, zoneWords) = Zone();
        List<Part> parts;
        if (form == LogForm.OneRowPerReading)
        {
            parts = columns.ConvertAll(column => OwnPart(column, order, isUtc, zone));
        }
        else
        {
            parts = SharedParts(columns, shared!, isUtc, zone);
        }

        var isAbsolute = plan.Form is TimeForm.DateTime or TimeForm.Epoch or TimeForm.SerialDays;
        var zeroS = isAbsolute ? parts.Min(static part => part.Line.TimesS[0]) : 0;
        var clock = Clock(zeroS, isAbsolute, isUtc, zone, order, because, zoneWords);
        foreach (var line in isAbsolute ? parts.Select(static part => part.Line).Distinct() : [])
        {
            for (var i = 0; i < line.TimesS.Length; i++)
            {
                // A count since 1970 as a double is good to a fifth of a microsecond.
                line.TimesS[i] = Math.Round((line.TimesS[i] - zeroS) * 1e6) / 1e6;
            }
        }

        var main = parts.MaxBy(static part => part.Line.TimesS.Length)!.Line;
        var lines = parts.Select(static part => part.Line).Distinct().ToList();
        LogFindings.Times(findings, main, lines, clock);
        var quantities = Quantities(parts, unused);
        if (quantities.Count == 0)
        {
            throw new Inputs.InputProblem(file, Math.Max(1, layout.HeaderLine), columns[0].Column + 1, $"found no readings: {LogColumns.NameOf(layout.Headers, columns[0].Column)} {unused[^1].Why}");
        }

        LogFindings.Quantities(findings, quantities, columns);
        if (unused.Count > MostUnused)
        {
            findings.Report(Severity.Note, "many-columns", layout.HeaderLine, 0, FormattableString.Invariant($"{unused.Count} columns are not used, of which {MostUnused} are listed"));
        }

        return new MeterLog
        {
            File = file,
            Form = form,
            HeaderLine = (int)layout.HeaderLine,
            Time = clock,
            Rows = rows,
            RowsLeftOut = leftOut,
            IntervalS = main.IntervalS,
            FromS = lines.Min(static line => line.TimesS[0]),
            ToS = lines.Max(static line => line.TimesS[^1]),
            Gaps = main.Gaps,
            LongestStepS = main.LongestStepS,
            BackwardSteps = lines.Sum(static line => line.BackwardSteps),
            RepeatedTimes = lines.Sum(static line => line.RepeatedTimes),
            Quantities = quantities,
            OtherColumns = [.. unused.Take(MostUnused)],
            Diagnostics = findings.Entries,
        };
    }

    /// <summary>A column with its times, in their order.</summary>
    private sealed record Part(ReadingColumn Column, TimeLine Line, double[] Written, ReadingState[] Flags);

    private (DateOrder Order, string Because) Order(List<ReadingColumn> columns, Grown<double> dayFirst, Grown<double> monthFirst, out double[]? shared)
    {
        var header = LogColumns.NameOf(layout.Headers, plan.Column);
        var hint = LogHints.OrderOf(header, layout.Preamble);
        if (form == LogForm.OneRowPerReading)
        {
            shared = null;

            // The longest series has the most to tell.
            var longest = columns.MaxBy(static column => column.Count)!.OwnTimes!.Value;
            return time.Decide(file, options.DateOrder, hint, () => (TimeLine.LongestStep(longest.DayFirst.Items), TimeLine.LongestStep(longest.MonthFirst.Items)));
        }

        var (day, month) = (dayFirst.Take(), monthFirst.Take());
        var decided = time.Decide(file, options.DateOrder, hint, () => (TimeLine.LongestStep(day), TimeLine.LongestStep(month)));
        shared = decided.Order == DateOrder.MonthFirst && time.HasTwoOrders ? month : day;
        return decided;
    }

    /// <summary>Whether times were read as UTC, the zone of the clock from it, and where that stands.</summary>
    private (bool IsUtc, int? Minutes, string Words) Zone()
    {
        if (time.CellZoneMinutes is { } inCells)
        {
            return (true, inCells, "zone in each row");
        }

        if (plan.Form == TimeForm.Epoch)
        {
            return (true, null, "");
        }

        if (plan.Form is TimeForm.Relative or TimeForm.Clock)
        {
            return (false, null, "");
        }

        if (plan.HeaderZoneMinutes is { } inHeader)
        {
            return (false, inHeader, "zone in the header");
        }

        return LogHints.ZoneOf(layout.Preamble) is var (above, words) ? (false, above, $"zone above the header: {words}") : (false, null, "");
    }

    private TimeRules Rules(bool isUtc, int? zone, bool followsChanges) => new(
        IsAbsolute: plan.Form is TimeForm.DateTime or TimeForm.Epoch or TimeForm.SerialDays,
        IsClock: plan.Form == TimeForm.Clock,
        HasSeconds: time.HasSeconds,
        MayChangeClock: plan.Form is TimeForm.DateTime or TimeForm.SerialDays && !isUtc && zone is not 0,
        FollowsChanges: followsChanges);

    private List<Part> SharedParts(List<ReadingColumn> columns, double[] times, bool isUtc, int? zone)
    {
        // A date that does not exist, such as 31 February, leaves a row without a time.
        var kept = Array.TrueForAll(times, static one => !double.IsNaN(one)) ? null : Enumerable.Range(0, times.Length).Where(i => !double.IsNaN(times[i])).ToArray();
        if (kept is not null)
        {
            LogFindings.NoSuchDate(findings, times.Length - kept.Length);
            times = Array.ConvertAll(kept, i => times[i]);
        }

        var line = TimeLine.Of(times, Rules(isUtc, zone, followsChanges: false));
        var parts = new List<Part>();
        foreach (var column in columns)
        {
            var (written, flags) = column.Take();
            if (kept is not null)
            {
                (written, flags) = (Array.ConvertAll(kept, i => written[i]), Array.ConvertAll(kept, i => flags[i]));
            }

            parts.Add(new Part(column, line, line.Ordered(written), line.Ordered(flags)));
        }

        return parts;
    }

    private Part OwnPart(ReadingColumn column, DateOrder order, bool isUtc, int? zone)
    {
        var (day, month) = (column.OwnTimes!.Value.DayFirst.Take(), column.OwnTimes.Value.MonthFirst.Take());
        var times = order == DateOrder.MonthFirst && time.HasTwoOrders ? month : day;
        var line = TimeLine.Of(times, Rules(isUtc, zone, IsIrregular(times)));
        var (written, flags) = column.Take();
        return new Part(column, line, line.Ordered(written), line.Ordered(flags));
    }

    private static bool IsIrregular(double[] times)
    {
        var steps = Enumerable.Range(1, Math.Min(times.Length, 2000) - 1).Select(i => Math.Abs(times[i] - times[i - 1])).Order().ToList();
        var middle = steps.Count == 0 ? 0 : steps[steps.Count / 2];
        return steps.Count >= 4 && steps.Count(step => Math.Abs(step - middle) <= 0.2 * middle) < RegularShare * steps.Count;
    }

    private LogTime Clock(double zeroS, bool isAbsolute, bool isUtc, int? zone, DateOrder order, string orderBecause, string zoneWords)
    {
        var words = plan.Words;
        if (plan.Form == TimeForm.DateTime)
        {
            words = time.Shape switch
            {
                DateShape.YearFirst => $"{plan.Words}, year first",
                DateShape.DayFirst => $"{plan.Words}, day first, as always with points",
                DateShape.YearLast => plan.Words,
                _ => $"{plan.Words}, month by its name",
            };
        }

        words += time.IsTwelveHour ? ", 12 h clock" : "";
        var column = plan.ClockColumn >= 0 ? $"{LogColumns.NameOf(layout.Headers, plan.Column)} + {LogColumns.NameOf(layout.Headers, plan.ClockColumn)}" : LogColumns.NameOf(layout.Headers, plan.Column);
        var because = string.Join("; ", new[] { plan.Because, orderBecause, zoneWords }.Where(static part => part.Length > 0));
        if (!isAbsolute)
        {
            return new LogTime(column, words, because, null, null) { IsTimeOfDay = plan.Form == TimeForm.Clock };
        }

        words += time.HasTwoOrders ? $", {TimeReader.Name(order).Replace('-', ' ')}" : "";
        var zero = DateTime.UnixEpoch.AddTicks((long)Math.Round(zeroS * 1000) * TimeSpan.TicksPerMillisecond);
        var local = DateTime.SpecifyKind(zero, DateTimeKind.Unspecified);
        var offset = zone is { } minutes ? TimeSpan.FromMinutes(minutes) : (TimeSpan?)null;
        if (offset is null && options.Zone is { } asked)
        {
            offset = TimeSpan.FromMinutes(MeterLogReader.MinutesOf(asked, local));
            because += "; zone as asked for";
        }
        else if (offset is null && plan.Form == TimeForm.Epoch)
        {
            offset = BesideMinutes(zeroS) is { } beside ? TimeSpan.FromMinutes(beside) : TimeSpan.Zero;
            because += offset == TimeSpan.Zero ? "" : "; zone by the local time beside it";
        }

        return new LogTime(column, words, because, isUtc ? local + (offset ?? TimeSpan.Zero) : local, offset);
    }

    /// <summary>The zone of a local date and time that stand beside a count since 1970, in minutes; null where there are none.</summary>
    private int? BesideMinutes(double zeroS)
    {
        if (layout.DataAt >= layout.Rows.Count)
        {
            return null;
        }

        var reading = default(ClockReading);
        foreach (var cell in layout.Rows[layout.DataAt].Cells)
        {
            if (ClockText.TryRead(cell, out var part) && layout.KindOf(cell) == 'T' && !part.HasZone)
            {
                if (part.Shape is DateShape.YearFirst or DateShape.DayFirst or DateShape.Named && reading.Shape == DateShape.None)
                {
                    (reading.A, reading.B, reading.C, reading.Shape) = (part.A, part.B, part.C, part.Shape);
                }

                if (part.HasClock && !reading.HasClock)
                {
                    (reading.HasClock, reading.SecondOfDay) = (true, part.SecondOfDay);
                }
            }
        }

        if (reading.Shape == DateShape.None || !reading.HasClock)
        {
            return null;
        }

        var day = reading.Shape == DateShape.DayFirst ? TimeReader.DaysOf(reading.C, reading.B, reading.A) : TimeReader.DaysOf(reading.A, reading.B, reading.C);
        var apartS = (DayS * day) + reading.SecondOfDay - zeroS;
        var quarters = Math.Round(apartS / 900);
        return Math.Abs(apartS - (900 * quarters)) < 70 && Math.Abs(quarters) <= 56 ? (int)quarters * 15 : null;
    }

    private List<LogQuantity> Quantities(List<Part> parts, List<UnusedColumn> unused)
    {
        foreach (var family in Families)
        {
            var members = parts.FindAll(part => family.Contains(part.Column.Kind));
            foreach (var part in members)
            {
                var beside = form == LogForm.OneRowPerReading ? [] : members.FindAll(other => other != part);
                ReadingMarks.Flag(part.Column.Kind, part.Written, part.Flags, beside.Count == 0 ? null : i => beside.Exists(other => !HeldReadings.IsSame(other.Written[i], other.Written[i - 1])));
            }

            foreach (var meter in form == LogForm.OneRowPerReading ? members.ConvertAll(static part => new List<Part> { part }) : [members])
            {
                var rowsOfOne = HeldReadings.Flag(meter.ConvertAll(static part => (part.Written, part.Flags)));
                if (rowsOfOne > 0)
                {
                    LogFindings.Held(findings, meter.ConvertAll(static part => part.Column.Header), rowsOfOne, meter[0].Flags);
                }
            }
        }

        var quantities = new List<LogQuantity>();
        foreach (var part in parts)
        {
            var column = part.Column;
            if (column.Kind is "temperature" or "humidity")
            {
                ReadingMarks.Flag(column.Kind, part.Written, part.Flags, null);
            }

            FlagRepeated(part);
            if (WhyEmpty(part) is { } why)
            {
                unused.Add(new UnusedColumn(column.Header, why));
                continue;
            }

            var unit = column.Meaning.Unit!;
            for (var i = 0; i < part.Written.Length; i++)
            {
                part.Written[i] = unit.Convert(part.Written[i]);
            }

            quantities.Add(new LogQuantity(column.Name, column.Header, unit, column.Meaning.WrittenUnit, column.Meaning.CutFromUm, column.Meaning.CutToUm, part.Line.TimesS, part.Written, part.Flags));
        }

        return quantities;
    }

    private static void FlagRepeated(Part part)
    {
        var last = double.NaN;
        for (var i = 0; i < part.Flags.Length; i++)
        {
            if (part.Flags[i] != ReadingState.Used)
            {
                continue;
            }

            if (part.Line.TimesS[i] == last)
            {
                part.Flags[i] = ReadingState.Repeated;
            }

            last = part.Line.TimesS[i];
        }
    }

    /// <summary>Why a column has nothing to use; null where it has.</summary>
    private static string? WhyEmpty(Part part)
    {
        if (part.Column.Empty == part.Written.Length)
        {
            return "always empty";
        }

        if (part.Column.Kind is "temperature" or "humidity" && part.Written.Length >= 10 && Array.TrueForAll(part.Written, static value => value == 0))
        {
            return "always 0: perhaps no such sensor is fitted";
        }

        return Array.TrueForAll(part.Flags, static flag => flag is ReadingState.Missing or ReadingState.ErrorMark) ? "no numbers" : null;
    }
}
