// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Trial;

namespace Fumecast.Report;

/// <summary>Writes what came of a calibration as JSON, schema <c>fumecast/calibration/1</c>.</summary>
public static class CalibrationJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="outcome">What came of it.</param>
    /// <param name="file">The file that the material was written to.</param>
    public static void Write(Stream output, CalibrationOutcome outcome, string file)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        ReportJson.Write(output, new CalibrationDocument
        {
            Version = ReportJson.ProgramVersion,
            Notebook = outcome.Notebook,
            Interval = outcome.Interval,
            Runs = [.. outcome.Runs.Select(static run => new CalibrationRunJson(run.Run, run.Start, UncertainJson.Of(run.PerG), run.MassG, run.NozzleC, run.Source))],
            Quantity = outcome.Quantity,
            Factor = outcome.Factor,
            Unit = outcome.Unit,
            Measured = new(UncertainJson.Of(outcome.Measured)),
            Before = new(UncertainJson.Of(outcome.Before)),
            After = new(UncertainJson.Of(outcome.After)),
            WeightOfBase = outcome.WeightOfBase,
            Disagreement = outcome.Disagreement,
            Material = new(outcome.Id, file, outcome.Base, outcome.BaseFile, outcome.YieldPerG, outcome.Gsd, outcome.AtC),
            HoldsFor = [.. outcome.HoldsFor],
            Diagnostics = [.. outcome.Diagnostics.Select(DiagnosticJson.Of)],
            Cautions = [.. outcome.Cautions],
        }, ReportJson.Default.CalibrationDocument);
    }
}

/// <summary>The whole document.</summary>
internal sealed record CalibrationDocument
{
    [JsonPropertyName("schema")]
    public string Schema { get; init; } = "fumecast/calibration/1";

    [JsonPropertyName("version")]
    public required string Version { get; init; }

    [JsonPropertyName("notebook")]
    public required string Notebook { get; init; }

    [JsonPropertyName("interval")]
    public required double Interval { get; init; }

    [JsonPropertyName("runs")]
    public required CalibrationRunJson[] Runs { get; init; }

    [JsonPropertyName("quantity")]
    public required string Quantity { get; init; }

    [JsonPropertyName("factor")]
    public required string Factor { get; init; }

    [JsonPropertyName("unit")]
    public required string Unit { get; init; }

    [JsonPropertyName("measured")]
    public required PerGramJson Measured { get; init; }

    [JsonPropertyName("before")]
    public required PerGramJson Before { get; init; }

    [JsonPropertyName("after")]
    public required PerGramJson After { get; init; }

    [JsonPropertyName("weight_of_base")]
    public required double WeightOfBase { get; init; }

    [JsonPropertyName("disagreement_of_runs")]
    public required double Disagreement { get; init; }

    [JsonPropertyName("material")]
    public required CalibratedMaterialJson Material { get; init; }

    [JsonPropertyName("holds_for")]
    public required string[] HoldsFor { get; init; }

    [JsonPropertyName("diagnostics")]
    public required DiagnosticJson[] Diagnostics { get; init; }

    [JsonPropertyName("cautions")]
    public required string[] Cautions { get; init; }
}

/// <summary>A run, as JSON.</summary>
internal sealed record CalibrationRunJson(
    [property: JsonPropertyName("run")] string Run,
    [property: JsonPropertyName("start")] string Start,
    [property: JsonPropertyName("per_g")] UncertainJson PerG,
    [property: JsonPropertyName("deposited_g")] double DepositedG,
    [property: JsonPropertyName("nozzle_c")] double NozzleC,
    [property: JsonPropertyName("source")] string Source);

/// <summary>An amount for each gram of the first job, as JSON.</summary>
internal sealed record PerGramJson([property: JsonPropertyName("per_g")] UncertainJson PerG);

/// <summary>The new material, as JSON.</summary>
internal sealed record CalibratedMaterialJson(
    [property: JsonPropertyName("id")] string Id,
    [property: JsonPropertyName("file")] string File,
    [property: JsonPropertyName("base")] string Base,
    [property: JsonPropertyName("base_file")] string BaseFile,
    [property: JsonPropertyName("yield_per_g")] double YieldPerG,
    [property: JsonPropertyName("gsd")] double Gsd,
    [property: JsonPropertyName("at_c")] double AtC);
