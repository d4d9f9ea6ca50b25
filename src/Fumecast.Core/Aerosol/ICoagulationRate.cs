// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary>How fast a lognormal aerosol coagulates.</summary>
internal interface ICoagulationRate
{
    /// <summary>The rates of a distribution.</summary>
    /// <param name="cmdNm">Count median diameter [nm], over 0.</param>
    /// <param name="lnGsdSquared">Square of the logarithm of its geometric standard deviation, 0 or more [-].</param>
    CoagulationRate Of(double cmdNm, double lnGsdSquared);
}

/// <summary>Means over all pairs of particles of a distribution.</summary>
/// <param name="MeanM3PerS">Mean of the kernel [m3/s]; number falls by half of it times the square of the number.</param>
/// <param name="LengthPerMeeting">By how much the sum of all diameters falls when two particles stick, in count medians, the mean over meetings [-]; 0.74 for particles all alike.</param>
internal readonly record struct CoagulationRate(double MeanM3PerS, double LengthPerMeeting);
