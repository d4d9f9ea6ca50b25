// SPDX-License-Identifier: MIT
using System.Text;

namespace Fumecast.GCode;

/// <content>The plain words of the files that this program writes: a key, a blank, a value with its unit, and nothing else.</content>
/// <remarks>
/// <c>material pla</c>, <c>filament diameter 1.75 mm</c>, <c>density 1.24 g/cm3</c>, <c>nozzle diameter 0.4 mm</c>, <c>nozzle 210 degC</c>,
/// <c>layer height 0.2 mm</c>, <c>uses 5987 mm, 17.9 g</c>, <c>takes 26 min 4 s</c>, <c>layer 1 of 336</c>. Prose may begin with the same
/// words, so the whole comment must have this form.
/// </remarks>
internal sealed partial class CommentClaims
{
    private void ReadPlain(ClaimKey key, ReadOnlySpan<byte> name, ReadOnlySpan<byte> rest, long line)
    {
        if (rest.IsEmpty || rest[0] is not ((byte)' ' or (byte)'\t'))
        {
            return;
        }

        var value = rest.Trim(" \t"u8);
        switch (key)
        {
            case ClaimKey.PlainMaterial when AreWords(value):
                ReadWords(_material, key, Vague, -1, name, value, line);
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

    private static bool AreWords(ReadOnlySpan<byte> list)
    {
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

            foreach (var letter in entry)
            {
                if (!char.IsAsciiLetterOrDigit((char)letter) && letter is not ((byte)'-' or (byte)'+' or (byte)'_' or (byte)'.'))
                {
                    return false;
                }
            }
        }

        return true;
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
