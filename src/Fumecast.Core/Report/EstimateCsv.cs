// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Aerosol;
using Fumecast.Forecast;

namespace Fumecast.Report;

/// <summary>Writes estimates as a table, one row per job, with the same columns for any job. Species are left to the JSON.</summary>
public static class EstimateCsv
{
    private static readonly Agent[] Agents = [Agent.ParticleNumber, Agent.ParticleMass, Agent.Tvoc];
    private static readonly string[] Units = ["", "_ug", "_ug"];

    /// <summary>Writes the header row.</summary>
    /// <param name="output">Where to write; rows end in LF.</param>
    public static void WriteHeader(TextWriter output)
    {
        var line = new StringBuilder("file,printer,material,time_s,deposited_g,flow_mean_mm3_s,flow_cv,flow_grade,evenness_grade,flow_only,too_short,interval");
        for (var i = 0; i < Agents.Length; i++)
        {
            foreach (var end in new[] { "_low", "", "_high" })
            {
                line.Append(',').Append(Agents[i].Id).Append(Units[i]).Append(end);
            }
        }

        output.Write(line.Append(",warnings\n").ToString());
    }

    /// <summary>Writes the row of a job.</summary>
    /// <param name="output">Where to write; rows end in LF.</param>
    /// <param name="estimate">The estimate; a figure it lacks is an empty cell.</param>
    public static void WriteRow(TextWriter output, JobEstimate estimate)
    {
        var emissions = estimate.Emission;
        var row = new CsvRow()
            .Text(estimate.Job.File).Text(estimate.Job.Printer).Text(estimate.Job.MaterialNames)
            .Number(estimate.Job.Time.TotalS).Number(estimate.Job.Tools.Sum(static tool => tool.DepositedG))
            .Number(estimate.Flow.MeanMm3PerS).Number(estimate.Flow.Cv)
            .Text(FlowJson.GradeName(estimate.Flow.FlowGrade)).Text(FlowJson.GradeName(estimate.Flow.Grade))
            .Text(estimate.Flow.IsOfFlowAlone ? "true" : "false").Text(estimate.Flow.IsTooShort ? "true" : "false").Number(estimate.Interval);
        foreach (var agent in Agents)
        {
            row.Uncertain(emissions.FirstOrDefault(emission => emission.Agent == agent)?.Total);
        }

        row.Number(estimate.Diagnostics.Count(static finding => finding.Severity != GCode.Severity.Note)).Write(output);
    }
}
