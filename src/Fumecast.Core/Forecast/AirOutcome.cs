// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.GCode;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>What sources do to the air of a room. Levels are those added by the sources, in 1/cm3 for particles by number and ug/m3 for all else.</summary>
public sealed record AirOutcome
{
    /// <summary>Id of the room, or <c>room</c> where options describe it.</summary>
    public required string Room { get; init; }

    /// <summary>Coverage of all intervals, over 0 and below 1 [-].</summary>
    public required double Interval { get; init; }

    /// <summary>How long the air was followed [s].</summary>
    public required double DurationS { get; init; }

    /// <summary>Start of the first print or other source [s].</summary>
    public required double PrintStartS { get; init; }

    /// <summary>End of the last [s].</summary>
    public required double PrintEndS { get; init; }

    /// <summary>Time of day at the beginning [s], 0 to 86400.</summary>
    public double TimeOfDayS { get; init; }

    /// <summary>The zones, in the order of the room.</summary>
    public required IReadOnlyList<ZoneAir> Zones { get; init; }

    /// <summary>When levels are below others for good.</summary>
    public IReadOnlyList<ClearedAir> ClearAfter { get; init; } = [];

    /// <summary>Remedies against the room as it is; empty unless asked for.</summary>
    public IReadOnlyList<RemedyRatio> Remedies { get; init; } = [];

    /// <summary>Clean air that keeps levels.</summary>
    public IReadOnlyList<CleanAirNeed> Needed { get; init; } = [];

    /// <summary>Where everything went, at the middle of all figures.</summary>
    public required IReadOnlyList<AgentBalance> Balance { get; init; }

    /// <summary>How long sorbents of stated capacity last at the most.</summary>
    public IReadOnlyList<SorbentLife> Sorbents { get; init; } = [];

    /// <summary>Levels over time, for pictures and tables; empty unless asked for.</summary>
    public IReadOnlyList<LevelSeries> Series { get; init; } = [];

    /// <summary>When each print or other source ran, in the order in which they were given.</summary>
    public IReadOnlyList<SourceTime> SourceTimes { get; init; } = [];

    /// <summary>What the jobs give off, each job once; empty for other sources.</summary>
    public IReadOnlyList<JobEstimate> Jobs { get; init; } = [];

    /// <summary>The choices the result rests on.</summary>
    public IReadOnlyList<ResolvedSetting> Settings { get; init; } = [];

    /// <summary>What was found on the way.</summary>
    public IReadOnlyList<Diagnostic> Diagnostics { get; init; } = [];

    /// <summary>Sources of the figures that were used.</summary>
    public IReadOnlyList<SourceReference> Sources { get; init; } = [];

    /// <summary>What to know before relying on it.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];
}

/// <summary>When a print or another source ran.</summary>
/// <param name="Zone">Id of the zone it stands in.</param>
/// <param name="StartS">Its start [s].</param>
/// <param name="FlowStartS">First filament, to the cell of the run [s]; the start for what is no print or feeds none.</param>
/// <param name="FlowEndS">Last filament, to the cell of the run [s]; the end for what is no print or feeds none.</param>
/// <param name="EndS">Its end [s].</param>
public sealed record SourceTime(string Zone, double StartS, double FlowStartS, double FlowEndS, double EndS);

/// <summary>The air of one zone.</summary>
public sealed record ZoneAir
{
    /// <summary>Id of the zone.</summary>
    public required string Zone { get; init; }

    /// <summary>Volume of its air at the middle of its figure [m3].</summary>
    public required double VolumeM3 { get; init; }

    /// <summary>Whether it is a box around a printer, which nobody breathes the air of until it is opened.</summary>
    public bool IsEnclosure { get; init; }

    /// <summary>Levels by agent.</summary>
    public required IReadOnlyList<AgentLevels> Agents { get; init; }

    /// <summary>What is added, against guidelines, each over its own averaging time.</summary>
    public IReadOnlyList<GuidelineRatio> Guidelines { get; init; } = [];

    /// <summary>What meters would show of it.</summary>
    public IReadOnlyList<MeterReading> Meters { get; init; } = [];
}

/// <summary>Levels of one agent in one zone, as added by the sources [<see cref="Unit"/>].</summary>
public sealed record AgentLevels
{
    /// <summary>The agent.</summary>
    public required Agent Agent { get; init; }

