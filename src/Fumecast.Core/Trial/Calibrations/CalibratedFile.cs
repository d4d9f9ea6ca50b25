// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>Puts a figure of the user's own into the text of a material file; all else stays as it stands.</summary>
/// <param name="lines">The lines of the file.</param>
internal sealed class CalibratedFile(List<string> lines)
{
    private const string Mend = "start from one in block form: fumecast materials template ID";

    /// <summary>Writes the file of a calibrated material and reads it back.</summary>
    /// <param name="source">The file of the base.</param>
    /// <param name="parts">What is new in it.</param>
    /// <param name="catalogue">Knows the shared rules and sources.</param>
    /// <returns>Its text.</returns>
    /// <exception cref="InputProblem">The base is written so that nothing can be put into it.</exception>
    public static string Write(DataFile source, CalibratedParts parts, MaterialCatalogue catalogue)
    {
        var file = new CalibratedFile([.. source.Text.ReplaceLineEndings("\n").TrimStart('\uFEFF').TrimEnd('\n').Split('\n')]);
        file.Top("id", parts.Id);
        file.Top("name", Quoted(parts.Name));
        file.Factor(parts);
        file.Sources(parts.Sources);
        file.Remark(parts.Remark);
        var text = string.Join('\n', file.Lines) + "\n";
        Check(source, text, parts, catalogue);
        return text;
    }

    private List<string> Lines => lines;

    /// <summary>A text on one line that YAML reads as it stands.</summary>
    public static string Quoted(string text) => $"'{OneLine(text).Replace("'", "''", StringComparison.Ordinal)}'";

    /// <summary>A text without line ends and other signs that steer.</summary>
    public static string OneLine(string text) =>
        string.Concat(text.Select(static letter => char.IsControl(letter) || letter is '\u2028' or '\u2029' or '\uFEFF' ? ' ' : letter));

    private void Top(string key, string value)
    {
        var at = lines.FindIndex(line => line.StartsWith(key + ":", StringComparison.Ordinal));
        if (at >= 0)
        {
            lines.RemoveRange(at, EndOf(at, 0) - at);
            lines.Insert(at, $"{key}: {value}");
        }
    }

    private void Remark(string remark)
    {
        var at = Math.Max(0, lines.FindIndex(static line => line.StartsWith("schema:", StringComparison.Ordinal)));
        lines.Insert(at, $"# {remark}");
    }

    private void Factor(CalibratedParts parts)
    {
        var head = lines.FindIndex(static line => IsHead(line, "factors"));
        if (head < 0 || FirstBelow(head) is not { } first)
        {
            return;
        }

        var indent = Indent(lines[first]);
        var lead = new string(' ', indent);
        var end = EndOf(head, 0);
        int Find(string key) => lines.FindIndex(head, end - head, line => line.StartsWith($"{lead}{key}:", StringComparison.Ordinal));

        var at = Find(parts.Factor);
        if (at >= 0)
        {
            lines.RemoveRange(at, EndOf(at, indent) - at);
        }
        else
        {
            at = Find("tvoc") is >= 0 and var before ? EndOf(before, indent) : first;
        }

        lines.InsertRange(at,
        [
            $"{lead}{parts.Factor}:",
            $"{lead}  # before: {parts.Before}",
            $"{lead}  value: {Written(parts.Figure.Value)} {parts.Figure.Quantity.HeldUnit}",
            $"{lead}  at: {Written(parts.Figure.AtC ?? 0)} degC",
            $"{lead}  gsd: {Written(parts.Figure.Gsd ?? 1)}",
            $"{lead}  source: [{string.Join(", ", parts.Figure.Origin.Sources)}]",
            $"{lead}  where: {Quoted(parts.Figure.Origin.Where)}",
            $"{lead}  known: derived",
            $"{lead}  grade: {parts.Figure.Origin.Grade}",
            $"{lead}  why: {Quoted(parts.Figure.Origin.Why ?? "")}",
        ]);
    }

    private void Sources(IReadOnlyList<(string Id, string Citation)> sources)
    {
        var head = lines.FindIndex(static line => IsHead(line, "sources"));
        if (head < 0)
        {
            head = lines.Count;
            lines.Add("sources:");
        }

        var lead = new string(' ', FirstBelow(head) is { } first ? Indent(lines[first]) : 2);
        lines.InsertRange(head + 1, sources.SelectMany(source => (string[])[$"{lead}{source.Id}:", $"{lead}  citation: {Quoted(source.Citation)}", $"{lead}  known: measured"]));
    }

    private static bool IsHead(string line, string key) => line.StartsWith(key + ":", StringComparison.Ordinal) && line[(key.Length + 1)..].TrimStart() is "" or ['#', ..];

    private int? FirstBelow(int head) => lines.FindIndex(head + 1, IsContent) is >= 0 and var first && Indent(lines[first]) > 0 ? first : null;

    /// <summary>The line after the last one that belongs to a key: remarks and empty lines before the next key are its own.</summary>
    private int EndOf(int at, int indent)
    {
        var end = at + 1;
        for (var i = end; i < lines.Count && (!IsContent(lines[i]) || Indent(lines[i]) > indent); i++)
        {
            end = IsContent(lines[i]) ? i + 1 : end;
        }

        return end;
    }

    private static bool IsContent(string line) => line.TrimStart() is { Length: > 0 } text && text[0] != '#';

    private static int Indent(string line) => line.Length - line.TrimStart(' ').Length;

    private static string Written(double value) => value.ToString("G6", CultureInfo.InvariantCulture).Replace("E+", "e", StringComparison.Ordinal).Replace("E-", "e-", StringComparison.Ordinal);

    private static void Check(DataFile source, string text, CalibratedParts parts, MaterialCatalogue catalogue)
    {
        var problem = "nothing can be put into it";
        try
        {
            var (before, now) = (catalogue.Read(source), catalogue.Read(new DataFile(parts.Id + ".yaml", text)));
            var figure = parts.Of(now);
            var others = now.Figures().Where(pair => pair.Figure != figure).Select(static pair => (pair.Name, pair.Figure.Value, pair.Figure.Gsd, pair.Figure.AtC));
            var old = parts.Of(before);
            if (now.Id == parts.Id && figure is not null && Math.Abs(figure.Value / parts.Figure.Value - 1) < 1e-5
                && others.SequenceEqual(before.Figures().Where(pair => pair.Figure != old).Select(static pair => (pair.Name, pair.Figure.Value, pair.Figure.Gsd, pair.Figure.AtC))))
            {
                return;
            }
        }
        catch (InputProblem found)
        {
            problem = found.Message;
        }

        throw new InputProblem($"{source.Name}: a measured figure cannot be put into this file ({problem}); {Mend}");
    }
}

/// <summary>What is new in the file of a calibrated material.</summary>
internal sealed record CalibratedParts
{
    /// <summary>Its id.</summary>
    public required string Id { get; init; }

    /// <summary>Its name.</summary>
    public required string Name { get; init; }

    /// <summary>Key of the factor.</summary>
    public required string Factor { get; init; }

    /// <summary>Finds the figure in a material.</summary>
    public required Func<Material, Figure?> Of { get; init; }

    /// <summary>The figure.</summary>
    public required Figure Figure { get; init; }

    /// <summary>What stood there before, in words.</summary>
    public required string Before { get; init; }

    /// <summary>Where the file comes from, in words.</summary>
    public required string Remark { get; init; }

    /// <summary>The measurements.</summary>
    public required IReadOnlyList<(string Id, string Citation)> Sources { get; init; }
}
