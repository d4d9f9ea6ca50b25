// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Trial;

/// <summary>How long to wait and to average by the simple rules, when two plateaus are held against each other.</summary>
/// <remarks>Source: air reference, 8.6. They know nothing of the fit to the whole log, which needs less; they are what can be done by hand.</remarks>
internal static class RunLength
{
    /// <summary>Independent readings that each of two runs needs to show a difference, normal noise taken for granted [-].</summary>
    /// <param name="deviation">Standard deviation of a reading [its unit].</param>
    /// <param name="difference">The difference [the same unit], over 0.</param>
    /// <param name="power">Share of trials that are to show it, over 0.5 and below 1 [-].</param>
    public static double Readings(double deviation, double difference, double power) => 2 * Square(Reach(power) * deviation / difference);

    /// <summary>Time over which noise that hangs together averages out like so many independent readings [the unit of the memory].</summary>
    /// <param name="readings">Independent readings [-].</param>
    /// <param name="memory">Time constant of the noise.</param>
    public static double Averaging(double readings, double memory) => 2 * memory * readings;

    /// <summary>Smallest difference of two runs that such a share of trials shows [unit of the deviation].</summary>
    /// <param name="deviation">Standard deviation of a reading.</param>
    /// <param name="readings">Independent readings in each run, over 0 [-].</param>
    /// <param name="power">As in <see cref="Readings"/>.</param>
    public static double Difference(double deviation, double readings, double power) => Reach(power) * deviation * Math.Sqrt(2 / readings);

    /// <summary>Time until a level is so near its plateau [h].</summary>
    /// <param name="lossPerH">The slowest loss rate [1/h], over 0.</param>
    /// <param name="missing">Share of the plateau that is still missing, over 0 and below 1 [-].</param>
    public static double WaitH(double lossPerH, double missing = 0.05) => Math.Log(1 / missing) / lossPerH;

    /// <summary>Share of the plateau that a mean falls short of it, because the level was still rising [-].</summary>
    /// <param name="lossPerH">The loss rate [1/h], over 0.</param>
    /// <param name="fromH">Begin of the mean, from the begin of the source [h], 0 or more.</param>
    /// <param name="toH">Its end [h], after the begin.</param>
    public static double Missing(double lossPerH, double fromH, double toH) =>
        (Math.Exp(-lossPerH * fromH) - Math.Exp(-lossPerH * toH)) / (lossPerH * (toH - fromH));

    private static double Reach(double power) => EffectTest.Limit + Normal.InvCDF(0, 1, power);

    private static double Square(double value) => value * value;
}
