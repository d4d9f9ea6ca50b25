// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary>An aerosol in a volume by three moments, from which a lognormal distribution follows: number, mass, and the sum of the squared masses.</summary>
/// <param name="NumberPerM3">Particles [1/m3], 0 or more.</param>
/// <param name="MassUgPerM3">Their mass [ug/m3], 0 or more.</param>
/// <param name="SquareUg2PerM3">Sum of the squares of their masses [ug2/m3]; it tells how wide the distribution is.</param>
internal readonly record struct AerosolMoments(double NumberPerM3, double MassUgPerM3, double SquareUg2PerM3)
{
    // GSD 3.7: wider is no lognormal mode any more, and the table of the kernel ends there.
    private const double WidestLn2 = 1.7;

    private const double Nm3PerCm3 = 1e21;
    private const double UgPerG = 1e6;

    /// <summary>Whether there is anything in it.</summary>
    public bool IsEmpty => !(NumberPerM3 > 0 && MassUgPerM3 > 0);

    /// <summary>Square of ln GSD, 0 to 1.7 [-]; 0 for particles all alike.</summary>
    public double LnGsdSquared
    {
        get
        {
            var ratio = SquareUg2PerM3 / MassUgPerM3 * (NumberPerM3 / MassUgPerM3);
            return ratio > 1 ? Math.Min(Math.Log(ratio) / 9, WidestLn2) : 0;
        }
    }

    /// <summary>Count median diameter [nm].</summary>
    /// <param name="densityGPerCm3">Density [g/cm3], over 0.</param>
    /// <param name="lnGsdSquared">The <see cref="LnGsdSquared"/>.</param>
    public double CmdNm(double densityGPerCm3, double lnGsdSquared) =>
        Math.Cbrt(6 * MassUgPerM3 / NumberPerM3 / (Math.PI * densityGPerCm3 * UgPerG) * Nm3PerCm3) * Math.Exp(-1.5 * lnGsdSquared);

    /// <summary>The lognormal distribution with these moments.</summary>
    /// <param name="densityGPerCm3">Density [g/cm3], over 0.</param>
    public ParticleSize Size(double densityGPerCm3)
    {
        var ln2 = LnGsdSquared;
        return new ParticleSize(CmdNm(densityGPerCm3, ln2), Math.Exp(Math.Sqrt(ln2)));
    }

    /// <summary>The sum of squared masses that belongs to a number and a mass of a width [ug2].</summary>
    /// <param name="number">Number of particles, 0 or more.</param>
    /// <param name="massUg">Their mass [ug], 0 or more.</param>
    /// <param name="gsd">Geometric standard deviation, at least 1 [-].</param>
    public static double SquareOf(double number, double massUg, double gsd)
    {
        var ln = Math.Log(gsd);
        return number > 0 ? massUg * (massUg / number) * Math.Exp(9 * ln * ln) : 0;
    }
}
