// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>Reads the time of each row, and decides at the end which of the first two parts of a date is the day.</summary>
/// <param name="plan">Where the time stands.</param>
/// <param name="decimalComma">Whether a comma stands before the decimals.</param>
internal sealed class TimeReader(TimePlan plan, bool decimalComma)
{
    private const double DayS = 86400;

    /// <summary>Letters of a date of ten, a blank or T, and a time of day of eight [-].</summary>
    private const int PlainLength = 19;

    private readonly char[] _plainDate = new char[11];
    private int _plainLength = -1;

    /// <summary>Where one order leaves no step longer than this and the other does, that decides [s].</summary>
    private const double LongStepS = 15 * DayS;

    private (int A, int B, int C, DateShape Shape) _lastDate;
    private (double DayFirst, double MonthFirst) _lastDay = (double.NaN, double.NaN);
    private long _dayFirstLine;
    private long _monthFirstLine;
    private string? _firstText;
    private long _firstLine;

    /// <summary>Whether some dates can be read in two orders.</summary>
    public bool HasTwoOrders { get; private set; }

    /// <summary>Whether any time has seconds.</summary>
    public bool HasSeconds { get; private set; }

    /// <summary>Zone of the first row that states one [min].</summary>
    public int? CellZoneMinutes { get; private set; }

    /// <summary>What to add to the words of the form.</summary>
    public bool IsTwelveHour { get; private set; }

    /// <summary>How dates are written.</summary>
    public DateShape Shape { get; private set; }

    /// <summary>Reads the time of a row.</summary>
    /// <param name="rows">The row.</param>
    /// <param name="dayFirst">Its time with the day first, or the only one [s].</param>
    /// <param name="monthFirst">Its time with the month first [s].</param>
    /// <returns>Whether there is one.</returns>
    public bool TryRead(LogRows rows, out double dayFirst, out double monthFirst)
    {
        dayFirst = monthFirst = double.NaN;
        var cell = rows[plan.Column];
        if (cell.IsEmpty)
        {
            return false;
        }

        switch (plan.Form)
        {
            case TimeForm.Epoch or TimeForm.SerialDays:
            case TimeForm.Relative when !cell.Contains(':'):
                if (NumberCell.Read(cell, decimalComma, out var number, out _) != CellKind.Number || Math.Abs(number) > 1e19)
                {
                    return false;
                }

                dayFirst = monthFirst = plan.Form == TimeForm.SerialDays ? Math.Round(TimePlan.OfSerial(number) * 1000) / 1000 : number * plan.SecondsOfOne;
                HasSeconds = true;
                return plan.Form == TimeForm.Relative ? Math.Abs(dayFirst) < 1e10 : dayFirst is > 0 and < 6e9;
        }

        if (TryNext(cell, out dayFirst))
        {
            monthFirst = _lastDay.MonthFirst + (dayFirst - _lastDay.DayFirst);
            return true;
        }

        if (!ClockText.TryRead(cell, out var reading) || !AddClock(rows, ref reading))
        {
            return false;
        }

        HasSeconds |= reading.HasSeconds;
        IsTwelveHour |= reading.IsTwelveHour;
        if (plan.Form is TimeForm.Clock or TimeForm.Relative)
        {
            dayFirst = monthFirst = reading.SecondOfDay;
            return reading.Shape == DateShape.None;
        }

        if (reading.Shape == DateShape.None)
        {
            return false;
        }

        SetDay(reading, rows, cell);
        Remember(cell, reading);
        var seconds = reading.SecondOfDay;
        if (reading.HasZone)
        {
            CellZoneMinutes ??= reading.ZoneMinutes;
            seconds -= 60 * reading.ZoneMinutes;
        }

        (dayFirst, monthFirst) = (_lastDay.DayFirst + seconds, _lastDay.MonthFirst + seconds);
        return !(double.IsNaN(dayFirst) && double.IsNaN(monthFirst));
    }

    /// <summary>Decides the order of day and month.</summary>
    /// <param name="file">The log, for messages.</param>
    /// <param name="asked">What the user says.</param>
    /// <param name="hint">What the header or the lines above it say, and where.</param>
    /// <param name="steps">The longest step that each order leaves, in the order of day first, month first; read only where nothing else decides.</param>
    /// <returns>The order, and why.</returns>
    /// <exception cref="InputProblem">It cannot be told, or the log contradicts itself.</exception>
    public (DateOrder Order, string Because) Decide(string file, DateOrder? asked, (DateOrder Order, string Where)? hint, Func<(double DayFirst, double MonthFirst)> steps)
    {
        if (!HasTwoOrders)
        {
            return (DateOrder.DayFirst, "");
        }

        if (_dayFirstLine > 0 && _monthFirstLine > 0)
        {
            throw new InputProblem(file, Math.Max(_dayFirstLine, _monthFirstLine), plan.Column + 1,
                FormattableString.Invariant($"the first number of a date is over 12 in line {_dayFirstLine} and the second in line {_monthFirstLine}, so the order of day and month changes within the log; split it there"));
        }

        DateOrder? seen = _dayFirstLine > 0 ? DateOrder.DayFirst : _monthFirstLine > 0 ? DateOrder.MonthFirst : null;
        if (asked is { } order)
        {
            return seen is null || seen == order ? (order, "as asked for") : throw new InputProblem(file, Math.Max(_dayFirstLine, _monthFirstLine), plan.Column + 1,
                FormattableString.Invariant($"--date-order {Name(order)} was asked for, but here the {(order == DateOrder.DayFirst ? "second" : "first")} number of the date is over 12; leave the option out"));
        }

        if (seen is { } found)
        {
            return (found, FormattableString.Invariant($"since the {(found == DateOrder.DayFirst ? "first" : "second")} number is over 12 in line {Math.Max(_dayFirstLine, _monthFirstLine)}"));
        }

        if (hint is var (told, where))
        {
            return (told, where);
        }

        var (day, month) = steps();
        if (day <= LongStepS && month > LongStepS)
        {
            return (DateOrder.DayFirst, "since the other order would leave gaps of weeks");
        }

        if (month <= LongStepS && day > LongStepS)
        {
            return (DateOrder.MonthFirst, "since the other order would leave gaps of weeks");
        }

        throw new InputProblem(file, _firstLine, plan.Column + 1, $"found '{_firstText}', of which either number may be the day, and nothing in the log decides it; add --date-order day-first or --date-order month-first");
    }

