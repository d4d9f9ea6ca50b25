// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Emission;
using Fumecast.Tests.Unit.Emission;

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
    public void Without_extrusion_only_the_idle_nozzle_gives_off() => Gen.Select(Ids, Jobs).Sample((id, job) =>
    {
        foreach (var agent in Run(PrintedJob.Material(id), job.Select(s => s with { GPerH = 0 })).Results())
        {
            Assert.Equal(0, agent.Printing.High);
            Assert.Equal(0, agent.IdleHot.High);
            Assert.Equal(agent.WarmUp.Median, agent.Total.Median);
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
            var agent = results[names[i].Agent];
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
    public void A_hotter_job_never_gives_off_less() => Gen.Select(Ids, Jobs, Gen.Double[0, 30]).Sample((id, job, more) =>
    {
        var material = PrintedJob.Material(id);

        // Without the burst: a hotter nozzle has it earlier, and it may be over by the time the nozzle prints.
        var options = new EmissionOptions { StartBurst = false };
        var cool = Run(material, job, options: options).Results();
        var hot = Run(material, job.Select(s => s with { FromC = s.FromC + more, ToC = s.ToC + more }), options: options).Results();
        Assert.True(hot[0].Total.Median >= cool[0].Total.Median * (1 - 1e-12));
        Assert.True(hot[2].Total.Median >= cool[2].Total.Median * (1 - 1e-12));
    }, iter: 8, threads: 1);
}
