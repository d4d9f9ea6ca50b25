// SPDX-License-Identifier: MIT
namespace Fumecast.Air;

/// <summary>What a time of a schedule is counted from.</summary>
internal enum ScheduleAnchor
{
    /// <summary>The beginning of the run.</summary>
    Run,

    /// <summary>The start of the print, or of the first of them.</summary>
    Start,

    /// <summary>The end of the print, or of the last of them.</summary>
    End,

    /// <summary>Midnight; such a time comes back every day.</summary>
    Midnight,
}

/// <summary>A time of a schedule.</summary>
/// <param name="Anchor">What it is counted from.</param>
/// <param name="OffsetS">Time after the anchor [s]; negative is before it; 0 to 86400 for midnight.</param>
internal readonly record struct ScheduleTime(ScheduleAnchor Anchor, double OffsetS);

/// <summary>A stretch of a schedule: its start belongs to it, its end does not.</summary>
/// <param name="From">Start.</param>
/// <param name="Until">End; a time of day before that of the start is on the next day.</param>
/// <param name="Share">Share of the full flow meanwhile, 0 to 100 [-].</param>
internal sealed record SchedulePiece(ScheduleTime From, ScheduleTime Until, double Share = 1);

/// <summary>The times that schedules are counted from.</summary>
/// <param name="StartS">Start of the print, from the beginning of the run [s].</param>
/// <param name="EndS">Its end [s].</param>
/// <param name="TimeOfDayS">Time of day at the beginning of the run, 0 to 86400 [s].</param>
internal readonly record struct RunClock(double StartS, double EndS, double TimeOfDayS = 0);

/// <summary>A share that is constant in stretches: a fan that runs, a window that is open.</summary>
internal sealed record Schedule
{
    private const double DayS = 86400;

    /// <summary>In full, all the time.</summary>
    public static Schedule Always { get; } = new() { Otherwise = 1 };

    /// <summary>The stretches; where two overlap, the first in the list counts.</summary>
    public IReadOnlyList<SchedulePiece> Pieces { get; init; } = [];

    /// <summary>Share outside of all stretches, 0 to 100 [-].</summary>
    public double Otherwise { get; init; }

    /// <summary>In full between two times, off else.</summary>
    /// <param name="from">Start.</param>
    /// <param name="until">End.</param>
    public static Schedule Between(ScheduleTime from, ScheduleTime until) => new() { Pieces = [new SchedulePiece(from, until)] };

    /// <summary>The share at a time [-].</summary>
    /// <param name="timeS">Time of the run [s].</param>
    /// <param name="clock">What the times are counted from.</param>
    public double ShareAt(double timeS, RunClock clock)
    {
        foreach (var piece in Pieces)
        {
            if (Covers(piece, timeS, clock))
            {
                return piece.Share;
            }
        }

        return Otherwise;
    }

    /// <summary>The next time at which a stretch begins or ends [s]; infinite when none does any more.</summary>
    /// <param name="afterS">Time of the run [s]; the answer is later.</param>
    /// <param name="clock">What the times are counted from.</param>
    public double NextChangeS(double afterS, RunClock clock)
    {
        var next = double.PositiveInfinity;
        foreach (var piece in Pieces)
        {
            next = Math.Min(next, Math.Min(Next(piece.From, afterS, clock), Next(piece.Until, afterS, clock)));
        }

        return next;
    }

    /// <summary>Says what is wrong with it, or null.</summary>
    public string? Problem()
    {
        foreach (var (from, until, share) in Pieces)
        {
            if ((from.Anchor == ScheduleAnchor.Midnight) != (until.Anchor == ScheduleAnchor.Midnight))
            {
                return "a stretch goes from a time of day to another time of day, or between times of the run";
            }

            if (from.Anchor == ScheduleAnchor.Midnight)
            {
                if (!(from.OffsetS is >= 0 and <= DayS && until.OffsetS is >= 0 and <= DayS))
                {
                    return "expected times of day from 0 to 24 h";
                }
            }
            else if (from.Anchor == until.Anchor && !(from.OffsetS < until.OffsetS))
            {
                return "a stretch ends before it begins";
            }

            if (double.IsNaN(from.OffsetS) || double.IsNaN(until.OffsetS))
            {
                return "a time is not a number";
            }

            if (!(share is >= 0 and <= 100))
            {
                return "expected a share of the flow from 0 to 100";
            }
        }

        return Otherwise is >= 0 and <= 100 ? null : "expected a share of the flow from 0 to 100";
    }

    private static bool Covers(SchedulePiece piece, double timeS, RunClock clock)
    {
        var (from, until) = (piece.From.OffsetS, piece.Until.OffsetS);
        if (piece.From.Anchor != ScheduleAnchor.Midnight)
        {
            return timeS >= At(piece.From, clock) && timeS < At(piece.Until, clock);
        }

        // Asked at the very moment of a change, which NextChangeS gives, rounding must not put the answer a day off.
        var day = Math.Floor((timeS + clock.TimeOfDayS) / DayS) * DayS;
        for (var shift = -DayS; shift <= DayS; shift += DayS)
        {
            var begins = from + day + shift - clock.TimeOfDayS;
            var ends = (until > from ? until : until + DayS) + day + shift - clock.TimeOfDayS;
            if (timeS >= begins && timeS < ends)
            {
                return true;
            }
        }

        return false;
    }

    private static double Next(ScheduleTime time, double afterS, RunClock clock)
    {
        if (time.Anchor != ScheduleAnchor.Midnight)
        {
            var at = At(time, clock);
            return at > afterS ? at : double.PositiveInfinity;
        }

        var day = Math.Floor((afterS + clock.TimeOfDayS) / DayS) * DayS;
        for (var shift = -DayS; ; shift += DayS)
        {
            var at = time.OffsetS + day + shift - clock.TimeOfDayS;
            if (at > afterS)
            {
                return at;
            }
        }
    }

    private static double At(ScheduleTime time, RunClock clock) => time.OffsetS + time.Anchor switch
    {
        ScheduleAnchor.Start => clock.StartS,
        ScheduleAnchor.End => clock.EndS,
        _ => 0,
    };
}
