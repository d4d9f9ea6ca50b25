// SPDX-License-Identifier: MIT
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>The plan of a trial: what a meter will see of a job without and with a filter, and what to do when.</summary>
public sealed record PlanOutcome
{
    /// <summary>Coverage of all intervals [-].</summary>
    public required double Interval { get; init; }

    /// <summary>The job as it was named.</summary>
    public required string Job { get; init; }

    /// <summary>Mass that the job lays down [g].</summary>
    public required double MassG { get; init; }

    /// <summary>Volume of filament that it lays down in a second, from the first filament to the last [mm3/s].</summary>
    public required double FlowMm3PerS { get; init; }

    /// <summary>From the first filament to the last [s].</summary>
    public required double PrintS { get; init; }

    /// <summary>Id of the room, or <c>room</c> where options describe it.</summary>
    public required string Room { get; init; }

    /// <summary>Zone that the meter stands in.</summary>
    public required string Zone { get; init; }

    /// <summary>Volume of its air [m3].</summary>
    public required double VolumeM3 { get; init; }

    /// <summary>Id of the meter.</summary>
    public required string Meter { get; init; }

    /// <summary>Id of the filter.</summary>
    public required string Filter { get; init; }

    /// <summary>What was asked.</summary>
    public required PlanOptions Options { get; init; }

    /// <summary>What the meter shows, in its order; empty where nothing of it is given off.</summary>
    public required IReadOnlyList<PlannedQuantity> Quantities { get; init; }

    /// <summary>The one to look at: that which shows the difference most surely; null where there is none.</summary>
    public PlannedQuantity? Best { get; init; }

    /// <summary>What would make the difference easier to see, the most first; empty where it is likely to be seen.</summary>
    public required IReadOnlyList<PlanHelp> Help { get; init; }

    /// <summary>From the start of the print until 95 % of the plateau are there [s]; null where nothing is seen.</summary>
    public double? WaitS { get; init; }

    /// <summary>Time to average on the plateau [s]; null where nothing is seen, or a month would not do.</summary>
    public double? AverageS { get; init; }

    /// <summary>Time to log before each print [s].</summary>
    public required double BeforeS { get; init; }

    /// <summary>Time to log after each print [s].</summary>
    public required double LogAfterS { get; init; }

    /// <summary>The parts of the trial, in order.</summary>
    public required IReadOnlyList<PlannedRun> Runs { get; init; }

    /// <summary>What to do when.</summary>
    public required IReadOnlyList<PlannedStep> Steps { get; init; }

    /// <summary>What the plan rests on.</summary>
    public required IReadOnlyList<ResolvedSetting> Settings { get; init; }

    /// <summary>What was found while reading.</summary>
    public required IReadOnlyList<Diagnostic> Diagnostics { get; init; }

    /// <summary>Sources of the figures that were used.</summary>
    public required IReadOnlyList<SourceReference> Sources { get; init; }

    /// <summary>What to know before relying on it.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }
}

/// <summary>Whether a trial will show the difference that a filter makes.</summary>
public enum PlanSight
{
    /// <summary>It is likely to: two in three at least.</summary>
    Likely,

    /// <summary>It may or may not.</summary>
    AsLikelyAsNot,

    /// <summary>It is not: one in three at most.</summary>
    No,
}

/// <summary>What one quantity of the meter will show. Plateaus are what the print would add were it to go on for ever, at its mean flow.</summary>
public sealed record PlannedQuantity
{
    /// <summary>Probability from which on it is likely [-].</summary>
    internal const double LikelyFrom = 2.0 / 3;

    /// <summary>What is shown: <c>pm1</c>, <c>pm25</c>, <c>pm10</c>, <c>number</c>, <c>tvoc</c>.</summary>
    public required string Quantity { get; init; }

    /// <summary><c>per_cm3</c> or <c>ug_per_m3</c>.</summary>
    public required string Unit { get; init; }

    /// <summary>Plateau without the filter.</summary>
    public required Uncertain Without { get; init; }

    /// <summary>Plateau with it.</summary>
    public required Uncertain With { get; init; }

    /// <summary>The difference.</summary>
    public required Uncertain Difference { get; init; }

    /// <summary>Plateau with the filter over that without [-]; null where there is none without.</summary>
    public Uncertain? Ratio { get; init; }

    /// <summary>How fast the level falls after the print without the filter [1/h]; null where nothing is shown.</summary>
    public Uncertain? LossPerH { get; init; }

    /// <summary>Difference of two such runs that 95 % of comparisons show by the meter's own noise alone, the plateaus averaged as long as the background: Currie's limit.</summary>
    public required double Detectable { get; init; }

    /// <summary>Noise of one reading: standard deviation without a print.</summary>
    public required double Noise { get; init; }

    /// <summary>Step of the display.</summary>
    public required double Resolution { get; init; }

    /// <summary>Whether the noise is less than half a step of the display: a level between two steps then stays unseen however long it is averaged.</summary>
    public required bool IsResolutionLimited { get; init; }

    /// <summary>Probability that one pair of runs shows the difference, over all that is not known of the emission, the room and the filter, days included [-].</summary>
    public required double ProbabilitySeen { get; init; }

    /// <summary>Probability that it does if emission, room and filter are as in the middle of what is thought [-].</summary>
    public required double ProbabilityInTheMiddle { get; init; }

    /// <summary>Pairs of runs that show it as surely as was asked, over all that is not known; null where the most that were tried do not.</summary>
    public int? Pairs { get; init; }

    /// <summary>Pairs of runs that show it as surely as was asked in the middle; null where the most that were tried do not.</summary>
    public int? PairsInTheMiddle { get; init; }

    /// <summary>The probability in words.</summary>
    public PlanSight Sight => ProbabilitySeen >= LikelyFrom ? PlanSight.Likely : ProbabilitySeen > 1 - LikelyFrom ? PlanSight.AsLikelyAsNot : PlanSight.No;
}

/// <summary>What would help.</summary>
public enum PlanHelpKind
{
    /// <summary>More filament in each hour, by a test print.</summary>
    HigherFlow,

    /// <summary>A smaller room with the same air changes, or a box around printer and meter.</summary>
    SmallerRoom,

    /// <summary>A counter of particles.</summary>
    NumberCounter,

    /// <summary>A longer print.</summary>
    LongerRun,

    /// <summary>More pairs of runs.</summary>
    MorePairs,
}

/// <summary>Something that makes the difference easier to see.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Amount">The flow [mm3/s], the volume [m3], the time of printing [s], the number of pairs, or 1 for the counter.</param>
/// <param name="Times">By how much it is changed [-].</param>
/// <param name="ProbabilitySeen">Probability that the trial then shows the difference [-].</param>
public sealed record PlanHelp(PlanHelpKind Kind, double Amount, double Times, double ProbabilitySeen);

/// <summary>One part of a trial.</summary>
/// <param name="Order">Its place, from 1 on.</param>
/// <param name="What"><c>background</c>, <c>base</c>, <c>air out</c> or <c>remedy</c>.</param>
/// <param name="StartS">From switching on the meter [s].</param>
/// <param name="DurationS">How long it lasts [s].</param>
public sealed record PlannedRun(int Order, string What, double StartS, double DurationS);

/// <summary>One step of the checklist.</summary>
/// <param name="AtS">From switching on the meter [s].</param>
/// <param name="Do">What to do.</param>
public sealed record PlannedStep(double AtS, string Do);
