// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>Turns a table that has one column for each time into one that has a row.</summary>
internal static class TransposedTable
{
    private const int MostRows = 400;
    private const int MostCells = 4_000_000;

    /// <summary>Turns a table if it is transposed.</summary>
    /// <returns>The turned table; null where it is none.</returns>
    public static (LogLayout Layout, List<(string[] Cells, long Line)> Rows)? Turn(LogFile file, LogLayout layout, LogOptions options)
    {
        if (layout.Rows.Count > MostRows || layout.Headers.Any(static header => HeaderMeaning.Of(header).Role == ColumnRole.Quantity) || options.Columns.Any(static column => column.Key != "time"))
        {
            return null;
        }

        var times = layout.Rows.FindIndex(row => IsRowOfTimes(layout, row.Cells));
        if (times < 0 || !layout.Rows.Exists(row => IsRowOfReadings(layout, row.Cells)))
        {
            return null;
        }

        using var all = new DelimitedRows(file.Name, file.All(), layout.Delimiter);
        var kept = new List<(string[] Cells, long Line)>();
        var cells = 0L;
        while (all.Next())
        {
            if (all.IsBlank() || all.Line < layout.Rows[times].Line)
            {
                continue;
            }

            cells += all.Count;
            if (kept.Count >= MostRows || cells > MostCells)
            {
                throw new InputProblem(file.Name, all.Line, 1, FormattableString.Invariant($"this is a table with one column for each time and over {MostRows} rows or {MostCells} cells, which is more than is read; split it"));
            }

            kept.Add((all.Cells(), all.Line));
        }

        // Rows that are no readings, such as a footer, have too few cells; they are left out with the columns that they would have been.
        var width = kept[0].Cells.Length;
        var columns = kept.FindAll(row => row.Cells.Length > 2 || row.Cells.Length == width);
        var headers = columns.ConvertAll(static row => row.Cells[0].Trim());
        var rows = new List<(string[] Cells, long Line)>();
        for (var i = 1; i < width; i++)
        {
            var at = i;
            rows.Add((columns.ConvertAll(row => at < row.Cells.Length ? row.Cells[at] : "").ToArray(), columns[0].Line));
        }

        return (layout.Turned([.. headers], rows, layout.Rows.Take(times).Select(static row => string.Join(' ', row.Cells))), rows);
    }

    private static bool IsRowOfTimes(LogLayout layout, string[] cells)
    {
        if (cells.Length < 4 || !(cells[0].Trim().Length == 0 || LogWords.SpeaksOfTime(HeaderText.Plain(cells[0]))) || layout.KindOf(cells[0]) is 'N' or 'T')
        {
            return false;
        }

        var times = cells.Skip(1).Count(cell => layout.KindOf(cell) == 'T');
        var numbers = cells.Skip(1).Count(cell => layout.KindOf(cell) == 'N');
        return times * 5 >= (cells.Length - 1) * 4 || (cells[0].Length > 0 && numbers * 5 >= (cells.Length - 1) * 4);
    }

    private static bool IsRowOfReadings(LogLayout layout, string[] cells) =>
        cells.Length >= 4 && HeaderMeaning.Of(cells[0].Trim()).Role == ColumnRole.Quantity && cells.Skip(1).Count(cell => layout.KindOf(cell) is 'N' or 'E') * 5 >= (cells.Length - 1) * 4;
}
