// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>Where the table of a log begins, and how its cells are written: decided from the first rows.</summary>
internal sealed class LogLayout
{
    private const int MostSampleRows = 400;
    private const int MostSampleCells = 400_000;
    private const int RowsToCompare = 4;

    /// <summary>Share of cells that must be alike for two rows to be of one table [-]; a choice of ours.</summary>
    private const double Alike = 0.75;

    private static readonly char[] Delimiters = ['\t', ';', ',', '|'];

    private LogLayout(char delimiter, List<(string[] Cells, long Line)> rows, bool isWhole)
    {
        Delimiter = delimiter;
        Rows = rows;
        IsWhole = isWhole;
    }

    /// <summary>What stands between cells.</summary>
    public char Delimiter { get; }

    /// <summary>The first rows that are not blank.</summary>
    public List<(string[] Cells, long Line)> Rows { get; }

    /// <summary>Whether those are all rows.</summary>
    public bool IsWhole { get; }

    /// <summary>Whether a comma stands before the decimals.</summary>
    public bool DecimalComma { get; private set; }

    /// <summary>The first row of readings among <see cref="Rows"/>.</summary>
    public int DataAt { get; private set; }

    /// <summary>Line of the header; 0 for none.</summary>
    public long HeaderLine { get; private set; }

    /// <summary>The headers; those of columns without one are empty.</summary>
    public string[] Headers { get; private set; } = [];

    /// <summary>The last line that belongs to the head of the table: rows begin after it.</summary>
    public long LastHeadLine { get; private set; }

    /// <summary>The first row where it is glued to the header, else null.</summary>
    public string[]? GluedRow { get; private set; }

    /// <summary>Lines before the header.</summary>
    public List<string> Preamble { get; } = [];

    /// <summary>Looks at the first part of a log.</summary>
    /// <param name="file">The log.</param>
    /// <exception cref="InputProblem">There is no table in it.</exception>
    public static LogLayout Of(LogFile file)
    {
        var delimiter = DelimiterOf(file.Head) ?? throw new InputProblem(file.Name, 1, 1, "found no table: no comma, semicolon or tab parts the lines into columns; expected a column of times and one of readings");
        var isWhole = file.Head.Length < MostSampleCells;
        var rows = Sample(file, delimiter, ref isWhole);
        var layout = new LogLayout(delimiter, rows, isWhole);
        layout.FindDecimals(file.Name);
        layout.FindTable(file.Name);
        return layout;
    }

    /// <summary>The layout of a table whose rows and columns were exchanged.</summary>
    /// <param name="headers">Its headers.</param>
    /// <param name="rows">Its rows of readings.</param>
    /// <param name="preamble">Lines before the table.</param>
    public LogLayout Turned(string[] headers, List<(string[] Cells, long Line)> rows, IEnumerable<string> preamble)
    {
        var turned = new LogLayout(Delimiter, rows.Take(MostSampleRows).ToList(), isWhole: true)
        {
            DecimalComma = DecimalComma,
            Headers = headers,
            HeaderLine = rows.Count > 0 ? rows[0].Line : 0,
        };
        turned.Preamble.AddRange(preamble);
        return turned;
    }

    /// <summary>What a cell of a table is, in one letter: E empty, N number, T time, X text.</summary>
    public char KindOf(string cell)
    {
        var span = cell.AsSpan().Trim();
        if (span.IsEmpty)
        {
            return 'E';
        }

        return NumberCell.Read(span, DecimalComma, out _, out var unit) switch
        {
            CellKind.Number when unit.IsEmpty || !ClockText.TryRead(span, out _) => 'N',
            CellKind.Number => 'T',
            CellKind.ErrorWord or CellKind.OverWord => 'E',
            _ => ClockText.TryRead(span, out _) ? 'T' : IsGrouped(span) ? 'N' : 'X',
        };
    }

    /// <summary>A number whose thousands are set apart, such as 1,234.5 or 1.234,5.</summary>
    public bool IsGrouped(ReadOnlySpan<char> cell)
    {
        var (group, point) = DecimalComma ? ('.', ',') : (',', '.');
        var at = cell.IndexOf(group);
        return at is >= 1 and <= 4 && Ungrouped(cell, group, point) is not null;
    }

    /// <summary>Such a number without the signs between thousands; null where it is none.</summary>
    public static string? Ungrouped(ReadOnlySpan<char> cell, char group, char point)
    {
        var text = cell.TrimStart('-').ToString();
        var end = text.IndexOf(point, StringComparison.Ordinal);
        var parts = (end < 0 ? text : text[..end]).Split(group);
        var isNumber = parts.Length > 1 && parts[0].Length is >= 1 and <= 3 && parts[1..].All(static part => part.Length == 3) && parts.All(static part => part.All(char.IsAsciiDigit))
            && (end < 0 || text[(end + 1)..].All(char.IsAsciiDigit));
        return isNumber ? string.Concat(cell[0] == '-' ? "-" : "", string.Concat(parts), end < 0 ? "" : "." + text[(end + 1)..]) : null;
    }

