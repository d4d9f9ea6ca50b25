// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>What the cells of a time column are.</summary>
internal enum TimeForm
{
    /// <summary>Date and time of day, in one cell or in two.</summary>
    DateTime,

    /// <summary>A time of day without a date.</summary>
    Clock,

    /// <summary>Seconds, or parts of them, since 1970 in UTC.</summary>
    Epoch,

    /// <summary>Days since the last day of 1899, as spreadsheets count.</summary>
    SerialDays,

    /// <summary>Time since the start.</summary>
    Relative,
}

/// <summary>Where the time of a row stands and how it is read.</summary>
/// <param name="Column">The column.</param>
/// <param name="ClockColumn">The column of the time of day where <paramref name="Column"/> has the date alone; else -1.</param>
/// <param name="Form">What its cells are.</param>
/// <param name="SecondsOfOne">Seconds of one, for numbers [s].</param>
/// <param name="Words">The form in words.</param>
/// <param name="Because">How it was chosen.</param>
/// <param name="HeaderZoneMinutes">The zone that the header names.</param>
internal sealed record TimePlan(int Column, int ClockColumn, TimeForm Form, double SecondsOfOne, string Words, string Because, int? HeaderZoneMinutes)
{
    /// <summary>Days from the count of spreadsheets to 1970 [d].</summary>
    private const double SerialDaysOf1970 = 25569;

    private const double DayS = 86400;

    /// <summary>A step between rows that is shorter is more likely of minutes or hours [s]; a choice of ours.</summary>
    private const double LeastStep = 0.05;

    /// <summary>Finds the time of the rows.</summary>
    /// <param name="file">The log, for messages.</param>
    /// <param name="layout">Where the table is.</param>
    /// <param name="named">The columns that the user named, with the unit that was given; empty for none.</param>
    /// <param name="others">Columns that hold a time as well, with the reason why they are not used.</param>
    /// <exception cref="InputProblem">There is none that can be understood.</exception>
    public static TimePlan Of(string file, LogLayout layout, IReadOnlyList<(int Column, LogUnit? Unit)> named, Dictionary<int, string> others)
    {
        var columns = Enumerable.Range(0, Math.Min(layout.Headers.Length, 2000)).Select(column => Look(layout, column)).ToList();
        if (named.Count > 0)
        {
            return Named(file, layout, named, columns);
        }

        // Date and time in one cell, or a count since 1970; then a date beside a clock; then a count from the start; then a clock alone.
        TimeLook? best = null;
        foreach (var look in columns)
        {
            best = look.Score > (best?.Score ?? 0) ? look : best;
        }

        var pair = PairOf(columns) ?? PairOfDigits(layout, columns);
        TimePlan plan;
        if (pair is var (date, clock) && (best is null || best.Score <= 90))
        {
            plan = new TimePlan(date.Column, clock.Column, TimeForm.DateTime, 1, "date and time of day in two columns", date.Speaks ? "by the headers and what is below" : "by what stands in them", date.ZoneMinutes ?? clock.ZoneMinutes);
        }
        else if (best is not null)
        {
            plan = PlanOf(file, layout, best, null);
        }
        else
        {
            throw new InputProblem(file, Math.Max(1, layout.HeaderLine), 1, $"found no column of times; {LogColumns.Found(layout.Headers)}; name it with --columns time=HEADER");
        }

        foreach (var look in columns)
        {
            if (look.Column != plan.Column && look.Column != plan.ClockColumn && (look.Kind is 'T' or 'D' or 'C' || (look.Kind == 'E' && look.Speaks)))
            {
                others.TryAdd(look.Column, $"another time; that of {LogColumns.NameOf(layout.Headers, plan.Column)} is used");
            }
        }

        return plan;
    }

