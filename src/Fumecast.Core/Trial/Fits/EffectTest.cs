// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Trial;

/// <summary>Whether a second run is lower than a first by more than chance and the day; and how probable it is that a trial will show it.</summary>
/// <remarks>The margin for what differs from run to run keeps a strong signal from making every filter effective. Source: trial methods, 11.</remarks>
internal static class EffectTest
{
    /// <summary>By how much two runs alike differ: standard deviation of the logarithm of their levels [-]. An assumption, which must hold the day's ventilation.</summary>
    public const double UsualRunToRun = 0.10;

    /// <summary>Deviations from 0 from which on the first run counts as seen.</summary>
    public const double LeastSeen = 3;

    /// <summary>Two-sided 5 %.</summary>
    public const double Limit = 1.959963984540054;

    /// <summary>By how many deviations the second is lower.</summary>
    /// <param name="first">The run without the filter, for each gram.</param>
    /// <param name="second">The run with it, for each gram.</param>
    /// <param name="runToRun">What differs from run to run [-].</param>
    public static double Deviations(PlateauSize first, PlateauSize second, double runToRun = UsualRunToRun) =>
        (first.Height - second.Height) / Math.Sqrt(
            first.Error * first.Error + second.Error * second.Error + runToRun * runToRun * (first.Height * first.Height + second.Height * second.Height));

    /// <summary>Whether the second run is called lower.</summary>
    /// <param name="first">As in <see cref="Deviations"/>.</param>
    /// <param name="second">As in <see cref="Deviations"/>.</param>
    /// <param name="runToRun">As in <see cref="Deviations"/>.</param>
    public static bool IsLower(PlateauSize first, PlateauSize second, double runToRun = UsualRunToRun) =>
        first.Height > LeastSeen * first.Error && Deviations(first, second, runToRun) > Limit;

    /// <summary>Probability that a trial calls the second run lower.</summary>
    /// <param name="first">What the run without the filter is expected to show.</param>
    /// <param name="second">What the run with it is expected to show.</param>
    /// <param name="runToRun">What differs from run to run [-].</param>
    /// <param name="limit">Deviations from which on the second is called lower.</param>
    public static double Power(PlateauSize first, PlateauSize second, double runToRun = UsualRunToRun, double limit = Limit) => Math.Min(
        Normal.CDF(0, 1, Deviations(first, second, runToRun) - limit),
        Normal.CDF(0, 1, (first.Height / first.Error - LeastSeen) / Math.Sqrt(1 + runToRun * first.Height / first.Error * (runToRun * first.Height / first.Error))));

    /// <summary>Pairs of runs that show a change of the level in nine of ten trials, if the meter's own noise is small beside the day's.</summary>
    /// <param name="ratio">Level with the filter over that without.</param>
    /// <param name="runToRun">What differs from run to run [-].</param>
    public static int PairsFor(double ratio, double runToRun = UsualRunToRun)
    {
        var reach = Limit + Normal.InvCDF(0, 1, 0.9);
        return Math.Max(1, (int)Math.Ceiling(reach * reach * (1 + ratio * ratio) * runToRun * runToRun / ((1 - ratio) * (1 - ratio)) - 1e-9));
    }
}
