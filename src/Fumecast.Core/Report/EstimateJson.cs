// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>Writes an estimate as JSON, schema <c>fumecast/estimate/1</c>.</summary>
/// <remarks>Keys are stable and in a fixed order; what is absent is left out; numbers are finite and read back bit for bit.</remarks>
public static class EstimateJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="estimate">The estimate.</param>
    /// <exception cref="ArgumentException">A number of the estimate is not finite: a mistake of the forecast.</exception>
    public static void Write(Stream output, JobEstimate estimate)
    {
        ReportJson.Write(output, Document(estimate), ReportJson.Default.EstimateDocument);
    }

    internal static EstimateDocument Document(JobEstimate estimate) => new()
    {
        Version = ReportJson.ProgramVersion,
        Job = JobJson.Of(estimate.Job),
        Flow = FlowJson.Of(estimate.Flow),
        Emission = [.. estimate.Emission.Select(EmissionJson.Of)],
        Interval = estimate.Interval,
        Settings = [.. estimate.Settings.Select(SettingJson.Of)],
        Diagnostics = [.. estimate.Diagnostics.Select(DiagnosticJson.Of)],
        Sources = [.. estimate.Sources.Select(SourceJson.Of)],
        Cautions = [.. estimate.Cautions],
    };
}

/// <summary>The whole document.</summary>
internal sealed record EstimateDocument
{
    [JsonPropertyName("schema")]
    public string Schema { get; init; } = "fumecast/estimate/1";

    [JsonPropertyName("version")]
    public required string Version { get; init; }

    [JsonPropertyName("job")]
    public required JobJson Job { get; init; }

    [JsonPropertyName("flow")]
    public required FlowJson Flow { get; init; }

    [JsonPropertyName("emission")]
    public required EmissionJson[] Emission { get; init; }

    [JsonPropertyName("interval")]
    public required double Interval { get; init; }

    [JsonPropertyName("settings_resolved")]
    public required SettingJson[] Settings { get; init; }

    [JsonPropertyName("diagnostics")]
    public required DiagnosticJson[] Diagnostics { get; init; }

    [JsonPropertyName("sources")]
    public required SourceJson[] Sources { get; init; }

    [JsonPropertyName("cautions")]
    public required string[] Cautions { get; init; }
}

/// <summary>A choice the result rests on, as JSON.</summary>
internal sealed record SettingJson(
    [property: JsonPropertyName("setting")] string Setting,
    [property: JsonPropertyName("value")] string Value,
    [property: JsonPropertyName("because")] string Because,
    [property: JsonPropertyName("line")] long? Line,
    [property: JsonPropertyName("overrides")] OverridesJson? Overrides)
{
    /// <summary>The JSON of a choice.</summary>
    public static SettingJson Of(ResolvedSetting setting) => new(
        setting.Setting, setting.Value, setting.Because, setting.Line,
        setting.Overrides is { } overridden ? new OverridesJson(overridden.Stated, overridden.Line) : null);
}

/// <summary>What the file states and an option overrode, as JSON; without a known place it has no line.</summary>
internal sealed record OverridesJson(
    [property: JsonPropertyName("stated")] string Stated,
    [property: JsonPropertyName("line")] long? Line);

/// <summary>A published source, as JSON.</summary>
internal sealed record SourceJson(
    [property: JsonPropertyName("id")] string Id,
    [property: JsonPropertyName("citation")] string Citation,
    [property: JsonPropertyName("doi")] string? Doi,
    [property: JsonPropertyName("known")] string Known)
{
    public static SourceJson Of(SourceReference source) => new(source.Id, source.Citation, source.Doi, source.Known);
}

/// <summary>A finding about the input, as JSON; without a place it has neither line nor column.</summary>
internal sealed record DiagnosticJson(
    [property: JsonPropertyName("severity")] string Severity,
    [property: JsonPropertyName("code")] string Code,
    [property: JsonPropertyName("line")] long? Line,
    [property: JsonPropertyName("column")] int? Column,
    [property: JsonPropertyName("count")] long Count,
    [property: JsonPropertyName("changes_result")] bool ChangesResult,
    [property: JsonPropertyName("message")] string Message)
{
    /// <summary>The JSON of a finding.</summary>
    public static DiagnosticJson Of(Diagnostic found) => new(
        SeverityName(found.Severity), found.Code, found.Line > 0 ? found.Line : null, found.Column > 0 ? found.Column : null,
        found.Count, found.ChangesResult, found.Message);

    /// <summary>The stable name of a severity.</summary>
    public static string SeverityName(Severity severity) => severity switch
    {
        GCode.Severity.Note => "note",
        GCode.Severity.Warning => "warning",
        _ => "error",
    };
}
