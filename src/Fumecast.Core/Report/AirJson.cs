// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Forecast;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>Writes a forecast of the air as JSON, schema <c>fumecast/air/1</c>.</summary>
/// <remarks>Keys are stable and in a fixed order; what is absent is left out; numbers are finite: an end that lies beyond what was followed is left out too.</remarks>
public static class AirJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="outcome">The forecast.</param>
    public static void Write(Stream output, AirOutcome outcome)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        ReportJson.Write(output, Document(outcome), ReportJson.Default.AirDocument);
    }

    internal static AirDocument Document(AirOutcome outcome) => new()
    {
        Version = ReportJson.ProgramVersion,
        Room = outcome.Room,
        Interval = outcome.Interval,
        DurationS = outcome.DurationS,
        PrintStartS = outcome.PrintStartS,
        PrintEndS = outcome.PrintEndS,
        Jobs = [.. outcome.Jobs.Select(static job => job.Job.File)],
        Zones = [.. outcome.Zones.Select(ZoneJson.Of)],
        ClearAfter = [.. outcome.ClearAfter.Select(static c => new ClearAfterJson(c.Zone, c.Agent.Id, c.Level, c.Unit, c.Of, OpenJson.Of(c.AfterPrintS)))],
        Remedies = [.. outcome.Remedies.Select(static r => new RemedyJson(r.Remedy, r.Zone, r.Agent.Id, UncertainJson.Of(r.IntegralRatio), UncertainJson.Of(r.PeakRatio)))],
        Needed = [.. outcome.Needed.Select(static n => new NeededJson(n.Zone, n.Agent.Id, n.Level, n.Unit, n.Averaging, n.Of, OpenJson.Of(n.CleanAirM3PerH)))],
        Balance = [.. outcome.Balance.Select(static b => new BalanceJson(b.Agent.Id, b.Agent.Unit, b.Emitted, b.Airborne, b.Vented, b.Deposited, b.Filtered, b.Coagulated))],
        Sorbents = outcome.Sorbents.Count == 0 ? null : [.. outcome.Sorbents.Select(static s => new SorbentJson(s.Filter, s.Zone, s.HoldsG, UncertainJson.Of(s.PrintHours)))],
        Settings = [.. outcome.Settings.Select(SettingJson.Of)],
        Diagnostics = [.. outcome.Diagnostics.Select(DiagnosticJson.Of)],
        Sources = [.. outcome.Sources.Select(SourceJson.Of)],
        Cautions = [.. outcome.Cautions],
    };
}

/// <summary>The whole document.</summary>
internal sealed record AirDocument
{
    [JsonPropertyName("schema")]
    public string Schema { get; init; } = "fumecast/air/1";

    [JsonPropertyName("version")]
    public required string Version { get; init; }

    [JsonPropertyName("room")]
    public required string Room { get; init; }

    [JsonPropertyName("interval")]
    public required double Interval { get; init; }

    [JsonPropertyName("duration_s")]
    public required double DurationS { get; init; }

    [JsonPropertyName("print_start_s")]
    public required double PrintStartS { get; init; }

    [JsonPropertyName("print_end_s")]
    public required double PrintEndS { get; init; }

    [JsonPropertyName("jobs")]
    public required string[] Jobs { get; init; }

    [JsonPropertyName("zones")]
    public required ZoneJson[] Zones { get; init; }

    [JsonPropertyName("clear_after")]
    public required ClearAfterJson[] ClearAfter { get; init; }

    [JsonPropertyName("remedies")]
    public required RemedyJson[] Remedies { get; init; }

    [JsonPropertyName("needed")]
    public required NeededJson[] Needed { get; init; }

    [JsonPropertyName("balance")]
    public required BalanceJson[] Balance { get; init; }

    [JsonPropertyName("sorbents")]
    public SorbentJson[]? Sorbents { get; init; }

    [JsonPropertyName("settings_resolved")]
    public required SettingJson[] Settings { get; init; }

    [JsonPropertyName("diagnostics")]
    public required DiagnosticJson[] Diagnostics { get; init; }

    [JsonPropertyName("sources")]
    public required SourceJson[] Sources { get; init; }

