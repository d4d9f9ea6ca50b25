// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Tests.Unit.Emission;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Properties;

public class RatioLaws
{
    private static readonly string[] Materials = ["pla", "abs", "petg"];
    private static readonly bool[] Both = [false, true];

    private static readonly Gen<(int Material, (double Seconds, double NozzleC, double GPerH)[] Stretches)> Jobs = Gen.Select(
        Gen.Int[0, 2],
        Gen.Select(Gen.Double[1, 600], Gen.Double[20, 290], Gen.Double[0, 30]).Array[1, 8]);

    [Fact]
    public void Equal_jobs_have_a_ratio_of_exactly_1_without_width() => Jobs.Sample(
        job =>
        {
            var (one, other) = (Draws(job), Draws(job));
            foreach (var agent in one.Agents)
            {
                foreach (var perGram in Both)
                {
                    if (one.RatioTo(other, agent, 0.9, perGram) is { } ratio)
                    {
                        Assert.Equal(new Uncertain(1, 1, 1), ratio.Ratio);
                        Assert.Equal(0, ratio.ProbabilityLower);
                    }
                }
            }
        },
        iter: 60);

    [Fact]
    public void A_ratio_and_its_inverse_belong_together() => Gen.Select(Jobs, Jobs).Sample(
        (a, b) =>
        {
            var (one, other) = (Draws(a), Draws(b));
            if (one.RatioTo(other, Agent.ParticleNumber, 0.9, perGram: false) is not { } there)
            {
                return;
            }

            var back = other.RatioTo(one, Agent.ParticleNumber, 0.9, perGram: false)!;
            Close.To(1 / there.Ratio.Median, back.Ratio.Median, 0.01);
            Assert.InRange(there.ProbabilityLower + back.ProbabilityLower, 0, 1 + 1e-9);
            Assert.InRange(there.Ratio.Median, there.Ratio.Low, there.Ratio.High);
        },
        iter: 60);

    private static EmissionDraws Draws((int Material, (double Seconds, double NozzleC, double GPerH)[] Stretches) of)
    {
        var job = new PrintedJob(PrintedJob.Material(Materials[of.Material]));
        foreach (var (seconds, nozzleC, gPerH) in of.Stretches)
        {
            job.For(seconds, nozzleC, gPerH);
        }

        return job.Draws();
    }
}
