// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;

namespace Fumecast.Report;

/// <summary>Writes a comparison as a table, one row per variant, with the same columns for any job. Species are left to the JSON.</summary>
public static class CompareCsv
{
    private static readonly (Agent Agent, string Unit)[] Agents = [(Agent.ParticleNumber, ""), (Agent.ParticleMass, "_ug"), (Agent.Tvoc, "_ug")];

    /// <summary>Writes the table.</summary>
    /// <param name="output">Where to write; rows end in LF.</param>
    /// <param name="outcome">The variants.</param>
    public static void Write(TextWriter output, ComparisonOutcome outcome)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(outcome);
        var header = new CsvRow().Text("file").Text("what_if").Text("material").Text("printer").Text("nozzle_c").Text("speed_share").Text("time_s").Text("deposited_g").Text("interval").Text("rests_on_nozzle_share");
        foreach (var (agent, unit) in Agents)
        {
            Ends(header, agent.Id + unit);
            Ends(header, agent.Id + "_ratio").Text(agent.Id + "_probability_lower");
            Ends(header, agent.Id + "_per_gram_ratio").Text(agent.Id + "_per_gram_probability_lower");
        }

        header.Write(output);
        foreach (var variant in outcome.Variants)
        {
            var estimate = variant.Estimate;
            var row = new CsvRow().Text(variant.Job).Text(variant.WhatIf)
                .Text(estimate.Job.MaterialNames).Text(estimate.Job.Printer).Number(variant.NozzleC).Number(variant.SpeedFactor).Number(estimate.Job.Time.TotalS)
                .Number(estimate.Job.Tools.Sum(static tool => tool.DepositedG)).Number(estimate.Interval).Text(variant.RestsOnNozzleShare ? "true" : "false");
            foreach (var (agent, _) in Agents)
            {
                var ratio = variant.Ratios.FirstOrDefault(ratio => ratio.Agent == agent);
                row.Uncertain(estimate.Emission.FirstOrDefault(emission => emission.Agent == agent)?.Total)
                    .Uncertain(ratio?.PerJob?.Ratio).Number(variant.RestsOnNozzleShare ? null : ratio?.PerJob?.ProbabilityLower)
                    .Uncertain(ratio?.PerGram?.Ratio).Number(variant.RestsOnNozzleShare ? null : ratio?.PerGram?.ProbabilityLower);
            }

            row.Write(output);
        }
    }

    private static CsvRow Ends(CsvRow header, string name) => header.Text(name + "_low").Text(name).Text(name + "_high");
}
