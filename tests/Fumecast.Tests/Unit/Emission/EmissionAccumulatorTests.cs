// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Emission;

public class EmissionAccumulatorTests
{
    private static readonly EmissionOptions Purged = new() { StartDoseLeft = 0 };

    private static AgentEmission Number(PrintedJob job) => job.Results()[0];

    /// <summary>Particles at the middle of all figures, without draws.</summary>
    private static double MiddleOf(PrintedJob job) => job.Accumulator.NumberParts(job.DepositedG).Total;

    /// <summary>A whole little job: warm up, wait, print with pauses, cool down.</summary>
    private static PrintedJob WholeJob(Material material, EmissionOptions? options = null)
    {
        var c = material.NumberYieldPerG.AtC!.Value;
        return new PrintedJob(material, options)
            .Ramp(120, 25, c, 0).For(30, c, 0).For(3600, c, 8).For(60, c, 0).Ramp(20, c, c + 5, 6).For(3600, c + 5, 5).Ramp(300, c + 5, 60, 0);
    }

    [Fact]
    public void The_first_agents_are_number_mass_and_tvoc_and_then_species_by_size()
    {
        var agents = WholeJob(PrintedJob.Material("abs")).Results();

        Assert.Equal(["particle_number", "particle_mass", "tvoc", "styrene", "ethylbenzene"], agents.Take(5).Select(a => a.Agent.Id));
        Assert.Equal(agents.Skip(3).Select(a => a.Total.Median).OrderDescending(), agents.Skip(3).Select(a => a.Total.Median));
        Assert.Equal(["1", "ug", "ug"], agents.Take(3).Select(a => a.Unit));
        Assert.Equal("100-42-5", agents[3].Agent.Cas);
    }

    // 1e11 per g at 240 degC, 6.3 g in an hour, purged, never idle: 6.3e11. The nozzle's own share does not matter at the reference rate.
    [Fact]
    public void At_the_reference_temperature_the_total_is_yield_times_mass()
    {
        var job = new PrintedJob(PrintedJob.Material("abs"), Purged).For(3600, 240, 6.3);

        var number = Number(job);
        Close.To(6.3e11, number.Total.Median, 1e-6);
        Close.To(1e11, number.PerGram!.Value.Median, 1e-6);
        Close.To(6.3e11 / 60, number.PeakPerMin.Median, 1e-6);
        Close.To(number.Total.Median, number.Printing.Median, 1e-12);
        Assert.Equal(0, number.IdleHot.Median);
        Assert.Equal(0, number.ExtrapolatedShare);
        Assert.Equal("C", number.Grade);
    }

    // 0.3 * 1e11 per g * 6.3 g/h * 1 h, all before a first deposit that never comes; the share reaches from 0 to 0.9, so the median lies below.
    [Fact]
    public void A_hot_nozzle_without_extrusion_gives_off_its_own_share_alone()
    {
        var job = new PrintedJob(PrintedJob.Material("abs"), Purged).For(3600, 240, 0);
        var agents = job.Results();

        Close.To(0.3 * 6.3e11, job.Accumulator.NumberParts(0).Total, 1e-12);
        Assert.InRange(agents[0].Total.Median, 0.2 * 6.3e11, 0.3 * 6.3e11);
        Assert.Equal(agents[0].Total.Median, agents[0].WarmUp.Median);
        Assert.Equal(0, agents[0].Printing.High);
        Assert.Null(agents[0].PerGram);
        Assert.InRange(agents[2].Total.Median, 0.05 * 6.3 * 150, 0.13 * 6.3 * 150);
        Assert.Equal("C", agents[0].Grade);
    }

    [Fact]
    public void Below_the_glass_transition_nothing_is_given_off() =>
        Assert.All(new PrintedJob(PrintedJob.Material("abs")).For(3600, 104.9, 5).Results(), a => Assert.Equal(0, a.Total.High));

