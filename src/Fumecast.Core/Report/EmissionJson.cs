// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Emission;

namespace Fumecast.Report;

/// <summary>The emission of one agent as JSON.</summary>
internal sealed record EmissionJson
{
    [JsonPropertyName("agent")]
    public required string Agent { get; init; }

    [JsonPropertyName("name")]
    public required string Name { get; init; }

    [JsonPropertyName("cas")]
    public string? Cas { get; init; }

    [JsonPropertyName("unit")]
    public required string Unit { get; init; }

    [JsonPropertyName("total")]
    public required UncertainJson Total { get; init; }

    [JsonPropertyName("per_g")]
    public UncertainJson? PerGram { get; init; }

    [JsonPropertyName("peak_per_min")]
    public required UncertainJson PeakPerMin { get; init; }

    [JsonPropertyName("peak_at_s")]
    public required double PeakAtS { get; init; }

    [JsonPropertyName("by_phase")]
    public required PhasesJson ByPhase { get; init; }

    [JsonPropertyName("grade")]
    public required string Grade { get; init; }

    [JsonPropertyName("extrapolated_share")]
    public required double ExtrapolatedShare { get; init; }

    [JsonPropertyName("how_sure")]
    public required string HowSure { get; init; }

    [JsonPropertyName("high_is_capped")]
    public bool? HighIsCapped { get; init; }

    [JsonPropertyName("sources")]
    public required string[] Sources { get; init; }

    /// <summary>The JSON of an agent's emission.</summary>
    public static EmissionJson Of(AgentEmission emission) => new()
    {
        Agent = emission.Agent.Id,
        Name = emission.Agent.Name,
        Cas = emission.Agent.Cas,
        Unit = emission.Unit,
        Total = UncertainJson.Of(emission.Total),
        PerGram = UncertainJson.Of(emission.PerGram),
        PeakPerMin = UncertainJson.Of(emission.PeakPerMin),
        PeakAtS = emission.PeakAtS,
        ByPhase = new PhasesJson(
            UncertainJson.Of(emission.WarmUp), UncertainJson.Of(emission.Printing), UncertainJson.Of(emission.IdleHot)),
        Grade = emission.Grade,
        ExtrapolatedShare = emission.ExtrapolatedShare,
        HowSure = emission.HighCappedBy is { } cap ? $"{emission.HowSure}; the upper end is set by {cap}, and not by a measurement" : emission.HowSure,
        HighIsCapped = emission.HighCappedBy is null ? null : true,
        Sources = [.. emission.Sources],
    };
}

/// <summary>An emission by phase, as JSON.</summary>
internal sealed record PhasesJson(
    [property: JsonPropertyName("warm_up")] UncertainJson WarmUp,
    [property: JsonPropertyName("printing")] UncertainJson Printing,
    [property: JsonPropertyName("idle_hot")] UncertainJson IdleHot);
