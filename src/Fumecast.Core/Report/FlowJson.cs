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

    [JsonPropertyName("print_phase_s")]
    public double? PrintPhaseS { get; init; }

    [JsonPropertyName("allan")]
    public required AllanJson[] Allan { get; init; }

    [JsonPropertyName("grade")]
    public string? Grade { get; init; }

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
        PrintPhaseS = flow.PrintPhaseS,
        Allan = [.. flow.Allan.Select(static point => new AllanJson(point.TauS, point.Relative))],
        Grade = GradeName(flow.Grade),
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

/// <summary>One point of the Allan curve as JSON.</summary>
internal sealed record AllanJson(
    [property: JsonPropertyName("tau_s")] double TauS,
    [property: JsonPropertyName("relative")] double Relative);
