// SPDX-License-Identifier: MIT
using Fumecast.Trial;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes the plan of a trial: whether the meter can see it first, then how long, and a checklist to print.</summary>
public static class PlanText
{
    private const int LabelWidth = 17;
    private const double LongestS = 86_400;
    private static readonly int[] Columns = [10, 29, 29, 10];

    /// <summary>Writes it.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, PlanOutcome plan, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(style);
        var page = new TextPage(output, style);
        page.Lead(PlanWords.Verdict(plan));
        foreach (var reason in PlanWords.Reasons(plan))
        {
            page.Paragraph(reason);
        }

        if (plan.Help.Count > 0)
        {
            page.Gap();
            page.Heading("WHAT WOULD HELP");
            foreach (var help in plan.Help)
            {
                page.Point(PlanWords.Help(plan, help));
            }
        }

        Quantities(page, plan);
        HowLong(page, plan);
        page.Gap();
        page.Heading("CHECKLIST");
        foreach (var step in plan.Steps)
        {
            page.Labelled($"[ ] {PlanWords.At(plan, step.AtS)}", step.Do, plan.Options.Start is null ? 14 : 24);
        }

        page.Paragraph("Runs may be on days of their own, at the same time of the day; each then begins with its background.");
        page.Gap();
        page.Heading("TO BE HELD");
        foreach (var held in PlanWords.Held)
        {
            page.Point(held);
        }

        page.Gap();
        page.Heading("RESTS ON");
        foreach (var setting in plan.Settings)
        {
            page.Point($"{setting.Setting}: {setting.Value} ({setting.Because})");
        }

        EstimateText.WriteFindings(page, plan.Diagnostics);
        page.Gap();
        page.Heading("CAUTION");
        foreach (var caution in plan.Cautions)
        {
            page.Point(caution);
        }
    }

    private static void Quantities(TextPage page, PlanOutcome plan)
    {
        if (plan.Quantities.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading(Invariant($"WHAT {plan.Meter} WOULD SHOW IN {plan.Zone}: plateaus, {100 * plan.Interval:0} %").ToUpperInvariant());
        page.HeadingRow(Columns, "  ", "without", $"with {plan.Filter}", "seen in");
        foreach (var quantity in plan.Quantities)
        {
            page.Row(Columns, $"  {TrialWords.Quantity(quantity.Quantity)}", TrialWords.Value(quantity.Without, ""), TrialWords.Value(quantity.With, ""), Invariant($"{100 * quantity.ProbabilitySeen:0} of 100"));
        }

        foreach (var quantity in plan.Quantities.DistinctBy(static one => (one.Unit, one.Detectable)))
        {
            var unit = LogWordsOf.Unit(quantity.Unit);
            page.Labelled(plan.Quantities.Count(one => one.Unit == quantity.Unit && one.Detectable == quantity.Detectable) > 1 ? "all" : TrialWords.Quantity(quantity.Quantity),
                $"in {unit}; a difference under {TrialWords.Number(quantity.Detectable)} {unit} is lost in the meter's own noise and drift (Currie's limit, an hour each)", LabelWidth);
        }
    }

    private static void HowLong(TextPage page, PlanOutcome plan)
    {
        page.Gap();
        page.Heading("HOW LONG");
        page.Labelled("before", $"{Duration(plan.BeforeS)} of background before each print, after the meter has warmed up", LabelWidth);
        if (plan.WaitS is { } wait)
        {
            page.Labelled("wait", $"{Duration(wait)} from the start of the print to 95 % of the plateau{(wait > plan.PrintS ? $": longer than the print ({Duration(plan.PrintS)}), so read the whole rise and fall with fumecast trial, not a plateau" : "")}", LabelWidth);
        }

        if (plan.Best is not null)
        {
            page.Labelled("average", plan.AverageS is { } average and <= LongestS
                ? $"{Duration(average)} on the plateau by the simple rule{(average + (plan.WaitS ?? 0) > plan.PrintS ? "" : "; the print is long enough")}"
                : "not to be done: by the simple rule it takes more than a day", LabelWidth);
        }

        page.Labelled("after", $"{Duration(plan.LogAfterS)} of the fall after each print, door shut", LabelWidth);
        page.Labelled("in all", $"{Duration(plan.Steps[^1].AtS)} for base, remedy and base again", LabelWidth);
    }
}
