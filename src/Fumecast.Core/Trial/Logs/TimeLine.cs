// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>What may be done to times beside putting them in order.</summary>
/// <param name="IsAbsolute">Whether they have dates.</param>
/// <param name="IsClock">Whether they are times of day without a date, which begin again at midnight.</param>
/// <param name="HasSeconds">Whether any is written with seconds.</param>
/// <param name="MayChangeClock">Whether the clock may be one that people put forward and back: neither UTC nor with its zone in each row.</param>
/// <param name="FollowsChanges">Whether rows are written when a value changes, so that steps mean nothing.</param>
internal readonly record struct TimeRules(bool IsAbsolute, bool IsClock, bool HasSeconds, bool MayChangeClock, bool FollowsChanges);

/// <summary>The times of rows in order, and what had to be done for it.</summary>
internal sealed class TimeLine
{
    private const double DayS = 86400;
    private const double HourS = 3600;
    private const int MostSteps = 100_000;

    /// <summary>A step of more intervals than this is a gap [-].</summary>
    private const double GapIntervals = 3.0001;

    /// <summary>Share of rows that repeat the time before, from which times are taken as cut to full minutes or seconds [-]; a choice of ours.</summary>
    private const double ManyRepeats = 0.4;

    private readonly double[] _times;

    private TimeLine(double[] times)
    {
        _times = times;
    }

    /// <summary>The times, never falling [s].</summary>
    public double[] TimesS => _times;

    /// <summary>The row of the file for each time; null where the order is that of the file.</summary>
    public int[]? Order { get; private set; }

    public bool IsNewestFirst { get; private set; }

    public int BackwardSteps { get; private set; }

    /// <summary>The first row, counted from 0 in the file, that is earlier than the one before.</summary>
    public int FirstBackwardRow { get; private set; } = -1;

    public int RepeatedTimes { get; private set; }

    public double? IntervalS { get; private set; }

    public int Gaps { get; private set; }

    public double LongestStepS { get; private set; }

    /// <summary>To how many seconds the written times were cut, and the rows within such a time were spread; 0 for no spreading [s].</summary>
    public double SpreadOverS { get; private set; }

    /// <summary>When the clock was put forward (+) or back (-) by an hour, in its own time before; not a number for never [s].</summary>
    public double ClockChangeAtS { get; private set; } = double.NaN;

    /// <summary>By how much [s].</summary>
    public double ClockChangeS { get; private set; }

    /// <summary>Puts times in order.</summary>
    /// <param name="written">Times in the order of the file [s]; the array is used up.</param>
    /// <param name="rules">What may be done.</param>
    public static TimeLine Of(double[] written, TimeRules rules)
    {
        var line = new TimeLine(written);
        line.Reverse(rules);
        if (rules.IsClock)
        {
            line.PassMidnights();
        }

        if (!rules.FollowsChanges)
        {
            line.Spread(rules);
        }

        line.IntervalS = line.MiddleStep();
        if (rules.MayChangeClock && line.IntervalS is { } interval && interval < HourS / 2)
        {
            line.UndoClockChange(interval);
        }

        line.Sort();
        line.IntervalS = line.MiddleStep();
        line.Count(rules);
        return line;
    }

    /// <summary>Puts a column of the file into the order of the times.</summary>
    public T[] Ordered<T>(T[] column)
    {
        if (Order is null)
        {
            return column;
        }

        var ordered = new T[column.Length];
        for (var i = 0; i < ordered.Length; i++)
        {
            ordered[i] = column[Order[i]];
        }

        return ordered;
    }

    /// <summary>The longest step [s] between times, once they are sorted: for orders of day and month that are weighed.</summary>
    public static double LongestStep(ReadOnlySpan<double> written)
    {
        var sorted = Array.FindAll(written.ToArray(), static time => !double.IsNaN(time));
        Array.Sort(sorted);
        var longest = sorted.Length < written.Length ? double.PositiveInfinity : 0;
        for (var i = 1; i < sorted.Length; i++)
        {
            longest = Math.Max(longest, sorted[i] - sorted[i - 1]);
        }

        return longest;
    }

    private void Reverse(TimeRules rules)
    {
        var (up, down) = (0, 0);
        for (var i = 1; i < _times.Length; i++)
        {
            var step = _times[i] - _times[i - 1];
            if (rules.IsClock && Math.Abs(step) > DayS / 2)
            {
                continue;
            }

            up += step > 0 ? 1 : 0;
            down += step < 0 ? 1 : 0;
        }

        if (down > up)
        {
            IsNewestFirst = true;
            Array.Reverse(_times);
        }
    }

    private void PassMidnights()
    {
        var addS = 0.0;
        for (var i = 1; i < _times.Length; i++)
        {
            _times[i] += addS;
            if (_times[i] < _times[i - 1] - (DayS / 2))
            {
                addS += DayS;
                _times[i] += DayS;
            }
        }
    }

