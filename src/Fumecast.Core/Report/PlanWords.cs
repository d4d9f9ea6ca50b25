// SPDX-License-Identifier: MIT
using Fumecast.Trial;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>The plan of a trial in sentences; the same in text and JSON.</summary>
internal static class PlanWords
{
    private const double BoxM3 = 2;

    /// <summary>First of all: whether this meter can see the difference.</summary>
    public static string Verdict(PlanOutcome plan) => plan.Best is not { } best
        ? $"No: {plan.Meter} shows nothing of what this print gives off, so a trial with it would say nothing of {plan.Filter}."
        : $"{Answer(best.Sight)} one run without and one with {plan.Filter} would show the difference in {TrialWords.Quantity(best.Quantity)} on this meter ({plan.Meter}) in {Hundred(best.ProbabilitySeen)} trials.";

    /// <summary>Why.</summary>
    public static IEnumerable<string> Reasons(PlanOutcome plan)
    {
        if (plan.Best is not { } best)
        {
            yield break;
        }

        var unit = LogWordsOf.Unit(best.Unit);
        yield return $"Without the filter the print would lift the reading by {TrialWords.Value(best.Without, unit)} were it to go on, with it by {TrialWords.Value(best.With, unit)}; the noise of a reading is {TrialWords.Number(best.Noise)} {unit}. If emission, room and filter are as in the middle of what is known, {Hundred(best.ProbabilityInTheMiddle)} trials show it.";
        if (best.ProbabilityInTheMiddle - best.ProbabilitySeen > 0.15)
        {
            yield return "What lowers the chance is what is not known of the emission and the room, more than the meter: print once without the filter, look at the log, and plan again.";
        }

        if (best.Ratio is { Median: > 0.8 } ratio)
        {
            yield return $"The filter itself takes out little here: {Percent(ratio.Median)} are left.";
        }

        if (best.IsResolutionLimited)
        {
            yield return $"Resolution-limited: the noise is less than half a step of the display ({TrialWords.Number(best.Resolution)} {unit}), so a level between two steps stays unseen however long it is averaged.";
        }

        yield return (best.PairsInTheMiddle, best.Pairs) switch
        {
            (_, { } pairs) => $"To be {Percent(plan.Options.Certainty)} sure: {Pairs(pairs)}, over all that is not known.",
            ({ } pairs, null) => $"To be {Percent(plan.Options.Certainty)} sure: {Pairs(pairs)} if all is as in the middle; over all that is not known, no number of repeats that was tried (up to 20) will do.",
            _ => $"To be {Percent(plan.Options.Certainty)} sure, no number of repeats that was tried (up to 20) will do.",
        };
    }

    /// <summary>Something that would help, with what it leads to.</summary>
    public static string Help(PlanOutcome plan, PlanHelp help)
    {
        var what = help.Kind switch
        {
            PlanHelpKind.HigherFlow => $"more filament in each hour: {Significant(help.Amount, 2)} mm3/s in place of {Significant(plan.FlowMm3PerS, 2)} (fumecast testprint --flow {Significant(help.Amount, 2)}mm3/s --duration {Hours(plan.PrintS)}; a nozzle that melts so much is needed)",
            PlanHelpKind.SmallerRoom when help.Amount < BoxM3 => $"a box: {Significant(help.Amount, 2)} m3 of air around printer, filter and meter, with the air changes of the room",
            PlanHelpKind.SmallerRoom => $"a smaller room: {Significant(help.Amount, 2)} m3 with the same air changes",
            PlanHelpKind.NumberCounter => "a counter of particles in place of this meter: it sees the small ones, which are most of them",
            PlanHelpKind.LongerRun => $"a longer print: {Duration(help.Amount)} in place of {Duration(plan.PrintS)}",
            _ => $"repeats: {Pairs((int)help.Amount)} in place of one",
        };
        return $"{what}. Then {Hundred(help.ProbabilitySeen)} trials show it.";
    }

    /// <summary>The kind of help as JSON names it.</summary>
    public static string Kind(PlanHelpKind kind) => kind switch
    {
        PlanHelpKind.HigherFlow => "higher flow",
        PlanHelpKind.SmallerRoom => "smaller room",
        PlanHelpKind.NumberCounter => "number counter",
        PlanHelpKind.LongerRun => "longer run",
        _ => "more pairs",
    };

    /// <summary>Unit of the amount of help.</summary>
    public static string AmountUnit(PlanHelpKind kind) => kind switch
    {
        PlanHelpKind.HigherFlow => "mm3_per_s",
        PlanHelpKind.SmallerRoom => "m3",
        PlanHelpKind.LongerRun => "s",
        PlanHelpKind.MorePairs => "pairs",
        _ => "meters",
    };

    /// <summary>Whether it is seen, as JSON names it.</summary>
    public static string Sight(PlanSight sight) => sight switch
    {
        PlanSight.Likely => "likely",
        PlanSight.AsLikelyAsNot => "as likely as not",
        _ => "no",
    };

    /// <summary>What must stay the same in all runs.</summary>
    public static IReadOnlyList<string> Held { get; } =
    [
        "windows, doors and their gaps; fans, heating, cooker hood: as they are in the first run, from an hour before each print to the end of its log",
        "meter and printer in their places, the meter switched on throughout: its zero wanders after it is switched on",
        "the same spool, job, nozzle and bed; the filter's fan at the same speed, and written down",
        "people: nobody in the room, or the same ones at the same hours; no cooking, cleaning, spraying, candles",
        "the time of the day, when runs are on several days: traffic and weather change with it",
    ];

    /// <summary>A time of the plan: by the clock, where the start is given.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="atS">From switching on the meter [s].</param>
    public static string At(PlanOutcome plan, double atS) => plan.Options.Start is { } start ? Clock(start, atS) : Relative(atS);

    /// <summary>A time from switching on the meter on: <c>+1:05</c>, hours and minutes.</summary>
    public static string Relative(double atS) => Math.Round(atS / 60) is var minutes ? Invariant($"+{(long)minutes / 60}:{(long)minutes % 60:00}") : "";

    /// <summary>A time by the clock on the wall.</summary>
    public static string Clock(DateTime start, double atS) => Invariant($"{start.AddMinutes(Math.Round(atS / 60)):yyyy-MM-dd HH:mm}");

    private static string Answer(PlanSight sight) => sight switch
    {
        PlanSight.Likely => "Yes, likely:",
        PlanSight.AsLikelyAsNot => "As likely as not:",
        _ => "No, probably not:",
    };

    private static string Hundred(double share) => share >= 0.985 ? "more than 98 of 100" : share < 0.01 ? "fewer than 1 of 100" : Invariant($"about {100 * share:0} of 100");

    private static string Pairs(int pairs) => pairs == 1 ? "one pair of runs" : Invariant($"{pairs} pairs of runs");

    private static string Hours(double seconds) => seconds < 3600 ? Invariant($"{Math.Ceiling(seconds / 60):0}min") : $"{Significant(seconds / 3600, 2)}h";
}