    // 8 times 6.8 min are 54.4 min of printing at the reference rate, whatever is fed.
    [Theory]
    [InlineData(0)]
    [InlineData(6.3)]
    [InlineData(40)]
    public void The_start_dose_is_55_minutes_of_printing_at_the_reference_rate(double gPerH)
    {
        double Total(EmissionOptions options) => MiddleOf(new PrintedJob(PrintedJob.Material("pla"), options).For(20 * 3600, 210, gPerH));

        Close.To(3e9 * 6.3 * 54.4 / 60, Total(new()) - Total(Purged), 1e-9);
    }

    [Theory]
    [InlineData(190)]
    [InlineData(210)]
    [InlineData(230)]
    public void The_start_dose_is_the_same_however_hot_it_evaporates(double nozzleC)
    {
        double Total(EmissionOptions options) => MiddleOf(new PrintedJob(PrintedJob.Material("pla"), options).For(40 * 3600, nozzleC, 6.3));

        Close.To(3e9 * 6.3 * 54.4 / 60, Total(new()) - Total(Purged), 1e-9);
    }

    [Theory]
    [InlineData("pla", 210)]
    [InlineData("abs", 240)]
    [InlineData("petg", 230)]
    public void A_hot_wait_before_the_print_raises_the_total(string id, double nozzleC)
    {
        var plain = Number(new PrintedJob(PrintedJob.Material(id)).For(1800, nozzleC, 6.3));
        var waited = Number(new PrintedJob(PrintedJob.Material(id)).For(1800, nozzleC, 0).For(1800, nozzleC, 6.3));

        Assert.True(waited.Total.Median > plain.Total.Median);
    }

    // The share of the dose that is left in the nozzle is the state that a second job starts from.
    [Fact]
    public void What_is_left_of_the_start_dose_falls_with_the_time_of_the_rule()
    {
        var job = new PrintedJob(PrintedJob.Material("pla")).For(900, 210, 5);

        Close.To(Math.Exp(-15 / 6.8), job.Accumulator.StartDoseLeft(0), 1e-9);
    }

    // With room for a quarter of the first rate of the dose: at the cap until what is left evaporates no faster, then as ever.
    [Fact]
    public void What_the_cap_holds_back_of_the_start_dose_comes_later()
    {
        var material = PrintedJob.Material("pla");
        var (own, dose, decayS) = (material.Rules.NozzleShare.Value, material.Rules.StartDose.Value, material.Rules.StartDoseDecayS.Value);
        var perMin = material.NumberYieldPerG.Value * material.Rules.ReferenceRateGPerH.Value / 60;
        var capped = material with { Rules = material.Rules with { NumberCapPerMin = material.Rules.NumberCapPerMin with { Value = perMin * (own + (dose / 4)) } } };
        double Left(double seconds) => new PrintedJob(capped).For(seconds, 210, 0).Accumulator.StartDoseLeft(0);

        Close.To(1 - (2.0 / 4), Left(2 * decayS), 1e-9);
        Close.To(1.0 / 4 * Math.Exp(-2), Left(5 * decayS), 1e-9);
        Close.To(Middle(material), Middle(capped), 1e-6);
        Close.To(Number(Long(material)).Total.Median, Number(Long(capped)).Total.Median, 0.1);

        static PrintedJob Long(Material one) => new PrintedJob(one).For(36_000, 210, 0);
        static double Middle(Material one) => Long(one) is var job ? job.Accumulator.NumberParts(job.DepositedG).Total : 0;
    }

    [Fact]
    public void Rows_of_the_series_add_up_to_the_totals()
    {
        var job = WholeJob(PrintedJob.Material("abs"));
        var totals = job.Results().ToDictionary(a => a.Agent, a => a.Total.Median);

        for (var i = 0; i < job.Accumulator.Agents.Count; i++)
        {
            Close.To(totals[job.Accumulator.Agents[i]], job.Rows.Sum(r => r[i]), 1e-9);
        }
    }

    [Fact]
    public void Phases_add_up_to_the_total()
    {
        foreach (var agent in WholeJob(PrintedJob.Material("abs")).Results())
        {
            Close.To(agent.Total.Median, agent.WarmUp.Median + agent.Printing.Median + agent.IdleHot.Median, 1e-12);
        }
    }

