// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Trial;

namespace Fumecast.Report;

/// <summary>Writes what a trial showed as JSON, schema <c>fumecast/trial/1</c>.</summary>
/// <remarks>Keys are stable and in a fixed order; what cannot be estimated is left out, and <c>why_not</c> says why; numbers are finite.</remarks>
public static class TrialJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="outcome">What the trial showed.</param>
    public static void Write(Stream output, TrialOutcome outcome)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        ReportJson.Write(output, new TrialDocument
        {
            Version = ReportJson.ProgramVersion,
            Notebook = outcome.Notebook,
            Interval = outcome.Interval,
            Runs = [.. outcome.Runs.Select(TrialRunJson.Of)],
            Pairs = [.. outcome.Pairs.Select(pair => TrialPairJson.Of(pair, outcome.Interval))],
            Model = [.. outcome.Runs.SelectMany(static run => run.Quantities.Where(static quantity => quantity.Agreement is { } one && TrialModelJson.IsFinite(one)).Select(quantity => TrialModelJson.Of(run, quantity)))],
            Settings = [.. outcome.Settings.Select(SettingJson.Of)],
            Diagnostics = [.. outcome.Diagnostics.Select(DiagnosticJson.Of)],
            Sources = [.. outcome.Sources.Select(SourceJson.Of)],
            Cautions = [.. outcome.Cautions],
        }, ReportJson.Default.TrialDocument);
    }
}

/// <summary>The whole document.</summary>
internal sealed record TrialDocument
{
    [JsonPropertyName("schema")]
    public string Schema { get; init; } = "fumecast/trial/1";

    [JsonPropertyName("version")]
    public required string Version { get; init; }

    [JsonPropertyName("notebook")]
    public required string Notebook { get; init; }

    [JsonPropertyName("interval")]
    public required double Interval { get; init; }

    [JsonPropertyName("runs")]
    public required TrialRunJson[] Runs { get; init; }

    [JsonPropertyName("pairs")]
    public required TrialPairJson[] Pairs { get; init; }

    [JsonPropertyName("model")]
    public required TrialModelJson[] Model { get; init; }

    [JsonPropertyName("settings_resolved")]
    public required SettingJson[] Settings { get; init; }

    [JsonPropertyName("diagnostics")]
    public required DiagnosticJson[] Diagnostics { get; init; }

    [JsonPropertyName("sources")]
    public required SourceJson[] Sources { get; init; }

    [JsonPropertyName("cautions")]
    public required string[] Cautions { get; init; }
}

/// <summary>A run, as JSON.</summary>
internal sealed record TrialRunJson
{
    [JsonPropertyName("name")]
    public required string Name { get; init; }

    [JsonPropertyName("control")]
    public required bool IsControl { get; init; }

    [JsonPropertyName("decay")]
    public required bool IsDecay { get; init; }

    [JsonPropertyName("filter")]
    public string? Filter { get; init; }

    [JsonPropertyName("log")]
    public required TrialLogJson Log { get; init; }

    [JsonPropertyName("start")]
    public TrialStartJson? Start { get; init; }

    [JsonPropertyName("deposited_g")]
    public double? DepositedG { get; init; }

    [JsonPropertyName("print_s")]
    public double? PrintS { get; init; }

    [JsonPropertyName("volume_m3")]
    public double? VolumeM3 { get; init; }

    [JsonPropertyName("quantities")]
    public required TrialQuantityJson[] Quantities { get; init; }

