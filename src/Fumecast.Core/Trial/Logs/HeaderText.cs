// SPDX-License-Identifier: MIT
using System.Text;

namespace Fumecast.Trial;

/// <summary>A header in plain letters, so that one table of words serves all spellings.</summary>
internal static class HeaderText
{
    private const string Accented = "äàáâãåąæçćčďéèêëęěğíìîïıłľñńňöòóôõøœŕřśšşßťüùúûůýÿźżž";
    private const string Unaccented = "aaaaaaaacccdeeeeeegiiiiillnnnooooooorrsssstuuuuuyyzzz";

    /// <summary>Lower case without accents; signs of typesetting in plain letters; whatever stands between quotes without them.</summary>
    /// <param name="header">The header as written.</param>
    public static string Plain(string header)
    {
        var plain = new StringBuilder(header.Length);
        foreach (var letter in header)
        {
            var c = letter is >= '\uFF01' and <= '\uFF5E' ? (char)(letter - 0xFEE0) : char.ToLowerInvariant(letter);
            switch (c)
            {
                case 'µ' or 'μ':
                    plain.Append('u');
                    break;
                case '°' or 'º':
                    plain.Append("deg");
                    break;
                case '²':
                    plain.Append('2');
                    break;
                case '³':
                    plain.Append('3');
                    break;
                case '⁻':
                    plain.Append('-');
                    break;
                case >= '₀' and <= '₉':
                    plain.Append((char)('0' + (c - '₀')));
                    break;
                case '【' or '（':
                    plain.Append('(');
                    break;
                case '】' or '）':
                    plain.Append(')');
                    break;
                case '\u00a0' or '\u2009' or '\u202f' or '\t':
                    plain.Append(' ');
                    break;
                case '"' or '\uFEFF':
                    break;
                default:
                    var at = Accented.IndexOf(c, StringComparison.Ordinal);
                    plain.Append(at >= 0 ? Unaccented[at] : c);
                    break;
            }
        }

        return plain.ToString().Trim();
    }

    /// <summary>A plain text as units are looked up: without blanks and signs of multiplication.</summary>
    /// <param name="plain">The text, as <see cref="Plain"/> gives it.</param>
    public static string Compact(ReadOnlySpan<char> plain)
    {
        Span<char> kept = plain.Length <= 64 ? stackalloc char[plain.Length] : new char[plain.Length];
        var length = 0;
        foreach (var c in plain)
        {
            if (c is not (' ' or '^' or '*' or '·' or '⋅'))
            {
                kept[length++] = c;
            }
        }

        return new string(kept[..length]);
    }

    /// <summary>The words of a plain text: runs of letters or digits; a point or comma between two digits belongs to the number.</summary>
    /// <param name="plain">The text.</param>
    public static List<string> Words(string plain)
    {
        var words = new List<string>();
        var start = -1;
        for (var i = 0; i <= plain.Length; i++)
        {
            var isInside = i < plain.Length && (char.IsLetterOrDigit(plain[i])
                || (plain[i] is '.' or ',' && i > 0 && i + 1 < plain.Length && char.IsAsciiDigit(plain[i - 1]) && char.IsAsciiDigit(plain[i + 1])));
            if (isInside && start < 0)
            {
                start = i;
            }
            else if (!isInside && start >= 0)
            {
                words.Add(plain[start..i]);
                start = -1;
            }
        }

        return words;
    }

    /// <summary>Takes the unit out of a header: in brackets, behind a comma, or as its last part.</summary>
    /// <param name="plain">The header, as <see cref="Plain"/> gives it.</param>
    /// <returns>The header without it; the unit, or null; and as it was written.</returns>
    public static (string Name, LogUnit? Unit, string? Written) SplitUnit(string plain)
    {
        for (var open = plain.IndexOfAny(['(', '[', '{']); open >= 0; open = plain.IndexOfAny(['(', '[', '{'], open + 1))
        {
            var close = plain.IndexOfAny([')', ']', '}'], open);
            if (close < 0)
            {
                break;
            }

            var inside = plain[(open + 1)..close].Trim();
            if (LogUnit.Of(Compact(inside)) is { } unit)
            {
                return ($"{plain[..open].Trim()} {plain[(close + 1)..].Trim()}".Trim(), unit, inside);
            }
        }

        // The longest end of the header that is a unit, with something before it.
        for (var i = 1; i < plain.Length; i++)
        {
            var isBreak = plain[i - 1] is ' ' or ',' or '_' or '-' or '.' or '/' or ':' or '|' or '\'' or ';' or '\u3000';
            if (isBreak && LogUnit.Of(Compact(plain.AsSpan(i))) is { } unit && !char.IsAsciiDigit(plain[i]))
            {
                return (plain[..i].TrimEnd(' ', ',', '_', '-', '.', ':', '|', '\'', ';', '\u3000'), unit, plain[i..].Trim());
            }
        }

        return (plain, null, null);
    }
}