    [Theory]
    [InlineData("abs")]
    [InlineData("pla")]
    [InlineData("petg")]
    public void The_total_is_the_median_of_the_draws(string id)
    {
        var job = WholeJob(PrintedJob.Material(id));
        var draws = job.Draws();

        foreach (var agent in draws.Agents)
        {
            var sorted = draws.TotalsOf(agent).ToArray().Order().ToArray();
            Close.To((sorted[sorted.Length / 2] + sorted[(sorted.Length - 1) / 2]) / 2, job.Results().Single(a => a.Agent == agent).Total.Median, 0.015);
        }
    }

    // ABS at its reference temperature: only the yield is uncertain; GSD 20, 90 %: 20 to the power of 1.6449 = 138.
    [Fact]
    public void The_interval_of_a_plain_case_is_that_of_the_yield_alone()
    {
        var abs = PrintedJob.Material("abs");
        var total = Number(new PrintedJob(abs, Purged).For(3600, 240, 6.3)).Total;
        var factor = Math.Pow(abs.NumberYieldPerG.Gsd!.Value, 1.6448536269514722);

        Close.To(factor, total.High / total.Median, 0.005);
        Close.To(factor, total.Median / total.Low, 0.005);
    }

    [Theory]
    [InlineData(0.5, false)]
    [InlineData(0.9, false)]
    [InlineData(0.99, false)]
    [InlineData(0.5, true)]
    [InlineData(0.9, true)]
    public void The_interval_of_a_bin_agrees_with_that_of_the_total(double interval, bool cap)
    {
        var abs = PrintedJob.Material("abs");
        abs = cap ? abs with { NumberYieldPerG = abs.NumberYieldPerG with { Value = 3e13 } } : abs;
        var job = new PrintedJob(abs, Purged with { Interval = interval }, binS: 3600).For(3600, 255, 6.3);

        foreach (var agent in job.Results().Take(3))
        {
            var scale = agent.Total.Median / agent.PeakPerMin.Median;
            Close.To(Math.Log(agent.Total.High / agent.Total.Median), Math.Log(agent.PeakPerMin.High * scale / agent.Total.Median), 0.05);
            Close.To(Math.Log(agent.Total.Median / agent.Total.Low), Math.Log(agent.Total.Median / (agent.PeakPerMin.Low * scale)), 0.05);
        }
    }

    [Fact]
    public void The_same_seed_gives_the_same_numbers_and_another_seed_nearly_the_same()
    {
        var material = PrintedJob.Material("abs");
        var first = WholeJob(material).Results();

        Assert.Equal(first.Select(a => a.Total), WholeJob(material).Results().Select(a => a.Total));
        var other = WholeJob(material, new EmissionOptions { Seed = 2 }).Results();
        for (var i = 0; i < first.Count; i++)
        {
            Assert.NotEqual(first[i].Total.High, other[i].Total.High);
            Close.To(first[i].Total.High, other[i].Total.High, 0.12);
            Close.To(first[i].Total.Low, other[i].Total.Low, 0.12);
        }
    }

    [Fact]
    public void The_peak_is_the_highest_bin_and_its_middle_is_given()
    {
        var number = Number(new PrintedJob(PrintedJob.Material("abs"), Purged).For(100, 240, 2).For(10, 240, 20).For(100, 240, 2));

        Close.To(1e11 * (0.3 * 6.3 + 0.7 * 20) / 60, number.PeakPerMin.Median, 0.05);
        Assert.Equal(105, number.PeakAtS, 1e-6);
    }

    [Fact]
    public void Outside_the_validity_of_the_slope_the_value_is_given_and_marked()
    {
        var half = Number(new PrintedJob(PrintedJob.Material("pla"), Purged).For(60, 184, 6).For(60, 186, 6)).ExtrapolatedShare;

        Close.To(1 / (1 + Math.Exp(2 * 0.066)), half, 1e-9);
        Assert.All(new PrintedJob(PrintedJob.Material("peek"), Purged).For(60, 400, 6).Results(), a => Assert.Equal(1, a.ExtrapolatedShare));
    }

