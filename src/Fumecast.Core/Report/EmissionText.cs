// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Uncertainty;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>The part of the summary that says what is given off, when, and how sure that is.</summary>
internal static class EmissionText
{
    private const int MaxSpecies = 5;

    /// <summary>What is said beside an interval whose upper end the cap of the model sets, where there is no room for more.</summary>
    public const string CappedInShort = "the upper end is the model's cap";

    /// <summary>Blanks between columns, and which counts have powers of ten in place of words; the first that fits is taken.</summary>
    private static readonly (int Gap, Powers Powers)[] Layouts =
        [(3, Powers.None), (2, Powers.None), (3, Powers.Intervals), (2, Powers.Intervals), (1, Powers.Intervals), (2, Powers.All), (1, Powers.All)];

    private enum Powers
    {
        None,
        Intervals,
        All,
    }

    /// <summary>Columns of most terminals [-].</summary>
    private const int UsualWidth = 80;

    /// <summary>Writes the section.</summary>
    public static void Write(TextPage page, JobEstimate estimate)
    {
        var shown = Shown(estimate.Emission, out var hidden);
        WriteTable(page, shown, estimate.Interval);

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

        page.Labelled("How sure", HowSure(shown, estimate.Interval) + Contradiction(estimate.Diagnostics));
        page.Labelled("Grades", GradeLegend(shown));
        page.Labelled("Words", $"{Explanations.See("grade")}, {Explanations.See("interval")}, {Explanations.See("TVOC")}; all: {Explanations.See("")}");
    }

    private static string InPower(Uncertainty.Uncertain value, string unit) =>
        unit == "1" && MiddlePower(value) is { } power ? $" ({power})" : "";

    /// <summary>The table fits a usual terminal: where words for large numbers are too long, intervals have powers of ten.</summary>
    private static void WriteTable(TextPage page, List<AgentEmission> shown, double interval)
    {
        List<string[]> rows = [];
        int[] widths = [];
        foreach (var (gap, powers) in Layouts)
        {
            rows = Rows(shown, interval, powers);
            widths = Widths(rows, gap);
            if (widths.Sum() <= Math.Min(page.Width, UsualWidth))
            {
                break;
            }
        }

        page.HeadingRow(widths.AsSpan(..^1), rows[0]);
        foreach (var row in rows.Skip(1))
        {
            page.Row(widths.AsSpan(..^1), row);
        }
    }

    private static List<string[]> Rows(List<AgentEmission> shown, double interval, Powers powers)
    {
        var rows = new List<string[]> { new[] { "GIVEN OFF", "about", "", Invariant($"{100 * interval:0.##} % interval"), "per gram", "grade" } };
        foreach (var emission in shown)
        {
            var isCount = emission.Unit == "1";
            var power = isCount ? MiddlePower(emission.Total) : null;
            var range = isCount && powers != Powers.None ? PowerRange(emission.Total) : Range(emission.Total, emission.Unit);
            rows.Add(
            [
                "  " + NameOf(emission), Words(emission.Total), powers == Powers.All ? "" : power ?? "", range ?? "-",
                emission.PerGram is { } perGram ? Words(perGram) : "-", emission.Grade,
            ]);

            string Words(Uncertain value) => (isCount && powers == Powers.All ? MiddlePower(value) : null) ?? Middle(value, emission.Unit);
        }

        return rows;
    }

    /// <summary>The widths of the columns with what parts them.</summary>
    private static int[] Widths(List<string[]> rows, int gap) =>
        [.. Enumerable.Range(0, rows[0].Length).Select(column => rows.Max(row => row[column].Length) + (column < rows[0].Length - 1 ? gap : 0))];

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
        var outside = new List<(string Share, List<string> Names)>();
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
                var share = Percent(emission.ExtrapolatedShare);
                if (outside.Find(one => one.Share == share) is { Names: { } alike })
                {
                    alike.Add(NameOf(emission));
                }
                else
                {
                    outside.Add((share, [NameOf(emission)]));
                }
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

        return string.Join(" ", sentences.ConvertAll(static s => $"{s.Names} {s.Words.TrimEnd('.')};")).TrimEnd(';') + "."
            + string.Concat(outside.ConvertAll(one => $" {one.Share} of {Outside(one.Names, shown.Count)} outside the range that was measured."))
            + (shown.Find(static emission => emission.HighCappedBy is not null) is { HighCappedBy: { } cap } ? $" The upper end of the particles is set by {cap}, and not by a measurement." : "");
    }

    /// <summary>That particle mass and TVOC do not go together, as a further sentence, where they do not.</summary>
    private static string Contradiction(IReadOnlyList<Diagnostic> findings) =>
        findings.FirstOrDefault(static finding => finding.Code == ForecastFindings.MassAgainstTvoc) is { Message: var message }
            ? $" {char.ToUpperInvariant(message[0])}{message[1..]}." : "";

    /// <summary>What lies outside, with its verb.</summary>
    private static string Outside(List<string> names, int all) =>
        names.Count == 1 ? $"the {names[0]} lies" : names.Count == all ? "each lies" : $"{string.Join(", ", names.GetRange(0, names.Count - 1))} and {names[^1]} lies";

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
