// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Fumecast.Report;

/// <summary>How many columns a text takes on a terminal: wide letters take two, marks above another letter none.</summary>
/// <remarks>Wide are the blocks that Unicode Standard Annex 11 gives as wide or full width, whole blocks only; from memory.</remarks>
internal static class ColumnWidth
{
    private const string Gap = "...";

    /// <summary>Columns of an end that tell at least something [-].</summary>
    private const int LeastEnd = 2;

    /// <summary>Columns below which both ends and a part between them would be scraps [-].</summary>
    private const int NarrowRoom = 20;

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
        var letters = Letters(text);
        var left = (most - Gap.Length) / 2;
        return Join(letters, left, fromEnd: false) + Gap + Join(letters, most - Gap.Length - left, fromEnd: true);
    }

    /// <summary>Cuts a text such that the beginning of a part of it stays, with as much of both ends as there is room for.</summary>
    /// <param name="text">The text.</param>
    /// <param name="most">Most columns [-], 12 or more.</param>
    /// <param name="from">Where the part begins [-].</param>
    /// <param name="to">Where it ends [-].</param>
    public static string CutKeeping(string text, int most, int from, int to)
    {
        if (Of(text) <= most)
        {
            return text;
        }

        var letters = Letters(text);
        var room = most - Gap.Length;
        var start = Of(text[..Math.Min(to, text.Length)]);
        if (start <= room - LeastEnd)
        {
            var left = Math.Max(start, room / 2);
            return Join(letters, left, fromEnd: false) + Gap + Join(letters, room - left, fromEnd: true);
        }

        var end = Of(text[Math.Min(from, text.Length)..]);
        if (end <= room - LeastEnd)
        {
            var right = Math.Max(end, room - (room / 2));
            return Join(letters, room - right, fromEnd: false) + Gap + Join(letters, right, fromEnd: true);
        }

        if (room < NarrowRoom)
        {
            // Hardly a word: the end gives way.
            var few = room / 3;
            if (Of(text[..Math.Min(from, text.Length)]) < few + Gap.Length)
            {
                return Join(letters, room, fromEnd: false) + Gap;
            }

            return Join(letters, few, fromEnd: false) + Gap + Join(LettersFrom(text, from), room - few, fromEnd: false);
        }

        room -= Gap.Length;
        var (head, tail) = (Math.Max(LeastEnd, room / 4), Math.Max(LeastEnd, room / 4));
        if (Of(text[..Math.Min(from, text.Length)]) < head + Gap.Length)
        {
            return Join(letters, room + Gap.Length - tail, fromEnd: false) + Gap + Join(letters, tail, fromEnd: true);
        }

        // What differs lies amid the name: both ends give way to it.
        var middle = Join(LettersFrom(text, from), room - head - tail, fromEnd: false);
        return Join(letters, head, fromEnd: false) + Gap + middle + Gap + Join(letters, tail, fromEnd: true);
    }

    private static List<string> LettersFrom(string text, int from) =>
        from >= text.Length ? [] : Letters(text[(char.IsLowSurrogate(text[from]) ? from - 1 : from)..]);

    /// <summary>The letters as they are seen; a sign that is shown by its number stays whole.</summary>
    private static List<string> Letters(string text)
    {
        var letters = new List<string>();
        for (var parts = StringInfo.GetTextElementEnumerator(text); parts.MoveNext();)
        {
            var escape = TextPage.EscapeAt(text, parts.ElementIndex);
            letters.Add(escape.Length == 0 ? parts.GetTextElement() : escape);
            for (var more = escape.Length - 1; more > 0; more--)
            {
                parts.MoveNext();
            }
        }

        return letters;
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
