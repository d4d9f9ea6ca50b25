// SPDX-License-Identifier: MIT
using System.Buffers;
using System.Text;

namespace Fumecast.Report;

/// <summary>How a text result is laid out.</summary>
/// <param name="Width">Columns to fill [-], 40 or more.</param>
/// <param name="Colour">Whether headings and warnings are set off by terminal colours.</param>
/// <param name="CutsNames">Whether long names are cut so that a table fits the width; a pipe or a file gets them whole.</param>
/// <param name="Sketches">Whether curves in block characters stand in the text, where what they show was kept.</param>
public sealed record TextStyle(int Width = 88, bool Colour = false, bool CutsNames = false, bool Sketches = false);

/// <summary>A page of wrapped text with hanging labels. What comes from a file cannot send commands to the terminal.</summary>
internal sealed class TextPage(TextWriter output, TextStyle style)
{
    /// <summary>Columns that are filled [-].</summary>
    public int Width => style.Width;

    /// <summary>A blank at which no line is broken; it is written as an ordinary one.</summary>
    public const char HardBlank = '\u00a0';

    private static readonly SearchValues<char> Hex = SearchValues.Create("0123456789ABCDEF");

    private const string Bold = "\e[1m";
    private const string Amber = "\e[33m";
    private const string Plain = "\e[0m";

    /// <summary>Writes an empty line.</summary>
    public void Gap() => output.Write('\n');

    /// <summary>Writes a heading.</summary>
    public void Heading(string text) => Line(text, Bold);

    /// <summary>Writes one line as it is.</summary>
    /// <param name="text">The line.</param>
    /// <param name="colour">A colour, or null.</param>
    private void Line(string text, string? colour)
    {
        var clean = Clean(text).TrimEnd().Replace(HardBlank, ' ');
        output.Write(style.Colour && colour is not null ? $"{colour}{clean}{Plain}\n" : clean + "\n");
    }

    /// <summary>Writes a paragraph over the full width.</summary>
    public void Paragraph(string text) => Hanging("", text, null);

    /// <summary>Writes a paragraph that is the main message.</summary>
    public void Lead(string text) => Hanging("", text, Bold);

    /// <summary>Writes a row of cells; cells are padded to the given widths, a longer one pushes the rest.</summary>
    public void Row(ReadOnlySpan<int> widths, params ReadOnlySpan<string> cells) => Row(widths, cells, null);

    /// <summary>Writes the heads of the columns.</summary>
    public void HeadingRow(ReadOnlySpan<int> widths, params ReadOnlySpan<string> cells) => Row(widths, cells, Bold);

    private void Row(ReadOnlySpan<int> widths, ReadOnlySpan<string> cells, string? colour)
    {
        var line = "";
        for (var i = 0; i < cells.Length; i++)
        {
            line += i < widths.Length ? ColumnWidth.Pad(Clean(cells[i]), widths[i] - 1) + " " : Clean(cells[i]);
        }

        Line(line, colour);
    }

    /// <summary>Writes a label and a text that wraps beside it.</summary>
    public void Labelled(string label, string text, int labelWidth = 10) => Hanging(ColumnWidth.Pad("  " + label, labelWidth + 1) + " ", text, null);

    /// <summary>Writes a paragraph that belongs to the heading above it.</summary>
    public void Indented(string text) => Hanging("  ", text, null);

    /// <summary>Writes a point of a list.</summary>
    public void Point(string text) => Hanging("  - ", text, null);

    /// <summary>Writes a warning.</summary>
    public void Warning(string text) => Hanging("  ! ", text, Amber);

    private void Hanging(string first, string text, string? colour)
    {
        var lead = first;
        var indent = new string(' ', first.Length);
        var line = "";
        var columns = 0;
        foreach (var word in Clean(text).Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            var width = ColumnWidth.Of(word);
            if (line.Length > 0 && first.Length + columns + 1 + width > style.Width)
            {
                Line(lead + line, colour);
                lead = indent;
                line = word;
                columns = width;
            }
            else
            {
                columns += line.Length == 0 ? width : width + 1;
                line = line.Length == 0 ? word : line + " " + word;
            }
        }

        Line(lead + line, colour);
    }

    /// <summary>Shows what would break the line or steer the terminal: control characters as a question mark, signs that turn or hide text by their number.</summary>
    public static string Clean(string text)
    {
        foreach (var letter in text)
        {
            if (char.IsControl(letter) || Steers(letter))
            {
                return Cleaned(text);
            }
        }

        return text;
    }

    /// <summary>The number that stands for a sign at a place of a text that was cleaned, such as <c>&lt;U+202E&gt;</c>; empty where none does.</summary>
    internal static string EscapeAt(string text, int at) =>
        text.AsSpan(at) is ['<', 'U', '+', _, _, _, _, '>', ..] && !text.AsSpan(at + 3, 4).ContainsAnyExcept(Hex) ? text.Substring(at, 8) : "";

    private static string Cleaned(string text)
    {
        var clean = new StringBuilder(text.Length + 8);
        foreach (var letter in text)
        {
            if (Steers(letter))
            {
                clean.Append(Escape(letter));
            }
            else
            {
                clean.Append(char.IsControl(letter) ? '?' : letter);
            }
        }

        return clean.ToString();
    }

    /// <summary>How a sign is shown that must not be written as it is.</summary>
    internal static string Escape(char letter) => Amounts.Invariant($"<U+{(int)letter:X4}>");

    /// <summary>Signs of direction (UAX 9) and others without width, and the line ends beyond ASCII.</summary>
    internal static bool Steers(char letter) => letter is '\u061C' or (>= '\u200B' and <= '\u200F') or (>= '\u2028' and <= '\u202E')
        or (>= '\u2060' and <= '\u206F') or '\uFEFF';
}
