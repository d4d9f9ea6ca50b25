// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Tests.Referees;
using MathNet.Numerics.RootFinding;
using Xunit.Abstractions;

namespace Fumecast.Tests.Published;

/// <summary>A gas stove in a house: particles of a few nanometres, which deposit and coagulate, and are carried out by air.</summary>
/// <remarks>
/// <para>A few lines of totals, derived from measured size distributions published as MPMC-Lab/BPM_IndoorUFP (97 mobility bins, 2.02 to 63.8 nm, a scan each 2.5 min), under this licence:</para>
/// <para>MIT License. Copyright (c) 2023 MPMC Lab. Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated documentation files (the
/// "Software"), to deal in the Software without restriction, including without limitation the rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell copies of
/// the Software, and to permit persons to whom the Software is furnished to do so, subject to the following conditions: The above copyright notice and this permission notice shall be
/// included in all copies or substantial portions of the Software. THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO THE
/// WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER
/// LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.</para>
/// <para>Stated there beforehand, for this run or for the house: 340 m3, 0.3 air changes per hour, deposition exp(2.49) d^-0.84 1/h with d in nm, unit density, a source of 4.65 nm and GSD 1.55.</para>
/// </remarks>
public class HouseChecks(ITestOutputHelper output)
{
    private const string Source = "MPMC-Lab/BPM_IndoorUFP, gas stove";
    private const double OnS = 22.5 * 60;

    // Minutes after the source, number per cm3, geometric mean diameter, volume in um3 per cm3.
    private static readonly (double Min, double PerCm3, double Nm, double Um3PerCm3)[] Measured =
    [
        (0, 3.051e5, 5.9, 0.1282),
        (25, 5.692e4, 10.1, 0.08958),
        (50, 1.686e4, 12.0, 0.05413),
    ];

    private static AirModel House => new()
    {
        Zones = [new Zone { Id = "house", VolumeM3 = 340, DepositionBySize = new SizeDeposition(Math.Exp(2.49) * Math.Pow(10, -0.84), 10, 0.84) }],
        Loops = [new AirLoop { Through = [Zone.Outdoors, "house"], FlowM3PerH = 0.3 * 340 }],
        Particles = new ParticleGrowth { DensityGPerCm3 = 1, SourceGsd = 1.55 },
    };

    private static AirRun AfterSource(double numberPerS)
    {
        var run = new AirRun(House, [Agent.ParticleNumber, Agent.ParticleMass], default);
        run.SetSource(Agent.ParticleNumber, "house", numberPerS);
        run.SetSource(Agent.ParticleMass, "house", numberPerS * new ParticleSize(4.65, 1.55).MeanMassUg(1));
        run.Advance(OnS);
        run.SetSource(Agent.ParticleNumber, "house", 0);
        run.SetSource(Agent.ParticleMass, "house", 0);
        return run;
    }

    [Published(Source, "number 25 and 50 min after the source, 15 and 18 % above the measured, and a loss rate that falls")]
    [Fact]
    public void Number_falls_as_measured_and_ever_more_slowly()
    {
        // The strength of the source is what makes the number at its end; everything after it is forecast.
        var lnPerS = Brent.FindRoot(x => Math.Log(AfterSource(Math.Exp(x)).LevelPerM3(Agent.ParticleNumber, "house") / (Measured[0].PerCm3 * 1e6)), Math.Log(1e10), Math.Log(1e13), 1e-6);
        var run = AfterSource(Math.Exp(lnPerS));
        var levels = new double[Measured.Length];
        for (var i = 0; i < Measured.Length; i++)
        {
            run.Advance(i == 0 ? 0 : (Measured[i].Min - Measured[i - 1].Min) * 60);
            levels[i] = run.LevelPerM3(Agent.ParticleNumber, "house") * 1e-6;
            var size = run.SizeIn("house")!.Value;
            output.WriteLine(FormattableString.Invariant(
                $"{Measured[i].Min} min: {levels[i]:G4} per cm3 (measured {Measured[i].PerCm3:G4}), CMD {size.CmdNm:F1} nm (GMD {Measured[i].Nm:F1}), GSD {size.Gsd:F2}, volume {run.LevelPerM3(Agent.ParticleMass, "house"):G4} um3/cm3 (measured {Measured[i].Um3PerCm3:G4})"));
        }

        Close.To(Measured[1].PerCm3, levels[1], 0.25);
        Close.To(Measured[2].PerCm3, levels[2], 0.25);
        Assert.True(LossPerH(levels[0], levels[1]) > 1.1 * LossPerH(levels[1], levels[2]));
        Assert.True(LossPerH(Measured[0].PerCm3, Measured[1].PerCm3) > 1.1 * LossPerH(Measured[1].PerCm3, Measured[2].PerCm3));
    }

