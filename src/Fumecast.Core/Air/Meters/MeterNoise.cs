// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;
using MathNet.Numerics.Distributions;

namespace Fumecast.Air;

/// <summary>How sure the mean of a meter's readings is, and whether it tells a print from none.</summary>
/// <param name="ReadingDeviation">Standard deviation of one reading [ug/m3 or 1/cm3].</param>
/// <param name="Resolution">A step of the display, 0 or more, in the same unit.</param>
/// <param name="AutocorrelationS">Time over which the noise hangs together [s], over 0.</param>
/// <param name="DriftPerH">Wander for each hour, standard deviation, in the same unit.</param>
/// <remarks>Sources: air reference, 7 (display steps), 8.4 (mean of noise that hangs together), 8.6 (Currie: two means of equal noise, 5 % wrong either way).</remarks>
internal readonly record struct MeterNoise(double ReadingDeviation, double Resolution, double AutocorrelationS, double DriftPerH)
{
    /// <summary>Standard deviations above which a difference from nothing counts as seen: 5 % of empty comparisons do [-].</summary>
    private const double OneSided = 1.6448536269514722;

    /// <summary>Noise of a channel at a level.</summary>
    /// <param name="channel">The channel.</param>
    /// <param name="level">What it shows [ug/m3 or 1/cm3].</param>
    /// <param name="valueOf">The value of a figure.</param>
    public static MeterNoise Of(MeterChannel channel, double level, Func<Figure, double> valueOf)
    {
        ArgumentNullException.ThrowIfNull(channel);
        ArgumentNullException.ThrowIfNull(valueOf);
        return new MeterNoise(
            Math.Max(valueOf(channel.NoiseFloor), valueOf(channel.NoiseShare) * level),
            valueOf(channel.Resolution),
            valueOf(channel.AutocorrelationS),
            Math.Sqrt(Square(valueOf(channel.ZeroDriftPerH)) + Square(valueOf(channel.DriftSharePerH) * level)));
    }

    /// <summary>Whether steps of the display are coarser than the noise, so that a level between two of them stays unseen however long it is averaged.</summary>
    public bool IsResolutionLimited => ReadingDeviation < Resolution / 2;

    /// <summary>Standard deviation of a step of the display, as an error [the same unit].</summary>
    public double StepDeviation => Resolution / Math.Sqrt(12);

    /// <summary>Standard error of a mean over a time, without drift [the same unit].</summary>
    /// <param name="averagedS">The time [s], over 0.</param>
    public double OfMean(double averagedS)
    {
        var (noise, step) = (Square(ReadingDeviation), Square(StepDeviation));

        // At most 1: a mean over less time than the noise hangs together is as good as one reading. Steps average out only where the noise carries the level across them.
        var share = 2 * Decay.MeanOfFilling(averagedS / AutocorrelationS);
        return Math.Sqrt(IsResolutionLimited ? noise * share + step : (noise + step) * share);
    }

    /// <summary>Standard error of the difference of two means, with the drift in between [the same unit].</summary>
    /// <param name="beforeS">Time averaged without the print [s], over 0.</param>
    /// <param name="printS">Time averaged with it [s], over 0.</param>
    /// <remarks>Their middles lie half of both times apart when one follows the other.</remarks>
    public double OfDifference(double beforeS, double printS) =>
        Math.Sqrt(Square(OfMean(beforeS)) + Square(OfMean(printS)) + Square(DriftPerH * (beforeS + printS) / 2 / 3600));

    /// <summary>Smallest difference that counts as seen [the same unit]: of comparisons with nothing there, 5 % exceed it.</summary>
    /// <param name="beforeS">Time averaged without the print [s].</param>
    /// <param name="printS">Time averaged with it [s].</param>
    public double CriticalLevel(double beforeS, double printS) => OneSided * OfDifference(beforeS, printS);

    /// <summary>Difference that is seen in 95 % of comparisons [the same unit]; Currie's limit of detection.</summary>
    /// <param name="beforeS">Time averaged without the print [s].</param>
    /// <param name="printS">Time averaged with it [s].</param>
    public double DetectionLimit(double beforeS, double printS) => 2 * CriticalLevel(beforeS, printS);

    /// <summary>Probability that a difference is seen, 0.05 for none [-].</summary>
    /// <param name="added">What the print adds to what the meter shows, as a mean over <paramref name="printS"/> [the same unit], 0 or more.</param>
    /// <param name="beforeS">Time averaged without the print [s].</param>
    /// <param name="printS">Time averaged with it [s].</param>
    public double ProbabilitySeen(double added, double beforeS, double printS)
    {
        var deviation = OfDifference(beforeS, printS);
        return deviation > 0 ? Normal.CDF(0, 1, added / deviation - OneSided) : added > 0 ? 1 : 0;
    }

    private static double Square(double value) => value * value;
}
