// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.GCode;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes an estimate as a summary that a maker understands at a glance.</summary>
public static class EstimateText
{
    private const int MaxSpecies = 5;
    private const int MaxFindings = 12;
    private static readonly int[] Columns = [22, 17, 29, 16];

    /// <summary>Writes the summary.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="estimate">The estimate.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, JobEstimate estimate, TextStyle style)
    {
        var page = new TextPage(output, style);
        page.Lead(Headline(estimate));
        page.Gap();
        WriteEmission(page, estimate);
        page.Gap();
        WriteJob(page, estimate);
        WriteSettings(page, estimate.Settings);
        WriteFindings(page, estimate.Diagnostics);
        WriteSources(page, estimate.Sources);
        WriteCautions(page, estimate.Cautions);
    }

    private static string Headline(JobEstimate estimate)
    {
        var parts = new List<string>();
        if (Find(estimate, "particle_number") is { } number)
        {
            parts.Add($"{About(number)} particles{From(number)}");
        }

        if (Find(estimate, "tvoc") is { } vapours)
        {
            parts.Add($"{About(vapours)}{(vapours.Total.High > 0 ? " of" : "")} volatile organic compounds{From(vapours)}");
        }

        var what = parts.Count == 0 ? "nothing that is known of" : string.Join(" and ", parts);
        return $"{estimate.Job.File} will give off {what} in {Duration(estimate.Job.Time.TotalS)}.";
    }

    private static string About(AgentEmission emission) =>
        emission.Total.High <= 0 ? "no" : "about " + Middle(emission.Total, emission.Unit);

    private static string From(AgentEmission emission) =>
        Range(emission.Total, emission.Unit) is { } range ? $" (from {range})" : "";

    private static AgentEmission? Find(JobEstimate estimate, string agent)
    {
        foreach (var emission in estimate.Emission)
        {
            if (emission.Agent == agent)
            {
                return emission;
            }
        }

        return null;
    }

    private static void WriteEmission(TextPage page, JobEstimate estimate)
    {
        var shown = Shown(estimate.Emission, out var hidden);
        page.Heading(Cells("GIVEN OFF", "about", Invariant($"{100 * estimate.Interval:0.##} % interval"), "per gram", "grade"));
        foreach (var emission in shown)
        {
            page.Row(
                Columns, "  " + emission.DisplayName, Middle(emission.Total, emission.Unit), Range(emission.Total, emission.Unit) ?? "-",
                emission.PerGram is { } perGram ? Middle(perGram, emission.Unit) : "-", emission.Grade);
        }

        if (hidden > 0)
        {
            page.Labelled("", Invariant($"and {hidden} more in --format json"), 0);
        }

        page.Gap();
        if (shown.Count == 0)
        {
            return;
        }

        var main = shown[0];
        if (main.PeakPerMin.Median > 0)
        {
            page.Labelled(
                "Highest", $"{main.DisplayName}: about {Middle(main.PeakPerMin, main.Unit)} a minute, {Duration(main.PeakAtS)} after the start");
        }

        if (main.Total.Median > 0)
        {
            page.Labelled(
                "When", $"{main.DisplayName}: {Percent(main.WarmUp.Median / main.Total.Median)} while warming up, "
                + $"{Percent(main.Printing.Median / main.Total.Median)} while printing, "
                + $"{Percent(main.IdleHot.Median / main.Total.Median)} from the hot nozzle at rest");
        }

        page.Labelled("How sure", HowSure(shown));
        page.Labelled("Grades", GradeLegend(shown));
    }

    /// <summary>The measures first, then the largest species.</summary>
    private static List<AgentEmission> Shown(IReadOnlyList<AgentEmission> all, out int hidden)
    {
        var measures = new List<AgentEmission>();
        var species = new List<AgentEmission>();
        foreach (var emission in all)
        {
            (emission.Agent is "particle_number" or "particle_mass" or "tvoc" ? measures : species).Add(emission);
        }

        species.Sort(static (a, b) => b.Total.Median.CompareTo(a.Total.Median));
        hidden = Math.Max(0, species.Count - MaxSpecies);
        measures.AddRange(species.Count > MaxSpecies ? species[..MaxSpecies] : species);
        return measures;
    }

    /// <summary>Agents that are equally sure share a sentence.</summary>
    private static string HowSure(List<AgentEmission> shown)
    {
        var sentences = new List<(string Words, string Names)>();
        var outside = "";
        foreach (var emission in shown)
        {
            var at = sentences.FindIndex(s => s.Words == emission.HowSure);
            if (at < 0)
            {
                sentences.Add((emission.HowSure, emission.DisplayName));
            }
            else
            {
                sentences[at] = (emission.HowSure, $"{sentences[at].Names}, {emission.DisplayName}");
            }

            if (emission.ExtrapolatedShare >= 0.005)
            {
                outside += $" {Percent(emission.ExtrapolatedShare)} of {emission.DisplayName} lies outside the range that was measured.";
            }
        }

        return string.Join(" ", sentences.ConvertAll(static s => $"{s.Names}: {s.Words.TrimEnd('.')}.")) + outside;
    }

    private static string GradeLegend(List<AgentEmission> shown)
    {
        var legend = new List<string>();
        foreach (var (grade, meaning) in new[]
        {
            ('A', "several studies agree"), ('B', "one good study, or several that disagree"), ('C', "by analogy, or a guess"), ('D', "a bare guess"),
        })
        {
            if (shown.Exists(emission => emission.Grade.StartsWith(grade)))
            {
                legend.Add($"{grade} {meaning}");
            }
        }

        return legend.Count == 0 ? "none" : string.Join("; ", legend);
    }

