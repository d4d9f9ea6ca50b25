// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Aerosol;

/// <summary>A lognormal distribution of particle diameters, and what follows from it (Hatch and Choate).</summary>
/// <param name="CmdNm">Count median diameter [nm], over 0.</param>
/// <param name="Gsd">Geometric standard deviation, at least 1 [-].</param>
/// <remarks>Source of the relations: air reference, 6.3 (read there in a table of lognormal mean diameters).</remarks>
internal readonly record struct ParticleSize(double CmdNm, double Gsd)
{
    /// <summary>Diameter of a moment: the count median times exp(<paramref name="q"/> ln2 GSD).</summary>
    private double Moment(double q) => CmdNm * Math.Exp(q * LnGsd * LnGsd);

    private double LnGsd => Math.Log(Gsd);

    /// <summary>Arithmetic mean diameter [nm].</summary>
    public double MeanNm => Moment(0.5);

    /// <summary>Diameter of the particle of average mass [nm].</summary>
    public double MeanMassNm => Moment(1.5);

    /// <summary>Sauter mean diameter, volume over surface [nm].</summary>
    public double SauterNm => Moment(2.5);

    /// <summary>Mass median diameter [nm].</summary>
    public double MassMedianNm => Moment(3);

    /// <summary>Mean mass of a particle [ug].</summary>
    /// <param name="densityGPerCm3">Effective density [g/cm3].</param>
    public double MeanMassUg(double densityGPerCm3)
    {
        const double CmPerNm = 1e-7;
        const double UgPerG = 1e6;
        var diameterCm = MeanMassNm * CmPerNm;
        return densityGPerCm3 * UgPerG * Math.PI / 6 * diameterCm * diameterCm * diameterCm;
    }

    /// <summary>Share of the particles that are larger than a diameter, 0 to 1 [-].</summary>
    /// <param name="diameterNm">The diameter [nm], over 0.</param>
    public double NumberShareAbove(double diameterNm) => ShareAbove(diameterNm, CmdNm);

    /// <summary>Share of the mass in particles larger than a diameter, 0 to 1 [-].</summary>
    /// <param name="diameterNm">The diameter [nm], over 0.</param>
    public double MassShareAbove(double diameterNm) => ShareAbove(diameterNm, MassMedianNm);

    /// <summary>Geometric standard deviation that belongs to a count and a mass median [-].</summary>
    /// <param name="countMedianNm">Count median diameter [nm].</param>
    /// <param name="massMedianNm">Mass median diameter, not below the count median [nm].</param>
    public static double GsdFromMedians(double countMedianNm, double massMedianNm) =>
        Math.Exp(Math.Sqrt(Math.Log(massMedianNm / countMedianNm) / 3));

    /// <summary>Share above a diameter of what is spread lognormally over diameters, 0 to 1 [-].</summary>
    /// <param name="lnMedianOverDiameter">Logarithm of its median over the diameter [-].</param>
    /// <param name="lnGsd">Logarithm of the geometric standard deviation, 0 or more [-].</param>
    /// <remarks>Written with the lower tail of the mirrored value: 1 - CDF would lose all digits of a small share.</remarks>
    public static double ShareBeyond(double lnMedianOverDiameter, double lnGsd) =>
        lnGsd > 0 ? Normal.CDF(0, 1, lnMedianOverDiameter / lnGsd) : lnMedianOverDiameter > 0 ? 1 : 0;

    private double ShareAbove(double diameterNm, double medianNm) => ShareBeyond(Math.Log(medianNm / diameterNm), LnGsd);
}
