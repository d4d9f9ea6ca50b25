// SPDX-License-Identifier: MIT
namespace Fumecast.Air;

/// <summary>Vapours by volume and by mass.</summary>
internal static class VapourUnits
{
    /// <summary>Volume of a mole of gas at 25 degC and 101.325 kPa [l/mol].</summary>
    public const double MolarVolumeL = 24.45;

    /// <summary>Mass concentration of 1 ppm at 25 degC and 101.325 kPa [mg/m3]. Source: air reference, 2.3, from the gas law.</summary>
    /// <param name="molarMassGPerMol">Molar mass [g/mol], over 0.</param>
    public static double MgPerM3OfPpm(double molarMassGPerMol) => molarMassGPerMol / MolarVolumeL;
}
