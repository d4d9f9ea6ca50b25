// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Tests.Referees;
using Fumecast.Tests.Unit.Emission;
using Fumecast.Uncertainty;
using MathNet.Numerics.Statistics;

namespace Fumecast.Tests.Properties;

/// <summary>The intervals of the lattice against a million plain random draws.</summary>
public class EmissionReferee
{
    private static readonly Moment[] Job =
    [
        new(240, 0.75, 0), new(120, 0.96, 0), new(900, 1, 6), new(120, 1, 0), new(1200, 1.03, 14), new(600, 0.98, 3), new(300, 0.85, 0),
    ];

    [Theory]
    [InlineData("pla", false)]
    [InlineData("abs", false)]
    [InlineData("asa", false)]
    [InlineData("petg", false)]
    [InlineData("hips", false)]
    [InlineData("pa12", false)]
    [InlineData("pla", true)]
    [InlineData("abs", true)]
    [InlineData("asa", true)]
    [InlineData("petg", true)]
    [InlineData("hips", true)]
    [InlineData("pa12", true)]
    public void Medians_and_intervals_agree_with_a_million_plain_draws(string id, bool withCap)
    {
        var material = PrintedJob.Material(id);
        var atC = material.NumberYieldPerG.AtC!.Value;
        if (withCap)
        {
            // At three times the steady rate of printing, so that the dose, the fast stretch and a third of all draws meet it.
            var cap = 3 * material.NumberYieldPerG.Value * material.Rules.ReferenceRateGPerH.Value / 60;
            material = material with { Rules = material.Rules with { NumberCapPerMin = material.Rules.NumberCapPerMin with { Value = cap } } };
        }

        var job = Job.Select(moment => moment with { NozzleC = moment.NozzleC * atC }).ToList();
        AgreeAt([0.5, 0.9, 0.95], [(material, job)], PlainMonteCarlo.Draw(material, job, 1_000_000, 7), withWarmUp: true);
    }

    // A nozzle that heats up in a minute and prints at once meets the cap with its start dose before and after the first deposit.
    [Theory]
    [InlineData("abs")]
    [InlineData("asa")]
    public void They_agree_for_a_nozzle_that_prints_as_soon_as_it_is_hot(string id)
    {
        var material = PrintedJob.Material(id);
        var atC = material.NumberYieldPerG.AtC!.Value;
        List<Moment> job =
        [
            .. Enumerable.Range(0, 20).Select(i => new Moment(3, atC * (0.6 + (i * 0.02)), 0)), new(20, atC + 5, 0), new(600, atC + 5, 20), new(900, atC + 5, 9),
        ];
        AgreeAt([0.5, 0.9], [(material, job)], PlainMonteCarlo.Draw(material, job, 1_000_000, 7), withWarmUp: true);
    }

    // A yield that was measured is narrow, so that the closed form smooths less; without a spread it does not smooth at all, and 5 % are allowed.
    [Theory]
    [InlineData("pla", 1.15)]
    [InlineData("abs", 1.15)]
    [InlineData("pla", 1)]
    [InlineData("abs", 1)]
    public void They_agree_for_a_yield_that_is_known_well(string id, double gsd)
    {
        var material = PrintedJob.Material(id);
        material = material with
        {
            NumberYieldPerG = material.NumberYieldPerG with { Gsd = gsd },
            TvocYieldUgPerG = material.TvocYieldUgPerG with { Gsd = gsd },
        };
        var job = Job.Select(moment => moment with { NozzleC = moment.NozzleC * material.NumberYieldPerG.AtC!.Value }).ToList();
        AgreeAt([0.5, 0.9, 0.95], [(material, job)], PlainMonteCarlo.Draw(material, job, 1_000_000, 7), 0.05);
    }

    // Only the yield of the one that gives most is in closed form, the other one is drawn: 5 % too.
    [Theory]
    [InlineData("pla", "petg")]
    [InlineData("abs", "hips")]
    [InlineData("asa", "pla")]
    public void They_agree_for_a_print_of_two_materials(string first, string second)
    {
        var jobs = new[] { first, second }.Select(PrintedJob.Material)
            .Select(material => (material, Job.Select(moment => moment with { NozzleC = moment.NozzleC * material.NumberYieldPerG.AtC!.Value }).ToList())).ToList();
        var (number, mass, tvoc, warmUp) = PlainMonteCarlo.Draw(jobs[0].material, jobs[0].Item2, 1_000_000, 7);
        var other = PlainMonteCarlo.Draw(jobs[1].material, jobs[1].Item2, 1_000_000, 8);
        for (var i = 0; i < number.Length; i++)
        {
            number[i] += other.Number[i];
            mass[i] += other.MassUg[i];
            tvoc[i] += other.TvocUg[i];
            warmUp[i] += other.WarmUp[i];
        }

        AgreeAt([0.5, 0.9, 0.95], jobs, (number, mass, tvoc, warmUp), 0.05);
    }