    private static void WriteJob(TextPage page, JobEstimate estimate)
    {
        var job = estimate.Job;
        page.Heading("THE JOB");
        page.Labelled("Time", TimeWords(job));
        foreach (var tool in job.Tools)
        {
            page.Labelled(job.Tools.Count == 1 ? "Filament" : Invariant($"Tool {tool.Tool}"), ToolWords(tool));
        }

        var claimed = new List<string>();
        if (job.Claims.FilamentMm is { } lengthMm)
        {
            claimed.Add(Invariant($"{lengthMm / 1000:0.00} m"));
        }

        if (job.Claims.FilamentG is { } massG)
        {
            claimed.Add($"{Significant(massG, 3)} g");
        }

        if (claimed.Count > 0)
        {
            page.Labelled("", $"the file itself claims {string.Join(" and ", claimed)}");
        }

        page.Labelled("Flow", FlowWords(estimate.Flow));
    }

    private static string TimeWords(JobSummary job)
    {
        var parts = new List<string>();
        foreach (var (name, seconds) in new[]
        {
            ("moving", job.Time.MotionS), ("waiting for heat", job.Time.HeatingS), ("pauses", job.Time.DwellS), ("homing", job.Time.HomingS),
            ("tool changes", job.Time.ToolChangeS), ("macros", job.Time.MacroS),
        })
        {
            if (seconds >= 0.5)
            {
                parts.Add($"{name} {Duration(seconds)}");
            }
        }

        var words = Duration(job.Time.TotalS) + (parts.Count > 0 ? $" ({string.Join(", ", parts)})" : "");
        if (job.Time.WaitingForPersonS > 0)
        {
            words += $", and {Duration(job.Time.WaitingForPersonS)} assumed waiting for a person, not counted";
        }

        return job.Claims.TimeS is { } claimS ? $"{words}; the file itself claims {Duration(claimS)}" : words;
    }

    private static string ToolWords(ToolSummary tool)
    {
        var words = Invariant($"{tool.Material}, {tool.DepositedMm / 1000:0.00} m, {Significant(tool.DepositedG, 3)} g");
        if (tool.PurgedMm >= 0.5)
        {
            words += Invariant($" (of it {tool.PurgedMm / 1000:0.00} m purged)");
        }

        return (tool.NozzleMinC, tool.NozzleMaxC) is ({ } min, { } max)
            ? words + (max - min < 1 ? Invariant($", nozzle {max:0} degC") : Invariant($", nozzle {min:0} to {max:0} degC"))
            : words;
    }

    private static string FlowWords(FlowEvenness flow)
    {
        if (flow.MeanMm3PerS is not { } mean || flow.Grade is not { } grade)
        {
            return "none: nothing is deposited";
        }

        var words = Invariant($"{Significant(mean, 3)} mm3/s on average; {FlowJson.GradeName(grade)}");
        var why = new List<string>();
        if (flow.Cv is { } cv)
        {
            why.Add(Invariant($"varies by {Percent(cv)} at {flow.IntervalS:0.##} s"));
        }

        if (flow.IdleShare is { } idle)
        {
            why.Add($"{Percent(idle)} of the time idle");
        }

        return why.Count == 0 ? words : $"{words} ({string.Join(", ", why)})";
    }

    private static void WriteSettings(TextPage page, IReadOnlyList<ResolvedSetting> settings)
    {
        if (settings.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("RESTS ON");
        for (var i = 0; i < settings.Count && i < MaxFindings; i++)
        {
            var place = settings[i].Line is { } line ? Invariant($", line {line}") : "";
            page.Labelled(settings[i].Setting, $"{settings[i].Value} ({settings[i].Because}{place})", 20);
        }

        More(page, settings.Count);
    }

    private static void WriteFindings(TextPage page, IReadOnlyList<Diagnostic> findings)
    {
        var serious = new List<Diagnostic>();
        foreach (var finding in findings)
        {
            if (finding.Severity != Severity.Note)
            {
                serious.Add(finding);
            }
        }

        if (serious.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("WARNINGS");
        for (var i = 0; i < serious.Count && i < MaxFindings; i++)
        {
            page.Warning(DiagnosticText.Line(serious[i]));
        }

        More(page, serious.Count);
    }

    private static void More(TextPage page, int count)
    {
        if (count > MaxFindings)
        {
            page.Labelled("", Invariant($"and {count - MaxFindings} more in --format json"), 0);
        }
    }

    private static void WriteSources(TextPage page, IReadOnlyList<SourceReference> sources)
    {
        if (sources.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("SOURCES OF THESE FIGURES");
        foreach (var source in sources)
        {
            page.Point($"{source.Citation}{(source.Doi is null ? "" : $" doi:{source.Doi}")} [{source.Known}]");
        }
    }

    private static void WriteCautions(TextPage page, IReadOnlyList<string> cautions)
    {
        if (cautions.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("PLEASE NOTE");
        foreach (var caution in cautions)
        {
            page.Point(caution);
        }
    }

    private static string Cells(string first, string second, string third, string fourth, string last) =>
        first.PadRight(Columns[0]) + second.PadRight(Columns[1]) + third.PadRight(Columns[2]) + fourth.PadRight(Columns[3]) + last;
}
