// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Flow;

namespace Fumecast.Report;

/// <summary>The evenness of a flow as JSON: the <c>flow</c> object of every document that has one.</summary>
internal sealed record FlowJson
{
    [JsonPropertyName("interval_s")]
    public required double IntervalS { get; init; }

    [JsonPropertyName("mean_mm3_s")]
    public double? Mean { get; init; }

    [JsonPropertyName("median_mm3_s")]
    public double? Median { get; init; }

    [JsonPropertyName("idle_share")]
    public double? IdleShare { get; init; }

    [JsonPropertyName("cv_instant")]
    public double? CvInstant { get; init; }

    [JsonPropertyName("cv")]
    public double? Cv { get; init; }

    [JsonPropertyName("individuals_low_mm3_s")]
    public double? IndividualsLow { get; init; }

    [JsonPropertyName("individuals_high_mm3_s")]
    public double? IndividualsHigh { get; init; }

    [JsonPropertyName("cv_while_extruding")]
    public double? CvWhileExtruding { get; init; }

    [JsonPropertyName("share_within_10_percent")]
    public double? ShareWithin10Percent { get; init; }

    [JsonPropertyName("longest_steady_s")]
    public double? LongestSteadyS { get; init; }

    [JsonPropertyName("dominant_period_s")]
    public double? DominantPeriodS { get; init; }

    [JsonPropertyName("dominant_period_strength")]
    public double? DominantPeriodStrength { get; init; }

    [JsonPropertyName("plateau_wander")]
    public double? PlateauWander { get; init; }

    [JsonPropertyName("plateau_time_constant_s")]
    public double? PlateauTimeConstantS { get; init; }

    [JsonPropertyName("plateau_from_s")]
    public double? PlateauFromS { get; init; }

    [JsonPropertyName("plateau_to_s")]
    public double? PlateauToS { get; init; }

    [JsonPropertyName("print_phase_s")]
    public double? PrintPhaseS { get; init; }

    [JsonPropertyName("allan")]
    public required AllanJson[] Allan { get; init; }

    [JsonPropertyName("flow_grade")]
    public string? FlowGrade { get; init; }

    [JsonPropertyName("source")]
    public SourceEvennessJson? Source { get; init; }

    [JsonPropertyName("grade")]
    public string? Grade { get; init; }

    [JsonPropertyName("flow_only")]
    public required bool IsOfFlowAlone { get; init; }

    [JsonPropertyName("too_short")]
    public required bool IsTooShort { get; init; }

    [JsonPropertyName("read_from_s")]
    public double? ReadFromS { get; init; }

    [JsonPropertyName("read_to_s")]
    public double? ReadToS { get; init; }

    /// <summary>The JSON of a flow's evenness.</summary>
    public static FlowJson Of(FlowEvenness flow) => new()
    {
        IntervalS = flow.IntervalS,
        Mean = flow.MeanMm3PerS,
        Median = flow.MedianMm3PerS,
        IdleShare = flow.IdleShare,
        CvInstant = flow.CvInstant,
        Cv = flow.Cv,
        IndividualsLow = flow.IndividualsLowMm3PerS,
        IndividualsHigh = flow.IndividualsHighMm3PerS,
        CvWhileExtruding = flow.CvWhileExtruding,
        ShareWithin10Percent = flow.ShareWithin10Percent,
        LongestSteadyS = flow.LongestSteadyS,
        DominantPeriodS = flow.DominantPeriodS,
        DominantPeriodStrength = flow.DominantPeriodStrength,
        PlateauWander = flow.PlateauWander,
        PlateauTimeConstantS = flow.PlateauTimeConstantS,
        PlateauFromS = flow.PlateauFromS,
        PlateauToS = flow.PlateauToS,
        PrintPhaseS = flow.PrintPhaseS,
        Allan = [.. flow.Allan.Select(static point => new AllanJson(point.TauS, point.Relative))],
        FlowGrade = GradeName(flow.FlowGrade),
        Source = flow.Source is { } source ? new SourceEvennessJson(AgentEvennessJson.Of(source.ParticleNumber), AgentEvennessJson.Of(source.Tvoc)) : null,
        Grade = GradeName(flow.Grade),
        IsOfFlowAlone = flow.IsOfFlowAlone,
        IsTooShort = flow.IsTooShort,
        ReadFromS = flow.ReadFromS,
        ReadToS = flow.ReadToS,
    };

    /// <summary>The stable name of a grade, or null.</summary>
    public static string? GradeName(EvennessGrade? grade) => grade switch
    {
        EvennessGrade.Flat => "flat",
        EvennessGrade.Fair => "fair",
        EvennessGrade.Uneven => "uneven",
        _ => null,
    };
}

/// <summary>The evenness of the emission as JSON.</summary>
internal sealed record SourceEvennessJson(
    [property: JsonPropertyName("particle_number")] AgentEvennessJson? ParticleNumber,
    [property: JsonPropertyName("tvoc")] AgentEvennessJson? Tvoc);

/// <summary>The evenness of one agent's emission as JSON.</summary>
internal sealed record AgentEvennessJson(
    [property: JsonPropertyName("cv")] double Cv,
    [property: JsonPropertyName("plateau_wander")] double PlateauWander,
    [property: JsonPropertyName("plateau_from_s")] double PlateauFromS,
    [property: JsonPropertyName("plateau_to_s")] double PlateauToS,
    [property: JsonPropertyName("settles_after_s")] double? SettlesAfterS,
    [property: JsonPropertyName("grade")] string? Grade)
{
    /// <summary>The JSON of an agent's evenness, or null.</summary>
    public static AgentEvennessJson? Of(AgentEvenness? agent) => agent is null ? null : new(
        agent.Cv, agent.PlateauWander, agent.PlateauFromS, agent.PlateauToS, agent.SettlesAfterS, FlowJson.GradeName(agent.Grade));
}

/// <summary>One point of the Allan curve as JSON.</summary>
internal sealed record AllanJson(
    [property: JsonPropertyName("tau_s")] double TauS,
    [property: JsonPropertyName("relative")] double Relative);
