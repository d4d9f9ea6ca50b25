// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Emission;
using Fumecast.Tests.Unit.Emission;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Properties;

public class EmissionProperties
{
    private sealed record Stretch(double Seconds, double FromC, double ToC, double GPerH);

    private static readonly Gen<Stretch> Stretches = Gen.Select(
        Gen.Double[1, 400], Gen.Double[20, 320], Gen.Double[20, 320], Gen.OneOf(Gen.Const(0.0), Gen.Double[0.5, 30]),
        (seconds, from, to, rate) => new Stretch(seconds, from, to, rate));

    private static readonly Gen<List<Stretch>> Jobs = Stretches.List[1, 8];

    private static readonly Gen<string> Ids = Gen.Int[0, PrintedJob.Catalogue.Ids.Count - 1].Select(i => PrintedJob.Catalogue.Ids[i]);

    private static PrintedJob Run(Material material, IEnumerable<Stretch> job, double sliceS = 1, EmissionOptions? options = null)
    {
        var run = new PrintedJob(material, options);
        foreach (var s in job)
        {
            run.Ramp(s.Seconds, s.FromC, s.ToC, s.GPerH, sliceS: sliceS);
        }

        return run;
    }

    private static Material Uncapped(string id)
    {
        var material = PrintedJob.Material(id);
        return material with { Rules = material.Rules with { NumberCapPerMin = material.Rules.NumberCapPerMin with { Value = 1e300 } } };
    }

    [Fact]
    public void Twice_the_yield_is_twice_the_emission_below_the_cap() => Gen.Select(Ids, Jobs).Sample((id, job) =>
    {
        var uncapped = Uncapped(id);
        var twice = uncapped with
        {
            NumberYieldPerG = uncapped.NumberYieldPerG with { Value = 2 * uncapped.NumberYieldPerG.Value },
            TvocYieldUgPerG = uncapped.TvocYieldUgPerG with { Value = 2 * uncapped.TvocYieldUgPerG.Value },
        };
        var (one, two) = (Run(uncapped, job).Results(), Run(twice, job).Results());
        for (var i = 0; i < one.Count; i++)
        {
            Close.To(2 * one[i].Total.Median, two[i].Total.Median, 1e-12);
            Close.To(2 * one[i].Total.High, two[i].Total.High, 1e-12);
            Close.To(2 * one[i].PeakPerMin.Low, two[i].PeakPerMin.Low, 1e-9);
        }
    }, iter: 12, threads: 1);

    [Fact]
    public void Without_extrusion_only_the_nozzle_itself_gives_off() => Gen.Select(Ids, Jobs).Sample((id, job) =>
    {
        foreach (var agent in Run(PrintedJob.Material(id), job.Select(s => s with { GPerH = 0 })).Results())
        {
            Assert.Equal(0, agent.Printing.High);
            Assert.Equal(0, agent.IdleHot.High);
            Close.To(agent.WarmUp.Median, agent.Total.Median, 1e-12);
        }
    }, iter: 12, threads: 1);

    [Fact]
    public void Rows_add_up_to_totals_and_ends_enclose_the_middle() => Gen.Select(Ids, Jobs).Sample((id, job) =>
    {
        var run = Run(PrintedJob.Material(id), job);
        var results = run.Results().ToDictionary(a => a.Agent);
        var names = run.Accumulator.Agents;
        for (var i = 0; i < names.Count; i++)
        {
            var agent = results[names[i]];
            Close.To(agent.Total.Median, run.Rows.Sum(r => r[i]), 1e-9);
            foreach (var value in new[] { agent.Total, agent.PeakPerMin, agent.WarmUp, agent.Printing, agent.IdleHot })
            {
                Assert.True(0 <= value.Low && value.Low <= value.Median && value.Median <= value.High && double.IsFinite(value.High));
            }

            Assert.InRange(agent.ExtrapolatedShare, 0, 1 + 1e-12);
        }
    }, iter: 12, threads: 1);