    // A nozzle at rest gives off its own share only, which may be drawn as nearly nothing: the low end lies far lower than that of a print.
    [Theory]
    [InlineData(0.5)]
    [InlineData(0.9)]
    public void The_interval_of_an_idle_bin_agrees_with_that_of_an_idle_job(double interval)
    {
        var options = Purged with { Interval = interval };
        var idle = new PrintedJob(PrintedJob.Material("pla"), options, binS: 3600).For(3600, 220, 0).Results();
        var printing = Number(new PrintedJob(PrintedJob.Material("pla"), options, binS: 3600).For(3600, 220, 6.3)).Total;

        Assert.True(idle[0].Total.Median / idle[0].Total.Low > 1.1 * printing.Median / printing.Low);
        foreach (var agent in idle.Take(3))
        {
            var scale = agent.Total.Median / agent.PeakPerMin.Median;
            Close.To(Math.Log(agent.Total.High / agent.Total.Median), Math.Log(agent.PeakPerMin.High * scale / agent.Total.Median), 0.05);
            Close.To(Math.Log(agent.Total.Median / agent.Total.Low), Math.Log(agent.Total.Median / (agent.PeakPerMin.Low * scale)), 0.05);
        }
    }

    // Two spools fed to one nozzle in turn find one residue in it, and the second finds what the first has left.
    [Theory]
    [InlineData("pla")]
    [InlineData("petg")]
    public void Tools_that_share_a_nozzle_share_its_start_dose(string second)
    {
        Material[] materials = [PrintedJob.Material("pla"), PrintedJob.Material(second)];
        var apart = new PrintedJob(materials);
        var shared = new PrintedJob(materials) { SharesNozzle = true };
        var alone = new PrintedJob(materials[0]);
        for (var turn = 0; turn < 10; turn++)
        {
            apart.For(60, 220, 6.3, tool: turn % 2);
            shared.For(60, 220, 6.3, tool: turn % 2);
            alone.For(60, 220, 6.3);
        }

        Assert.True(shared.Accumulator.NumberParts(1).Dose < 0.95 * apart.Accumulator.NumberParts(1).Dose);
        if (second == "pla")
        {
            Assert.Equal(alone.Results().Select(static agent => agent.Total), shared.Results().Select(static agent => agent.Total));
        }
    }

    [Fact]
    public void An_assumed_temperature_widens_only_the_tool_that_states_none()
    {
        Material[] materials = [PrintedJob.Material("pla"), PrintedJob.Material("petg")];
        var stated = new PrintedJob(materials, Purged).For(3600, 210, 6.3).For(3600, 240, 6.3, tool: 1);
        var assumed = new PrintedJob(materials, Purged);
        assumed.Accumulator.AssumeNozzle(1);
        assumed.For(3600, 210, 6.3).For(3600, 240, 6.3, tool: 1);
        static Uncertain Of(PrintedJob job, string agent) => job.Results().Single(found => found.Agent.Id == agent).Total;

        Assert.Equal(Of(stated, "lactide"), Of(assumed, "lactide"));
        Assert.True(Of(assumed, "particle_number").High > 1.005 * Of(stated, "particle_number").High);
    }

    [Fact]
    public void What_is_added_after_the_results_counts_in_the_next_ones()
    {
        var job = new PrintedJob(PrintedJob.Material("pla"), Purged).For(600, 210, 6.3);
        var first = Number(job).Total.Median;

        Close.To(2, Number(job.For(600, 210, 6.3)).Total.Median / first, 1e-6);
    }

    [Fact]
    public void No_nozzle_is_believed_to_give_off_more_than_the_cap()
    {
        var abs = PrintedJob.Material("abs");
        var number = Number(new PrintedJob(abs with { NumberYieldPerG = abs.NumberYieldPerG with { Value = 1e16 } }, Purged).For(3600, 240, 6.3));

        Close.To(60e13, number.Total.High, 1e-7);
        Close.To(1e13, number.PeakPerMin.High, 1e-7);
        Close.To(60e13, number.Total.Median, 1e-7);
    }

