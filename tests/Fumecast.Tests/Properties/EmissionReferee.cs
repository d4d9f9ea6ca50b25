// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Tests.Referees;
using Fumecast.Tests.Unit.Emission;
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
        var (number, mass, tvoc) = PlainMonteCarlo.Draw(material, job, 1_000_000, 7);
        Array.Sort(number);
        Array.Sort(mass);
        Array.Sort(tvoc);
        foreach (var interval in new[] { 0.5, 0.9, 0.95 })
        {
            var printed = new PrintedJob(material, new EmissionOptions { Interval = interval });
            job.ForEach(moment => printed.For(moment.Seconds, moment.NozzleC, moment.GPerH));
            var results = printed.Results();
            foreach (var (agent, sorted) in new[] { (results[0], number), (results[1], mass), (results[2], tvoc) })
            {
                Agree(agent, agent.Total.Low, sorted, (1 - interval) / 2);
                Agree(agent, agent.Total.Median, sorted, 0.5);
                Agree(agent, agent.Total.High, sorted, (1 + interval) / 2);
            }
        }
    }

    /// <summary>To 3 %; the ends of the 95 % interval, beyond which few draws lie, to 6 %.</summary>
    private static void Agree(AgentEmission agent, double found, double[] sorted, double p)
    {
        var expected = SortedArrayStatistics.Quantile(sorted, p);
        var allowed = p is < 0.03 or > 0.97 ? 0.06 : 0.03;
        Assert.True(Math.Abs(found / expected - 1) < allowed, $"{agent.Agent} at {p}: found {found:G5}, expected {expected:G5} to {100 * allowed} %");
    }
}
