// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Emission;

/// <summary>A material that a word means.</summary>
/// <param name="Id">Id of the material.</param>
/// <param name="Note">What is doubtful about it; null when nothing is.</param>
/// <param name="Wider">How much wider than that of the material the spread of its particles is, in logarithms, at least 1 [-].</param>
internal sealed record WordMatch(string Id, string? Note, double Wider = 1);

/// <summary>Words for materials as found in job comments.</summary>
internal sealed class MaterialWords
{
    /// <summary>Longest phrase that is looked at; comments may carry anything.</summary>
    private const int MaxLength = 80;

    private readonly Dictionary<string, WordMatch> _words;

    private MaterialWords(Dictionary<string, WordMatch> words) => _words = words;

    public static MaterialWords Read(DataFile data) => YamlMap.Read(data, map =>
    {
        _ = map.Text("schema");
        var words = new Dictionary<string, WordMatch>();
        foreach (var entry in map.Maps("words"))
        {
            var match = new WordMatch(entry.Text("material"), entry.OptionalText("note"), entry.OptionalNumber("wider", Quantity.Number, 1, 3) ?? 1);
            foreach (var word in entry.Texts("words"))
            {
                if (!words.TryAdd(Normal(word), match))
                {
                    throw entry.Problem("words", $"'{word}' stands twice; remove one");
                }
            }
        }

        return new MaterialWords(words);
    });

    /// <summary>All ids that words lead to.</summary>
    public IEnumerable<string> Ids => _words.Values.Select(m => m.Id).Distinct();

    /// <summary>Tries the whole phrase, then ever shorter runs of its words: "Generic ABS" means ABS, "PLA-CF" is not PLA.</summary>
    public WordMatch? Find(string phrase, IReadOnlyList<string> ids)
    {
        var parts = Normal(phrase.Length <= MaxLength ? phrase : phrase[..MaxLength]).Split('-', StringSplitOptions.RemoveEmptyEntries);
        for (var length = parts.Length; length > 0; length--)
        {
            for (var start = 0; start + length <= parts.Length; start++)
            {
                var word = string.Join('-', parts, start, length);
                if (_words.TryGetValue(word, out var match) || _words.TryGetValue(word.TrimEnd('+'), out match))
                {
                    return match;
                }

                // Ids of the user's own materials are words, too.
                if (ids.FirstOrDefault(id => string.Equals(id, word, StringComparison.OrdinalIgnoreCase)) is { } id)
                {
                    return new WordMatch(id, null);
                }
            }
        }

        return null;
    }

    /// <summary>The material that the whole phrase means; part of a phrase may be a slip of the pen.</summary>
    public WordMatch? FindWhole(string phrase, IReadOnlyList<string> ids)
    {
        var word = Normal(phrase.Length <= MaxLength ? phrase : phrase[..MaxLength]);
        return ids.FirstOrDefault(id => string.Equals(id, word, StringComparison.OrdinalIgnoreCase)) is { } known
            ? new WordMatch(known, null)
            : _words.GetValueOrDefault(word);
    }

    private static string Normal(string text)
    {
        var letters = text.Trim().ToUpperInvariant().Select(c => char.IsLetterOrDigit(c) || c == '+' ? c : '-').ToArray();
        return new string(letters).Trim('-');
    }
}