    [Fact]
    public void The_particle_mass_is_cut_with_the_number_by_the_cap()
    {
        var abs = PrintedJob.Material("abs");
        static Figure Exactly(Figure figure) => figure with { Range = null, Gsd = null };
        var rules = abs.Rules with { GmdNm = Exactly(abs.Rules.GmdNm), Gsd = Exactly(abs.Rules.Gsd), ParticleDensityGPerCm3 = Exactly(abs.Rules.ParticleDensityGPerCm3) };
        abs = abs with { Rules = rules, NumberYieldPerG = abs.NumberYieldPerG with { Value = 1e16 } };
        var results = new PrintedJob(abs, Purged).For(3600, 240, 6.3).Results();

        // 1e13 a minute for an hour, each of the mean mass; what the yield alone would give is a hundred times as much.
        var mass = results.Single(static agent => agent.Agent == Agent.ParticleMass).Total;
        var meanUg = new ParticleSize(rules.GmdNm.Value, rules.Gsd.Value).MeanMassUg(rules.ParticleDensityGPerCm3.Value);
        Close.To(60e13 * meanUg, mass.Median, 1e-7);
        Close.To(60e13 * meanUg, mass.High, 1e-7);
    }

    // Only the slope is uncertain, and its range reaches three times as far up as down: so do the logarithms of the interval's ends.
    [Fact]
    public void A_range_that_reaches_further_up_than_down_skews_the_interval_as_far()
    {
        var abs = PrintedJob.Material("abs");
        static Figure Exactly(Figure figure) => figure with { Range = null, Gsd = null };
        abs = abs with
        {
            TvocYieldUgPerG = Exactly(abs.TvocYieldUgPerG),
            Rules = abs.Rules with
            {
                TvocNozzleShare = Exactly(abs.Rules.TvocNozzleShare),
                TvocSlopePerK = abs.Rules.TvocSlopePerK with { Value = 0.03, Gsd = null, Range = (0.02, 0.06) },
            },
        };
        var hotter = new PrintedJob(abs, Purged with { Interval = 0.95 }).For(3600, abs.TvocYieldUgPerG.AtC!.Value + 10, 6.3).Results()
            .Single(static agent => agent.Agent == Agent.Tvoc).Total;

        var atReference = 6.3 * abs.TvocYieldUgPerG.Value;
        Close.To(atReference * Math.Exp(0.2), hotter.Low, 0.005);
        Close.To(atReference * Math.Exp(0.3), hotter.Median, 0.005);
        Close.To(atReference * Math.Exp(0.6), hotter.High, 0.005);
    }

    // At four times the reference rate: 0.3 of it at all times, and 0.7 of four times as much.
    [Fact]
    public void Feeding_faster_raises_the_rate_by_less_than_the_mass()
    {
        var fast = MiddleOf(new PrintedJob(PrintedJob.Material("abs"), Purged).For(3600, 240, 25.2));

        Close.To(6.3e11 * (0.3 + 0.7 * 4), fast, 1e-12);
    }

    [Fact]
    public void A_last_short_bin_is_no_peak_beside_full_ones()
    {
        var number = Number(new PrintedJob(PrintedJob.Material("abs"), Purged).For(100, 240, 2).For(3, 240, 20));
        var alone = Number(new PrintedJob(PrintedJob.Material("abs"), Purged).For(3, 240, 6.3));

        Assert.InRange(number.PeakAtS, 5, 95);
        Close.To(1e11 * 6.3 / 60, alone.PeakPerMin.Median, 1e-6);
        Assert.Equal(1.5, alone.PeakAtS, 1e-9);
    }