    // At constant temperature a slice may be cut anywhere; only the cap, which looks at means over a slice, would notice.
    [Fact]
    public void Shorter_slices_of_the_same_job_give_the_same_emission() => Gen.Select(Ids, Jobs).Sample((id, job) =>
    {
        var level = job.Select(s => s with { ToC = s.FromC }).ToList();
        var material = Uncapped(id);
        var (coarse, fine) = (Run(material, level, 1).Results(), Run(material, level, 0.21).Results());
        for (var i = 0; i < coarse.Count; i++)
        {
            Close.To(coarse[i].Total.Median, fine[i].Total.Median, 1e-9);
            Close.To(coarse[i].Total.High, fine[i].Total.High, 1e-9);
        }
    }, iter: 8, threads: 1);

    [Fact]
    public void Longer_bins_of_the_same_job_give_the_same_emission() => Gen.Select(Ids, Jobs).Sample((id, job) =>
    {
        PrintedJob Binned(double binS)
        {
            var run = new PrintedJob(PrintedJob.Material(id), binS: binS);
            job.ForEach(s => run.Ramp(s.Seconds, s.FromC, s.ToC, s.GPerH));
            return run;
        }

        var (fine, coarse) = (Binned(10).Results(), Binned(300).Results());
        for (var i = 0; i < fine.Count; i++)
        {
            Close.To(fine[i].Total.Median, coarse[i].Total.Median, 1e-9);
        }
    }, iter: 8, threads: 1);

    [Fact]
    public void A_hot_wait_never_lowers_any_total() => Gen.Select(Ids, Jobs, Gen.Int[0, 8], Gen.Double[1, 3000], Gen.Double[20, 320]).Sample(
        (id, job, at, waitS, waitC) => NeverLess(id, job, [.. job.Take(at), new Stretch(waitS, waitC, waitC, 0), .. job.Skip(at)]), iter: 12, threads: 1);

    // At the cap too: what it holds back of the start dose comes later.
    [Fact]
    public void A_hotter_job_never_gives_off_less() => Gen.Select(Ids, Jobs, Gen.Double[0, 30]).Sample(
        (id, job, more) => NeverLess(id, job, job.Select(s => s with { FromC = s.FromC + more, ToC = s.ToC + more })), iter: 12, threads: 1);

    [Fact]
    public void More_filament_in_the_same_time_never_gives_off_less() => Gen.Select(Ids, Jobs, Gen.Double[1, 3]).Sample(
        (id, job, more) => NeverLess(id, job, job.Select(s => s with { GPerH = s.GPerH * more })), iter: 12, threads: 1);

    [Fact]
    public void More_time_for_the_same_filament_never_gives_off_less() => Gen.Select(Ids, Jobs, Gen.Double[1, 3]).Sample(
        (id, job, slower) => NeverLess(id, job, job.Select(s => s with { Seconds = s.Seconds * slower, GPerH = s.GPerH / slower })), iter: 12, threads: 1);

    // The second file starts with what the first has left in the nozzle; then nothing tells one file from two.
    [Fact]
    public void A_job_in_two_files_of_one_nozzle_gives_off_as_much_as_in_one() => Gen.Select(Ids, Jobs, Gen.Int[0, 8]).Sample((id, job, at) =>
    {
        var material = PrintedJob.Material(id);
        var whole = Run(material, job);
        var first = Run(material, job.Take(at));
        var second = Run(material, job.Skip(at), options: new EmissionOptions { StartDoseLeft = first.Accumulator.StartDoseLeft(0) });
        Close.To(MiddleOf(whole), MiddleOf(first) + MiddleOf(second), 1e-9);
    }, iter: 12, threads: 1);

