// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Forecast;

namespace Fumecast.Report;

/// <summary>What was read and simulated, as JSON.</summary>
internal sealed record JobJson
{
    [JsonPropertyName("file")]
    public required string File { get; init; }

    [JsonPropertyName("bytes")]
    public required long Bytes { get; init; }

    [JsonPropertyName("lines")]
    public required long Lines { get; init; }

    [JsonPropertyName("commands")]
    public required long Commands { get; init; }

    [JsonPropertyName("extruding_moves")]
    public required long ExtrudingMoves { get; init; }

    [JsonPropertyName("layers")]
    public required long Layers { get; init; }

    [JsonPropertyName("printer")]
    public required string Printer { get; init; }

    [JsonPropertyName("dialect")]
    public required string Dialect { get; init; }

    [JsonPropertyName("time_s")]
    public required TimeJson Time { get; init; }

    [JsonPropertyName("tools")]
    public required ToolJson[] Tools { get; init; }

    [JsonPropertyName("claims")]
    public required ClaimsJson Claims { get; init; }

    /// <summary>The JSON of a job.</summary>
    public static JobJson Of(JobSummary job) => new()
    {
        File = job.File,
        Bytes = job.Bytes,
        Lines = job.Lines,
        Commands = job.Commands,
        ExtrudingMoves = job.ExtrudingMoves,
        Layers = job.Layers,
        Printer = job.Printer,
        Dialect = job.Dialect,
        Time = new TimeJson(
            job.Time.TotalS, job.Time.MotionS, job.Time.HeatingS, job.Time.DwellS, job.Time.HomingS, job.Time.ToolChangeS,
            job.Time.MacroS, job.Time.WaitingForPersonS),
        Tools = [.. job.Tools.Select(ToolJson.Of)],
        Claims = new ClaimsJson(job.Claims.TimeS, job.Claims.FilamentMm, job.Claims.FilamentG, job.Claims.Material),
    };
}

/// <summary>Where the time goes, as JSON [s each].</summary>
internal sealed record TimeJson(
    [property: JsonPropertyName("total")] double Total,
    [property: JsonPropertyName("motion")] double Motion,
    [property: JsonPropertyName("heating")] double Heating,
    [property: JsonPropertyName("dwell")] double Dwell,
    [property: JsonPropertyName("homing")] double Homing,
    [property: JsonPropertyName("tool_change")] double ToolChange,
    [property: JsonPropertyName("macro")] double Macro,
    [property: JsonPropertyName("waiting_for_person")] double WaitingForPerson);

/// <summary>What a tool did, as JSON.</summary>
internal sealed record ToolJson
{
    [JsonPropertyName("tool")]
    public required int Tool { get; init; }

    [JsonPropertyName("material")]
    public required string Material { get; init; }

    [JsonPropertyName("fed_mm")]
    public required double FedMm { get; init; }

    [JsonPropertyName("deposited_mm")]
    public required double DepositedMm { get; init; }

    [JsonPropertyName("deposited_mm3")]
    public required double DepositedMm3 { get; init; }

    [JsonPropertyName("deposited_g")]
    public required double DepositedG { get; init; }

    [JsonPropertyName("purged_mm")]
    public required double PurgedMm { get; init; }

    [JsonPropertyName("nozzle_c")]
    public NozzleJson? Nozzle { get; init; }

    /// <summary>The JSON of a tool.</summary>
    public static ToolJson Of(ToolSummary tool) => new()
    {
        Tool = tool.Tool,
        Material = tool.Material,
        FedMm = tool.FedMm,
        DepositedMm = tool.DepositedMm,
        DepositedMm3 = tool.DepositedMm3,
        DepositedG = tool.DepositedG,
        PurgedMm = tool.PurgedMm,
        Nozzle = tool.NozzleMinC is null && tool.NozzleMaxC is null && tool.NozzleMeanWhileExtrudingC is null
            ? null
            : new NozzleJson(tool.NozzleMinC, tool.NozzleMaxC, tool.NozzleMeanWhileExtrudingC),
    };
}

/// <summary>The nozzle's temperatures while extruding, as JSON [degC each].</summary>
internal sealed record NozzleJson(
    [property: JsonPropertyName("min")] double? Min,
    [property: JsonPropertyName("max")] double? Max,
    [property: JsonPropertyName("mean_while_extruding")] double? MeanWhileExtruding);

/// <summary>What the file's comments claim, as JSON.</summary>
internal sealed record ClaimsJson(
    [property: JsonPropertyName("time_s")] double? TimeS,
    [property: JsonPropertyName("filament_mm")] double? FilamentMm,
    [property: JsonPropertyName("filament_g")] double? FilamentG,
    [property: JsonPropertyName("material")] string? Material);
