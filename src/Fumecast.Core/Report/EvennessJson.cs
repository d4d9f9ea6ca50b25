// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Forecast;

namespace Fumecast.Report;

/// <summary>Writes a ranking by evenness as JSON, schema <c>fumecast/evenness/1</c>.</summary>
public static class EvennessJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="ranked">The jobs, best first.</param>
    public static void Write(Stream output, IReadOnlyList<RankedJob> ranked)
    {
        var document = new EvennessDocument
        {
            Version = ReportJson.ProgramVersion,
            Ranked = [.. ranked.Select(static job => new RankedJson(
                job.Profile.File, job.Rank, FlowJson.Of(job.Profile.Flow), job.Profile.TimeS, EvennessAdvice.WhyThisGrade(job.Profile.Flow), EvennessAdvice.For(job.Profile.Flow, job.Profile.LayerS), job.Profile.SourceMissing,
                [.. job.Profile.Diagnostics.Select(DiagnosticJson.Of)]))],
        };
        ReportJson.Write(output, document, ReportJson.Default.EvennessDocument);
    }
}

/// <summary>The whole document.</summary>
internal sealed record EvennessDocument
{
    [JsonPropertyName("schema")]
    public string Schema { get; init; } = "fumecast/evenness/1";

    [JsonPropertyName("version")]
    public required string Version { get; init; }

    [JsonPropertyName("ranked")]
    public required RankedJson[] Ranked { get; init; }
}

/// <summary>A job of the ranking, as JSON.</summary>
internal sealed record RankedJson(
    [property: JsonPropertyName("file")] string File,
    [property: JsonPropertyName("rank")] int Rank,
    [property: JsonPropertyName("flow")] FlowJson Flow,
    [property: JsonPropertyName("time_s")] double TimeS,
    [property: JsonPropertyName("grade_because")] string? GradeBecause,
    [property: JsonPropertyName("advice")] string Advice,
    [property: JsonPropertyName("source_missing")] string? SourceMissing,
    [property: JsonPropertyName("diagnostics")] DiagnosticJson[] Diagnostics);
