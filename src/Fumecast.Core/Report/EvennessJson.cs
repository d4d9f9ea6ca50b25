// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Flow;

namespace Fumecast.Report;

/// <summary>A job in a ranking by evenness.</summary>
/// <param name="File">File as the user named it.</param>
/// <param name="Flow">How even its flow is.</param>
/// <param name="TimeS">Duration of the job [s].</param>
public sealed record RankedFlow(string File, FlowEvenness Flow, double TimeS);

/// <summary>Writes a ranking by evenness as JSON, schema <c>fumecast/evenness/1</c>.</summary>
public static class EvennessJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="ranked">The jobs, best first.</param>
    public static void Write(Stream output, IReadOnlyList<RankedFlow> ranked)
    {
        var document = new EvennessDocument
        {
            Version = ReportJson.ProgramVersion,
            Ranked = [.. ranked.Select(static (job, at) => new RankedJson(job.File, at + 1, FlowJson.Of(job.Flow), job.TimeS))],
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
    [property: JsonPropertyName("time_s")] double TimeS);
