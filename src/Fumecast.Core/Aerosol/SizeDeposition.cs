// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary>Deposition on surfaces that falls with the diameter as a power of it, as diffusion to surfaces makes it below some 0.2 um.</summary>
/// <param name="PerH">Loss rate at the reference diameter [1/h], 0 or more.</param>
/// <param name="ReferenceNm">Reference diameter [nm], over 0.</param>
/// <param name="Power">How steeply it falls: PerH (d / ReferenceNm)^-Power, 0 to 2 [-].</param>
/// <remarks>
/// Settling, which makes the rate rise again above some 0.3 um, is left out. The working values of the air reference, 6.1 (3 at 10 nm, 1.5 at 20 to 30,
/// 0.8 at 50, 0.4 at 100, 0.1 to 0.2 at 200 to 300 nm) lie within a third of 3 1/h at 10 nm with a power of 0.87.
/// </remarks>
internal sealed record SizeDeposition(double PerH, double ReferenceNm, double Power)
{
    /// <summary>The working values of the air reference, 6.1: an assumption of this project within published ranges.</summary>
    public static SizeDeposition Working { get; } = new(3, 10, 0.87);

    /// <summary>Loss rate of one diameter [1/h].</summary>
    /// <param name="diameterNm">Diameter [nm], over 0.</param>
    public double AtPerH(double diameterNm) => PerH * Math.Pow(diameterNm / ReferenceNm, -Power);

    /// <summary>Loss rate of a moment of a lognormal distribution [1/h], exact.</summary>
    /// <param name="cmdNm">Count median diameter [nm], over 0.</param>
    /// <param name="lnGsdSquared">Square of ln GSD, 0 or more [-].</param>
    /// <param name="moment">Power of the diameter that is lost: 0 for number, 1 for the sum of diameters, 3 for mass [-].</param>
    public double MomentPerH(double cmdNm, double lnGsdSquared, double moment) => AtPerH(cmdNm) * Widened(lnGsdSquared, moment);

    /// <summary>Loss rates of number, mass and the sum of diameters of a lognormal distribution [1/h], exact.</summary>
    /// <param name="cmdNm">Count median diameter [nm], over 0.</param>
    /// <param name="lnGsdSquared">Square of ln GSD, 0 or more [-].</param>
    public (double Number, double Mass, double Length) RatesPerH(double cmdNm, double lnGsdSquared)
    {
        var atMedian = AtPerH(cmdNm);
        return (atMedian * Widened(lnGsdSquared, 0), atMedian * Widened(lnGsdSquared, 3), atMedian * Widened(lnGsdSquared, 1));
    }

    private double Widened(double lnGsdSquared, double moment) => Math.Exp(((moment - Power) * (moment - Power) - moment * moment) * lnGsdSquared / 2);
}