    [JsonPropertyName("cautions")]
    public required string[] Cautions { get; init; }
}

/// <summary>A zone, as JSON.</summary>
internal sealed record ZoneJson(
    [property: JsonPropertyName("zone")] string Zone,
    [property: JsonPropertyName("volume_m3")] double VolumeM3,
    [property: JsonPropertyName("is_enclosure")] bool IsEnclosure,
    [property: JsonPropertyName("agents")] LevelsJson[] Agents,
    [property: JsonPropertyName("guidelines")] GuidelineJson[] Guidelines,
    [property: JsonPropertyName("meters")] MeterJson[] Meters)
{
    /// <summary>The JSON of a zone.</summary>
    public static ZoneJson Of(ZoneAir zone) => new(
        zone.Zone, zone.VolumeM3, zone.IsEnclosure, [.. zone.Agents.Select(LevelsJson.Of)],
        [.. zone.Guidelines.Select(static g => new GuidelineJson(g.Agent.Id, g.Guideline, g.Value, g.Unit, g.Averaging, g.Body, g.Year, g.Population, g.Status, UncertainJson.Of(g.Ratio)))],
        [.. zone.Meters.Select(static m => new MeterJson(m.Meter, m.Quantity, m.Unit, UncertainJson.Of(m.Peak), UncertainJson.Of(m.MeanPrint), m.ProbabilitySeen))]);
}

/// <summary>Levels of an agent, as JSON.</summary>
internal sealed record LevelsJson
{
    [JsonPropertyName("agent")]
    public required string Agent { get; init; }

    [JsonPropertyName("unit")]
    public required string Unit { get; init; }

    [JsonPropertyName("without_print")]
    public double? WithoutPrint { get; init; }

    [JsonPropertyName("peak")]
    public required UncertainJson Peak { get; init; }

    [JsonPropertyName("peak_at_s")]
    public required double PeakAtS { get; init; }

    [JsonPropertyName("mean_15min")]
    public required UncertainJson Mean15Min { get; init; }

    [JsonPropertyName("mean_1h")]
    public required UncertainJson Mean1H { get; init; }

    [JsonPropertyName("worst_hour_at_s")]
    public required double WorstHourAtS { get; init; }

    [JsonPropertyName("mean_8h")]
    public required UncertainJson Mean8H { get; init; }

    [JsonPropertyName("mean_24h")]
    public required UncertainJson Mean24H { get; init; }

    [JsonPropertyName("mean_print")]
    public required UncertainJson MeanPrint { get; init; }

    [JsonPropertyName("end_of_print")]
    public required UncertainJson EndOfPrint { get; init; }

    [JsonPropertyName("time_integral_h")]
    public required UncertainJson TimeIntegralH { get; init; }

    [JsonPropertyName("influences")]
    public required InfluenceJson[] Influences { get; init; }

    /// <summary>The JSON of levels.</summary>
    public static LevelsJson Of(AgentLevels levels) => new()
    {
        Agent = levels.Agent.Id,
        Unit = levels.Unit,
        WithoutPrint = levels.WithoutPrint,
        Peak = UncertainJson.Of(levels.Peak),
        PeakAtS = levels.PeakAtS,
        Mean15Min = UncertainJson.Of(levels.Mean15Min),
        Mean1H = UncertainJson.Of(levels.Mean1H),
        WorstHourAtS = levels.WorstHourAtS,
        Mean8H = UncertainJson.Of(levels.Mean8H),
        Mean24H = UncertainJson.Of(levels.Mean24H),
        MeanPrint = UncertainJson.Of(levels.MeanPrint),
        EndOfPrint = UncertainJson.Of(levels.EndOfPrint),
        TimeIntegralH = UncertainJson.Of(levels.TimeIntegralH),
        Influences = [.. levels.Influences.Select(static i => new InfluenceJson(i.Name, i.Share))],
    };
}

/// <summary>What makes a result uncertain, as JSON.</summary>
internal sealed record InfluenceJson([property: JsonPropertyName("figure")] string Figure, [property: JsonPropertyName("share")] double Share);

