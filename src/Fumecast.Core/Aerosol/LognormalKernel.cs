// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary><see cref="BrownianKernel"/> averaged over lognormal pairs, from a table that fills where it is asked.</summary>
/// <remarks>
/// Between its points the logarithm is taken as linear in ln d and ln2 GSD; that is right to 0.2 % (tested). Outside 0.5 nm to 100 um, and beyond a
/// GSD of 3.7, the value at the border stands. Safe for several threads: two that fill the same point write the same number.
/// </remarks>
internal sealed class LognormalKernel : ICoagulationRate
{
    private const double FirstNm = 0.5;
    private const double StepLnD = 0.125;
    private const int Diameters = 99;
    private const double StepLn2 = 0.05;
    private const int Widths = 36;

    // The integrand is a bell of twice the width of the ends: the plain sum over evenly spaced points is exact to rounding for such.
    private const double NodeStep = 0.5;
    private const int Nodes = 31;

    private readonly double densityGPerCm3;
    private readonly double[] lnMean = new double[Diameters * Widths];

    /// <summary>Makes an empty table.</summary>
    /// <param name="densityGPerCm3">Density of the particles [g/cm3], over 0.</param>
    public LognormalKernel(double densityGPerCm3)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(densityGPerCm3);
        this.densityGPerCm3 = densityGPerCm3;
        Array.Fill(lnMean, double.NaN);
    }

    /// <inheritdoc/>
    public double MeanM3PerS(double medianNm, double lnGsdSquared)
    {
        var (i, x) = Place(Math.Log(medianNm / FirstNm) / StepLnD, Diameters);
        var (j, y) = Place(lnGsdSquared / StepLn2, Widths);
        return Math.Exp((1 - x) * ((1 - y) * At(i, j) + y * At(i, j + 1)) + x * ((1 - y) * At(i + 1, j) + y * At(i + 1, j + 1)));
    }

    /// <summary>The mean without the table [m3/s].</summary>
    /// <param name="medianNm">Median diameter [nm], over 0.</param>
    /// <param name="lnGsdSquared">Square of ln GSD, 0 or more [-].</param>
    /// <param name="densityGPerCm3">Density [g/cm3], over 0.</param>
    public static double MeanM3PerS(double medianNm, double lnGsdSquared, double densityGPerCm3)
    {
        Span<BrownianKernel.Particle> particles = stackalloc BrownianKernel.Particle[Nodes];
        Span<double> weights = stackalloc double[Nodes];
        var (width, total) = (Math.Sqrt(lnGsdSquared), 0.0);
        for (var i = 0; i < Nodes; i++)
        {
            var z = (i - Nodes / 2) * NodeStep;
            particles[i] = BrownianKernel.Particle.Of(medianNm * Math.Exp(z * width), densityGPerCm3);
            total += weights[i] = Math.Exp(-z * z / 2);
        }

        var sum = 0.0;
        for (var i = 0; i < Nodes; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                sum += (i == j ? 1 : 2) * weights[i] * weights[j] * BrownianKernel.M3PerS(particles[i], particles[j]);
            }
        }

        return sum / (total * total);
    }

    private double At(int diameter, int width)
    {
        ref var value = ref lnMean[diameter * Widths + width];
        if (double.IsNaN(value))
        {
            value = Math.Log(MeanM3PerS(FirstNm * Math.Exp(diameter * StepLnD), width * StepLn2, densityGPerCm3));
        }

        return value;
    }

    private static (int Index, double Part) Place(double at, int count)
    {
        // Written so that NaN falls to the first point.
        var inside = at > 0 ? Math.Min(at, count - 1) : 0;
        var index = Math.Min((int)inside, count - 2);
        return (index, inside - index);
    }
}