    /// <summary>The JSON of a run.</summary>
    public static TrialRunJson Of(RunOutcome run) => new()
    {
        Name = run.Name,
        IsControl = run.IsControl,
        IsDecay = run.IsDecay,
        Filter = run.Filter,
        Log = new TrialLogJson(run.Log.File, run.Log.Rows, run.Quantities.Select(static quantity => quantity.Readings).DefaultIfEmpty(0).Max(), run.Log.IntervalS, run.Log.Time.Show(run.Log.FromS), run.Log.Time.Show(run.Log.ToS), run.Log.Gaps),
        Start = run.Start is { } start
            ? new TrialStartJson(run.Log.Time.Show(Math.Round(start.AtS)), start.IsFound ? "found" : "stated", start.UncertaintyS, start.FitsBetterAtS is { } better ? run.Log.Time.Show(Math.Round(better)) : null)
            : null,
        DepositedG = run.MassG,
        PrintS = run.PrintH * 3600,
        VolumeM3 = run.VolumeM3,
        Quantities = [.. run.Quantities.Select(quantity => TrialQuantityJson.Of(run, quantity))],
    };
}

/// <summary>The log of a run, as JSON.</summary>
internal sealed record TrialLogJson(
    [property: JsonPropertyName("file")] string File,
    [property: JsonPropertyName("rows")] int Rows,
    [property: JsonPropertyName("used_rows")] int UsedRows,
    [property: JsonPropertyName("interval_s")] double? IntervalS,
    [property: JsonPropertyName("from")] string From,
    [property: JsonPropertyName("to")] string To,
    [property: JsonPropertyName("gaps")] int Gaps);

/// <summary>The start of a job, as JSON.</summary>
internal sealed record TrialStartJson(
    [property: JsonPropertyName("at")] string At,
    [property: JsonPropertyName("because")] string Because,
    [property: JsonPropertyName("uncertainty_s")] double UncertaintyS,
    [property: JsonPropertyName("fits_better_at")] string? FitsBetterAt);

/// <summary>A quantity of a run, as JSON.</summary>
internal sealed record TrialQuantityJson
{
    [JsonPropertyName("quantity")]
    public required string Quantity { get; init; }

    [JsonPropertyName("unit")]
    public required string Unit { get; init; }

    [JsonPropertyName("background")]
    public UncertainJson? Background { get; init; }

    [JsonPropertyName("drift_per_h")]
    public double? DriftPerH { get; init; }

    [JsonPropertyName("wander")]
    public double? Wander { get; init; }

    [JsonPropertyName("mean_print")]
    public UncertainJson? MeanPrint { get; init; }

    [JsonPropertyName("peak")]
    public double? Peak { get; init; }

    [JsonPropertyName("plateau")]
    public UncertainJson? Plateau { get; init; }

    [JsonPropertyName("loss_per_h")]
    public UncertainJson? LossPerH { get; init; }

    [JsonPropertyName("window")]
    public TrialWindowJson? Window { get; init; }

    [JsonPropertyName("loss_moves_per_h")]
    public TrialEndsJson? LossMovesPerH { get; init; }

    [JsonPropertyName("net_integral_h")]
    public UncertainJson? NetIntegralH { get; init; }

    [JsonPropertyName("net_integral_h_per_g")]
    public UncertainJson? NetIntegralHPerG { get; init; }

    [JsonPropertyName("emission")]
    public TrialEmissionJson? Emission { get; init; }

    [JsonPropertyName("events")]
    public required TrialEventJson[] Events { get; init; }

    [JsonPropertyName("seen")]
    public required bool IsSeen { get; init; }

    [JsonPropertyName("why_not")]
    public string? WhyNot { get; init; }

    [JsonPropertyName("simple_figures")]
    public TrialChecksJson? Checks { get; init; }

    [JsonPropertyName("readings")]
    public required int Readings { get; init; }

    [JsonPropertyName("left_out")]
    public required int LeftOut { get; init; }

    [JsonPropertyName("with_nothing_left_out")]
    public TrialQuantityJson? WithAll { get; init; }