/// <summary>A level against a guideline, as JSON.</summary>
internal sealed record GuidelineJson(
    [property: JsonPropertyName("agent")] string Agent,
    [property: JsonPropertyName("guideline")] string Guideline,
    [property: JsonPropertyName("value")] double Value,
    [property: JsonPropertyName("unit")] string Unit,
    [property: JsonPropertyName("averaging")] string Averaging,
    [property: JsonPropertyName("body")] string Body,
    [property: JsonPropertyName("year")] int? Year,
    [property: JsonPropertyName("population")] string Population,
    [property: JsonPropertyName("status")] string Status,
    [property: JsonPropertyName("ratio")] UncertainJson Ratio);

/// <summary>What a meter shows, as JSON.</summary>
internal sealed record MeterJson(
    [property: JsonPropertyName("meter")] string Meter,
    [property: JsonPropertyName("quantity")] string Quantity,
    [property: JsonPropertyName("unit")] string Unit,
    [property: JsonPropertyName("peak")] UncertainJson Peak,
    [property: JsonPropertyName("mean_print")] UncertainJson MeanPrint,
    [property: JsonPropertyName("probability_seen")] double ProbabilitySeen);

/// <summary>An uncertain number whose ends may lie beyond what was followed: those are left out.</summary>
internal sealed record OpenJson(
    [property: JsonPropertyName("low")] double? Low,
    [property: JsonPropertyName("median")] double? Median,
    [property: JsonPropertyName("high")] double? High)
{
    /// <summary>The JSON of a number.</summary>
    public static OpenJson Of(Uncertain value) => new(Finite(value.Low), Finite(value.Median), Finite(value.High));

    private static double? Finite(double value) => double.IsFinite(value) ? value : null;
}

/// <summary>When a level is below another, as JSON.</summary>
internal sealed record ClearAfterJson(
    [property: JsonPropertyName("zone")] string Zone,
    [property: JsonPropertyName("agent")] string Agent,
    [property: JsonPropertyName("level")] double Level,
    [property: JsonPropertyName("unit")] string Unit,
    [property: JsonPropertyName("of")] string Of,
    [property: JsonPropertyName("after_print_s")] OpenJson AfterPrintS);

/// <summary>A remedy, as JSON.</summary>
internal sealed record RemedyJson(
    [property: JsonPropertyName("remedy")] string Remedy,
    [property: JsonPropertyName("zone")] string Zone,
    [property: JsonPropertyName("agent")] string Agent,
    [property: JsonPropertyName("integral_ratio")] UncertainJson IntegralRatio,
    [property: JsonPropertyName("peak_ratio")] UncertainJson PeakRatio);

/// <summary>Clean air needed, as JSON.</summary>
internal sealed record NeededJson(
    [property: JsonPropertyName("zone")] string Zone,
    [property: JsonPropertyName("agent")] string Agent,
    [property: JsonPropertyName("level")] double Level,
    [property: JsonPropertyName("unit")] string Unit,
    [property: JsonPropertyName("averaging")] string Averaging,
    [property: JsonPropertyName("of")] string Of,
    [property: JsonPropertyName("clean_air_m3_per_h")] OpenJson CleanAirM3PerH);

/// <summary>Where an agent went, as JSON.</summary>
internal sealed record BalanceJson(
    [property: JsonPropertyName("agent")] string Agent,
    [property: JsonPropertyName("unit")] string Unit,
    [property: JsonPropertyName("emitted")] double Emitted,
    [property: JsonPropertyName("airborne")] double Airborne,
    [property: JsonPropertyName("vented")] double Vented,
    [property: JsonPropertyName("deposited")] double Deposited,
    [property: JsonPropertyName("filtered")] double Filtered,
    [property: JsonPropertyName("coagulated")] double Coagulated);

/// <summary>How long a sorbent lasts, as JSON.</summary>
internal sealed record SorbentJson(
    [property: JsonPropertyName("filter")] string Filter,
    [property: JsonPropertyName("zone")] string Zone,
    [property: JsonPropertyName("holds_g")] double HoldsG,
    [property: JsonPropertyName("print_hours_at_most")] UncertainJson PrintHours);
