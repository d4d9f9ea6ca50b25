// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Trial;

namespace Fumecast.Report;

/// <summary>Writes the plan of a trial as JSON, schema <c>fumecast/plan/1</c>.</summary>
/// <remarks>Keys are stable and in a fixed order; what cannot be told is left out; numbers are finite.</remarks>
public static class PlanJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="plan">The plan.</param>
    public static void Write(Stream output, PlanOutcome plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ReportJson.Write(output, new PlanDocument
        {
            Version = ReportJson.ProgramVersion,
            Interval = plan.Interval,
            Certainty = plan.Options.Certainty,
            RunToRun = plan.Options.RunToRun,
            Job = plan.Job,
            MassG = plan.MassG,
            PrintS = plan.PrintS,
            Room = plan.Room,
            Zone = plan.Zone,
            Meter = plan.Meter,
            Filter = plan.Filter,
            Quantities = [.. plan.Quantities.Select(static one => new PlanQuantityJson
            {
                Quantity = one.Quantity,
                Unit = one.Unit,
                Without = UncertainJson.Of(one.Without),
                With = UncertainJson.Of(one.With),
                Difference = UncertainJson.Of(one.Difference),
                Ratio = UncertainJson.Of(one.Ratio),
                LossPerH = UncertainJson.Of(one.LossPerH),
                Detectable = one.Detectable,
                Noise = one.Noise,
                ResolutionLimited = one.IsResolutionLimited,
                ProbabilitySeen = one.ProbabilitySeen,
                ProbabilityMiddle = one.ProbabilityInTheMiddle,
                Sees = PlanWords.Sight(one.Sight),
                Pairs = one.Pairs,
                PairsMiddle = one.PairsInTheMiddle,
            })],
            WaitS = plan.WaitS,
            AverageS = plan.AverageS,
            LogBeforeS = plan.BeforeS,
            LogAfterS = plan.LogAfterS,
            Runs = [.. plan.Runs.Select(static run => new PlanRunJson(run.Order, run.What, run.DurationS))],
            Steps = [.. plan.Steps.Select(step => new PlanStepJson(
                PlanWords.Relative(step.AtS), plan.Options.Start is { } start ? PlanWords.Clock(start, step.AtS).Replace(' ', 'T') : null, step.Do))],
            Verdict = PlanWords.Verdict(plan),
            Reasons = [.. PlanWords.Reasons(plan)],
            Help = [.. plan.Help.Select(help => new PlanHelpJson(PlanWords.Kind(help.Kind), help.Amount, PlanWords.AmountUnit(help.Kind), help.ProbabilitySeen, PlanWords.Help(plan, help)))],
            Settings = [.. plan.Settings.Select(SettingJson.Of)],
            Diagnostics = [.. plan.Diagnostics.Select(DiagnosticJson.Of)],
            Sources = [.. plan.Sources.Select(SourceJson.Of)],
            Cautions = [.. plan.Cautions],
        }, ReportJson.Default.PlanDocument);
    }
}

/// <summary>The whole document.</summary>
internal sealed record PlanDocument
{
    [JsonPropertyName("schema")]
    public string Schema { get; init; } = "fumecast/plan/1";

    [JsonPropertyName("version")]
    public required string Version { get; init; }

    [JsonPropertyName("interval")]
    public required double Interval { get; init; }

    [JsonPropertyName("certainty")]
    public required double Certainty { get; init; }

    [JsonPropertyName("run_to_run")]
    public required double RunToRun { get; init; }

    [JsonPropertyName("job")]
    public required string Job { get; init; }

    [JsonPropertyName("mass_g")]
    public required double MassG { get; init; }

    [JsonPropertyName("print_s")]
    public required double PrintS { get; init; }

    [JsonPropertyName("room")]
    public required string Room { get; init; }

    [JsonPropertyName("zone")]
    public required string Zone { get; init; }

    [JsonPropertyName("meter")]
    public required string Meter { get; init; }

    [JsonPropertyName("filter")]
    public required string Filter { get; init; }

    [JsonPropertyName("quantities")]
    public required PlanQuantityJson[] Quantities { get; init; }

    [JsonPropertyName("wait_s")]
    public required double? WaitS { get; init; }

    [JsonPropertyName("average_s")]
    public required double? AverageS { get; init; }

    [JsonPropertyName("log_before_s")]
    public required double LogBeforeS { get; init; }

    [JsonPropertyName("log_after_s")]
    public required double LogAfterS { get; init; }

    [JsonPropertyName("runs")]
    public required PlanRunJson[] Runs { get; init; }

    [JsonPropertyName("steps")]
    public required PlanStepJson[] Steps { get; init; }

    [JsonPropertyName("verdict")]
    public required string Verdict { get; init; }

    [JsonPropertyName("reasons")]
    public required string[] Reasons { get; init; }

    [JsonPropertyName("help")]
    public required PlanHelpJson[] Help { get; init; }

    [JsonPropertyName("settings_resolved")]
    public required SettingJson[] Settings { get; init; }

    [JsonPropertyName("diagnostics")]
    public required DiagnosticJson[] Diagnostics { get; init; }

    [JsonPropertyName("sources")]
    public required SourceJson[] Sources { get; init; }

    [JsonPropertyName("cautions")]
    public required string[] Cautions { get; init; }
}

/// <summary>What one quantity will show, as JSON.</summary>
internal sealed record PlanQuantityJson
{
    [JsonPropertyName("quantity")]
    public required string Quantity { get; init; }

    [JsonPropertyName("unit")]
    public required string Unit { get; init; }

    [JsonPropertyName("without")]
    public required UncertainJson Without { get; init; }

    [JsonPropertyName("with")]
    public required UncertainJson With { get; init; }

    [JsonPropertyName("difference")]
    public required UncertainJson Difference { get; init; }

    [JsonPropertyName("ratio")]
    public required UncertainJson? Ratio { get; init; }

    [JsonPropertyName("loss_per_h")]
    public required UncertainJson? LossPerH { get; init; }

    [JsonPropertyName("detectable")]
    public required double Detectable { get; init; }

    [JsonPropertyName("noise")]
    public required double Noise { get; init; }

    [JsonPropertyName("resolution_limited")]
    public required bool ResolutionLimited { get; init; }

    [JsonPropertyName("probability_seen")]
    public required double ProbabilitySeen { get; init; }

    [JsonPropertyName("probability_seen_in_the_middle")]
    public required double ProbabilityMiddle { get; init; }

    [JsonPropertyName("sees")]
    public required string Sees { get; init; }

    [JsonPropertyName("pairs")]
    public required int? Pairs { get; init; }

    [JsonPropertyName("pairs_in_the_middle")]
    public required int? PairsMiddle { get; init; }
}

/// <summary>A part of the trial, as JSON.</summary>
internal sealed record PlanRunJson(
    [property: JsonPropertyName("order")] int Order,
    [property: JsonPropertyName("what")] string What,
    [property: JsonPropertyName("duration_s")] double DurationS);

/// <summary>A step of the checklist, as JSON.</summary>
internal sealed record PlanStepJson(
    [property: JsonPropertyName("at")] string At,
    [property: JsonPropertyName("clock")] string? Clock,
    [property: JsonPropertyName("do")] string Do);

/// <summary>What would help, as JSON.</summary>
internal sealed record PlanHelpJson(
    [property: JsonPropertyName("kind")] string Kind,
    [property: JsonPropertyName("amount")] double Amount,
    [property: JsonPropertyName("unit")] string Unit,
    [property: JsonPropertyName("probability_seen")] double ProbabilitySeen,
    [property: JsonPropertyName("words")] string Words);
