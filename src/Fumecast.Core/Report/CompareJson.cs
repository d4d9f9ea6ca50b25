// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Forecast;

namespace Fumecast.Report;

/// <summary>Writes a comparison as JSON, schema <c>fumecast/compare/1</c>.</summary>
public static class CompareJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="outcome">The variants, at least one, and what was refused.</param>
    public static void Write(Stream output, ComparisonOutcome outcome)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        var variants = outcome.Variants;
        ReportJson.Write(output, new CompareDocument
        {
            Version = ReportJson.ProgramVersion,
            Interval = variants[0].Estimate.Interval,
            Variants = [.. variants.Select(VariantJson.Of)],
            Failed = outcome.Refused.Count == 0 ? null
                : [.. outcome.Refused.Select(static variant => new FailedVariantJson(variant.Job, variant.WhatIf, variant.Problem.Message))],
            Sources = [.. variants.SelectMany(static variant => variant.Estimate.Sources).DistinctBy(static s => s.Id)
                .Select(SourceJson.Of)],
            Cautions = [.. variants.SelectMany(static variant => variant.Estimate.Cautions).Distinct()],
        }, ReportJson.Default.CompareDocument);
    }
}

/// <summary>The whole document.</summary>
internal sealed record CompareDocument
{
    [JsonPropertyName("schema")]
    public string Schema { get; init; } = "fumecast/compare/1";

    [JsonPropertyName("version")]
    public required string Version { get; init; }

    [JsonPropertyName("interval")]
    public required double Interval { get; init; }

    [JsonPropertyName("variants")]
    public required VariantJson[] Variants { get; init; }

    [JsonPropertyName("failed")]
    public FailedVariantJson[]? Failed { get; init; }

    [JsonPropertyName("sources")]
    public required SourceJson[] Sources { get; init; }

    [JsonPropertyName("cautions")]
    public required string[] Cautions { get; init; }
}

/// <summary>A variant, as JSON.</summary>
internal sealed record VariantJson
{
    [JsonPropertyName("file")]
    public required string File { get; init; }

    [JsonPropertyName("what_if")]
    public required string WhatIf { get; init; }

    [JsonPropertyName("material")]
    public required string Material { get; init; }

    [JsonPropertyName("printer")]
    public required string Printer { get; init; }

    [JsonPropertyName("nozzle_c")]
    public required double? NozzleC { get; init; }

    [JsonPropertyName("nozzle_from")]
    public required string NozzleFrom { get; init; }

    [JsonPropertyName("nozzle_note")]
    public required string? NozzleNote { get; init; }

    [JsonPropertyName("speed_share")]
    public required double SpeedShare { get; init; }

    [JsonPropertyName("time_s")]
    public required double TimeS { get; init; }

    [JsonPropertyName("deposited_g")]
    public required double DepositedG { get; init; }

    [JsonPropertyName("mass_differs")]
    public required bool MassDiffers { get; init; }

    [JsonPropertyName("flow")]
    public required FlowJson Flow { get; init; }

    [JsonPropertyName("emission")]
    public required EmissionJson[] Emission { get; init; }

    [JsonPropertyName("ratio")]
    public required AgentRatioJson[] Ratio { get; init; }

    [JsonPropertyName("effects")]
    public required EffectJson[] Effects { get; init; }

    [JsonPropertyName("shares_materials")]
    public required bool SharesMaterials { get; init; }

    [JsonPropertyName("rests_on_nozzle_share")]
    public required bool RestsOnNozzleShare { get; init; }

    [JsonPropertyName("settings_resolved")]
    public required SettingJson[] Settings { get; init; }

    [JsonPropertyName("diagnostics")]
    public required DiagnosticJson[] Diagnostics { get; init; }

    public static VariantJson Of(ComparedVariant variant) => new()
    {
        File = variant.Job,
        WhatIf = variant.WhatIf,
        Material = variant.Estimate.Job.MaterialNames,
        Printer = variant.Estimate.Job.Printer,
        NozzleC = variant.NozzleC,
        NozzleFrom = variant.NozzleFrom switch
        {
            NozzleOrigin.Given => "given",
            NozzleOrigin.Usual => "usual",
            NozzleOrigin.Assumed => "assumed",
            _ => "job",
        },
        NozzleNote = variant.NozzleNote,
        SpeedShare = variant.SpeedFactor,
        TimeS = variant.Estimate.Job.Time.TotalS,
        DepositedG = variant.Estimate.Job.Tools.Sum(static tool => tool.DepositedG),
        MassDiffers = variant.MassDiffers,
        Flow = FlowJson.Of(variant.Estimate.Flow),
        Emission = [.. variant.Estimate.Emission.Select(EmissionJson.Of)],
        Ratio = [.. variant.Ratios.Select(ratio => AgentRatioJson.Of(ratio, variant.RestsOnNozzleShare))],
        Effects = [.. variant.Effects.Select(static effect => new EffectJson(effect.Cause, effect.Factor))],
        SharesMaterials = variant.SharesMaterials,
        RestsOnNozzleShare = variant.RestsOnNozzleShare,
        Settings = [.. variant.Estimate.Settings.Select(SettingJson.Of)],
        Diagnostics = [.. variant.Estimate.Diagnostics.Select(DiagnosticJson.Of)],
    };
}

/// <summary>A variant that could not be used, as JSON.</summary>
internal sealed record FailedVariantJson(
    [property: JsonPropertyName("file")] string File,
    [property: JsonPropertyName("what_if")] string WhatIf,
    [property: JsonPropertyName("message")] string Message);

/// <summary>The ratio of an agent to the base, as JSON; absent where it is undefined.</summary>
internal sealed record AgentRatioJson(
    [property: JsonPropertyName("agent")] string Agent,
    [property: JsonPropertyName("per_job")] UncertainJson? PerJob,
    [property: JsonPropertyName("per_gram")] UncertainJson? PerGram,
    [property: JsonPropertyName("probability_lower")] ProbabilityLowerJson ProbabilityLower)
{
    // Where the direction rests on an assumption, a number would say more than anyone knows.
    public static AgentRatioJson Of(AgentRatio ratio, bool restsOnNozzleShare) => new(
        ratio.Agent.Id, UncertainJson.Of(ratio.PerJob?.Ratio), UncertainJson.Of(ratio.PerGram?.Ratio),
        restsOnNozzleShare ? new ProbabilityLowerJson(null, null) : new ProbabilityLowerJson(ratio.PerJob?.ProbabilityLower, ratio.PerGram?.ProbabilityLower));
}

/// <summary>The probability that less is given off than by the base, as JSON.</summary>
internal sealed record ProbabilityLowerJson(
    [property: JsonPropertyName("per_job")] double? PerJob,
    [property: JsonPropertyName("per_gram")] double? PerGram);

/// <summary>A cause and its factor on the particle number, as JSON.</summary>
internal sealed record EffectJson(
    [property: JsonPropertyName("cause")] string Cause,
    [property: JsonPropertyName("factor")] double Factor);
