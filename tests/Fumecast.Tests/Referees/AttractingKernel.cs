// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Tests.Referees;

/// <summary>Coagulation of particles that attract each other by van der Waals' force, averaged over lognormal pairs: what an aerosol of known substance would coagulate by.</summary>
/// <remarks>
/// <para>Potential of two spheres after Hamaker (1937), from memory:
/// E(r) = -A/6 [2ab/(r2 - (a+b)2) + 2ab/(r2 - (a-b)2) + ln((r2 - (a+b)2) / (r2 - (a-b)2))].</para>
/// <para>Continuum: Fuchs' factor, from memory: 1/W = (a+b) int_{a+b}^inf exp(E/kT) / r2 dr. Free flight: capture from straight paths, derived here: of all that come by with energy x kT those meet whose
/// distance of passing b is less than the smallest r sqrt(1 - E/x), met where x = E + r E'/2; averaged over the flux of a Maxwell gas, x exp(-x), this is
/// W = -1/(2 (a+b)2) int_{a+b}^inf exp(-E - r E'/2) (3 E' + r E'') r2 dr, E in kT. It is 2.2 for equal spheres and A = 20 kT; for a point and r^-6 it gives the known power of A, 1/3.</para>
/// <para>Both go into Fuchs' form: resistance of the continuum over its factor, that of free flight over its own. Retardation is left out: it acts beyond some 10 nm.</para>
/// </remarks>
/// <param name="hamakerKT">Hamaker's constant [kT], over 0.</param>
/// <param name="densityGPerCm3">Density of the particles [g/cm3], over 0.</param>
internal sealed class AttractingKernel(double hamakerKT, double densityGPerCm3) : ICoagulationRate
{
    private const int Nodes = 31;
    private const double NodeStep = 0.5;
    private const int RatioSteps = 24;
    private const double MostLnRatio = 6;
    private const double TableStep = 0.1;

    // The factors follow from the ratio of the diameters alone.
    private readonly (double Continuum, double FreeFlight)[] _factors =
        [.. Enumerable.Range(0, RatioSteps + 1).Select(i => Factors(Math.Exp(i * MostLnRatio / RatioSteps), hamakerKT))];

    private readonly Dictionary<(int, int), CoagulationRate> _known = [];

    /// <inheritdoc/>
    public CoagulationRate Of(double cmdNm, double lnGsdSquared)
    {
        // From a table: a splitting that halves its steps wants a smooth kernel.
        var (x, y) = (Math.Log(cmdNm) / TableStep, lnGsdSquared / TableStep);
        var (i, j) = ((int)Math.Floor(x), (int)Math.Floor(y));
        var (lower, upper) = (Mix(At(i, j), At(i, j + 1), y - j), Mix(At(i + 1, j), At(i + 1, j + 1), y - j));
        return Mix(lower, upper, x - i);

        static CoagulationRate Mix(CoagulationRate a, CoagulationRate b, double part) => new(
            Math.Pow(a.MeanM3PerS, 1 - part) * Math.Pow(b.MeanM3PerS, part), Math.Pow(a.LengthPerMeeting, 1 - part) * Math.Pow(b.LengthPerMeeting, part));
    }

    /// <summary>How often particles of two diameters meet [m3/s].</summary>
    public double M3PerS(double firstNm, double secondNm)
    {
        var (a, b) = (BrownianKernel.Particle.Of(firstNm, densityGPerCm3), BrownianKernel.Particle.Of(secondNm, densityGPerCm3));
        var (continuum, freeFlight) = FactorsOf(Math.Abs(Math.Log(firstNm / secondNm)));
        var diameters = a.DiameterM + b.DiameterM;
        var diffusivities = a.DiffusivityM2PerS + b.DiffusivityM2PerS;
        var jump = Math.Sqrt(a.JumpM * a.JumpM + b.JumpM * b.JumpM);
        var speed = Math.Sqrt(a.SpeedMPerS * a.SpeedMPerS + b.SpeedMPerS * b.SpeedMPerS);
        return 2 * Math.PI * diameters * diffusivities
            / (diameters / (diameters + 2 * jump) / continuum + 8 * diffusivities / (diameters * speed) / freeFlight);
    }

    /// <summary>By how many times attraction makes spheres meet more often, in the continuum and in free flight.</summary>
    /// <param name="ratio">Ratio of their diameters, over 0 [-].</param>
    /// <param name="hamakerKT">Hamaker's constant [kT], over 0.</param>
    public static (double Continuum, double FreeFlight) Factors(double ratio, double hamakerKT)
    {
        const int Steps = 4000;
        var (lowest, highest) = (Math.Log(1e-6), Math.Log(1e4));
        var (s, d, ab) = (1 + ratio, Math.Abs(1 - ratio), ratio);
        var (continuum, freeFlight) = (1 / (1 + 1e4), 0.0);
        for (var i = 0; i < Steps; i++)
        {
            // Even in the logarithm of the gap.
            var gap = Math.Exp(lowest + (highest - lowest) * (i + 0.5) / Steps);
            var (r, dr) = (s * (1 + gap), s * gap * (highest - lowest) / Steps);
            var (u, v) = (r * r - s * s, r * r - d * d);
            var potential = -hamakerKT / 6 * (2 * ab / u + 2 * ab / v + Math.Log(u / v));
            var slope = -hamakerKT / 6 * (-4 * ab * r / (u * u) - 4 * ab * r / (v * v) + 2 * r / u - 2 * r / v);
            var curvature = -hamakerKT / 6 * (-4 * ab / (u * u) + 16 * ab * r * r / (u * u * u) - 4 * ab / (v * v) + 16 * ab * r * r / (v * v * v)
                + 2 / u - 4 * r * r / (u * u) - 2 / v + 4 * r * r / (v * v));
            continuum += s * Math.Exp(potential) / (r * r) * dr;
            freeFlight -= Math.Exp(-(potential + r * slope / 2)) * (3 * slope + r * curvature) * r * r * dr / (2 * s * s);
        }

        return (1 / continuum, freeFlight);
    }

    private (double Continuum, double FreeFlight) FactorsOf(double lnRatio)
    {
        var at = Math.Min(lnRatio / MostLnRatio * RatioSteps, RatioSteps - 1e-9);
        var (i, part) = ((int)at, at - (int)at);
        var ((c, f), (nextC, nextF)) = (_factors[i], _factors[i + 1]);
        return (c + part * (nextC - c), f + part * (nextF - f));
    }

    private CoagulationRate At(int diameter, int width)
    {
        if (!_known.TryGetValue((diameter, width), out var rate))
        {
            _known.Add((diameter, width), rate = Mean(Math.Exp(diameter * TableStep), width * TableStep));
        }

        return rate;
    }

    private CoagulationRate Mean(double cmdNm, double ln2)
    {
        var (met, lost, total, width) = (0.0, 0.0, 0.0, Math.Sqrt(ln2));
        for (var i = 0; i < Nodes; i++)
        {
            var z = (i - Nodes / 2) * NodeStep;
            for (var j = 0; j < Nodes; j++)
            {
                var y = (j - Nodes / 2) * NodeStep;
                var (weight, a, b) = (Math.Exp(-(z * z + y * y) / 2), Math.Exp(z * width), Math.Exp(y * width));
                var meetings = weight * M3PerS(cmdNm * a, cmdNm * b);
                total += weight;
                met += meetings;
                lost += meetings * (a + b - Math.Cbrt(a * a * a + b * b * b));
            }
        }

        return new CoagulationRate(met / total, lost / met);
    }
}
