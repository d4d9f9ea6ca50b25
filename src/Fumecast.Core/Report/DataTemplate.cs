// SPDX-License-Identifier: MIT
using System.Text;
using System.Text.RegularExpressions;
using Fumecast.Inputs;

namespace Fumecast.Report;

/// <summary>Writes a start for a data file of one's own, with a remark on every key.</summary>
/// <remarks>
/// The template of a kind is a sound file of that kind whose remarks stand in lines above their keys. From a file that exists, a start is made by putting the
/// same remarks above the same keys, so the remarks stand once.
/// </remarks>
internal static partial class DataTemplate
{
    /// <summary>Writes the start.</summary>
    /// <param name="to">Where to; lines end in LF.</param>
    /// <param name="kind">The kind.</param>
    /// <param name="idOrPath">A file to start from, or null for the template itself.</param>
    /// <exception cref="InputProblem">There is no such file, or it is wrong.</exception>
    public static void Write(TextWriter to, DataKind kind, string? idOrPath)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(kind);
        var template = TextOf(kind);
        if (idOrPath is null)
        {
            to.Write(template);
            return;
        }

        var file = kind.Find(idOrPath);
        var id = kind.Read(Path.GetFileNameWithoutExtension(file.Name), file).IdInFile;
        to.Write($"# Started from the {kind.One} {id}. Give it a name of its own; put it into the folder {kind.Name} of the one that\n"
            + $"# {DataCatalogue.FolderVariable} names, or give its path. Further keys: fumecast {kind.Name} template. To check it: fumecast {kind.Name} check FILE\n");
        to.Write(WithRemarks(file.Text, RemarksOf(template), id));
    }

    /// <summary>The template of a kind.</summary>
    internal static string TextOf(DataKind kind) => TextOf(kind.Name);

    /// <summary>The template of what has such a name in the plural.</summary>
    internal static string TextOf(string kind)
    {
        var name = $"templates/{kind}.yaml";
        using var stream = typeof(DataTemplate).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"the shipped file {name} is missing from the program");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }

    /// <summary>The lines of remarks that stand right above each key, by the keys that lead to it.</summary>
    private static Dictionary<string, List<string>> RemarksOf(string template)
    {
        var remarks = new Dictionary<string, List<string>>();
        var open = new List<string>();
        foreach (var (line, path) in Lines(template))
        {
            if (path is not null && open.Count > 0)
            {
                remarks.TryAdd(path, [.. open]);
            }

            if (line.TrimStart().StartsWith('#'))
            {
                open.Add(line.Trim());
            }
            else
            {
                open.Clear();
            }
        }

        return remarks;
    }

    private static string WithRemarks(string text, Dictionary<string, List<string>> remarks, string id)
    {
        var result = new StringBuilder();
        foreach (var (line, path) in Lines(text))
        {
            if (path is null && line.StartsWith("# SPDX", StringComparison.Ordinal))
            {
                continue;
            }

            if (path is not null && remarks.Remove(path, out var found))
            {
                var indent = line[..^line.TrimStart().Length];
                foreach (var remark in found)
                {
                    result.Append(indent).Append(remark).Append('\n');
                }
            }

            // What is known by its id already must not be known twice.
            result.Append(path == "id" ? $"id: my-{id}  # {DataFile.Mark}" : line).Append('\n');
        }

        return result.ToString().TrimEnd('\n') + "\n";
    }

    /// <summary>Each line with the keys that lead to the key it begins with; null for lines that begin with none.</summary>
    private static IEnumerable<(string Line, string? Path)> Lines(string text)
    {
        var above = new List<(int Indent, string Key)>();
        var block = -1;
        foreach (var raw in text.TrimEnd().Split('\n'))
        {
            var line = raw.TrimEnd('\r');
            var indent = line.Length - line.TrimStart().Length;
            if (block >= 0 && (line.Trim().Length == 0 || indent > block))
            {
                // Text of a value that goes over several lines.
                yield return (line, null);
                continue;
            }

            block = -1;
            if (KeyOfALine().Match(line) is not { Success: true } match)
            {
                yield return (line, null);
                continue;
            }

            above.RemoveAll(key => key.Indent >= indent);
            above.Add((indent, match.Groups[1].Value));
            block = match.Groups[2].Value is "|" or ">" ? indent : -1;
            yield return (line, string.Join('.', above.Select(static key => key.Key)));
        }
    }

    [GeneratedRegex(@"^ *([A-Za-z_][A-Za-z0-9_-]*):(?: +([|>])?.*)?$", RegexOptions.CultureInvariant)]
    private static partial Regex KeyOfALine();
}