    [Fact]
    public void Tools_of_several_materials_are_added_by_agent()
    {
        var (abs, hips) = (PrintedJob.Material("abs"), PrintedJob.Material("hips"));
        var both = new PrintedJob([abs, hips, null], Purged).For(3600, 240, 6.3, tool: 0).For(3600, 240, 6.3, tool: 1).For(60, 240, 5, tool: 2).Results();

        // The median of a sum of two that err apart, twentyfold each, is more than the sum of the medians.
        Assert.InRange(both[0].Total.Median, 6.3e11 + 6.3 * 5e10, 3 * (6.3e11 + 6.3 * 5e10));
        Assert.InRange(both.Single(a => a.Agent.Id == "styrene").Total.Median, 6.3 * (150 * 0.6 + 140 * 0.7), 12.6 * (150 * 0.6 + 140 * 0.7));
        Assert.True(both[0].Total.High / both[0].Total.Median < Math.Pow(20, 1.645));
    }

    // Two nozzles at 60 % of the cap are together above it, and neither is held by it.
    [Theory]
    [InlineData(1, 0.6, false)]
    [InlineData(2, 0.6, false)]
    [InlineData(1, 1.2, true)]
    [InlineData(2, 1.2, true)]
    public void The_cap_is_one_for_each_nozzle(int nozzles, double shareOfCap, bool holds)
    {
        var material = PrintedJob.Material("abs");
        var highest = new PrintedJob(material, Purged).For(600, 240, 6.3).Results()[0].PeakPerMin.High;
        var cap = highest / shareOfCap;
        var capped = material with { Rules = material.Rules with { NumberCapPerMin = material.Rules.NumberCapPerMin with { Value = cap } } };
        var accumulator = new EmissionAccumulator([capped, capped], Purged, 10);
        for (var second = 0; second < 600; second++)
        {
            for (var tool = 0; tool < nozzles; tool++)
            {
                var slice = new PrintSlice
                {
                    StartS = second,
                    DurationS = 1,
                    DepositedMm3 = 6.3 / 3.6 / 1.04,
                    ExtrudingS = 1,
                    NozzleC = 240,
                    Tool = tool,
                    Nozzle = tool,
                    HasStarted = true,
                };
                accumulator.Add(in slice, 1.04);
            }

            if (second % 10 == 9)
            {
                accumulator.CloseBin(second - 9, 10);
            }
        }

        Assert.InRange(accumulator.Results(6.3)[0].PeakPerMin.High / cap, 0.5, 2.5);
        Assert.Equal(holds ? cap : null, accumulator.CapThatHolds(0.95));
    }

    [Fact]
    public void Slices_that_are_not_finite_never_enter()
    {
        var accumulator = new EmissionAccumulator([PrintedJob.Material("pla")], new(), 10);
        foreach (var bad in new[] { double.NaN, double.PositiveInfinity, double.NegativeInfinity })
        {
            var slice = new PrintSlice { StartS = 0, DurationS = 1, DepositedMm3 = bad, NozzleC = 210, ExtrudingS = 1 };
            accumulator.Add(in slice, 1.24);
            slice = slice with { DepositedMm3 = 1, NozzleC = bad };
            accumulator.Add(in slice, 1.24);
        }

        var strayTool = new PrintSlice { DurationS = 1, DepositedMm3 = 1, NozzleC = 210, Tool = -1 };
        accumulator.Add(in strayTool, 1.24);
        accumulator.CloseBin(0, 10);

        Assert.Equal(7, accumulator.LeftOut);
        Assert.All(accumulator.Results(0), a => Assert.Equal(default, a.Total));
    }

    [Fact]
    public void A_job_without_a_slice_has_the_measures_with_nothing()
    {
        var results = new EmissionAccumulator([PrintedJob.Material("pla")], new(), 10).Results(0);

        Assert.Equal(3, results.Count);
        Assert.All(results, a => Assert.Equal("nothing is given off in this model; that is no proof of absence", a.HowSure));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(double.NaN)]
    public void An_interval_outside_0_to_1_is_refused(double interval) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new EmissionAccumulator([], new() { Interval = interval }, 10));
}
