// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary>How often two particles of given diameters meet by their Brownian motion in air at 293.15 K, after Fuchs.</summary>
/// <remarks>
/// Source: air reference, 6.2 (viscosity, mean free path and slip as given there; its table is half of this kernel at equal diameters). Spheres that
/// stick at every contact; attraction between them is left out, so the smallest meet too seldom here; by how much depends on what they are made of.
/// </remarks>
internal static class BrownianKernel
{
    private const double BoltzmannJPerK = 1.380649e-23;
    private const double TemperatureK = 293.15;
    private const double ViscosityPaS = 1.81e-5;
    private const double MeanFreePathNm = 66.4;

    /// <summary>Slip correction of Cunningham, 1 or more [-].</summary>
    /// <param name="diameterNm">Diameter [nm], over 0.</param>
    public static double Slip(double diameterNm)
    {
        var knudsen = 2 * MeanFreePathNm / diameterNm;
        return 1 + knudsen * (1.257 + 0.4 * Math.Exp(-1.1 / knudsen));
    }

    /// <summary>Diffusion coefficient [m2/s].</summary>
    /// <param name="diameterNm">Diameter [nm], over 0.</param>
    public static double DiffusivityM2PerS(double diameterNm) =>
        BoltzmannJPerK * TemperatureK * Slip(diameterNm) / (3 * Math.PI * ViscosityPaS * diameterNm * 1e-9);

    /// <summary>A particle as the kernel sees it, so that tables need not work it out for each pair.</summary>
    /// <param name="DiameterM">Diameter [m].</param>
    /// <param name="DiffusivityM2PerS">Diffusion coefficient [m2/s].</param>
    /// <param name="SpeedMPerS">Mean thermal speed [m/s].</param>
    /// <param name="JumpM">Mean distance from the surface at which the last free flight starts [m].</param>
    internal readonly record struct Particle(double DiameterM, double DiffusivityM2PerS, double SpeedMPerS, double JumpM)
    {
        /// <summary>A sphere of a diameter [nm] and a density [g/cm3].</summary>
        public static Particle Of(double diameterNm, double densityGPerCm3)
        {
            var d = diameterNm * 1e-9;
            var massKg = densityGPerCm3 * 1000 * Math.PI / 6 * d * d * d;
            var diffusivity = BrownianKernel.DiffusivityM2PerS(diameterNm);
            var speed = Math.Sqrt(8 * BoltzmannJPerK * TemperatureK / (Math.PI * massKg));
            var path = 8 * diffusivity / (Math.PI * speed);
            var reach = d * d + path * path;
            var sum = d + path;
            return new Particle(d, diffusivity, speed, (sum * sum * sum - reach * Math.Sqrt(reach)) / (3 * d * path) - d);
        }
    }

    /// <summary>The kernel: n1 n2 times this is the number of meetings in a cubic metre and second [m3/s].</summary>
    public static double M3PerS(in Particle a, in Particle b)
    {
        var diameters = a.DiameterM + b.DiameterM;
        var diffusivities = a.DiffusivityM2PerS + b.DiffusivityM2PerS;
        var jump = Math.Sqrt(a.JumpM * a.JumpM + b.JumpM * b.JumpM);
        var speed = Math.Sqrt(a.SpeedMPerS * a.SpeedMPerS + b.SpeedMPerS * b.SpeedMPerS);
        return 2 * Math.PI * diameters * diffusivities / (diameters / (diameters + 2 * jump) + 8 * diffusivities / (diameters * speed));
    }

    /// <summary>The kernel of two diameters [m3/s].</summary>
    /// <param name="firstNm">One diameter [nm], over 0.</param>
    /// <param name="secondNm">The other [nm], over 0.</param>
    /// <param name="densityGPerCm3">Density of both [g/cm3], over 0.</param>
    public static double M3PerS(double firstNm, double secondNm, double densityGPerCm3) =>
        M3PerS(Particle.Of(firstNm, densityGPerCm3), Particle.Of(secondNm, densityGPerCm3));
}
