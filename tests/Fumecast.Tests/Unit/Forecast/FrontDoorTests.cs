// SPDX-License-Identifier: MIT
using Fumecast.Forecast;
using Fumecast.Forecast.TestPrint;
using Fumecast.Tests.Commands;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>The one call that a program makes.</summary>
public class FrontDoorTests
{
    private static readonly string Job = RepositoryRoot.Of("examples", "hose-adapter", "job.gcode");

    [Fact]
    public void One_call_tells_what_a_job_gives_off()
    {
        var estimate = PrintForecast.Estimate(Job, new EstimateOptions());
        Assert.Equal(["particle_number", "particle_mass", "tvoc", "styrene"], estimate.Emission.Take(4).Select(agent => agent.Agent.Id));
        Assert.All(estimate.Emission, agent => Assert.True(agent.Total.Low < agent.Total.Median && agent.Total.Median < agent.Total.High, agent.Agent.Id));
        Assert.NotEmpty(estimate.Cautions);
    }

    [Fact]
    public void Amounts_print_with_unit_and_interval()
    {
        var estimate = PrintForecast.Estimate(Job, new EstimateOptions());
        Assert.Matches(@"^\d\.\de1\d particles \(.* to .*, 90 %\)$", estimate.Emission[0].ToString());
        Assert.Matches(@"^\d+ ug \(.* to .*, 90 %\)$", estimate.Emission[2].ToString());
        Assert.StartsWith(Job + "\n" + estimate.Emission[0].Agent.Name + ": ", estimate.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_plain_material_holds_for_every_tool_that_is_not_named()
    {
        var plain = PrintForecast.Estimate(Job, new EstimateOptions { Material = "pla" });
        Assert.Equal(["pla"], plain.Job.Tools.Select(static tool => tool.Material));
        var named = PrintForecast.Estimate(Job, new EstimateOptions { Material = "pla", MaterialByTool = new Dictionary<int, string> { [0] = "asa" } });
        Assert.Equal(["asa"], named.Job.Tools.Select(static tool => tool.Material));
    }

    [Fact]
    public void A_material_if_unknown_fills_gaps_only_and_has_exceptions_by_tool()
    {
        using var jobs = new TrialJobs();
        var (stated, silent) = (jobs.In("stated.gcode"), jobs.In("silent.gcode"));
        var moves = string.Concat(Enumerable.Range(0, 100).Select(static i => $"G1 X{i % 2 * 100} E2\n"));
        File.WriteAllText(silent, "M83\nG28\nG1 F1200\n" + moves);
        File.WriteAllText(stated, "; filament_type = PLA\nM83\nG28\nM109 S210\nG1 F1200\n" + moves);
        var options = new EstimateOptions { MaterialIfUnknown = "petg", NozzleIfUnknownC = 240 };
        Assert.Equal(("pla", 210), Of(stated, options));
        Assert.Equal(("petg", 240), Of(silent, options));
        options = options with
        {
            MaterialIfUnknownByTool = new Dictionary<int, string> { [0] = "asa", [1] = "abs" },
            NozzleIfUnknownCByTool = new Dictionary<int, double> { [0] = 250, [1] = 230 },
        };
        Assert.Equal(("pla", 210), Of(stated, options));
        Assert.Equal(("asa", 250), Of(silent, options));

        static (string Material, double NozzleC) Of(string job, EstimateOptions options)
        {
            var tool = PrintForecast.Estimate(job, options).Job.Tools.Single();
            return (tool.Material, Math.Round(tool.NozzleMeanWhileExtrudingC!.Value));
        }
    }

    [Fact]
    public void Many_jobs_come_in_order_and_a_bad_one_does_not_stop_the_others()
    {
        var other = RepositoryRoot.Of("examples", "screw-cup", "job.gcode");
        var outcomes = PrintForecast.EstimateEach([Job, "no-such.gcode", other], new EstimateOptions()).ToList();
        Assert.Equal([Job, "no-such.gcode", other], outcomes.Select(static outcome => outcome.Job));
        Assert.Equal([true, false, true], outcomes.Select(static outcome => outcome.Estimate is not null));
        Assert.Equal([false, true, false], outcomes.Select(static outcome => outcome.Problem is not null));
    }

    [Fact]
    public void One_call_ranks_and_one_compares()
    {
        var other = RepositoryRoot.Of("examples", "screw-cup", "job.gcode");
        Assert.Equal([1, 2], PrintForecast.Rank([Job, other], new EstimateOptions()).Ranked.Select(static job => job.Rank));
        var compared = PrintForecast.Compare([Job], new CompareOptions { NozzleShiftK = [-10] });
        Assert.Equal(["as it is", "-10 K"], compared.Variants.Select(static variant => variant.WhatIf));
        Assert.True(compared.Variants[1].Ratios[0].PerJob!.Ratio.High < 1);
    }

    [Fact]
    public void One_call_writes_a_test_print_and_says_what_it_gives_off()
    {
        using var written = new MemoryStream();
        var outcome = PrintForecast.TestPrint(new TestPrintOptions { Material = "petg", FlowMm3PerS = 4, DurationS = 3600 }, written);
        Assert.Equal(235, outcome.Plan.NozzleC);
        Assert.Equal("petg", outcome.Estimate.Job.Tools[0].Material);
        written.Position = 0;
        Assert.Equal(outcome.Estimate.Emission[0].Total, PrintForecast.Estimate("-", new EstimateOptions { Stdin = written }).Emission[0].Total);
    }

    [Fact]
    public void A_test_print_that_cannot_be_read_back_is_refused_before_anything_is_written()
    {
        using var inner = new MemoryStream();
        using var deaf = new System.IO.Compression.GZipStream(inner, System.IO.Compression.CompressionLevel.Fastest, leaveOpen: true);
        Assert.Throws<ArgumentException>(() => PrintForecast.TestPrint(new TestPrintOptions { Material = "petg", FlowMm3PerS = 4, DurationS = 3600 }, deaf));
        Assert.Equal(0, inner.Length);
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
