// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary>What becomes of an aerosol left alone in a volume: particles stick together, and settle on surfaces by their size.</summary>
/// <remarks>
/// Moments of one lognormal mode: with B the mean kernel, dN/dt = -B(CMD)/2 N2 - kN N, dM/dt = -kM M, dQ/dt = B(MMD) M2 - kQ Q, since the weight of mass in
/// the square term moves the median to that of mass and leaves the width. Sticking leaves the mass alone. Source: air reference, 5.3 and 6.2; the
/// moments follow from the equation of coagulation. That the mode stays lognormal is the one assumption; a sectional referee in the tests shows what it costs.
/// </remarks>
internal sealed class Coagulation(ICoagulationRate kernel, double densityGPerCm3)
{
    private const double PerSFromPerH = 1.0 / 3600;

    /// <summary>Amounts that left the air in a step [1/m3, ug/m3].</summary>
    /// <param name="DepositedNumber">Particles on surfaces [1/m3].</param>
    /// <param name="DepositedMassUg">Mass on surfaces [ug/m3].</param>
    /// <param name="Coagulated">Particles that are now part of others [1/m3].</param>
    internal readonly record struct Lost(double DepositedNumber, double DepositedMassUg, double Coagulated);

    private readonly record struct Rates(double NumberM3PerS, double SquareM3PerS, double NumberPerS, double MassPerS, double SquarePerS);

    /// <summary>Advances by a time, with rates of its middle: right to the second order of the time.</summary>
    /// <param name="moments">The aerosol; changed.</param>
    /// <param name="seconds">Time [s], 0 or more.</param>
    /// <param name="deposition">Deposition by size, or null for none.</param>
    /// <returns>What left the air, to rounding the same as what is missing.</returns>
    public Lost Advance(ref AerosolMoments moments, double seconds, SizeDeposition? deposition)
    {
        if (moments.IsEmpty)
        {
            return default;
        }

        var half = moments;
        Advance(ref half, seconds / 2, RatesOf(moments, deposition));
        return Advance(ref moments, seconds, RatesOf(half, deposition));
    }

    /// <summary>Rate at which a particle leaves by sticking or settling [1/s].</summary>
    /// <param name="moments">The aerosol.</param>
    /// <param name="deposition">Deposition by size, or null for none.</param>
    public double FastestPerS(in AerosolMoments moments, SizeDeposition? deposition)
    {
        if (moments.IsEmpty)
        {
            return 0;
        }

        var rates = RatesOf(moments, deposition);
        return rates.NumberM3PerS * moments.NumberPerM3 + rates.NumberPerS;
    }

    private Rates RatesOf(in AerosolMoments moments, SizeDeposition? deposition)
    {
        if (moments.IsEmpty)
        {
            return default;
        }

        var ln2 = moments.LnGsdSquared;
        var cmdNm = moments.CmdNm(densityGPerCm3, ln2);
        return new Rates(
            kernel.MeanM3PerS(cmdNm, ln2) / 2,
            kernel.MeanM3PerS(cmdNm * Math.Exp(3 * ln2), ln2),
            PerSFromPerH * (deposition?.MomentPerH(cmdNm, ln2, 0) ?? 0),
            PerSFromPerH * (deposition?.MomentPerH(cmdNm, ln2, 3) ?? 0),
            PerSFromPerH * (deposition?.MomentPerH(cmdNm, ln2, 6) ?? 0));
    }

    private static Lost Advance(ref AerosolMoments moments, double seconds, in Rates rates)
    {
        var (number, mass, square) = (moments.NumberPerM3, moments.MassUgPerM3, moments.SquareUg2PerM3);

        // dN/dt = -k N - K N2 has a closed form, also for k = 0; of it, the share that settled is (k / K) ln(1 + x).
        var met = rates.NumberM3PerS * number * seconds * Decay.Mean(rates.NumberPerS * seconds);
        var numberAfter = number * Math.Exp(-rates.NumberPerS * seconds) / (1 + met);
        var settled = rates.NumberPerS * seconds * number * Decay.Mean(rates.NumberPerS * seconds) * MeanOfReciprocal(met);
        var coagulated = Math.Max(0, number - numberAfter - settled);

        var massAfter = mass * Math.Exp(-rates.MassPerS * seconds);
        var squareAfter = square * Math.Exp(-rates.SquarePerS * seconds)
            + rates.SquareM3PerS * mass * massAfter * seconds * Decay.Mean(rates.SquarePerS * seconds);

        moments = new AerosolMoments(numberAfter, massAfter, squareAfter);
        return new Lost(number - numberAfter - coagulated, mass - massAfter, coagulated);
    }

    /// <summary>ln(1 + x) / x [-], by series near 0.</summary>
    private static double MeanOfReciprocal(double x) => x > 1e-4 ? Math.Log(1 + x) / x : 1 - x * (0.5 - x * (1.0 / 3 - x / 4));
}
