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

    /// <summary>Adds a text; null is an empty cell.</summary>
    public CsvRow Text(string? cell)
    {
        Next();
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

    private void Next()
    {
        if (_begun)
        {
            _line.Append(',');
        }

        _begun = true;
    }
}