    /// <summary>The delimiter that parts most lines alike. Tabs and semicolons go first: where they do, commas stand before decimals.</summary>
    private static char? DelimiterOf(string head)
    {
        var lines = new List<string>();
        foreach (var line in head.AsSpan().EnumerateLines())
        {
            if (!line.IsWhiteSpace() && lines.Count < MostSampleRows)
            {
                lines.Add(line.Length > 20_000 ? line[..20_000].ToString() : line.ToString());
            }
        }

        char? best = null;
        var bestShare = 0.0;
        foreach (var delimiter in Delimiters)
        {
            // The last half of what there is: the first may be a preamble.
            var counts = lines.Skip(lines.Count > 12 ? lines.Count / 2 : 0).Select(line => CountOutsideQuotes(line, delimiter)).Where(static count => count > 0).GroupBy(static count => count).ToList();
            var tail = lines.Count > 12 ? lines.Count - (lines.Count / 2) : lines.Count;
            var share = counts.Count == 0 ? 0 : counts.Max(static group => group.Count()) / (double)tail;
            var any = counts.Sum(static group => group.Count()) / (double)tail;
            var score = Math.Max(share, 0.7 * any);
            if (score > bestShare + 0.2)
            {
                (best, bestShare) = (delimiter, score);
            }
        }

        return best;
    }

    private static int CountOutsideQuotes(string line, char delimiter)
    {
        if (!line.Contains('"', StringComparison.Ordinal))
        {
            return line.AsSpan().Count(delimiter);
        }

        var (count, isQuoted) = (0, false);
        foreach (var letter in line)
        {
            isQuoted ^= letter == '"';
            count += letter == delimiter && !isQuoted ? 1 : 0;
        }

        return count;
    }

    private static List<(string[] Cells, long Line)> Sample(LogFile file, char delimiter, ref bool isWhole)
    {
        // The last line of a part may be cut.
        var cut = isWhole ? file.Head.Length : Math.Max(0, file.Head.AsSpan().LastIndexOfAny('\r', '\n'));
        var rows = new List<(string[] Cells, long Line)>();
        using var table = new DelimitedRows(file.Name, new StringReader(cut == 0 ? file.Head : file.Head[..cut]), delimiter);
        var cells = 0;
        try
        {
            while (table.Next())
            {
                if (table.IsBlank())
                {
                    continue;
                }

                if (rows.Count >= MostSampleRows || cells > 8 * MostSampleCells)
                {
                    isWhole = false;
                    break;
                }

                rows.Add((table.Cells(), table.Line));
                cells += table.Count;
            }
        }
        catch (InputProblem) when (!isWhole && rows.Count > 0)
        {
            // A quoted cell that was cut.
        }

        return rows;
    }

    /// <summary>Whether a comma or a point stands before the decimals.</summary>
    private void FindDecimals(string file)
    {
        var (commas, points) = (0, 0);
        (string Cell, long Line, int Column)? doubtful = null;
        var isSure = false;
        foreach (var (cells, line) in Rows)
        {
            for (var i = 0; i < cells.Length; i++)
            {
                var cell = cells[i].AsSpan().Trim();
                if (cell.Length is 0 or > 40 || !(char.IsAsciiDigit(cell[0]) || cell[0] is '-' or '+' or ',' or '.'))
                {
                    continue;
                }

                if (NumberCell.Read(cell, decimalComma: true, out _, out var unit) == CellKind.Number && cell.Contains(',') && !unit.ContainsAny('.', ','))
                {
                    commas++;
                    var at = cell.IndexOf(',');
                    var end = at + 1;
                    while (end < cell.Length && char.IsAsciiDigit(cell[end]))
                    {
                        end++;
                    }

                    if (end - at - 1 == 3 && at is >= 1 and <= 4 && cell[0] is not ('0' or '-') && unit.IsEmpty)
                    {
                        doubtful ??= (cell.ToString(), line, i + 1);
                    }
                    else
                    {
                        isSure = true;
                    }
                }
                else if (NumberCell.Read(cell, decimalComma: false, out _, out unit) == CellKind.Number && cell.Contains('.') && !unit.ContainsAny('.', ','))
                {
                    points++;
                }
                else if (Ungrouped(cell, ',', '.') is not null && cell.Contains('.'))
                {
                    points++;
                }
                else if (Ungrouped(cell, '.', ',') is not null && cell.Contains(','))
                {
                    commas++;
                    isSure = true;
                }
            }
        }

        if (doubtful is { } doubt && !isSure && points == 0)
        {
            throw new InputProblem(file, doubt.Line, doubt.Column, $"found '{doubt.Cell}', which may be a number with decimals or one in the thousands; save the log with decimal points and no other separators");
        }

        // A single comma among points sets thousands apart; points in a log with commas are those of another column.
        DecimalComma = commas > 0 && isSure && commas >= points;
    }

