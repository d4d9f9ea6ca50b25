// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Trial;

/// <summary>Clean air of a filter by two decays of one zone, with it and without.</summary>
/// <param name="CleanAirM3PerH">Volume times the difference of the loss rates [m3/h].</param>
/// <param name="Error">Its standard error, that of the volume included [m3/h].</param>
/// <param name="DegreesOfFreedom">Of the difference of the slopes, by Welch and Satterthwaite.</param>
/// <remarks>Source: air reference, 4.1.</remarks>
internal readonly record struct DecayPair(FittedValue CleanAirM3PerH, double Error, double DegreesOfFreedom)
{
    /// <summary>What two decays tell of a filter.</summary>
    /// <param name="without">The decay without it.</param>
    /// <param name="with">The decay with it.</param>
    /// <param name="volumeM3">The zone [m3].</param>
    /// <param name="volumeError">Standard error of the volume [m3].</param>
    /// <param name="interval">Coverage [-].</param>
    /// <param name="counted">Whether the memory of the errors counts.</param>
    public static DecayPair Of(DecayLine without, DecayLine with, double volumeM3, double volumeError, double interval, bool counted = true)
    {
        var difference = with.LossPerH - without.LossPerH;
        var (first, second) = counted ? (without.Error, with.Error) : (without.PlainError, with.PlainError);
        var (firstFreedom, secondFreedom) = (
            Math.Max(1, (counted ? without.IndependentRows : without.Rows) - 2), Math.Max(1, (counted ? with.IndependentRows : with.Rows) - 2));
        var (a, b) = (first * first, second * second);
        var freedom = (a + b) * (a + b) / (a * a / firstFreedom + b * b / secondFreedom);
        var error = double.Hypot(volumeM3 * Math.Sqrt(a + b), difference * volumeError);
        var half = StudentT.InvCDF(0, 1, Math.Max(1, freedom), (1 + interval) / 2) * error;
        return new(new(volumeM3 * difference, volumeM3 * difference - half, volumeM3 * difference + half), error, freedom);
    }
}
