// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary>How fast a lognormal aerosol coagulates: the kernel's mean over all pairs of its particles.</summary>
internal interface ICoagulationRate
{
    /// <summary>Mean of the kernel over pairs drawn from a lognormal distribution [m3/s]; number falls by half of it times the square of the number.</summary>
    /// <param name="medianNm">Median diameter of the distribution, by count or by mass as asked [nm], over 0.</param>
    /// <param name="lnGsdSquared">Square of the logarithm of its geometric standard deviation, 0 or more [-].</param>
    double MeanM3PerS(double medianNm, double lnGsdSquared);
}
