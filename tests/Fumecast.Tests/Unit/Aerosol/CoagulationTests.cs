// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Tests.Referees;
using Xunit.Abstractions;

namespace Fumecast.Tests.Unit.Aerosol;

/// <summary>Three moments of one lognormal mode against many sections that know nothing of lognormal.</summary>
public class CoagulationTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(1e3, 30, 1.8)]
    [InlineData(1e4, 30, 1.8)]
    [InlineData(1e5, 30, 1.8)]
    [InlineData(1e6, 30, 1.8)]
    [InlineData(1e7, 30, 1.8)]
    [InlineData(1e8, 30, 1.8)]
    [InlineData(1e6, 10, 1.5)]
    [InlineData(1e8, 10, 1.3)]
    [InlineData(1e7, 60, 1.5)]
    [InlineData(1e7, 50, 2.0)]
    public void Number_agrees_with_many_sections_over_an_hour(double perCm3, double nm, double gsd)
    {
        const double Density = 1.1;
        var size = new ParticleSize(nm, gsd);
        var sections = new SectionalAerosol(nm / Math.Pow(gsd, 4.5), 5_000, 1.25, Density);
        sections.Fill(perCm3 * 1e6, size);
        var massUg = sections.MassUgPerM3;

        var run = new AirRun(
            new AirModel
            {
                Zones = [new Zone { Id = "box", VolumeM3 = 1 }],
                Particles = new ParticleGrowth { DensityGPerCm3 = Density, SourceGsd = gsd },
            },
            [Agent.ParticleNumber, Agent.ParticleMass],
            default);
        run.StartAt(Agent.ParticleNumber, "box", sections.NumberPerM3);
        run.StartAt(Agent.ParticleMass, "box", massUg);
        foreach (var seconds in new[] { 60.0, 540, 3000 })
        {
            sections.Advance(seconds);
            run.Advance(seconds);
            var number = run.LevelPerM3(Agent.ParticleNumber, "box");
            output.WriteLine(FormattableString.Invariant(
                $"{run.TimeS} s: {number:G4} against {sections.NumberPerM3:G4} ({number / sections.NumberPerM3 - 1:P2}), CMD {run.SizeIn("box")!.Value.CmdNm:F1} nm, GSD {run.SizeIn("box")!.Value.Gsd:F3}, {run.ParticleSteps} steps"));

            Close.To(sections.NumberPerM3, number, gsd > 1.9 ? 0.025 : 0.02);
            Close.To(massUg, run.LevelPerM3(Agent.ParticleMass, "box"), 1e-12);
        }
    }

    [Theory]
    [InlineData(5, 1.5)]
    [InlineData(33, 1.83)]
    [InlineData(71, 2.2)]
    [InlineData(420, 3.1)]
    public void Table_of_the_mean_kernel_agrees_with_the_mean(double nm, double gsd)
    {
        var ln2 = Math.Log(gsd) * Math.Log(gsd);
        var (exact, table) = (LognormalKernel.Of(nm, ln2, 1.1), new LognormalKernel(1.1).Of(nm, ln2));
        Close.To(exact.MeanM3PerS, table.MeanM3PerS, 0.002);
        Close.To(exact.LengthPerMeeting, table.LengthPerMeeting, 0.002);
    }

    // The referee with attraction, where there is none, and by the factors that follow from its potential alone.
    [Fact]
    public void Attraction_makes_the_smallest_meet_about_twice_as_often_and_none_changes_nothing()
    {
        Close.To(BrownianKernel.M3PerS(6, 12, 1), new AttractingKernel(1e-9, 1).M3PerS(6, 12), 1e-3);
        var (continuum, freeFlight) = AttractingKernel.Factors(1, 20);
        Assert.InRange(continuum, 1.2, 1.35);
        Assert.InRange(freeFlight, 2.1, 2.3);
        Assert.InRange(new AttractingKernel(20, 1).M3PerS(6, 6) / BrownianKernel.M3PerS(6, 6, 1), 1.8, 2.2);
    }

    [Fact]
    public void Two_alike_are_shorter_as_one() => Close.To(2 - Math.Cbrt(2), LognormalKernel.Of(30, 0, 1).LengthPerMeeting, 1e-12);

    [Theory]
    [InlineData(30, 1.0)]
    [InlineData(12, 1.5)]
    [InlineData(80, 2.4)]
    public void Moments_give_back_the_size_they_were_made_of(double nm, double gsd)
    {
        var size = new ParticleSize(nm, gsd);
        var massUg = 1e9 * size.MeanMassUg(1.1);
        var back = new AerosolMoments(1e9, massUg, AerosolMoments.LengthOf(1e9, massUg, gsd, 1.1)).Size(1.1);
        Close.To(nm, back.CmdNm, 1e-6);
        Close.To(gsd, back.Gsd, 1e-6);
    }

    [Fact]
    public void Working_values_of_deposition_lie_near_their_power_law()
    {
        foreach (var (nm, perH) in new[] { (10.0, 3.0), (25, 1.5), (50, 0.8), (100, 0.4), (250, 0.15) })
        {
            Assert.InRange(SizeDeposition.Working.AtPerH(nm) / perH, 0.66, 1.34);
        }
    }

    // The sum over a fine histogram is what the closed form stands for.
    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(1)]
    public void Deposition_of_a_moment_is_its_mean_over_the_sizes(double moment)
    {
        var (top, bottom) = (0.0, 0.0);
        for (var z = -20.0; z <= 20; z += 0.01)
        {
            var nm = 30 * Math.Exp(z * Math.Log(1.8));
            var weight = Math.Exp(-z * z / 2) * Math.Pow(nm, moment);
            top += weight * SizeDeposition.Working.AtPerH(nm);
            bottom += weight;
        }

        Close.To(top / bottom, SizeDeposition.Working.MomentPerH(30, Math.Log(1.8) * Math.Log(1.8), moment), 1e-9);
    }
}
