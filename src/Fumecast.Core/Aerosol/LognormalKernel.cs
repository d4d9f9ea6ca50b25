// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Aerosol;

/// <summary><see cref="BrownianKernel"/> averaged over lognormal pairs, from a table that fills where it is asked.</summary>
/// <remarks>
/// Between its points the logarithms are taken as linear in ln d and ln2 GSD; that is right to 0.2 % (tested). Outside 0.5 nm to 100 um, and beyond a
/// GSD of 3.7, the value at the border stands. Safe for several threads: two that fill the same point write the same numbers.
/// </remarks>
internal sealed class LognormalKernel : ICoagulationRate
{
    private const double FirstNm = 0.5;
    private const double StepLnD = 0.125;
    private const int Diameters = 99;
    private const double StepLn2 = 0.05;
    private const int Widths = 36;

    // The plain sum over evenly spaced points of a bell is right to many digits already when they are half a deviation apart.
    private const double NodeStep = 0.5;
    private const int Nodes = 31;

    private readonly double _densityGPerCm3;
    private readonly double[] _lnMean = new double[Diameters * Widths];
    private readonly double[] _lnLength = new double[Diameters * Widths];

    /// <summary>Makes an empty table.</summary>
    /// <param name="densityGPerCm3">Density of the particles [g/cm3], over 0.</param>
    public LognormalKernel(double densityGPerCm3)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(densityGPerCm3);
        _densityGPerCm3 = densityGPerCm3;
        Array.Fill(_lnMean, double.NaN);
        Array.Fill(_lnLength, double.NaN);
    }

    /// <inheritdoc/>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public CoagulationRate Of(double cmdNm, double lnGsdSquared)
    {
        var (i, x) = Place(Math.Log(cmdNm / FirstNm) / StepLnD, Diameters);
        var (j, y) = Place(lnGsdSquared / StepLn2, Widths);
        var at = i * Widths + j;
        Fill(i, j);
        Fill(i, j + 1);
        Fill(i + 1, j);
        Fill(i + 1, j + 1);
        return new CoagulationRate(Between(_lnMean), Between(_lnLength));

        double Between(double[] ln) => Math.Exp((1 - x) * ((1 - y) * ln[at] + y * ln[at + 1]) + x * ((1 - y) * ln[at + Widths] + y * ln[at + Widths + 1]));
    }

    /// <summary>The rates without the table.</summary>
    /// <param name="cmdNm">Count median diameter [nm], over 0.</param>
    /// <param name="lnGsdSquared">Square of ln GSD, 0 or more [-].</param>
    /// <param name="densityGPerCm3">Density [g/cm3], over 0.</param>
    public static CoagulationRate Of(double cmdNm, double lnGsdSquared, double densityGPerCm3)
    {
        Span<BrownianKernel.Particle> particles = stackalloc BrownianKernel.Particle[Nodes];
        Span<double> weights = stackalloc double[Nodes];
        Span<double> medians = stackalloc double[Nodes];
        var (width, total) = (Math.Sqrt(lnGsdSquared), 0.0);
        for (var i = 0; i < Nodes; i++)
        {
            var z = (i - Nodes / 2) * NodeStep;
            medians[i] = Math.Exp(z * width);
            particles[i] = BrownianKernel.Particle.Of(cmdNm * medians[i], densityGPerCm3);
            total += weights[i] = Math.Exp(-z * z / 2);
        }

        var (met, lost) = (0.0, 0.0);
        for (var i = 0; i < Nodes; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var (a, b) = (medians[i], medians[j]);
                var meetings = (i == j ? 1 : 2) * weights[i] * weights[j] * BrownianKernel.M3PerS(particles[i], particles[j]);
                met += meetings;
                lost += meetings * (a + b - Math.Cbrt(a * a * a + b * b * b));
            }
        }

        return new CoagulationRate(met / (total * total), lost / met);
    }

    private void Fill(int diameter, int width)
    {
        var at = diameter * Widths + width;
        if (double.IsNaN(_lnMean[at]) || double.IsNaN(_lnLength[at]))
        {
            var rate = Of(FirstNm * Math.Exp(diameter * StepLnD), width * StepLn2, _densityGPerCm3);
            _lnLength[at] = Math.Log(rate.LengthPerMeeting);
            _lnMean[at] = Math.Log(rate.MeanM3PerS);
        }
    }

    private static (int Index, double Part) Place(double at, int count)
    {
        // Written so that NaN falls to the first point.
        var inside = at > 0 ? Math.Min(at, count - 1) : 0;
        var index = Math.Min((int)inside, count - 2);
        return (index, inside - index);
    }
}