    /// <summary>The JSON of a quantity.</summary>
    public static TrialQuantityJson Of(RunOutcome run, QuantityOutcome quantity) => new()
    {
        Quantity = quantity.Quantity,
        Unit = quantity.Unit,
        Background = UncertainJson.Of(quantity.Background),
        DriftPerH = quantity.DriftPerH,
        Wander = quantity.Wander,
        MeanPrint = UncertainJson.Of(quantity.MeanPrint),
        Peak = quantity.Peak,
        Plateau = UncertainJson.Of(quantity.Plateau),
        LossPerH = UncertainJson.Of(quantity.LossPerH),
        Window = quantity.Window is { } window ? new TrialWindowJson(run.Log.Time.Show(window.FromS), run.Log.Time.Show(window.ToS)) : null,
        LossMovesPerH = quantity.LossMovesPerH is { } moves ? new TrialEndsJson(moves.Low, moves.High) : null,
        NetIntegralH = UncertainJson.Of(quantity.NetIntegralH),
        NetIntegralHPerG = UncertainJson.Of(quantity.NetIntegralHPerG),
        Emission = quantity.Emission is { } emission
            ? new TrialEmissionJson(UncertainJson.Of(emission.Total), UncertainJson.Of(emission.PerG), emission.Unit, "fit of the box model to the whole log", UncertainJson.Of(emission.OfForecast))
            : null,
        Events = [.. quantity.Events.Select(happened => new TrialEventJson(
            run.Log.Time.Show(Math.Round(happened.FromS)), happened.ToS is { } to ? run.Log.Time.Show(Math.Round(to)) : null, happened.Size, happened.Error, happened.EquivalentPerMin, happened.During, happened.Noted))],
        IsSeen = quantity.IsSeen,
        WhyNot = quantity.WhyNot,
        Checks = quantity.Checks is { } checks ? new TrialChecksJson(checks.BackgroundMean, checks.PlateauMean, checks.DecayLossPerH, checks.BalanceTotal, checks.ShiftAtS is { } shift ? run.Log.Time.Show(Math.Round(shift)) : null) : null,
        Readings = quantity.Readings,
        LeftOut = quantity.LeftOut,
        WithAll = quantity.WithAll is { } all ? Of(run, all) : null,
    };
}

/// <summary>A stretch of a log, as JSON.</summary>
internal sealed record TrialWindowJson([property: JsonPropertyName("from")] string From, [property: JsonPropertyName("to")] string To);

/// <summary>Two ends without a middle, as JSON.</summary>
internal sealed record TrialEndsJson([property: JsonPropertyName("low")] double Low, [property: JsonPropertyName("high")] double High);

/// <summary>What was given off, as JSON.</summary>
internal sealed record TrialEmissionJson(
    [property: JsonPropertyName("total")] UncertainJson Total,
    [property: JsonPropertyName("per_g")] UncertainJson PerG,
    [property: JsonPropertyName("unit")] string Unit,
    [property: JsonPropertyName("method")] string Method,
    [property: JsonPropertyName("of_forecast")] UncertainJson? OfForecast);

/// <summary>An event, as JSON.</summary>
internal sealed record TrialEventJson(
    [property: JsonPropertyName("from")] string From,
    [property: JsonPropertyName("to")] string? To,
    [property: JsonPropertyName("size")] double Size,
    [property: JsonPropertyName("size_error")] double SizeError,
    [property: JsonPropertyName("equivalent_source_per_min")] double? EquivalentPerMin,
    [property: JsonPropertyName("during")] string During,
    [property: JsonPropertyName("noted")] string? Noted);

/// <summary>Simple figures beside a fit, as JSON.</summary>
internal sealed record TrialChecksJson(
    [property: JsonPropertyName("background_mean")] double? BackgroundMean,
    [property: JsonPropertyName("plateau_mean")] double? PlateauMean,
    [property: JsonPropertyName("decay_loss_per_h")] double? DecayLossPerH,
    [property: JsonPropertyName("balance_total_m3")] double? BalanceTotal,
    [property: JsonPropertyName("shift_at")] string? ShiftAt);

/// <summary>A pair of runs, as JSON.</summary>
internal sealed record TrialPairJson
{
    [JsonPropertyName("base")]
    public required string Base { get; init; }