    // Figures of the user's own may state a range, or no spread at all, in any company.
    [Theory]
    [InlineData("range", null)]
    [InlineData("exact", "petg")]
    [InlineData("range", "petg")]
    [InlineData("narrow", "abs")]
    public void They_agree_for_any_kind_of_yield(string kind, string? second)
    {
        var material = PrintedJob.Material("pla");
        Figure Changed(Figure figure) => kind switch
        {
            "range" => figure with { Gsd = null, Range = (0.3 * figure.Value, 4 * figure.Value) },
            "exact" => figure with { Gsd = null, Range = null },
            _ => figure with { Gsd = 1.1 },
        };
        material = material with { NumberYieldPerG = Changed(material.NumberYieldPerG), TvocYieldUgPerG = Changed(material.TvocYieldUgPerG) };
        List<Material> materials = second is null ? [material] : [material, PrintedJob.Material(second)];
        var jobs = materials.ConvertAll(one => (one, Job.Select(moment => moment with { NozzleC = moment.NozzleC * one.NumberYieldPerG.AtC!.Value }).ToList()));
        var plain = PlainMonteCarlo.Draw(jobs[0].one, jobs[0].Item2, 1_000_000, 7);
        if (second is not null)
        {
            var other = PlainMonteCarlo.Draw(jobs[1].one, jobs[1].Item2, 1_000_000, 8);
            for (var i = 0; i < plain.Number.Length; i++)
            {
                plain.Number[i] += other.Number[i];
                plain.MassUg[i] += other.MassUg[i];
                plain.TvocUg[i] += other.TvocUg[i];
                plain.WarmUp[i] += other.WarmUp[i];
            }
        }

        AgreeAt([0.5, 0.9, 0.95], jobs, plain, 0.05);
    }

    private static void AgreeAt(
        double[] intervals, List<(Material Material, List<Moment> Job)> jobs, (double[] Number, double[] MassUg, double[] TvocUg, double[] WarmUp) plain, double allowed = 0.03, bool withWarmUp = false)
    {
        Array.Sort(plain.Number);
        Array.Sort(plain.MassUg);
        Array.Sort(plain.TvocUg);
        Array.Sort(plain.WarmUp);
        foreach (var interval in intervals)
        {
            var printed = new PrintedJob([.. jobs.Select(static job => job.Material)], new EmissionOptions { Interval = interval });
            for (var tool = 0; tool < jobs.Count; tool++)
            {
                jobs[tool].Job.ForEach(moment => printed.For(moment.Seconds, moment.NozzleC, moment.GPerH, tool));
            }

            var results = printed.Results();
            foreach (var (agent, sorted) in new[] { (results[0], plain.Number), (results[1], plain.MassUg), (results[2], plain.TvocUg) })
            {
                Agree(agent, agent.Total.Low, sorted, (1 - interval) / 2, allowed);
                Agree(agent, agent.Total.Median, sorted, 0.5, allowed);
                Agree(agent, agent.Total.High, sorted, (1 + interval) / 2, allowed);
            }

            // With several tools, or a yield as a range, phases are scaled with the whole or counted from the first deposit of any.
            if (!withWarmUp)
            {
                continue;
            }

            Agree(results[0], results[0].WarmUp.Low, plain.WarmUp, (1 - interval) / 2, allowed);
            Agree(results[0], results[0].WarmUp.Median, plain.WarmUp, 0.5, allowed);
            Agree(results[0], results[0].WarmUp.High, plain.WarmUp, (1 + interval) / 2, allowed);
        }
    }

    private static void Agree(AgentEmission agent, double found, double[] sorted, double p, double allowed)
    {
        var expected = SortedArrayStatistics.Quantile(sorted, p);
        Assert.True(Math.Abs(found / expected - 1) < allowed, $"{agent.Agent} at {p}: found {found:G5}, expected {expected:G5} to {100 * allowed} %");
    }
}