    /// <summary>What the cells of a column look like as times.</summary>
    /// <param name="Column">The column.</param>
    /// <param name="Kind">T date and time, D date, C time of day, E since 1970, S days of spreadsheets, R a number that rises or falls, none '-'.</param>
    /// <param name="Speaks">Whether the header speaks of a time.</param>
    /// <param name="Score">How likely it is the one.</param>
    /// <param name="Unit">The unit in the header.</param>
    /// <param name="ZoneMinutes">The zone in the header.</param>
    /// <param name="StepS">Its middle step, for numbers.</param>
    /// <param name="First">Its first number.</param>
    private sealed record TimeLook(int Column, char Kind, bool Speaks, int Score, LogUnit? Unit, int? ZoneMinutes, double StepS, double First);

    private static TimeLook Look(LogLayout layout, int column)
    {
        var header = layout.Headers[column];
        var plain = HeaderText.Plain(header);
        var meaning = HeaderMeaning.Of(header);
        var speaks = meaning.Role == ColumnRole.Time || (meaning.Role is ColumnRole.Unknown && LogWords.SpeaksOfTime(plain));
        var (full, dates, clocks, numbers, zones, cells) = (0, 0, 0, 0, 0, 0);
        var values = new List<double>();
        var rows = layout.GluedRow is { } glued ? layout.Rows.Skip(layout.DataAt).Prepend((glued, 0)) : layout.Rows.Skip(layout.DataAt);
        foreach (var (row, _) in rows)
        {
            var cell = column < row.Length ? row[column].AsSpan().Trim() : [];
            if (cell.IsEmpty)
            {
                continue;
            }

            cells++;
            if (NumberCell.Read(cell, layout.DecimalComma, out var value, out var unit) == CellKind.Number && unit.IsEmpty)
            {
                numbers++;
                values.Add(value);
                if (cell.Length is not (8 or 14))
                {
                    continue;
                }
            }

            if (ClockText.TryRead(cell, out var reading))
            {
                full += reading is { Shape: not DateShape.None, HasClock: true } ? 1 : 0;
                dates += reading is { Shape: not DateShape.None, HasClock: false } ? 1 : 0;
                clocks += reading.Shape == DateShape.None ? 1 : 0;
                zones += reading.HasZone ? 1 : 0;
            }
        }

        var enough = Math.Max(1, cells * 4 / 5);
        var kind = cells == 0 ? '-' : full >= enough ? 'T' : dates >= enough ? 'D' : clocks >= enough ? 'C' : numbers >= enough ? KindOfNumbers(values) : '-';
        if (kind is 'E' or 'S' or 'R' && meaning.Role is not (ColumnRole.Time or ColumnRole.Unknown))
        {
            kind = '-';
        }

        var order = kind switch { 'T' => 100, 'E' => speaks || values[0] > 9e8 ? 101 : 0, 'D' => 45, 'S' => 70, 'R' => 60, 'C' => 40, _ => 0 };
        order += speaks ? 25 : kind is 'R' or 'S' or 'D' ? -order : 0;
        order += zones > 0 ? 3 : 0;
        var (_, unitOfHeader, _) = HeaderText.SplitUnit(plain);
        return new TimeLook(column, kind, speaks, order, unitOfHeader is { Kind: UnitKind.Time } ? unitOfHeader : UnitOfWord(plain), ZoneOf(plain), Step(values), values.Count > 0 ? values[0] : 0);
    }

    private static LogUnit? UnitOfWord(string plain) => HeaderText.Words(plain) switch
    {
        var words when words.Exists(static w => w is "t" or "time") => null,
        var words => words.Select(static word => LogUnit.Of(word)).FirstOrDefault(static unit => unit is { Kind: UnitKind.Time }),
    };

    private static char KindOfNumbers(List<double> values)
    {
        var (rising, falling) = (0, 0);
        for (var i = 1; i < values.Count; i++)
        {
            rising += values[i] >= values[i - 1] ? 1 : 0;
            falling += values[i] <= values[i - 1] ? 1 : 0;
        }

        if (Math.Max(rising, falling) < (values.Count - 1) * 9 / 10)
        {
            return '-';
        }

        return values.TrueForAll(static v => PowerOfEpoch(v) is not null) ? 'E'
            : values.TrueForAll(static v => v is >= 36526 and < 73051) && values[0] % 1 != 0 ? 'S'
            : values.Count < 2 || values[0] != values[^1] ? 'R' : '-';
    }

