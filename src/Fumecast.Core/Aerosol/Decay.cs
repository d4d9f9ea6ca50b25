// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary>Means of an exponential decay, right also for none at all.</summary>
internal static class Decay
{
    /// <summary>Mean of exp(-s) for s from 0 to <paramref name="x"/>: (1 - exp(-x)) / x [-]; 1 at x = 0.</summary>
    /// <param name="x">Loss rate times time [-], 0 or more.</param>
    /// <remarks>By the hyperbolic tangent, which loses no digits near 0; <c>double.ExpM1</c> of .NET does.</remarks>
    public static double Mean(double x)
    {
        if (x < 1e-12)
        {
            return 1;
        }

        var half = Math.Tanh(x / 2);
        return 2 * half / ((1 + half) * x);
    }

    /// <summary>exp(-x), <see cref="Mean"/> and <see cref="MeanOfFilling"/> from one exponential, to 1e-10 [-].</summary>
    /// <param name="x">Loss rate times time [-], 0 or more.</param>
    public static (double Stays, double Mean, double Filling) All(double x)
    {
        var stays = Math.Exp(-x);
        if (x < 0.02)
        {
            // Where differences would lose digits, the series are short.
            var filling = 0.5 - x * (1.0 / 6 - x * (1.0 / 24 - x * (1.0 / 120 - x / 720)));
            return (stays, 1 - x * filling, filling);
        }

        var mean = (1 - stays) / x;
        return (stays, mean, (1 - mean) / x);
    }

    /// <summary>Mean of (1 - exp(-s)) / x for s from 0 to <paramref name="x"/>: (1 - <see cref="Mean"/>(x)) / x [-]; 1/2 at x = 0.</summary>
    /// <param name="x">Loss rate times time [-], 0 or more.</param>
    public static double MeanOfFilling(double x)
    {
        if (x > 0.5)
        {
            return (1 - Mean(x)) / x;
        }

        var (sum, term) = (0.5, 0.5);
        for (var k = 3; k <= 16; k++)
        {
            sum += term *= -x / k;
        }

        return sum;
    }
}
