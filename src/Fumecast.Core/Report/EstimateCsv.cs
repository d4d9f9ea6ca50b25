// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.Emission;
using Fumecast.Forecast;

namespace Fumecast.Report;

/// <summary>Writes estimates as a table, one row per job, with the same columns for any job. Species are left to the JSON.</summary>
public static class EstimateCsv
{
    private static readonly string[] Agents = ["particle_number", "particle_mass", "tvoc"];
    private static readonly string[] Units = ["", "_ug", "_ug"];

    /// <summary>Writes the header row.</summary>
    /// <param name="output">Where to write; rows end in LF.</param>
    public static void WriteHeader(TextWriter output)
    {
        var line = new StringBuilder("file,printer,material,time_s,deposited_g,flow_mean_mm3_s,flow_cv,flow_grade,interval");
        for (var i = 0; i < Agents.Length; i++)
        {
            foreach (var end in new[] { "_low", "", "_high" })
            {
                line.Append(',').Append(Agents[i]).Append(Units[i]).Append(end);
            }
        }

        output.Write(line.Append(",warnings\n").ToString());
    }

    /// <summary>Writes the row of a job.</summary>
    /// <param name="output">Where to write; rows end in LF.</param>
    /// <param name="estimate">The estimate; a figure it lacks is an empty cell.</param>
    public static void WriteRow(TextWriter output, JobEstimate estimate)
    {
        var line = new StringBuilder();
        line.Append(Quoted(estimate.Job.File)).Append(',').Append(Quoted(estimate.Job.Printer)).Append(',');
        var materials = new List<string>();
        var depositedG = 0.0;
        foreach (var tool in estimate.Job.Tools)
        {
            if (!materials.Contains(tool.Material))
            {
                materials.Add(tool.Material);
            }

            depositedG += tool.DepositedG;
        }

        line.Append(Quoted(string.Join(" ", materials)));
        Number(line, estimate.Job.Time.TotalS);
        Number(line, depositedG);
        Number(line, estimate.Flow.MeanMm3PerS);
        Number(line, estimate.Flow.Cv);
        line.Append(',').Append(FlowJson.GradeName(estimate.Flow.Grade));
        Number(line, estimate.Interval);
        foreach (var agent in Agents)
        {
            AgentEmission? emission = null;
            foreach (var candidate in estimate.Emission)
            {
                emission ??= candidate.Agent == agent ? candidate : null;
            }

            Number(line, emission?.Total.Low);
            Number(line, emission?.Total.Median);
            Number(line, emission?.Total.High);
        }

        var warnings = 0;
        foreach (var finding in estimate.Diagnostics)
        {
            warnings += finding.Severity == GCode.Severity.Note ? 0 : 1;
        }

        Number(line, warnings);
        output.Write(line.Append('\n').ToString());
    }

    private static void Number(StringBuilder line, double? value) =>
        line.Append(',').Append(value?.ToString("R", CultureInfo.InvariantCulture));

    /// <summary>Quotes a cell where needed.</summary>
    private static string Quoted(string cell) =>
        cell.AsSpan().IndexOfAny("\",\r\n") < 0 ? cell : $"\"{cell.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}