    // From the size distribution at the end of the source instead of a stated one: its mode holds most of the measured volume, so that can be compared as well.
    // Particles of 6 nm attract each other and meet more often than by Brownian motion alone; the programme published with the data allows for it, with a Hamaker constant of 20 kT.
    [Published(Source, "number and volume after the source, from the distribution at its end, with attraction of 20 kT as the source's own programme has it: number 3 and 20 % above")]
    [Fact]
    public void Number_and_volume_leave_at_different_rates()
    {
        var (numbers, volumes) = FromTheMeasuredSizes(new AttractingKernel(20, 1));
        Close.To(Measured[1].PerCm3, numbers[1], 0.06);
        Close.To(Measured[2].PerCm3, numbers[2], 0.22);

        // One rate for both would be wrong by several times; measured 4.0 and 0.9 1/h in the first stretch.
        Assert.True(LossPerH(numbers[0], numbers[1]) > 1.5 * LossPerH(volumes[0], volumes[1]));
        Assert.True(LossPerH(Measured[0].PerCm3, Measured[1].PerCm3) > 1.5 * LossPerH(Measured[0].Um3PerCm3, Measured[1].Um3PerCm3));
    }

    // What the forecast has, since for what prints give off no Hamaker constant is known: not met, so the test holds how far it is off.
    [Published(Source, "the same without attraction, as the forecast has it: number not met at 50 min, 24 and 44 % too high")]
    [Fact]
    public void Without_attraction_too_many_particles_are_left()
    {
        var (numbers, _) = FromTheMeasuredSizes(null);
        Close.To(1.245, numbers[1] / Measured[1].PerCm3, 0.01);
        Close.To(1.443, numbers[2] / Measured[2].PerCm3, 0.01);
    }

    private (double[] Numbers, double[] Volumes) FromTheMeasuredSizes(ICoagulationRate? kernel)
    {
        var run = new AirRun(House with { Particles = new ParticleGrowth { DensityGPerCm3 = 1, SourceGsd = 1.66, Kernel = kernel } }, [Agent.ParticleNumber, Agent.ParticleMass], default);
        run.StartAt(Agent.ParticleNumber, "house", Measured[0].PerCm3 * 1e6);
        run.StartAt(Agent.ParticleMass, "house", Measured[0].PerCm3 * 1e6 * new ParticleSize(5.9, 1.66).MeanMassUg(1));
        var (numbers, volumes) = (new double[Measured.Length], new double[Measured.Length]);
        for (var i = 0; i < Measured.Length; i++)
        {
            run.Advance(i == 0 ? 0 : (Measured[i].Min - Measured[i - 1].Min) * 60);
            numbers[i] = run.LevelPerM3(Agent.ParticleNumber, "house") * 1e-6;
            volumes[i] = run.LevelPerM3(Agent.ParticleMass, "house");
            output.WriteLine(FormattableString.Invariant(
                $"{Measured[i].Min} min: {numbers[i]:G4} per cm3 (measured {Measured[i].PerCm3:G4}), {run.SizeIn("house")!.Value.CmdNm:F1} nm (GMD {Measured[i].Nm:F1}), volume {volumes[i]:G4} um3/cm3 (measured {Measured[i].Um3PerCm3:G4})"));
        }

        return (numbers, volumes);
    }

    private static double LossPerH(double before, double after) => Math.Log(before / after) / (25.0 / 60);
}
