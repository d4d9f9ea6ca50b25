// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
using Fumecast.Inputs;

namespace Fumecast.Air;

/// <summary>The rooms that are known: shipped ones with an open printer, each of them also with the shipped boxes, and those of the user's own folder.</summary>
/// <remarks>
/// <c>bedroom-leaky-box</c> is the text of the bedroom with the text of the box put into it: one file, as it would be written by hand, that can be shown, copied and changed.
/// </remarks>
internal sealed partial class RoomCatalogue() : AirCatalogue<RoomPlan>(
    "rooms", RoomFile.Schema, RoomFile.Read, static room => (AirData.Sources(room.Figures.Select(static named => named.Figure)), room.BroughtSources))
{
    private static readonly DataCatalogue Shipped = new(typeof(DataCatalogue).Assembly, "rooms", null);
    private static readonly DataCatalogue Boxes = new(typeof(DataCatalogue).Assembly, "boxes", null);

    /// <inheritdoc/>
    public override IReadOnlyList<string> Ids => [.. base.Ids.Concat(Variants()).Distinct().Order(StringComparer.Ordinal)];

    /// <inheritdoc/>
    public override DataFile Find(string idOrPath)
    {
        ArgumentNullException.ThrowIfNull(idOrPath);
        if (TryFind(idOrPath) is null && !idOrPath.AsSpan().ContainsAny('/', '\\') && !File.Exists(idOrPath))
        {
            if (Variant(idOrPath) is { } variant)
            {
                return variant;
            }

            if (Nearest.To(idOrPath, Ids) is { } near && !idOrPath.EndsWith(".yaml", StringComparison.OrdinalIgnoreCase) && !idOrPath.EndsWith(".yml", StringComparison.OrdinalIgnoreCase))
            {
                throw new InputProblem($"found no room '{idOrPath}'; did you mean '{near}'? (a path to a .yaml file works too)");
            }
        }

        return base.Find(idOrPath);
    }

    /// <summary>Whether a room of that id came with the program, also one that is put together of a room and a box.</summary>
    /// <param name="id">The id.</param>
    public static bool IsShipped(string id) => Shipped.Ids.Contains(id) || Variants().Contains(id);

    private static IEnumerable<string> Variants() => Shipped.Ids.SelectMany(static room => Boxes.Ids.Select(box => $"{room}-{box}"));

    private static DataFile? Variant(string id)
    {
        foreach (var box in Boxes.Ids.Where(box => id.EndsWith("-" + box, StringComparison.Ordinal)))
        {
            if (Shipped.TryFindShipped(id[..^(box.Length + 1)]) is { } room)
            {
                return new DataFile($"rooms/{id}.yaml", With(room.Text, Boxes.TryFindShipped(box)!.Text, id), IsShipped: true);
            }
        }

        return null;
    }

    /// <summary>The text of a room with the sections of a box at the beginning of its own, where the printer's zone belongs.</summary>
    private static string With(string room, string box, string id)
    {
        var text = IdLine().Replace(room.ReplaceLineEndings("\n"), $"id: {id}");
        foreach (Match section in Sections().Matches(box.ReplaceLineEndings("\n")))
        {
            var (key, body) = (section.Groups[1].Value, section.Groups[2].Value);
            text = key == "description"
                ? DescriptionLine().Replace(text, match => $"{match.Value}, {body.Trim()}", 1)
                : text.Replace($"\n{key}:\n", $"\n{key}:{body}", StringComparison.Ordinal);
        }

        return text;
    }

    [GeneratedRegex("^id: .*$", RegexOptions.Multiline | RegexOptions.CultureInvariant)]
    private static partial Regex IdLine();

    [GeneratedRegex("^description: .*$", RegexOptions.Multiline | RegexOptions.CultureInvariant)]
    private static partial Regex DescriptionLine();

    [GeneratedRegex(@"^([a-z]+):(.*\n(?: .*\n)*)", RegexOptions.Multiline | RegexOptions.CultureInvariant)]
    private static partial Regex Sections();
}