    /// <summary>The name of an order on the command line.</summary>
    public static string Name(DateOrder order) => order == DateOrder.DayFirst ? "day-first" : "month-first";

    /// <summary>Days from 1970 to a date; not a number where there is no such date.</summary>
    public static double DaysOf(int year, int month, int day)
    {
        if (year is < 1970 or > 2199 || month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth(year, month))
        {
            return double.NaN;
        }

        return (new DateTime(year, month, day) - DateTime.UnixEpoch.Date).Days;
    }

    /// <summary>Keeps the date's text where a plain time of day follows, so that rows of the same day need not be read in full.</summary>
    private void Remember(ReadOnlySpan<char> cell, in ClockReading reading)
    {
        var isPlain = plan.ClockColumn < 0 && cell.Length == PlainLength && cell[10] is ' ' or 'T' && cell[13] == ':' && cell[16] == ':' && reading is { HasZone: false, IsTwelveHour: false, HasSeconds: true };
        _plainLength = isPlain && !double.IsNaN(_lastDay.DayFirst) && !double.IsNaN(_lastDay.MonthFirst) ? PlainLength : -1;
        if (isPlain)
        {
            cell[..11].CopyTo(_plainDate);
        }
    }

    /// <summary>A time such as 2026-11-27 14:05:00 on the day of the row before.</summary>
    private bool TryNext(ReadOnlySpan<char> cell, out double dayFirst)
    {
        dayFirst = double.NaN;
        if (cell.Length != _plainLength || !cell[..11].SequenceEqual(_plainDate) || cell[13] != ':' || cell[16] != ':'
            || !TwoDigits(cell, 11, out var hour) || !TwoDigits(cell, 14, out var minute) || !TwoDigits(cell, 17, out var second) || hour > 23 || minute > 59 || second > 59)
        {
            return false;
        }

        dayFirst = _lastDay.DayFirst + (3600 * hour) + (60 * minute) + second;
        return true;
    }

    private static bool TwoDigits(ReadOnlySpan<char> cell, int at, out int value)
    {
        var (tens, ones) = ((uint)(cell[at] - '0'), (uint)(cell[at + 1] - '0'));
        value = (int)((10 * tens) + ones);
        return tens <= 9 && ones <= 9;
    }

    private bool AddClock(LogRows rows, ref ClockReading reading)
    {
        if (plan.ClockColumn < 0 || reading.HasClock)
        {
            return true;
        }

        var cell = rows[plan.ClockColumn];
        if (ClockText.TryDigits(cell, out var second))
        {
            (reading.HasClock, reading.HasSeconds, reading.SecondOfDay) = (true, cell.Length > 4, second);
            return true;
        }

        if (!ClockText.TryRead(cell, out var clock) || clock.Shape != DateShape.None)
        {
            return false;
        }

        (reading.HasClock, reading.HasSeconds, reading.SecondOfDay, reading.IsTwelveHour) = (true, clock.HasSeconds, clock.SecondOfDay, clock.IsTwelveHour);
        if (clock.HasZone)
        {
            (reading.HasZone, reading.ZoneMinutes) = (true, clock.ZoneMinutes);
        }

        return true;
    }

    private void SetDay(in ClockReading reading, LogRows rows, ReadOnlySpan<char> cell)
    {
        var date = (reading.A, reading.B, reading.C, reading.Shape);
        if (date == _lastDate)
        {
            return;
        }

        _lastDate = date;
        Shape = reading.Shape;
        if (reading.Shape is DateShape.YearFirst or DateShape.Named)
        {
            var only = DayS * DaysOf(reading.A, reading.B, reading.C);
            _lastDay = (only, only);
            return;
        }

        _lastDay = (DayS * DaysOf(reading.C, reading.B, reading.A), DayS * DaysOf(reading.C, reading.A, reading.B));
        if (reading.Shape == DateShape.DayFirst)
        {
            _lastDay = (_lastDay.DayFirst, _lastDay.DayFirst);
            return;
        }

        HasTwoOrders = true;
        if (_firstText is null)
        {
            (_firstText, _firstLine) = (cell.ToString(), rows.Line);
        }

        if (reading.A > 12 && _dayFirstLine == 0)
        {
            _dayFirstLine = rows.Line;
        }

        if (reading.B > 12 && _monthFirstLine == 0)
        {
            _monthFirstLine = rows.Line;
        }
    }
}