    [JsonPropertyName("run")]
    public required string Run { get; init; }

    [JsonPropertyName("quantity")]
    public required string Quantity { get; init; }

    [JsonPropertyName("runs")]
    public required int Runs { get; init; }

    [JsonPropertyName("ratio")]
    public UncertainJson? Ratio { get; init; }

    [JsonPropertyName("ratio_with_days")]
    public UncertainJson? RatioWithDays { get; init; }

    [JsonPropertyName("plateau_ratio")]
    public UncertainJson? PlateauRatio { get; init; }

    [JsonPropertyName("clean_air_m3_per_h")]
    public UncertainJson? CleanAir { get; init; }

    [JsonPropertyName("clean_air_may_be_none")]
    public bool? CleanAirMayBeNone { get; init; }

    [JsonPropertyName("clean_air_by_loss_m3_per_h")]
    public UncertainJson? CleanAirByLoss { get; init; }

    [JsonPropertyName("reduction")]
    public UncertainJson? Reduction { get; init; }

    [JsonPropertyName("effect")]
    public required string Effect { get; init; }

    [JsonPropertyName("agree")]
    public bool? Agree { get; init; }

    [JsonPropertyName("why_not")]
    public string? WhyNot { get; init; }

    [JsonPropertyName("verdict")]
    public required string Verdict { get; init; }

    /// <summary>The JSON of a pair.</summary>
    public static TrialPairJson Of(PairOutcome pair, double interval) => new()
    {
        Base = pair.Base,
        Run = pair.Run,
        Quantity = pair.Quantity,
        Runs = pair.Runs,
        Ratio = UncertainJson.Of(pair.Ratio),
        RatioWithDays = UncertainJson.Of(pair.RatioWithDays),
        PlateauRatio = UncertainJson.Of(pair.PlateauRatio),
        CleanAir = UncertainJson.Of(pair.CleanAirM3PerH),
        CleanAirMayBeNone = pair.CleanAirM3PerH is null ? null : pair.CleanAirMayBeNone,
        CleanAirByLoss = UncertainJson.Of(pair.CleanAirByLossM3PerH),
        Reduction = pair.Ratio is { } ratio ? new UncertainJson(1 - ratio.High, 1 - ratio.Median, 1 - ratio.Low) : null,
        Effect = TrialWords.Effect(pair.Effect),
        Agree = pair.Agree,
        WhyNot = pair.WhyNot,
        Verdict = TrialWords.Verdict(pair, interval),
    };
}

/// <summary>How a fit agrees with its log, as JSON.</summary>
internal sealed record TrialModelJson(
    [property: JsonPropertyName("run")] string Run,
    [property: JsonPropertyName("quantity")] string Quantity,
    [property: JsonPropertyName("r")] double R,
    [property: JsonPropertyName("slope")] double Slope,
    [property: JsonPropertyName("intercept")] double Intercept,
    [property: JsonPropertyName("nmse")] double Nmse,
    [property: JsonPropertyName("fb")] double Fb,
    [property: JsonPropertyName("fs")] double Fs,
    [property: JsonPropertyName("n_eff")] double IndependentReadings,
    [property: JsonPropertyName("adequate")] bool IsAdequate)
{
    /// <summary>The JSON of an agreement.</summary>
    public static TrialModelJson Of(RunOutcome run, QuantityOutcome quantity) => quantity.Agreement is { } one
        ? new(run.Name, quantity.Quantity, one.R, one.Slope, one.Intercept, one.Nmse, one.Fb, one.Fs, one.IndependentReadings, one.IsAdequate)
        : throw new ArgumentException("there is no agreement", nameof(quantity));

    /// <summary>Whether all measures are numbers: a log of equal readings has no correlation.</summary>
    public static bool IsFinite(Agreement one) => double.IsFinite(one.R + one.Slope + one.Intercept + one.Nmse + one.Fb + one.Fs + one.IndependentReadings);
}
