// SPDX-License-Identifier: MIT
using System.Text;

namespace Fumecast.GCode;

/// <content>The plain words of the files that this program writes: a key, a blank, a value with its unit, and nothing else.</content>
/// <remarks>
/// <c>material pla</c> or <c>material TPU 95A</c> (a colon or an equals sign may stand between them, as people write it by hand), <c>filament diameter 1.75 mm</c>, <c>density 1.24 g/cm3</c>, <c>nozzle diameter 0.4 mm</c>, <c>nozzle 210 degC</c>,
/// <c>layer height 0.2 mm</c>, <c>uses 5987 mm, 17.9 g</c>, <c>takes 26 min 4 s</c>, <c>layer 1 of 336</c>. Prose may begin with the same
/// words, so the whole comment must have this form.
/// </remarks>
internal sealed partial class CommentClaims
{
    /// <summary>A maker, a trade name, the polymer and its kind; what has more words is a sentence [-].</summary>
    private const int MostWordsOfName = 4;

    /// <summary>What follows "material" in sentences and is in no name of a material.</summary>
    private static readonly string[] WordsOfSentences =
    [
        "is", "was", "are", "were", "be", "been", "has", "have", "had", "will", "can", "may", "must", "should", "not", "no",
        "the", "a", "an", "this", "that", "of", "for", "from", "to", "in", "on", "at", "by", "with", "and", "or", "as", "it", "if", "when", "after", "before",
        "change", "changes", "changed", "used", "usage", "here", "now", "per", "settings",
        "cost", "weight", "mass", "volume", "temperature", "diameter", "density", "flow", "id", "guid",
    ];

    /// <summary>Reads a claim whose whole comment has the form of one.</summary>
    /// <param name="key">What the key speaks of.</param>
    /// <param name="name">The key.</param>
    /// <param name="rest">What follows it, or the value where a sign stood between them.</param>
    /// <param name="isPair">Whether one did.</param>
    /// <param name="line">Its line, 1-based [-].</param>
    private void ReadPlain(ClaimKey key, ReadOnlySpan<byte> name, ReadOnlySpan<byte> rest, bool isPair, long line)
    {
        if (!isPair && (rest.IsEmpty || rest[0] is not ((byte)' ' or (byte)'\t')))
        {
            return;
        }

        var value = rest.Trim(" \t"u8);
        switch (key)
        {
            case ClaimKey.PlainMaterial when AreNames(value, out var arePhrases):
                ReadWords(_material, key, arePhrases ? Loose : Vague, -1, name, value, line);
                break;
            case ClaimKey.Diameter when AreNumbers(value, "mm"u8):
            case ClaimKey.NozzleDiameter when AreNumbers(value, "mm"u8):
            case ClaimKey.LayerHeight when AreNumbers(value, "mm"u8):
                ReadPair(key, -1, (byte)' ', name, value, line);
                break;
            case ClaimKey.PlainDensity when AreNumbers(value, "g/cm3"u8):
                ReadPair(ClaimKey.Density, -1, (byte)' ', name, value, line);
                break;
            case ClaimKey.PlainNozzle when AreNumbers(value, "degC"u8):
                ReadPair(ClaimKey.NozzleTemperature, -1, (byte)' ', name, value, line);
                break;
            case ClaimKey.PlainUses when AreAmounts(value):
                ReadFilament(key, -1, name, value, line);
                break;
            case ClaimKey.PlainTakes when IsSpan(value):
                ReadPair(ClaimKey.Time, -1, (byte)' ', name, value, line);
                break;
        }
    }

    /// <summary>Reads the count out of <c>layer 1 of 336</c>.</summary>
    private void ReadLayerOfCount(ReadOnlySpan<byte> rest, long line)
    {
        if (LayerCount is not null || !ClaimText.TakeNumber(ref rest, out _) || !rest.StartsWith(" of "u8))
        {
            return;
        }

        rest = rest[" of ".Length..];
        if (ClaimText.TakeNumber(ref rest, out var count) && rest.Trim(" \t"u8).IsEmpty && count is >= 1 and <= 1e6)
        {
            LayerCount = (int)count;
            Keep("layers"u8, Encoding.ASCII.GetBytes(FormattableString.Invariant($"{LayerCount}")), line);
        }
    }

    /// <summary>Whether each entry can be the name of a material: a few words, such as <c>TPU 95A</c> or <c>PLA/PHA</c>, and none that only a sentence has.</summary>
    /// <param name="list">The entries.</param>
    /// <param name="arePhrases">Whether one of them is more than a word, and so may be prose after all.</param>
    private static bool AreNames(ReadOnlySpan<byte> list, out bool arePhrases)
    {
        arePhrases = false;
        if (list.IsEmpty)
        {
            return false;
        }

        while (ClaimText.TakeEntry(ref list, out var entry))
        {
            if (entry.IsEmpty || !char.IsAsciiLetter((char)entry[0]))
            {
                return false;
            }

            var words = 0;
            foreach (var range in entry.SplitAny(" \t"u8))
            {
                var word = entry[range];
                if (word.IsEmpty)
                {
                    continue;
                }

                if (++words > MostWordsOfName || IsOfSentence(word) || !IsOfName(word))
                {
                    return false;
                }
            }

            arePhrases |= words > 1;
        }

        return true;
    }

    private static bool IsOfName(ReadOnlySpan<byte> word)
    {
        foreach (var letter in word)
        {
            if (!char.IsAsciiLetterOrDigit((char)letter) && letter is not ((byte)'-' or (byte)'+' or (byte)'_' or (byte)'.' or (byte)'/' or (byte)'(' or (byte)')'))
            {
                return false;
            }
        }

        return true;
    }

    private static bool IsOfSentence(ReadOnlySpan<byte> word)
    {
        foreach (var known in WordsOfSentences)
        {
            if (Ascii.EqualsIgnoreCase(word, known))
            {
                return true;
            }
        }

        return false;
    }

    private static bool AreNumbers(ReadOnlySpan<byte> list, ReadOnlySpan<byte> unit)
    {
        if (list.IsEmpty)
        {
            return false;
        }

        while (ClaimText.TakeEntry(ref list, out var entry))
        {
            if (!ClaimText.TakeNumber(ref entry, out _) || !entry.Trim(" \t"u8).SequenceEqual(unit))
            {
                return false;
            }
        }

        return true;
    }

    private static bool AreAmounts(ReadOnlySpan<byte> list)
    {
        if (list.IsEmpty)
        {
            return false;
        }

        while (ClaimText.TakeEntry(ref list, out var entry))
        {
            if (!ClaimText.TakeNumber(ref entry, out _))
            {
                return false;
            }

            var unit = ClaimText.TakeUnit(ref entry);
            if (!entry.IsEmpty || !(unit.SequenceEqual("mm"u8) || unit.SequenceEqual("cm3"u8) || unit.SequenceEqual("g"u8)))
            {
                return false;
            }
        }

        return true;
    }

    private static bool IsSpan(ReadOnlySpan<byte> text)
    {
        while (ClaimText.TakeNumber(ref text, out _))
        {
            var unit = ClaimText.TakeUnit(ref text);
            if (!(unit.SequenceEqual("d"u8) || unit.SequenceEqual("h"u8) || unit.SequenceEqual("min"u8) || unit.SequenceEqual("s"u8)))
            {
                return false;
            }
        }

        return text.IsEmpty;
    }
}