    /// <summary>Rows that share a full minute, or a full second, are spread over it: the meter wrote more often than its clock tells.</summary>
    private void Spread(TimeRules rules)
    {
        var repeats = 0;
        var isWhole = true;
        for (var i = 0; i < _times.Length; i++)
        {
            repeats += i > 0 && _times[i] == _times[i - 1] ? 1 : 0;
            isWhole &= _times[i] == Math.Floor(_times[i]);
        }

        if (!isWhole || repeats < ManyRepeats * _times.Length || _times.Length < 4 || !(rules.IsAbsolute || rules.IsClock))
        {
            return;
        }

        var overS = rules.HasSeconds ? 1.0 : 60.0;
        var most = 0;
        for (int from = 0, to; from < _times.Length; from = to)
        {
            to = EndOfRun(from);
            most = Math.Max(most, from > 0 && to < _times.Length ? to - from : 0);
        }

        most = most == 0 ? Math.Max(EndOfRun(0), 1) : most;
        for (int from = 0, to; from < _times.Length; from = to)
        {
            to = EndOfRun(from);
            var count = to - from;

            // The first and the last are perhaps not whole: they end and begin with their minute.
            var places = from == 0 || to == _times.Length ? Math.Max(count, most) : count;
            var skip = from == 0 ? places - count : 0;
            var base0 = _times[from];
            for (var i = from; i < to; i++)
            {
                _times[i] = base0 + (overS * (skip + i - from) / places);
            }
        }

        SpreadOverS = overS;
    }

    private int EndOfRun(int from)
    {
        var to = from + 1;
        while (to < _times.Length && _times[to] == _times[from])
        {
            to++;
        }

        return to;
    }

    /// <summary>Finds where the clock was put back or forward by an hour, on a Sunday night as the law of many countries has it, and goes on in the time before.</summary>
    private void UndoClockChange(double intervalS)
    {
        var leewayS = Math.Max(2 * intervalS, 30);
        for (var i = 1; i < _times.Length; i++)
        {
            var stepS = _times[i] - _times[i - 1];
            var hour = Modulo(_times[i - 1], DayS) / HourS;
            var isSunday = Modulo(Math.Floor(_times[i - 1] / DayS) + 4, 7) is 0;
            if (!isSunday || hour >= 4)
            {
                continue;
            }

            var isBack = stepS < 0 && Math.Abs(stepS + HourS - intervalS) <= leewayS;
            var toFullHourS = HourS - Modulo(_times[i - 1], HourS);
            var isForward = Math.Abs(stepS - HourS - intervalS) <= leewayS && toFullHourS <= intervalS + 1 && Modulo(_times[i], HourS) <= intervalS + 1 && stepS > GapIntervals * intervalS;
            if (!isBack && !isForward)
            {
                continue;
            }

            (ClockChangeAtS, ClockChangeS) = (_times[i - 1], isBack ? -HourS : HourS);
            for (var j = i; j < _times.Length; j++)
            {
                _times[j] -= ClockChangeS;
            }

            return;
        }
    }

    private void Sort()
    {
        for (var i = 1; i < _times.Length; i++)
        {
            if (_times[i] < _times[i - 1])
            {
                BackwardSteps++;
                FirstBackwardRow = FirstBackwardRow < 0 ? (IsNewestFirst ? _times.Length - 1 - i : i) : FirstBackwardRow;
            }
        }

        if (BackwardSteps == 0 && !IsNewestFirst)
        {
            return;
        }

        Order = new int[_times.Length];
        for (var i = 0; i < Order.Length; i++)
        {
            Order[i] = IsNewestFirst ? Order.Length - 1 - i : i;
        }

        if (BackwardSteps > 0)
        {
            // Rows of one time stay in their order.
            var keys = new (double Time, int Place)[_times.Length];
            for (var i = 0; i < keys.Length; i++)
            {
                keys[i] = (_times[i], i);
            }

            Array.Sort(keys, Order);
            for (var i = 0; i < keys.Length; i++)
            {
                _times[i] = keys[i].Time;
            }
        }
    }

    private double? MiddleStep()
    {
        var stride = Math.Max(1, _times.Length / MostSteps);
        var steps = new List<double>(Math.Min(_times.Length, MostSteps + 1));
        for (var i = 1; i < _times.Length; i += stride)
        {
            if (_times[i] > _times[i - 1])
            {
                steps.Add(_times[i] - _times[i - 1]);
            }
        }

        steps.Sort();
        return steps.Count == 0 ? null : Math.Round(steps[steps.Count / 2] * 1e5) / 1e5;
    }

    private void Count(TimeRules rules)
    {
        for (var i = 1; i < _times.Length; i++)
        {
            var step = _times[i] - _times[i - 1];
            RepeatedTimes += step == 0 ? 1 : 0;
            LongestStepS = Math.Max(LongestStepS, Math.Round(step * 1e5) / 1e5);
            Gaps += !rules.FollowsChanges && step > GapIntervals * IntervalS ? 1 : 0;
        }
    }

    private static double Modulo(double value, double by) => value - (by * Math.Floor(value / by));
}
