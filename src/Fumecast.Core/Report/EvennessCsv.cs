// SPDX-License-Identifier: MIT
using Fumecast.Forecast;

namespace Fumecast.Report;

/// <summary>Writes a ranking by evenness as a table, one row per job, best first; a figure that is unknown is an empty cell.</summary>
public static class EvennessCsv
{
    /// <summary>Writes the table.</summary>
    /// <param name="output">Where to write; rows end in LF.</param>
    /// <param name="ranked">The jobs, best first.</param>
    public static void Write(TextWriter output, IReadOnlyList<RankedJob> ranked)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(ranked);
        output.Write(
            "rank,file,grade,interval_s,cv,cv_while_extruding,idle_share,share_within_10_percent,longest_steady_s,"
            + "dominant_period_s,dominant_period_strength,mean_mm3_s,plateau_wander,print_phase_s,time_s,"
            + "flow_grade,particle_number_wander,tvoc_wander,settles_after_s,too_short,read_from_s,read_to_s,flow_only\n");
        foreach (var job in ranked)
        {
            var flow = job.Profile.Flow;
            new CsvRow()
                .Number(job.Rank).Text(job.Profile.File).Text(FlowJson.GradeName(flow.Grade)).Number(flow.IntervalS)
                .Number(flow.Cv).Number(flow.CvWhileExtruding).Number(flow.IdleShare).Number(flow.ShareWithin10Percent).Number(flow.LongestSteadyS)
                .Number(flow.DominantPeriodS).Number(flow.DominantPeriodStrength).Number(flow.MeanMm3PerS).Number(flow.PlateauWander)
                .Number(flow.PrintPhaseS).Number(job.Profile.TimeS)
                .Text(FlowJson.GradeName(flow.FlowGrade)).Number(flow.Source?.ParticleNumber?.PlateauWander).Number(flow.Source?.Tvoc?.PlateauWander)
                .Number(flow.Source?.ParticleNumber?.SettlesAfterS).Text(flow.IsTooShort ? "true" : "false").Number(flow.ReadFromS).Number(flow.ReadToS)
                .Text(flow.IsOfFlowAlone ? "true" : "false")
                .Write(output);
        }
    }
}
