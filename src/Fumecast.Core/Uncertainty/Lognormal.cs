// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Uncertainty;

/// <summary>A positive number that is known up to a factor: its logarithm is normal.</summary>
/// <param name="Median">The middle, over 0 [any unit].</param>
/// <param name="LogDeviation">Standard deviation of the logarithm, 0 or more [-].</param>
internal readonly record struct Lognormal(double Median, double LogDeviation)
{
    /// <summary>Geometric standard deviation [-].</summary>
    public double Gsd => Math.Exp(LogDeviation);

    /// <summary>The number with an interval around it, its width taken on the scale of logarithms.</summary>
    /// <param name="value">A number with an interval whose ends are over 0.</param>
    /// <param name="interval">Coverage of that interval [-].</param>
    public static Lognormal Of(Uncertain value, double interval) => new(value.Median, Math.Log(value.High / value.Low) / (2 * DeviationsOf(interval)));

    /// <summary>The same with more that is not known.</summary>
    /// <param name="logDeviation">Standard deviation of the logarithm of what is added [-].</param>
    public Lognormal Wider(double logDeviation) => this with { LogDeviation = double.Hypot(LogDeviation, logDeviation) };

    /// <summary>Its interval.</summary>
    /// <param name="interval">Coverage [-].</param>
    public Uncertain ToUncertain(double interval) => Math.Exp(DeviationsOf(interval) * LogDeviation) is var factor
        ? new(Median / factor, Median, Median * factor)
        : default;

    /// <summary>What independent sources say of one number: normals on the scale of logarithms, each weighted by one over its variance.</summary>
    /// <param name="sources">At least one, each with a deviation over 0.</param>
    public static Lognormal Combined(IReadOnlyList<Lognormal> sources)
    {
        var (precision, sum) = (0.0, 0.0);
        foreach (var (median, deviation) in sources)
        {
            precision += 1 / (deviation * deviation);
            sum += Math.Log(median) / (deviation * deviation);
        }

        return new(Math.Exp(sum / precision), 1 / Math.Sqrt(precision));
    }

    /// <summary>By how much sources differ, over what their deviations let expect: 1 or more [-].</summary>
    /// <remarks>Birge's ratio: the root of chi square over its degrees of freedom, where it is over 1.</remarks>
    /// <param name="sources">At least one, each with a deviation over 0.</param>
    public static double Disagreement(IReadOnlyList<Lognormal> sources)
    {
        var middle = Math.Log(Combined(sources).Median);
        var chiSquare = sources.Sum(one => Math.Pow((Math.Log(one.Median) - middle) / one.LogDeviation, 2));
        return sources.Count < 2 ? 1 : Math.Max(1, Math.Sqrt(chiSquare / (sources.Count - 1)));
    }

    private static double DeviationsOf(double interval) => Normal.InvCDF(0, 1, (1 + interval) / 2);
}
