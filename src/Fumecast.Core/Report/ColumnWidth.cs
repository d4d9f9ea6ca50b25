// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Fumecast.Report;

/// <summary>How many columns a text takes on a terminal: wide letters take two, marks above another letter none.</summary>
/// <remarks>Wide are the blocks that Unicode Standard Annex 11 gives as wide or full width, whole blocks only; from memory.</remarks>
internal static class ColumnWidth
{
    private static readonly (int First, int Last)[] Wide =
    [
        (0x1100, 0x115F), (0x2E80, 0x303E), (0x3041, 0xA4CF), (0xA960, 0xA97F), (0xAC00, 0xD7A3), (0xF900, 0xFAFF), (0xFE30, 0xFE6F),
        (0xFF00, 0xFF60), (0xFFE0, 0xFFE6), (0x16FE0, 0x18DFF), (0x1AFF0, 0x1B2FF), (0x1F300, 0x1F64F), (0x1F680, 0x1F6FF), (0x1F900, 0x1FAFF),
        (0x20000, 0x3FFFD),
    ];

    /// <summary>The columns of a text [-].</summary>
    public static int Of(string text)
    {
        var columns = 0;
        foreach (var letter in text.EnumerateRunes())
        {
            columns += Of(letter);
        }

        return columns;
    }

    /// <summary>Fills a text with blanks up to a width; a longer one stays as it is.</summary>
    public static string Pad(string text, int columns) => text + new string(' ', Math.Max(0, columns - Of(text)));

    /// <summary>Cuts a text in its middle: names differ at their ends more often than there.</summary>
    /// <param name="text">The text.</param>
    /// <param name="most">Most columns [-], over 4.</param>
    public static string Cut(string text, int most)
    {
        if (Of(text) <= most)
        {
            return text;
        }

        // The end tells more than the start: it has the number of a version and the kind of the file.
        const string Gap = "...";
        var letters = new List<string>();
        for (var parts = StringInfo.GetTextElementEnumerator(text); parts.MoveNext();)
        {
            // A sign that is shown by its number stays whole.
            var escape = TextPage.EscapeAt(text, parts.ElementIndex);
            letters.Add(escape.Length == 0 ? parts.GetTextElement() : escape);
            for (var more = escape.Length - 1; more > 0; more--)
            {
                parts.MoveNext();
            }
        }

        var left = (most - Gap.Length) / 2;
        var right = most - Gap.Length - left;
        return Join(letters, left, fromEnd: false) + Gap + Join(letters, right, fromEnd: true);
    }

    private static string Join(List<string> letters, int columns, bool fromEnd)
    {
        var taken = new List<string>();
        for (var i = 0; i < letters.Count; i++)
        {
            var letter = letters[fromEnd ? letters.Count - 1 - i : i];
            columns -= Of(letter);
            if (columns < 0)
            {
                break;
            }

            taken.Add(letter);
        }

        if (fromEnd)
        {
            taken.Reverse();
        }

        return string.Concat(taken);
    }

    private static int Of(Rune letter)
    {
        if (letter.Value < 0x300)
        {
            return 1;
        }

        if (Rune.GetUnicodeCategory(letter) is UnicodeCategory.NonSpacingMark or UnicodeCategory.EnclosingMark or UnicodeCategory.Format)
        {
            return 0;
        }

        foreach (var (first, last) in Wide)
        {
            if (letter.Value >= first && letter.Value <= last)
            {
                return 2;
            }
        }

        return 1;
    }
}