    private void FindTable(string file)
    {
        var kinds = Rows.ConvertAll(row => row.Cells.Length > 5000 ? row.Cells.Take(5000).Select(KindOf).ToArray() : Array.ConvertAll(row.Cells, KindOf));
        DataAt = -1;
        for (var i = 0; i < kinds.Count && DataAt < 0; i++)
        {
            var (compared, alike) = (0, 0);
            for (var j = i + 1; j < kinds.Count && compared < RowsToCompare; j++)
            {
                compared++;
                alike += AreAlike(kinds[i], kinds[j]) ? 1 : 0;
            }

            var isLast = compared == 0 && kinds[i].Any(static kind => kind is 'N' or 'T') && kinds[i].Length >= 2;
            var isData = compared > 0 && alike >= Math.Max(1, compared - 1) && kinds[i].Any(static kind => kind is 'N' or 'T');
            DataAt = isData || isLast ? i : -1;
        }

        if (DataAt < 0)
        {
            var at = Rows.Count > 0 ? Rows[0].Line : 1;
            throw new InputProblem(file, at, 1, "found no rows of readings; expected a header and, below it, rows with a time and numbers");
        }

        FindHeader(kinds);
    }

    private static bool AreAlike(char[] one, char[] other)
    {
        var (good, bad, readings) = (0, 0, 0);
        for (var i = 0; i < Math.Min(one.Length, other.Length); i++)
        {
            if (one[i] == 'E' || other[i] == 'E')
            {
                continue;
            }

            var same = one[i] == other[i];
            good += same ? 1 : 0;
            bad += same ? 0 : 1;
            readings += same && one[i] is 'N' or 'T' ? 1 : 0;
        }

        return readings > 0 && good >= Alike * (good + bad) && (Math.Min(one.Length, other.Length) > 1 || one.Length == other.Length);
    }

    private void FindHeader(List<char[]> kinds)
    {
        var at = DataAt - 1;
        string[]? units = null;
        if (at >= 0 && IsRowOfUnits(Rows[at].Cells))
        {
            units = Rows[at].Cells;
            at--;
        }

        // A row of remarks, such as "# stopped", is no header.
        while (at >= 0 && Rows[at].Cells.Count(static cell => cell.Length > 0) < 2 && at > 0 && Rows[at].Cells[0].StartsWith('#') && Rows[DataAt].Cells.Length > 1)
        {
            Preamble.Add(Rows[at].Cells[0]);
            at--;
        }

        LastHeadLine = DataAt > 0 ? Rows[DataAt - 1].Line : 0;
        if (at < 0 || !kinds[at].Contains('X'))
        {
            Headers = new string[Rows[DataAt].Cells.Length];
            Array.Fill(Headers, "");
            Preamble.AddRange(Rows.Take(at + 1).Select(static row => string.Join(' ', row.Cells)));
            return;
        }

        HeaderLine = Rows[at].Line;
        Headers = Array.ConvertAll(Rows[at].Cells, static cell => cell.Trim());
        Headers[0] = Headers[0].TrimStart('#', ' ', '\uFEFF');
        for (var i = 0; i < at; i++)
        {
            Preamble.Add(string.Join(' ', Rows[i].Cells.Where(static cell => cell.Length > 0)));
        }

        Unglue();
        for (var i = 0; units is not null && i < Math.Min(units.Length, Headers.Length); i++)
        {
            if (units[i].Trim() is { Length: > 0 } unit && HeaderText.SplitUnit(HeaderText.Plain(Headers[i])).Unit is null)
            {
                Headers[i] = $"{Headers[i]} [{unit.Trim('(', ')', '[', ']')}]";
            }
        }
    }

    private static bool IsRowOfUnits(string[] cells)
    {
        var units = 0;
        foreach (var cell in cells)
        {
            var plain = HeaderText.Compact(HeaderText.Plain(cell).Trim('(', ')', '[', ']'));
            if (LogUnit.Of(plain) is not null)
            {
                units++;
            }
            else if (plain.Length > 0 && plain is not ("-" or "--" or "1" or "#") && !(plain.Contains("yy", StringComparison.Ordinal) || plain.Contains("hh:mm", StringComparison.Ordinal) || plain is "none" or "unitless" or "index"))
            {
                return false;
            }
        }

        return units > 0;
    }

    /// <summary>Parts a header from a first row that follows it without a line end: the header has then one cell fewer than twice the columns, and the middle one holds both.</summary>
    private void Unglue()
    {
        var next = Rows[DataAt].Cells;
        var n = next.Length;
        if (n < 2 || Headers.Length != (2 * n) - 1)
        {
            return;
        }

        var both = Headers[n - 1];
        var kind = KindOf(next[0]);
        for (var at = 1; at < both.Length; at++)
        {
            var rest = both[at..];
            if (KindOf(rest) == kind && kind is 'N' or 'T' && FollowsFrom(rest, next[0]))
            {
                GluedRow = [rest, .. Headers[n..]];
                Headers = [.. Headers[..(n - 1)], both[..at]];
                return;
            }
        }
    }

    /// <summary>Whether two times are close enough to be of neighbouring rows: as long as each other, and the same in their first half.</summary>
    private static bool FollowsFrom(string first, string next) =>
        Math.Abs(first.Length - next.Length) <= 1 && (first.Length < 8 ? char.IsAsciiDigit(first[0]) : first[..(first.Length / 3)] == next[..(first.Length / 3)]);
}