    /// <summary>Unit of the levels: <c>per_cm3</c> or <c>ug_per_m3</c>.</summary>
    public string Unit => AirUnits.Of(Agent);

    /// <summary>Steady level without the sources, at the middle of all figures; null where nothing is stated about it or it has no steady level.</summary>
    public double? WithoutPrint { get; init; }

    /// <summary>The highest level.</summary>
    public required Uncertain Peak { get; init; }

    /// <summary>When it is reached, at the middle of all figures [s].</summary>
    public required double PeakAtS { get; init; }

    /// <summary>Largest mean over 15 min.</summary>
    public required Uncertain Mean15Min { get; init; }

    /// <summary>Largest mean over 1 h.</summary>
    public required Uncertain Mean1H { get; init; }

    /// <summary>When the hour of the largest mean begins, at the middle of all figures [s].</summary>
    public required double WorstHourAtS { get; init; }

    /// <summary>Largest mean over 8 h.</summary>
    public required Uncertain Mean8H { get; init; }

    /// <summary>Largest mean over 24 h.</summary>
    public required Uncertain Mean24H { get; init; }

    /// <summary>Mean from the first start to the last end.</summary>
    public required Uncertain MeanPrint { get; init; }

    /// <summary>Level at the last end.</summary>
    public required Uncertain EndOfPrint { get; init; }

    /// <summary>Integral over all time that was followed [unit h].</summary>
    public required Uncertain TimeIntegralH { get; init; }

    /// <summary>What makes the peak uncertain, the most first.</summary>
    public IReadOnlyList<AirInfluence> Influences { get; init; } = [];
}

/// <summary>How much of the width of a result comes from one figure.</summary>
/// <param name="Name">The figure, in plain words.</param>
/// <param name="Share">Share of the variance of ranks that it explains, 0 to 1 [-].</param>
public sealed record AirInfluence(string Name, double Share);

/// <summary>A level against a guideline, over the guideline's own averaging time.</summary>
public sealed record GuidelineRatio
{
    /// <summary>The agent.</summary>
    public required Agent Agent { get; init; }

    /// <summary>Id of the guideline.</summary>
    public required string Guideline { get; init; }

    /// <summary>Its level [<see cref="Unit"/>].</summary>
    public required double Value { get; init; }

    /// <summary>Unit of the level: <c>per_cm3</c> or <c>ug_per_m3</c>.</summary>
    public string Unit => AirUnits.Of(Agent);

    /// <summary>Its averaging time, as it writes it.</summary>
    public required string Averaging { get; init; }

    /// <summary>Who published it.</summary>
    public required string Body { get; init; }

    /// <summary>Year of the edition; null where it is not known.</summary>
    public required int? Year { get; init; }

    /// <summary><c>general</c> or <c>occupational</c>.</summary>
    public required string Population { get; init; }

    /// <summary>Its standing: <c>guideline</c>, <c>orientation</c>, <c>recommended</c>, <c>legal</c> or <c>superseded</c>.</summary>
    public required string Status { get; init; }

    /// <summary>One line on what it says, with its conditions.</summary>
    public required string Description { get; init; }

    /// <summary>What the sources add over it [-]; what is there without them comes on top.</summary>
    public required Uncertain Ratio { get; init; }
}

/// <summary>What a meter would show of the sources.</summary>
/// <param name="Meter">Id of the meter.</param>
/// <param name="Quantity">What it shows: <c>pm1</c>, <c>pm25</c>, <c>pm10</c>, <c>number</c>, <c>tvoc</c>.</param>
/// <param name="Unit"><c>per_cm3</c> or <c>ug_per_m3</c>.</param>
/// <param name="Peak">The highest it would show.</param>
/// <param name="MeanPrint">Its mean from the first start to the last end.</param>
/// <param name="ProbabilitySeen">Probability that its mean over the print differs from one without by more than noise, steps of its display and drift explain, 0.05 for nothing [-].</param>
public sealed record MeterReading(string Meter, string Quantity, string Unit, Uncertain Peak, Uncertain MeanPrint, double ProbabilitySeen);

