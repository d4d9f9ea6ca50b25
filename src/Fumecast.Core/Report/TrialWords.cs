// SPDX-License-Identifier: MIT
using Fumecast.Trial;
using Fumecast.Uncertainty;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>What a trial showed, in sentences; the same in text and JSON.</summary>
internal static class TrialWords
{
    /// <summary>A pair in one sentence that can be read out.</summary>
    /// <param name="pair">The pair.</param>
    /// <param name="interval">Coverage of the intervals [-].</param>
    public static string Verdict(PairOutcome pair, double interval)
    {
        var (what, how) = (Quantity(pair.Quantity), Invariant($"{100 * interval:0} %"));
        var filter = pair.Filter is { } named ? $"'{named}'" : $"'{pair.Run}'";
        var isPlural = pair.Runs > 2 ? Invariant($"Over {pair.Runs} runs, ") : "";
        return pair.Effect switch
        {
            PairEffect.Less when pair.Ratio is null && pair.CleanAirM3PerH is { } clean => $"{what} fell faster with {filter}: {Air(clean)} of clean air ({how}).",
            PairEffect.Less when pair.RatioWithDays is { Low: <= 0 } ratio => $"{Start(isPlural, what)} was lower with {filter}: at least {Percent(1 - Math.Min(1, ratio.High))} less of what the print adds ({how}); its log lies at its background.",
            PairEffect.Less when pair.RatioWithDays is { } ratio => $"{Start(isPlural, what)} was lower with {filter}: {Percent(1 - ratio.Median)} less of what the print adds, {Percent(1 - Math.Min(1, ratio.High))} to {Percent(1 - ratio.Low)} less ({how}, the day's difference allowed for){Clean(pair)}.",
            PairEffect.Less => $"{Start(isPlural, what)} was lower with {filter}.",
            PairEffect.More when pair.RatioWithDays is { } ratio => $"{Start(isPlural, what)} was higher with {filter}: {Significant(ratio.Median, 2)} times what the print adds without it ({Significant(ratio.Low, 2)} to {Significant(ratio.High, 2)}, {how}); look for another source, or for air that changed.",
            PairEffect.More => $"{what} fell more slowly with {filter}.",
            PairEffect.NoneSeen when pair.RatioWithDays is { } ratio => $"No effect of {filter} on {what} was seen: it takes out at most {Percent(1 - Math.Min(1, ratio.Low))} ({how}).",
            _ => $"These runs do not tell whether {filter} lowers {what}{(pair.WhyNot is { } why ? ": " + why : "")}.",
        };
    }

    /// <summary>How sure that is, and what it cannot tell.</summary>
    public static string HowSure(PairOutcome pair) => pair.Runs > 2
        ? "The runs themselves are the sample: how they scatter holds meter and days."
        : "One run each: the interval holds the meter's noise and an assumed difference of days; repeats would show the days themselves.";

    /// <summary>The effect as JSON names it.</summary>
    public static string Effect(PairEffect effect) => effect switch
    {
        PairEffect.Less => "less",
        PairEffect.More => "more",
        PairEffect.NoneSeen => "none seen",
        _ => "cannot tell",
    };

    /// <summary>A quantity as a person names it.</summary>
    public static string Quantity(string name) => name.Split('#') is var parts && Named(parts[0]) is var named && parts.Length > 1 ? $"{named} (column {parts[1]})" : named;

    /// <summary>A value with its interval and unit.</summary>
    public static string Value(Uncertain value, string unit) => $"{Number(value.Median)} ({Number(value.Low)} to {Number(value.High)}){(unit.Length > 0 ? " " + unit : "")}";

    /// <summary>A number as it is read.</summary>
    public static string Number(double value) => Math.Abs(value) >= 1e5 ? Power(value, 3) : Significant(value, 3);

    private static string Start(string lead, string what) => lead.Length > 0 ? lead + what : what;

    private static string Clean(PairOutcome pair) => pair.CleanAirM3PerH is { } clean ? pair.CleanAirMayBeNone ? $", at most {Significant(clean.High, 2)} m3/h of clean air" : $", {Air(clean)} of clean air" : "";

    private static string Air(Uncertain clean) => $"{Significant(clean.Median, 2)} m3/h ({Significant(clean.Low, 2)} to {Significant(clean.High, 2)})";

    private static string Percent(double share) => Invariant($"{100 * share:0} %");

    private static string Named(string kind) => kind switch
    {
        "pm1" => "PM1",
        "pm25" => "PM2.5",
        "pm4" => "PM4",
        "pm10" => "PM10",
        "number" => "particle number",
        "tvoc" => "TVOC",
        "co2" => "CO2",
        _ => kind,
    };
}
