// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>The ratio of two uncertain values, with an interval that stays right when the base is small.</summary>
/// <remarks>Fieller 1940, 1954; independent errors. Source: air reference, 8.5.</remarks>
internal static class Fieller
{
    /// <summary>The ratio, or null when the base cannot be told from 0 (g of 1 or more).</summary>
    /// <param name="value">The value above the line.</param>
    /// <param name="valueError">Its standard error.</param>
    /// <param name="basis">The value below the line.</param>
    /// <param name="basisError">Its standard error.</param>
    /// <param name="t">The quantile.</param>
    public static FittedValue? Ratio(double value, double valueError, double basis, double basisError, double t)
    {
        var g = Spread(basis, basisError, t);
        if (!(g < 1))
        {
            return null;
        }

        var ratio = value / basis;
        var half = t / basis * Math.Sqrt(valueError * valueError * (1 - g) + ratio * ratio * basisError * basisError);
        return new FittedValue(ratio, (ratio - Math.Abs(half)) / (1 - g), (ratio + Math.Abs(half)) / (1 - g));
    }

    /// <summary>How badly the base is known: (t times its error over itself) squared; from 1 on there is no ratio.</summary>
    /// <param name="basis">The base.</param>
    /// <param name="basisError">Its standard error.</param>
    /// <param name="t">The quantile.</param>
    public static double Spread(double basis, double basisError, double t) => t * t * basisError * basisError / (basis * basis);
}
