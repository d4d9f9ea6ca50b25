// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Tests.Published;

/// <summary>The kernel, and particles that stick together while air takes them away, against values worked outside the project.</summary>
public class CoagulationChecks
{
    private const string Source = "air reference, computed there in closed form and by numerical integration";
    private const double PerCm3 = 1e-6;

    // The source prints K of dN/dt = -K N2, which is half the kernel.
    [Published("air reference, 6.2: Fuchs, unit density, 293.15 K; close to a textbook table recalled there", "table of slip, diffusion and K")]
    [Theory]
    [InlineData(10, 22.58, 4, 5.358e-8, 9.56e-16)]
    [InlineData(20, 11.60, 4, 1.376e-8, 1.175e-15)]
    [InlineData(30, 7.945, 4, 6.284e-9, 1.174e-15)]
    [InlineData(50, 5.041, 4, 2.392e-9, 1.017e-15)]
    [InlineData(100, 2.901, 4, 6.884e-10, 7.27e-16)]
    [InlineData(200, 1.885, 4, 2.237e-10, 5.17e-16)]
    [InlineData(500, 1.336, 4, 6.337e-11, 3.83e-16)]
    [InlineData(1000, 1.167, 4, 2.769e-11, 3.40e-16)]
    public void Kernel_of_equal_particles(double nm, double slip, int digits, double diffusivity, double k)
    {
        Close.ToDigits(slip, digits, BrownianKernel.Slip(nm));
        Close.ToDigits(diffusivity, 4, BrownianKernel.DiffusivityM2PerS(nm));
        Close.ToDigits(k, k is > 1e-15 ? 4 : 3, BrownianKernel.M3PerS(nm, nm, 1) / 2);
        Close.To(k, LognormalKernel.Of(nm, 0, 1).MeanM3PerS / 2, 0.006);
    }

    [Published(Source, "W5.17: 1e11 per minute into 1 m3 at 1.5 1/h; W5.18: 1.9e11 into 45 m3. Levels that settle in, per cm3")]
    [Theory]
    [InlineData(1e11, 1, 5e-16, 1456017.1)]
    [InlineData(1e11, 1, 1e-15, 1099362.9)]
    [InlineData(1e11, 1, 2e-15, 814628.2)]
    [InlineData(1.9e11, 45, 5e-16, 144004.2)]
    [InlineData(1.9e11, 45, 1e-15, 128969.4)]
    [InlineData(1.9e11, 45, 2e-15, 110393.1)]
    public void A_source_against_air_and_coagulation(double perMin, double volumeM3, double k, double printed)
    {
        var run = Room(volumeM3, 1.5, k);
        run.SetSource(Agent.ParticleNumber, "room", perMin / 60);
        run.SetSource(Agent.ParticleMass, "room", 1);
        for (var i = 0; i < 20; i++)
        {
            run.Advance(3600);
        }

        Close.To(printed, run.LevelPerM3(Agent.ParticleNumber, "room") * PerCm3, 5e-4);
        Close.To(1 / (volumeM3 * 1.5 / 3600), run.LevelPerM3(Agent.ParticleMass, "room"), 1e-9);
    }

    [Published(Source, "W5.19: 1e6 per cm3 and K = 1e-15 m3/s alone; W5.20: with 1 1/h")]
    [Theory]
    [InlineData(0, 600, 625000.0, 1e-7)]
    [InlineData(0, 1000, 500000.0, 1e-7)]
    [InlineData(0, 3600, 217391.3, 5e-7)]
    [InlineData(1, 600, 545179.6, 1e-4)]
    [InlineData(1, 3600, 112307.9, 1e-4)]
    public void A_dense_aerosol_thins_itself(double changesPerH, double seconds, double printed, double relative)
    {
        var run = Room(1, changesPerH, 1e-15);
        run.StartAt(Agent.ParticleNumber, "room", 1e12);
        run.StartAt(Agent.ParticleMass, "room", 100);
        run.Advance(seconds);
        Close.To(printed, run.LevelPerM3(Agent.ParticleNumber, "room") * PerCm3, relative);
    }

    private static AirRun Room(double volumeM3, double changesPerH, double k) => new(
        new AirModel
        {
            Zones = [new Zone { Id = "room", VolumeM3 = volumeM3 }],
            Loops = [new AirLoop { Through = [Zone.Outdoors, "room"], FlowM3PerH = changesPerH * volumeM3 }],
            Particles = new ParticleGrowth { DensityGPerCm3 = 1, SourceGsd = 1.5, Kernel = new Constant(2 * k) },
        },
        [Agent.ParticleNumber, Agent.ParticleMass],
        default);

    private sealed class Constant(double m3PerS) : ICoagulationRate
    {
        public CoagulationRate Of(double cmdNm, double lnGsdSquared) => new(m3PerS, 2 - Math.Cbrt(2));
    }
}
