// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Forecast;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>The part of the summary that says what is given off, when, and how sure that is.</summary>
internal static class EmissionText
{
    private const int MaxSpecies = 5;

    /// <summary>Writes the section.</summary>
    public static void Write(TextPage page, JobEstimate estimate)
    {
        var shown = Shown(estimate.Emission, out var hidden);
        int[] columns = [Math.Max(17, shown.Select(static e => NameOf(e).Length + 4).DefaultIfEmpty().Max()), 14, 9, 27, 14];
        page.HeadingRow(columns, "GIVEN OFF", "about", "", Invariant($"{100 * estimate.Interval:0.##} % interval"), "per gram", "grade");
        foreach (var emission in shown)
        {
            page.Row(
                columns, "  " + NameOf(emission), Middle(emission.Total, emission.Unit), emission.Unit == "1" ? MiddlePower(emission.Total) ?? "" : "", Range(emission.Total, emission.Unit) ?? "-",
                emission.PerGram is { } perGram ? Middle(perGram, emission.Unit) : "-", emission.Grade);
        }

        if (hidden > 0)
        {
            page.Indented(Invariant($"and {hidden} more in --format json"));
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
                "Highest", $"{NameOf(main)}: about {Middle(main.PeakPerMin, main.Unit)}{InPower(main.PeakPerMin, main.Unit)} a minute, {Duration(main.PeakAtS)} after the start");
        }

        if (main.Total.Median > 0)
        {
            page.Labelled(
                "When", $"{NameOf(main)}: {Percent(main.WarmUp.Median / main.Total.Median)} while warming up, "
                + $"{Percent(main.Printing.Median / main.Total.Median)} while printing, "
                + $"{Percent(main.IdleHot.Median / main.Total.Median)} from the hot nozzle at rest");
        }

        page.Labelled("How sure", HowSure(shown, estimate.Interval));
        page.Labelled("Grades", GradeLegend(shown));
        page.Labelled("Words", $"{Explanations.See("grade")}, {Explanations.See("interval")}, {Explanations.See("TVOC")}; all: {Explanations.See("")}");
    }

    private static string InPower(Uncertainty.Uncertain value, string unit) =>
        unit == "1" && MiddlePower(value) is { } power ? $" ({power})" : "";

    /// <summary>The measures first, then the largest species.</summary>
    private static List<AgentEmission> Shown(IReadOnlyList<AgentEmission> all, out int hidden)
    {
        var measures = new List<AgentEmission>();
        var species = new List<AgentEmission>();
        foreach (var emission in all)
        {
            (emission.Agent.IsParticles || emission.Agent == Agent.Tvoc ? measures : species).Add(emission);
        }

        species.Sort(static (a, b) => b.Total.Median.CompareTo(a.Total.Median));
        hidden = Math.Max(0, species.Count - MaxSpecies);
        measures.AddRange(species.Count > MaxSpecies ? species[..MaxSpecies] : species);
        return measures;
    }

    /// <summary>Agents that are equally sure share a sentence.</summary>
    private static string HowSure(List<AgentEmission> shown, double interval)
    {
        // The table's head says it once for all.
        var coverage = Invariant($" ({100 * interval:0.##} % interval)");
        var sentences = new List<(string Words, string Names)>();
        var outside = "";
        foreach (var emission in shown)
        {
            var words = emission.HowSure.Replace(coverage, "", StringComparison.Ordinal);
            var at = sentences.FindIndex(s => s.Words == words);
            if (at < 0)
            {
                sentences.Add((words, NameOf(emission)));
            }
            else
            {
                sentences[at] = (words, $"{sentences[at].Names}, {NameOf(emission)}");
            }

            if (emission.ExtrapolatedShare >= 0.005)
            {
                outside += $" {Percent(emission.ExtrapolatedShare)} of the {NameOf(emission)} lies outside the range that was measured.";
            }
        }

        // Most sentences differ in their factor alone: it is said once what the factors are.
        const string Within = "within a factor of ";
        const string Either = " either way";
        var factors = sentences.FindAll(static s => s.Words.StartsWith(Within, StringComparison.Ordinal) && s.Words.EndsWith(Either, StringComparison.Ordinal));
        if (factors.Count > 1)
        {
            sentences.RemoveAll(s => factors.Contains(s));
            var list = string.Join(", ", factors.ConvertAll(static s => $"{s.Words[Within.Length..^Either.Length]} for {s.Names.Replace(", ", " and ", StringComparison.Ordinal)}"));
            sentences.Insert(0, (list, "within a factor, either way, of"));
        }

        return string.Join(" ", sentences.ConvertAll(static s => $"{s.Names} {s.Words.TrimEnd('.')};")).TrimEnd(';') + "." + outside;
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

    /// <summary>A name that is short enough for a table.</summary>
    private static string NameOf(AgentEmission emission) => emission.Agent switch
    {
        _ when emission.Agent == Agent.ParticleNumber => "particles",
        _ when emission.Agent == Agent.ParticleMass => "particle mass",
        _ => emission.Agent.Name,
    };
}
