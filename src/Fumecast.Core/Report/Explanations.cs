// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Report;

/// <summary>A word of the results, explained.</summary>
/// <param name="Term">The word, as results write it.</param>
/// <param name="Also">Other words for it.</param>
/// <param name="Line">What it means in one line.</param>
/// <param name="Text">What it means.</param>
/// <param name="Source">Where that is from, or that it is a choice of ours; null where there is nothing to cite.</param>
/// <param name="See">Terms that belong to it.</param>
public sealed record Explanation(string Term, IReadOnlyList<string> Also, string Line, string Text, string? Source, IReadOnlyList<string> See);

/// <summary>The words that results use, each explained once; <c>fumecast explain</c> shows them.</summary>
public static class Explanations
{
    private const string Command = "fumecast explain";
    private static readonly Lazy<IReadOnlyList<Explanation>> Known = new(Read);

    /// <summary>All terms, in alphabetical order.</summary>
    public static IReadOnlyList<Explanation> All => Known.Value;

    /// <summary>How an output points to a term, for a wrapped page: <c>fumecast explain grade</c>, never broken at a line end.</summary>
    /// <param name="term">The term.</param>
    public static string See(string term) => $"{Command} {term}".TrimEnd().Replace(' ', TextPage.HardBlank);

    /// <summary>Finds a term by any of its words, in any case.</summary>
    /// <param name="word">The word.</param>
    /// <returns>The term, or null.</returns>
    public static Explanation? Find(string word)
    {
        ArgumentNullException.ThrowIfNull(word);
        var wanted = Plain(word);
        return All.FirstOrDefault(term => Words(term).Any(known => Plain(known) == wanted));
    }

    /// <summary>Terms that were probably meant: spelt nearly so, or with the word in their name or text.</summary>
    /// <param name="word">The word, unknown.</param>
    /// <returns>At most five terms, the most likely first.</returns>
    public static IReadOnlyList<string> Near(string word)
    {
        ArgumentNullException.ThrowIfNull(word);
        var wanted = Plain(word);
        var near = new List<string>();
        if (Nearest.To(wanted, [.. All.SelectMany(Words).Select(Plain)]) is { } spelt)
        {
            near.Add(Find(spelt)!.Term);
        }

        if (wanted.Length >= 3)
        {
            near.AddRange(All.Where(term => Words(term).Any(known => Plain(known).Contains(wanted, StringComparison.Ordinal))).Select(static term => term.Term));
            near.AddRange(All.Where(term => Plain(term.Text).Contains(wanted, StringComparison.Ordinal)).Select(static term => term.Term));
        }

        return [.. near.Distinct().Take(5)];
    }

    /// <summary>Writes all terms with a line on each.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="style">Layout.</param>
    public static void WriteList(TextWriter output, TextStyle style)
    {
        var page = new TextPage(output, style);
        page.Lead("Words that the results use. One in full: fumecast explain TERM.");
        page.Gap();
        var width = All.Max(static term => ColumnWidth.Of(term.Term)) + 3;
        foreach (var term in All)
        {
            page.Labelled(term.Term, term.Line, width);
        }
    }

    /// <summary>Writes one term in full.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="term">The term.</param>
    /// <param name="style">Layout.</param>
    public static void WriteOne(TextWriter output, Explanation term, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(term);
        var page = new TextPage(output, style);
        page.Heading(term.Term + (term.Also.Count > 0 ? $" (also: {string.Join(", ", term.Also)})" : ""));
        page.Indented(term.Line + ".");
        foreach (var paragraph in term.Text.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
        {
            page.Gap();
            page.Indented(paragraph);
        }

        page.Gap();
        if (term.Source is { } source)
        {
            page.Labelled("Source", source);
        }

        if (term.See.Count > 0)
        {
            page.Labelled("See also", string.Join(", ", term.See));
        }
    }

    private static IEnumerable<string> Words(Explanation term) => [term.Term, .. term.Also];

    private static string Plain(string word) =>
        string.Join(' ', word.Replace('-', ' ').Replace('_', ' ').Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)).ToUpperInvariant();

    private static IReadOnlyList<Explanation> Read()
    {
        const string Name = "explain/terms.yaml";
        using var stream = typeof(Explanations).Assembly.GetManifestResourceStream(Name)
            ?? throw new InvalidOperationException($"the shipped file {Name} is missing from the program");
        var file = new DataFile(Name, DataFile.ReadText(stream, Name), IsShipped: true);
        return YamlMap.Read(file, static map =>
        {
            map.Schema("fumecast/terms/1");
            Explanation[] terms = [.. map.Maps("terms").Select(static term => new Explanation(
                term.Text("term"), term.Texts("also"), term.Text("short"), term.Text("text"), term.OptionalText("source"), term.Texts("see")))];
            return (IReadOnlyList<Explanation>)[.. terms.OrderBy(static term => term.Term, StringComparer.OrdinalIgnoreCase)];
        });
    }
}
