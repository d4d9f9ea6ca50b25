// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Uncertainty;
using MathNet.Numerics.Distributions;

namespace Fumecast.Tests.Unit.Emission;

public class EmissionDrawsTests
{
    private static readonly EmissionOptions Purged = new() { StartDoseLeft = 0 };

    private static EmissionDraws At(double nozzleC, double gPerH = 6.3, string id = "pla", EmissionOptions? options = null) =>
        new PrintedJob(PrintedJob.Material(id), options ?? Purged).For(3600, nozzleC, gPerH).Draws();

    [Fact]
    public void Equal_jobs_have_a_ratio_of_exactly_1()
    {
        foreach (var agent in At(215).Agents)
        {
            var ratio = At(215).RatioTo(At(215), agent, 0.9, perGram: false)!;

            Assert.Equal(new Uncertain(1, 1, 1), ratio.Ratio);
            Assert.Equal(0, ratio.ProbabilityLower);
        }
    }

    // The yield cancels; what remains is exp(10 K * b) with b normal, 0.066 per K with a deviation of 0.042 / 1.96, the middle 95 % of four filaments.
    [Theory]
    [InlineData(0.5)]
    [InlineData(0.9)]
    [InlineData(0.98)]
    public void Ten_kelvin_more_give_the_quantiles_of_the_slope_alone(double interval)
    {
        var ratio = At(220).RatioTo(At(210), Agent.ParticleNumber, interval, perGram: false)!.Ratio;

        double Expected(double p) => Math.Exp(10 * Normal.InvCDF(0.066, 0.042 / 1.959963984540054, p));
        Close.To(Expected((1 - interval) / 2), ratio.Low, 0.01);
        Close.To(Math.Exp(0.66), ratio.Median, 1e-3);
        Close.To(Expected((1 + interval) / 2), ratio.High, 0.01);
    }

    [Fact]
    public void Cooler_is_lower_with_near_certainty()
    {
        var ratio = At(200).RatioTo(At(210), Agent.ParticleNumber, 0.9, perGram: false)!;

        Assert.True(ratio.ProbabilityLower > 0.99);
        Assert.True(ratio.Ratio.High < 1);
    }

    [Fact]
    public void Twice_the_time_is_twice_the_job_and_the_same_per_gram()
    {
        var twice = new PrintedJob(PrintedJob.Material("pla"), Purged).For(7200, 210, 6.3).Draws();

        Close.To(2, twice.RatioTo(At(210), Agent.Tvoc, 0.9, perGram: false)!.Ratio.Low, 1e-12);
        Close.To(2, twice.RatioTo(At(210), Agent.Tvoc, 0.9, perGram: false)!.Ratio.High, 1e-12);
        Close.To(1, twice.RatioTo(At(210), Agent.Tvoc, 0.9, perGram: true)!.Ratio.High, 1e-12);
    }

    [Fact]
    public void Two_materials_share_no_draws()
    {
        var (pla, abs) = (At(210).TotalsOf(Agent.ParticleNumber).ToArray(), At(240, id: "abs").TotalsOf(Agent.ParticleNumber).ToArray());
        var correlation = MathNet.Numerics.Statistics.Correlation.Pearson(pla.Select(x => Math.Log(x)), abs.Select(x => Math.Log(x)));

        // 24468 pairs at 2039 points: a standard deviation of about 0.02.
        Assert.InRange(Math.Abs(correlation), 0, 0.05);
    }

    [Fact]
    public void Absent_agents_and_empty_jobs_have_no_ratio()
    {
        Assert.Null(At(210).RatioTo(At(210, id: "petg"), new Agent("lactide", "lactide", "ug"), 0.9, perGram: false));
        Assert.Null(new PrintedJob(PrintedJob.Material("pla"), Purged).For(3600, 50, 0).Draws().RatioTo(At(210), Agent.Tvoc, 0.9, perGram: false));
        Assert.Null(At(210, 0).RatioTo(At(210), Agent.ParticleNumber, 0.9, perGram: true));
    }

    // The nozzle's own share may be drawn as 0, and a nozzle at rest then gives off nothing in both jobs: no ratio, and none that is infinite.
    [Theory]
    [InlineData(0.95)]
    [InlineData(0.999)]
    public void A_ratio_of_nozzles_at_rest_stays_finite(double interval)
    {
        static EmissionDraws AtRest(double celsius) => new PrintedJob(PrintedJob.Material("pla"), Purged).For(3600, celsius, 0).Draws();
        foreach (var agent in AtRest(215).Agents)
        {
            if (AtRest(215).RatioTo(AtRest(205), agent, interval, perGram: false) is { Ratio: var ratio })
            {
                Assert.True(double.IsFinite(ratio.High) && ratio.Low > 0 && ratio.Low <= ratio.Median && ratio.Median <= ratio.High, $"{agent}: {ratio}");
            }
        }
    }

    // Evenness along every figure: each of as many equal cells as points of probability holds exactly one point.
    [Fact]
    public void Draws_of_every_figure_are_spread_perfectly_evenly()
    {
        var draws = StandardDraws.Usual("abs", 1);
        for (var dimension = 0; dimension < StandardDraws.Dimensions; dimension++)
        {
            var cells = draws.Of(dimension).Select(z => (int)Math.Floor(Normal.CDF(0, 1, z) * draws.Points)).ToHashSet();
            Assert.Equal(draws.Points, cells.Count);
            Assert.Equal(draws.Count, draws.OfYield(dimension).Select(z => (int)Math.Floor(Normal.CDF(0, 1, z) * draws.Count)).ToHashSet().Count);
        }
    }

    // In the plane of two figures a grid of 4 x 4 cells holds 32 points each on average.
    [Fact]
    public void Draws_of_two_figures_fill_the_plane()
    {
        var draws = StandardDraws.Usual("abs", 1);
        for (var a = 1; a < 12; a++)
        {
            for (var b = a + 1; b < 12; b++)
            {
                var counts = new int[4, 4];
                foreach (var (x, y) in draws.Of(a).Zip(draws.Of(b)))
                {
                    counts[(int)(Normal.CDF(0, 1, x) * 4), (int)(Normal.CDF(0, 1, y) * 4)]++;
                }

                Assert.InRange(counts.Cast<int>().Min(), 8, 32);
                Assert.InRange(counts.Cast<int>().Max(), 32, 64);
            }
        }
    }
}
