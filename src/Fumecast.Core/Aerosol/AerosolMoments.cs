// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary>An aerosol in a volume by three moments, from which a lognormal distribution follows: number, mass, and the sum of the diameters.</summary>
/// <param name="NumberPerM3">Particles [1/m3], 0 or more.</param>
/// <param name="MassUgPerM3">Their mass [ug/m3], 0 or more.</param>
/// <param name="LengthNmPerM3">Sum of their diameters [nm/m3]; beside the mass it tells how wide the distribution is.</param>
internal readonly record struct AerosolMoments(double NumberPerM3, double MassUgPerM3, double LengthNmPerM3)
{
    // GSD 3.7: wider is no lognormal mode any more, and the table of the kernel ends there.
    private const double WidestLn2 = 1.7;

    // Far below one particle in all the air there is, and far above where digits get lost.
    private const double Nothing = 1e-100;

    private const double Nm3PerCm3 = 1e21;
    private const double UgPerG = 1e6;

    /// <summary>Whether there is nothing in it, or too little to have a size.</summary>
    public bool IsEmpty => !(NumberPerM3 > Nothing && MassUgPerM3 > Nothing && LengthNmPerM3 > Nothing);

    /// <summary>Mean diameter [nm].</summary>
    public double MeanNm => LengthNmPerM3 / NumberPerM3;

    /// <summary>Square of ln GSD, 0 to 1.7 [-]; 0 for particles all alike.</summary>
    /// <param name="densityGPerCm3">Density [g/cm3], over 0.</param>
    public double LnGsdSquared(double densityGPerCm3)
    {
        var ratio = MeanMassNm(NumberPerM3, MassUgPerM3, densityGPerCm3) / MeanNm;
        return ratio > 1 ? Math.Min(Math.Log(ratio), WidestLn2) : 0;
    }

    /// <summary>The lognormal distribution with these moments.</summary>
    /// <param name="densityGPerCm3">Density [g/cm3], over 0.</param>
    public ParticleSize Size(double densityGPerCm3)
    {
        var ln2 = LnGsdSquared(densityGPerCm3);
        return new ParticleSize(CmdNm(ln2), Math.Exp(Math.Sqrt(ln2)));
    }

    /// <summary>Share of the mass in particles larger than a diameter, 0 to 1 [-].</summary>
    /// <param name="diameterNm">The diameter [nm], over 0.</param>
    /// <param name="densityGPerCm3">Density [g/cm3], over 0.</param>
    public double MassShareAbove(double diameterNm, double densityGPerCm3)
    {
        var ln2 = LnGsdSquared(densityGPerCm3);
        return ParticleSize.ShareBeyond(Math.Log(MeanNm / diameterNm) + 2.5 * ln2, Math.Sqrt(ln2));
    }

    /// <summary>Count median diameter [nm].</summary>
    /// <param name="lnGsdSquared">The <see cref="LnGsdSquared"/>.</param>
    public double CmdNm(double lnGsdSquared) => MeanNm * Math.Exp(-lnGsdSquared / 2);

    /// <summary>The sum of diameters that belongs to a number and a mass of a width [nm]; 0 for none.</summary>
    /// <param name="number">Number of particles, 0 or more.</param>
    /// <param name="massUg">Their mass [ug], 0 or more.</param>
    /// <param name="gsd">Geometric standard deviation, at least 1 [-].</param>
    /// <param name="densityGPerCm3">Density [g/cm3], over 0.</param>
    public static double LengthOf(double number, double massUg, double gsd, double densityGPerCm3)
    {
        var ln = Math.Log(gsd);
        return number > 0 ? number * MeanMassNm(number, massUg, densityGPerCm3) * Math.Exp(-ln * ln) : 0;
    }

    private static double MeanMassNm(double number, double massUg, double densityGPerCm3) =>
        Math.Cbrt(6 / Math.PI * (massUg / number) / (densityGPerCm3 * UgPerG) * Nm3PerCm3);
}
