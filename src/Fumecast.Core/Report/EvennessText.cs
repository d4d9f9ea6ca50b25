// SPDX-License-Identifier: MIT
using Fumecast.Flow;
using Fumecast.Forecast;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes a ranking by evenness as a table with a line of advice for each job.</summary>
public static class EvennessText
{
    private const int RankWidth = 4;

    /// <summary>What stands in a table in place of the grade of a job that is too short.</summary>
    internal const string ShortSign = "short";

    /// <summary>What stands in a table behind the grade of a job whose emission was not judged.</summary>
    internal const string FlowOnlySign = "*";

    /// <summary>Writes the table.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="ranked">The jobs, best first, at least one.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, IReadOnlyList<RankedJob> ranked, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(ranked);
        ArgumentNullException.ThrowIfNull(style);
        var page = new TextPage(output, style);
        var names = JobNames.Shortened([.. ranked.Select(static job => job.Profile.File)]);
        var times = InOneForm(
        [
            .. ranked.Select(static job => job.Profile.Flow.LongestSteadyS), .. ranked.Select(static job => job.Profile.Flow.DominantPeriodS),
            .. ranked.Select(static job => (double?)job.Profile.TimeS),
        ]);
        var (steady, rhythm, time) = (times[..ranked.Count], times[ranked.Count..(2 * ranked.Count)], times[(2 * ranked.Count)..]);
        int[] others = [8, 9, 8, 7, 7, Widest(steady, "steady") + 2, Widest(rhythm, "rhythm") + 2];
        var nameWidth = JobNames.WidthOf(names, 12, RankWidth + others.Sum() + Widest(time, "time"), style);
        int[] columns = [RankWidth, nameWidth, .. others];
        var fitted = JobNames.FitAll(names, nameWidth);
        page.HeadingRow(columns, "", "JOB", "grade", "wanders", "varies", "idle", "near", "steady", "rhythm", "time");
        for (var i = 0; i < ranked.Count; i++)
        {
            var flow = ranked[i].Profile.Flow;
            page.Row(
                columns, Invariant($"{ranked[i].Rank}"), fitted[i], Mark(flow),
                Share(flow.HighestWander), Share(flow.Cv), Share(flow.IdleShare), Share(flow.ShareWithin10Percent), steady[i], rhythm[i], time[i]);
            if (JobNames.IsCut(names[i], nameWidth))
            {
                page.Labelled("", names[i], labelWidth: 3);
            }

            if (EvennessAdvice.WhyThisGrade(flow) is { } why)
            {
                page.Labelled("", why, labelWidth: 3);
            }

            page.Labelled("", EvennessAdvice.For(ranked[i].Profile.Flow, ranked[i].Profile.LayerS), labelWidth: 3);
            page.Labelled("", EvennessAdvice.WhenToRead(flow), labelWidth: 3);
            if (flow.IsOfFlowAlone && ranked[i].Profile.SourceMissing is { } missing)
            {
                page.Labelled("", $"{char.ToUpperInvariant(EvennessAdvice.FlowOnly[0])}{EvennessAdvice.FlowOnly[1..]}: judged by the flow alone, since {missing}.", labelWidth: 3);
            }
        }

        page.Gap();
        if (style.Sketches)
        {
            Sketches.Write(page, ranked, names);
        }

        if (ranked.Any(static job => job.Profile.Flow.IsTooShort))
        {
            page.Labelled(ShortSign, $"in place of a grade: {EvennessAdvice.TooShort}, so it comes after the others");
        }

        if (ranked.Any(static job => job.Profile.Flow.IsOfFlowAlone))
        {
            page.Labelled(FlowOnlySign, $"{EvennessAdvice.FlowOnly}: what is given off was not judged");
        }

        var airTimeS = ranked.Select(static job => job.Profile.Flow.PlateauTimeConstantS).FirstOrDefault(static known => known is not null) ?? RoomSmoothing.TimeConstantS;
        page.Labelled("wanders", "how far the level in the air would stray from its mean, that of flow, particles or TVOC that strays most; the grade rests on it, and on the idle share", labelWidth: 10);
        page.Labelled("varies", Invariant($"standard deviation over mean of the flow in steps of {ranked[0].Profile.Flow.IntervalS:0.##} s, idle time included"));
        page.Labelled("idle", "share of the print phase without flow");
        page.Labelled("near", "share of the time with flow that lies within 10 % of the median; steady: the longest such stretch");
        page.Labelled("rhythm", "time after which the flow repeats itself" + (steady.Concat(rhythm).Concat(time).Any(static cell => cell.Contains(':', StringComparison.Ordinal)) ? "; 0:01:44 is 1 min 44 s" : ""));
        page.Labelled("grade", Invariant($"how steady the level in the air would be, once air of {Duration(airTimeS)} has smoothed the flow, the particles and the TVOC; the worst of them counts. ")
            + Invariant($"flat: it wanders by at most {100 * RoomSmoothing.FlatWander:0} %, idle at most {100 * RoomSmoothing.FlatIdleShare:0} %; ")
            + Invariant($"fair: {100 * RoomSmoothing.FairWander:0} % and {100 * RoomSmoothing.FairIdleShare:0} %. A plateau long enough to be read also makes a job fair, and flat where it is most of the print.")
            + $" More: {Explanations.See("evenness grade")}, {Explanations.See("air time")}, {Explanations.See("plateau")}.");
    }

    /// <summary>The grade of a job for a table of jobs, with its marks.</summary>
    /// <param name="flow">The figures of the job.</param>
    internal static string Mark(FlowEvenness flow) =>
        (flow.IsTooShort ? ShortSign : FlowJson.GradeName(flow.Grade) ?? "-") + (flow.IsOfFlowAlone ? FlowOnlySign : "");

    private static int Widest(string[] cells, string head) => cells.Append(head).Max(static cell => cell.Length);

    private static string Share(double? share) => share switch
    {
        null => "-",
        >= 0.0005 and < 0.0995 => Invariant($"{100 * share:0.0} %"),
        < 0.0005 => "0 %",
        _ => Percent(share.Value),
    };
}
