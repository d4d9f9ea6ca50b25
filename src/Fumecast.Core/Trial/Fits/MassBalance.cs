// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Trial;

/// <summary>What was given off, by what the level did: volume times the rise and what was lost on the way. A cross-check in plain sight; the fit of the whole log is the result.</summary>
/// <remarks>Source: air reference, 1.2.</remarks>
internal static class MassBalance
{
    /// <summary>Time integral of a level by trapezoids.</summary>
    public static double Integral(ReadOnlySpan<double> times, ReadOnlySpan<double> netLevels)
    {
        var sum = 0.0;
        for (var i = 1; i < times.Length; i++)
        {
            sum += (times[i] - times[i - 1]) * (netLevels[i] + netLevels[i - 1]) / 2;
        }

        return sum;
    }

    /// <summary>Amount given off from the first reading to the last.</summary>
    /// <param name="volume">Air [m3].</param>
    /// <param name="loss">Loss rate [1 over the unit of the times].</param>
    /// <param name="times">When each level was read.</param>
    /// <param name="netLevels">Levels over the background, for each m3.</param>
    public static double Emitted(double volume, double loss, ReadOnlySpan<double> times, ReadOnlySpan<double> netLevels) =>
        volume * (netLevels[^1] - netLevels[0] + loss * Integral(times, netLevels));

    /// <summary>Rate between two readings, right for one that is constant between them.</summary>
    /// <param name="volume">Air [m3].</param>
    /// <param name="loss">Loss rate [1 over the unit of the time].</param>
    /// <param name="before">Level at the first.</param>
    /// <param name="after">Level at the second.</param>
    /// <param name="time">Time between them.</param>
    public static double Rate(double volume, double loss, double before, double after, double time) =>
        volume * (after - before * Math.Exp(-loss * time)) / (Decay.Mean(loss * time) * time);

    /// <summary>The rate as it stands in reports, which puts all of an interval's emission at its beginning: for comparison with those only.</summary>
    /// <param name="volume">Air [m3].</param>
    /// <param name="loss">Loss rate [1 over the unit of the time].</param>
    /// <param name="before">Level at the first.</param>
    /// <param name="after">Level at the second.</param>
    /// <param name="time">Time between them.</param>
    public static double RateOfReports(double volume, double loss, double before, double after, double time) =>
        volume * (after - before * Math.Exp(-loss * time)) / (time * Math.Exp(-loss * time));
}