    /// <summary>Seconds of one in a count since 1970, from its size: between the years 2001 and 2096.</summary>
    private static double? PowerOfEpoch(double value) => value switch
    {
        >= 1e9 and < 4e9 => 1,
        >= 1e12 and < 4e12 => 1e-3,
        >= 1e15 and < 4e15 => 1e-6,
        >= 1e18 and < 4e18 => 1e-9,
        _ => null,
    };

    private static double Step(List<double> values)
    {
        var steps = new List<double>();
        for (var i = 1; i < values.Count; i++)
        {
            if (values[i] != values[i - 1])
            {
                steps.Add(Math.Abs(values[i] - values[i - 1]));
            }
        }

        steps.Sort();
        return steps.Count == 0 ? 0 : steps[steps.Count / 2];
    }

    /// <summary>A zone that a header names in brackets or as its last word: "Date (UTC)", "time +01:00".</summary>
    private static int? ZoneOf(string plain)
    {
        foreach (var part in plain.Split(['(', ')', '[', ']', ' ', '_', ','], StringSplitOptions.RemoveEmptyEntries))
        {
            if (part.Length >= 3 && !char.IsAsciiDigit(part[0]) && ClockText.TryZone(part, out var minutes))
            {
                return minutes;
            }
        }

        return null;
    }

    private static (TimeLook Date, TimeLook Clock)? PairOf(List<TimeLook> columns)
    {
        var dates = columns.FindAll(static look => look.Kind == 'D');
        var clocks = columns.FindAll(static look => look.Kind == 'C');
        if (dates.Count == 0 || clocks.Count == 0)
        {
            return null;
        }

        // Of several clocks one whose zone is known, and each beside its own date.
        var date = dates.Find(static look => look.ZoneMinutes is not null) ?? dates[0];
        return (date, clocks.Find(look => look.ZoneMinutes == date.ZoneMinutes && (date.ZoneMinutes is not null || look.Column > date.Column)) ?? clocks[0]);
    }

    /// <summary>A date beside a time of day in digits alone or with points, such as 140500 or 14.05.00, whose header does not speak of a date.</summary>
    private static (TimeLook Date, TimeLook Clock)? PairOfDigits(LogLayout layout, List<TimeLook> columns)
    {
        var date = columns.Find(static look => look.Kind == 'D');
        var clock = columns.Find(look => look is { Kind: 'R' or '-' or 'D', Speaks: true } && look.Column != date?.Column && !HeaderText.Plain(layout.Headers[look.Column]).Contains("dat", StringComparison.Ordinal)
            && layout.Rows.Skip(layout.DataAt).All(row => look.Column < row.Cells.Length && ClockText.TryDigits(row.Cells[look.Column].AsSpan().Trim(), out _)));
        return date is null || clock is null ? null : (date, clock);
    }

    /// <summary>Whether many rows have one date: then the time of day is missing.</summary>
    private static bool HasManyRowsADay(LogLayout layout, int column)
    {
        var cells = layout.Rows.Skip(layout.DataAt).Select(row => column < row.Cells.Length ? row.Cells[column].Trim() : "").Where(static cell => cell.Length > 0).ToList();
        return cells.Count >= 4 && cells.Distinct().Count() * 2 < cells.Count;
    }

