// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using MathNet.Numerics.Integration;

namespace Fumecast.Air;

/// <summary>What a filter takes out of particles of different sizes.</summary>
/// <param name="points">Efficiency at some diameters, in order of size; straight lines of the logarithm of what comes through in between, level beyond.</param>
/// <param name="middle">The filter's figure for particles that the points belong to, over 0 and below 1 [-].</param>
/// <param name="drawn">The same figure as it is now, 0 to 1 [-].</param>
/// <remarks>A medium that is better or worse than thought acts as one that is thicker or thinner: the logarithm of what comes through is multiplied alike at all sizes.</remarks>
internal readonly struct FilterCurve(IReadOnlyList<SizeEfficiency> points, double middle, double drawn)
{
    private const double LeastPenetration = 1e-12;
    private const double EndZ = 6;
    private const int Order = 64;

    private readonly double _thickness = middle is > 0 and < 1 ? Math.Log(Math.Max(1 - drawn, LeastPenetration)) / Math.Log(1 - middle) : 1;

    /// <summary>Share taken out of particles of one size [-].</summary>
    /// <param name="diameterNm">Diameter [nm], over 0.</param>
    public double At(double diameterNm)
    {
        var above = 0;
        while (above < points.Count && points[above].DiameterNm < diameterNm)
        {
            above++;
        }

        if (above == 0 || above == points.Count)
        {
            return Thick(LogPenetration(points[above == 0 ? 0 : above - 1]));
        }

        var (low, high) = (points[above - 1], points[above]);
        var share = Math.Log(diameterNm / low.DiameterNm) / Math.Log(high.DiameterNm / low.DiameterNm);
        return Thick((1 - share) * LogPenetration(low) + share * LogPenetration(high));
    }

    /// <summary>Share of the number of particles taken out [-].</summary>
    /// <param name="size">Their sizes.</param>
    public double OfNumber(ParticleSize size) => Mean(size.CmdNm, size.Gsd, double.NegativeInfinity);

    /// <summary>Share of their mass taken out [-].</summary>
    /// <param name="size">Their sizes.</param>
    public double OfMass(ParticleSize size) => Mean(size.MassMedianNm, size.Gsd, double.NegativeInfinity);

    /// <summary>Share of the mass in particles above a diameter taken out [-].</summary>
    /// <param name="size">Their sizes.</param>
    /// <param name="cutNm">The diameter [nm], over 0.</param>
    public double OfMassAbove(ParticleSize size, double cutNm) =>
        size.MassShareAbove(cutNm) < 1e-15 ? At(cutNm) : Mean(size.MassMedianNm, size.Gsd, Math.Log(cutNm / size.MassMedianNm) / Math.Log(size.Gsd));

    private static double LogPenetration(SizeEfficiency point) => Math.Log(Math.Max(1 - point.Efficiency, LeastPenetration));

    private double Thick(double logPenetration) => 1 - Math.Exp(_thickness * logPenetration);

    private double Mean(double medianNm, double gsd, double fromZ)
    {
        if (!(gsd > 1))
        {
            return At(medianNm);
        }

        var (curve, lnGsd) = (this, Math.Log(gsd));
        var low = Math.Max(fromZ, -EndZ);
        var high = Math.Max(EndZ, low + EndZ);
        var weight = GaussLegendreRule.Integrate(Weight, low, high, Order);
        return GaussLegendreRule.Integrate(z => Weight(z) * curve.At(medianNm * Math.Exp(z * lnGsd)), low, high, Order) / weight;

        double Weight(double z) => Math.Exp((Math.Max(low, 0) * Math.Max(low, 0) - z * z) / 2);
    }
}