/// <summary>When a level is below another for good.</summary>
/// <param name="Zone">Id of the zone.</param>
/// <param name="Agent">The agent.</param>
/// <param name="Level">The level [<see cref="Unit"/>].</param>
/// <param name="Of">What is below it: <c>named</c>, all that is in the air below a level that the user names; <c>added</c>, what the sources add below one, where it is not known what is there
/// without them; <c>outdoors</c>, what the sources add below the level outdoors.</param>
/// <param name="AfterPrintS">Time after the last end [s]; an end is infinite where it takes longer than what was followed.</param>
public sealed record ClearedAir(string Zone, Agent Agent, double Level, string Of, Uncertain AfterPrintS)
{
    /// <summary>The highest steady level without the sources from the last end on, at the middle of all figures [<see cref="Unit"/>]; null but for <c>named</c>.</summary>
    public double? WithoutPrint { get; init; }

    /// <summary>Unit of the level.</summary>
    public string Unit => AirUnits.Of(Agent);
}

/// <summary>A remedy against the room as it is: the same draws on both sides, so what they share cancels.</summary>
/// <param name="Remedy">What is changed, in plain words.</param>
/// <param name="Zone">Id of the zone.</param>
/// <param name="Agent">The agent.</param>
/// <param name="IntegralRatio">Time integral over that as it is [-].</param>
/// <param name="PeakRatio">Peak over that as it is [-].</param>
public sealed record RemedyRatio(string Remedy, string Zone, Agent Agent, Uncertain IntegralRatio, Uncertain PeakRatio);

/// <summary>Clean air that keeps what the sources add below a level.</summary>
/// <param name="Zone">Id of the zone it is delivered to.</param>
/// <param name="Agent">The agent.</param>
/// <param name="Level">The level [<see cref="Unit"/>].</param>
/// <param name="Averaging">Over which time it is kept: <c>peak</c>, or as a guideline writes it.</param>
/// <param name="Of">What the level is: <c>named</c> by the user, else the id of a guideline.</param>
/// <param name="CleanAirM3PerH">Clean air [m3/h]; an end is infinite where 1e6 do not do.</param>
public sealed record CleanAirNeed(string Zone, Agent Agent, double Level, string Averaging, string Of, Uncertain CleanAirM3PerH)
{
    /// <summary>Unit of the level.</summary>
    public string Unit => AirUnits.Of(Agent);
}

/// <summary>Where all of an agent went, at the middle of all figures, in its unit.</summary>
/// <param name="Agent">The agent.</param>
/// <param name="Emitted">Given off.</param>
/// <param name="Airborne">In the air at the end.</param>
/// <param name="Vented">Gone outdoors.</param>
/// <param name="Deposited">On surfaces.</param>
/// <param name="Filtered">In filters.</param>
/// <param name="Coagulated">Particles that stuck to others.</param>
public sealed record AgentBalance(Agent Agent, double Emitted, double Airborne, double Vented, double Deposited, double Filtered, double Coagulated);

/// <summary>How long a sorbent lasts at the most, by its stated capacity.</summary>
/// <param name="Filter">Name of the filter.</param>
/// <param name="Zone">Id of the zone it stands in.</param>
/// <param name="HoldsG">Vapour it can hold at the most, at the middle of its figures [g].</param>
/// <param name="PrintHours">Hours of such printing until it is full, an upper bound [h].</param>
public sealed record SorbentLife(string Filter, string Zone, double HoldsG, Uncertain PrintHours);

/// <summary>Level of an agent in a zone over time.</summary>
/// <param name="Zone">Id of the zone.</param>
/// <param name="Agent">The agent.</param>
/// <param name="TimesS">Times [s].</param>
/// <param name="Levels">Levels there [unit of <see cref="AgentLevels"/>].</param>
public sealed record LevelSeries(string Zone, Agent Agent, IReadOnlyList<double> TimesS, IReadOnlyList<Uncertain> Levels);

/// <summary>Units of levels as results write them.</summary>
internal static class AirUnits
{
    /// <summary>The unit of an agent's levels.</summary>
    public static string Of(Agent agent) => agent == Agent.ParticleNumber ? "per_cm3" : "ug_per_m3";

    /// <summary>Units for each m3 in one of the results.</summary>
    public static double PerM3(Agent agent) => agent == Agent.ParticleNumber ? 1e6 : 1;
}
