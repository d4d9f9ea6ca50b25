// SPDX-License-Identifier: MIT
using Fumecast.Forecast;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>The one call that a program makes.</summary>
public class FrontDoorTests
{
    private static readonly string Job = RepositoryRoot.Of("examples", "hose-adapter", "job.gcode");

    [Fact]
    public void One_call_tells_what_a_job_gives_off()
    {
        var estimate = PrintForecast.Estimate(Job, new EstimateOptions());
        Assert.Equal(["particle_number", "particle_mass", "tvoc", "styrene"], estimate.Emission.Take(4).Select(agent => agent.Agent));
        Assert.All(estimate.Emission, agent => Assert.True(agent.Total.Low < agent.Total.Median && agent.Total.Median < agent.Total.High, agent.Agent));
        Assert.NotEmpty(estimate.Cautions);
    }

    [Fact]
    public void Equal_seeds_give_equal_results_and_another_seed_moves_the_ends_a_little()
    {
        var one = PrintForecast.Estimate(Job, new EstimateOptions { Seed = 5 }).Emission[0].Total;
        Assert.Equal(one, PrintForecast.Estimate(Job, new EstimateOptions { Seed = 5 }).Emission[0].Total);
        var other = PrintForecast.Estimate(Job, new EstimateOptions { Seed = 6 }).Emission[0].Total;
        Assert.NotEqual(one.Low, other.Low);
        Close.To(one.Low, other.Low, 0.1);
        Close.To(one.Median, other.Median, 0.03);
    }

    [Fact]
    public void A_wider_interval_holds_the_narrower_one()
    {
        var narrow = PrintForecast.Estimate(Job, new EstimateOptions { Interval = 0.5 }).Emission[0].Total;
        var wide = PrintForecast.Estimate(Job, new EstimateOptions { Interval = 0.95 }).Emission[0].Total;
        Assert.True(wide.Low < narrow.Low && narrow.High < wide.High);
    }

    [Fact]
    public void A_purged_nozzle_gives_off_less() =>
        Assert.True(
            PrintForecast.Estimate(Job, new EstimateOptions { StartDose = false }).Emission[0].Total.Median
            < PrintForecast.Estimate(Job, new EstimateOptions()).Emission[0].Total.Median);
}