    // Every derivative by temperature is bounded: one kelvin moves a total by at most 15 % anywhere from the glass transition to 320 degC.
    [Fact]
    public void One_kelvin_never_moves_a_total_by_more_than_15_percent() => Gen.Select(Ids, Gen.Double[0, 30], Gen.Double[0, 1]).Sample((id, gPerH, share) =>
    {
        var material = PrintedJob.Material(id);
        var onset = material.OnsetC.Value;
        var celsius = onset + share * Math.Max(0, 319 - onset);
        var cool = new PrintedJob(material).For(900, celsius, 0).For(1800, celsius, gPerH).Results();
        var hot = new PrintedJob(material).For(900, celsius + 1, 0).For(1800, celsius + 1, gPerH).Results();
        for (var i = 0; i < cool.Count; i++)
        {
            Assert.InRange(hot[i].Total.Median / cool[i].Total.Median, 1 - 1e-9, 1.15);
        }
    }, iter: 100, threads: 1);

    [Theory]
    [InlineData("pla", 179)]
    [InlineData("abs", 219)]
    [InlineData("petg", 219)]
    public void There_is_no_cliff_at_the_low_end_of_the_usual_range(string id, double celsius)
    {
        double Total(double c) => new PrintedJob(PrintedJob.Material(id)).Ramp(120, 25, c, 0).For(1800, c, 6.3).Results()[0].Total.Median;

        Assert.InRange(Total(celsius + 1) / Total(celsius), 1, 1.15);
    }

    [Fact]
    public void No_figure_of_the_particles_touches_the_volatile_compounds() => Gen.Select(Ids, Jobs, Gen.Int[0, 8], Gen.Double[0.3, 3]).Sample(
        (id, job, which, factor) =>
        {
            var material = PrintedJob.Material(id);
            var rules = material.Rules;
            Figure Changed(Figure figure) => figure with { Value = figure.Value * factor, Range = null, Gsd = 1.5 };
            var changed = which switch
            {
                0 => material with { NumberYieldPerG = Changed(material.NumberYieldPerG) },
                1 => material with { Rules = rules with { NumberSlopePerK = Changed(rules.NumberSlopePerK) } },
                2 => material with { Rules = rules with { NozzleShare = rules.NozzleShare with { Value = 0.1 * factor, Range = null } } },
                3 => material with { Rules = rules with { StartDose = Changed(rules.StartDose) } },
                4 => material with { Rules = rules with { StartDoseDecayS = Changed(rules.StartDoseDecayS) } },
                5 => material with { Rules = rules with { NumberCapPerMin = rules.NumberCapPerMin with { Value = 1e6 * factor } } },
                6 => material with { Rules = rules with { GmdNm = Changed(rules.GmdNm) } },
                7 => material with { Rules = rules with { Gsd = rules.Gsd with { Value = 1 + factor / 3, Range = null } } },
                _ => material with { Rules = rules with { ParticleDensityGPerCm3 = Changed(rules.ParticleDensityGPerCm3) } },
            };
            var (before, after) = (Run(material, job).Results(), Run(changed, job).Results());
            Assert.Equal(
                before.Where(static a => !a.Agent.IsParticles).Select(static a => (a.Agent, a.Total, a.PeakPerMin, a.WarmUp)),
                after.Where(static a => !a.Agent.IsParticles).Select(static a => (a.Agent, a.Total, a.PeakPerMin, a.WarmUp)));
        }, iter: 40, threads: 1);

    private static void NeverLess(string id, IEnumerable<Stretch> job, IEnumerable<Stretch> more)
    {
        var material = PrintedJob.Material(id);
        var (one, other) = (Run(material, job), Run(material, more));
        Assert.True(MiddleOf(other) >= MiddleOf(one) * (1 - 1e-9), $"{id}: {MiddleOf(one):R} fell to {MiddleOf(other):R}");
        var (less, much) = (one.Results(), other.Results());
        for (var i = 0; i < less.Count && i < 3; i++)
        {
            // Draws see moments within a kelvin as one: some hundred-thousandths.
            Assert.True(much[i].Total.Median >= less[i].Total.Median * (1 - 2e-4), $"{id}, {less[i].Agent}: {less[i].Total.Median:R} fell to {much[i].Total.Median:R}");
        }
    }

    private static double MiddleOf(PrintedJob job) => job.Accumulator.NumberParts(job.DepositedG).Total;
}
