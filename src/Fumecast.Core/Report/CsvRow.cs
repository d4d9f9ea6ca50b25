// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>A row of a table in the making; numbers read back bit for bit, whatever the culture.</summary>
internal sealed class CsvRow
{
    private readonly StringBuilder _line = new();
    private bool _begun;

    /// <summary>Adds a text; null is an empty cell. Signs that turn or hide text, or steer a terminal, are shown by their number, such as <c>&lt;U+202E&gt;</c>.</summary>
    public CsvRow Text(string? cell)
    {
        Next();
        cell = cell?.Any(IsUnseen) == true ? string.Concat(cell.Select(static letter => IsUnseen(letter) ? TextPage.Escape(letter) : letter.ToString())) : cell;
        _line.Append(cell is null || cell.AsSpan().IndexOfAny("\",\r\n") < 0 ? cell : $"\"{cell.Replace("\"", "\"\"", StringComparison.Ordinal)}\"");
        return this;
    }

    /// <summary>Adds a number; null is an empty cell.</summary>
    public CsvRow Number(double? cell)
    {
        Next();
        _line.Append(cell?.ToString("R", CultureInfo.InvariantCulture));
        return this;
    }

    /// <summary>Adds low end, middle and high end.</summary>
    public CsvRow Uncertain(Uncertain? cells) => Number(cells?.Low).Number(cells?.Median).Number(cells?.High);

    /// <summary>Writes the row; it ends in LF.</summary>
    public void Write(TextWriter output) => output.Write(_line.Append('\n').ToString());

    private static bool IsUnseen(char letter) => TextPage.Steers(letter) || (char.IsControl(letter) && letter is not ('\r' or '\n' or '\t'));

    private void Next()
    {
        if (_begun)
        {
            _line.Append(',');
        }

        _begun = true;
    }
}