    private static TimePlan Named(string file, LogLayout layout, IReadOnlyList<(int Column, LogUnit? Unit)> named, List<TimeLook> columns)
    {
        if (named.Count == 2)
        {
            var (one, other) = (columns[named[0].Column], columns[named[1].Column]);
            var (date, clock) = one.Kind == 'C' ? (other, one) : (one, other);
            return date.Kind is 'D' && clock.Kind is 'C'
                ? new TimePlan(date.Column, clock.Column, TimeForm.DateTime, 1, "date and time of day in two columns", "named", date.ZoneMinutes ?? clock.ZoneMinutes)
                : throw new InputProblem(file, Line(layout), date.Column + 1, $"--columns names two columns for the time, but {LogColumns.NameOf(layout.Headers, (date.Kind is 'D' ? clock : date).Column)} is {(date.Kind is 'D' ? "no time of day" : "no date")}");
        }

        var look = columns[named[0].Column];
        if (look.Kind == '-' && layout.Rows.Skip(layout.DataAt).Select(row => look.Column < row.Cells.Length ? row.Cells[look.Column] : "").FirstOrDefault(static cell => cell.Length > 0) is { } cell && layout.KindOf(cell) == 'X')
        {
            throw new InputProblem(file, Line(layout), look.Column + 1, $"{LogColumns.NameOf(layout.Headers, look.Column)} was named as the time, but '{cell}' is none that is known; expected such as 2026-11-27 14:05:00, 27.11.2026 14:05, 1764252300, or seconds");
        }

        return PlanOf(file, layout, look, named[0].Unit) with { Because = "named" };
    }

    private static TimePlan PlanOf(string file, LogLayout layout, TimeLook look, LogUnit? unit)
    {
        var name = LogColumns.NameOf(layout.Headers, look.Column);
        var because = look.Speaks ? "by its header and what is below" : "by what stands in it";
        unit ??= look.Unit;
        switch (look.Kind)
        {
            case 'D' when HasManyRowsADay(layout, look.Column):
                throw new InputProblem(file, Line(layout), look.Column + 1, $"{name} has dates alone, and many rows for each; name the time of day too, with --columns 'time={name}+HEADER' ({LogColumns.Found(layout.Headers)})");
            case 'T' or 'D':
                return new TimePlan(look.Column, -1, TimeForm.DateTime, 1, look.Kind == 'D' ? "date" : "date and time of day", because, look.ZoneMinutes);
            case 'C':
                var isElapsed = LogWords.SpeaksOfElapsedTime(HeaderText.Plain(layout.Headers[look.Column]));
                return new TimePlan(look.Column, -1, isElapsed ? TimeForm.Relative : TimeForm.Clock, 1, isElapsed ? "hours, minutes and seconds since the start" : "time of day without a date", because, look.ZoneMinutes);
            case 'E' when unit is null || PowerOfEpoch(look.First) == unit.Factor:
                var power = PowerOfEpoch(look.First)!.Value;
                var words = power switch { 1 => "seconds", 1e-3 => "milliseconds", 1e-6 => "microseconds", _ => "nanoseconds" };
                return new TimePlan(look.Column, -1, TimeForm.Epoch, power, $"{words} since 1970 in UTC", because, 0);
            case 'S':
                return new TimePlan(look.Column, -1, TimeForm.SerialDays, DayS, "days as spreadsheets count them", because, look.ZoneMinutes);
        }

        if (unit is null && look.StepS is > 0 and < LeastStep)
        {
            throw new InputProblem(file, Line(layout), look.Column + 1,
                FormattableString.Invariant($"{name} has steps of {look.StepS:0.#####} and no unit; say what it counts: --columns 'time={name}[h]', or [min], or [s]"));
        }

        unit ??= LogUnit.Seconds;
        var counted = unit.Factor switch { 1 => "seconds", 60 => "minutes", 3600 => "hours", 86400 => "days", _ => "milliseconds" };
        return new TimePlan(look.Column, -1, TimeForm.Relative, unit.Factor, $"{counted} since the start", look.Unit is null ? because + ", taken as seconds" : because, null);
    }

    private static long Line(LogLayout layout) => Math.Max(1, layout.HeaderLine);

    /// <summary>Seconds since 1970 of a day that a spreadsheet counts.</summary>
    public static double OfSerial(double days) => (days - SerialDaysOf1970) * DayS;
}
