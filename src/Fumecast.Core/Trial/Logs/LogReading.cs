// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>Reads the rows of a log once: times and readings into columns, everything else into counts.</summary>
/// <param name="file">The log, for messages.</param>
/// <param name="layout">The table.</param>
/// <param name="form">Its form.</param>
/// <param name="lines">Its lines, as far as they were counted before; 0 for not [-].</param>
/// <param name="options">What the log does not say.</param>
/// <param name="findings">Takes what is noticed.</param>
/// <param name="cancel">Ends it early.</param>
internal sealed class LogReading(string file, LogLayout layout, LogForm form, long lines, LogOptions options, DiagnosticLog findings, CancellationToken cancel)
{
    /// <summary>Most rows of a log, two months of seconds [-].</summary>
    private const int MostRows = 5_000_000;

    /// <summary>Most readings of a log; they take 9 bytes each [-].</summary>
    private const int MostReadings = 40_000_000;

    private const int MostSeries = 200;
    private readonly QuantityNames _names = new(file, layout, findings);
    private readonly Dictionary<int, string> _unused = [];
    private readonly List<ReadingColumn> _columns = [];
    private readonly List<UnusedColumn> _unusedSeries = [];
    private Grown<double> _dayFirst = new();
    private readonly Grown<double> _monthFirst = new();
    private TimeReader _time = null!;
    private TimePlan _plan = null!;
    private int _rows;
    private int _leftOut;
    private int _readings;
    private int _repeatedHeaders;

    /// <summary>Reads the log.</summary>
    /// <param name="rows">Its rows.</param>
    public MeterLog Read(LogRows rows)
    {
        _names.Take(options.Columns);
        _plan = TimePlan.Of(file, layout, _names.NamedTimes, _unused);
        _time = new TimeReader(_plan, layout.DecimalComma);
        if (form == LogForm.OneRowPerReading)
        {
            ReadLong(rows, LongTable.Find(layout, options)!);
        }
        else
        {
            FindColumns();
            ReadWide(rows);
        }

        _names.ReportAssumed();
        if (_rows == 0)
        {
            throw new InputProblem(file, layout.HeaderLine + 1, _plan.Column + 1, $"found no row with a time in {LogColumns.NameOf(layout.Headers, _plan.Column)}; is it the right column? Name another with --columns time=HEADER ({LogColumns.Found(layout.Headers)})");
        }

        if (_leftOut - _repeatedHeaders > 0)
        {
            LogFindings.RowsLeftOut(findings, _rows, _leftOut - _repeatedHeaders, file);
        }

        var others = _unused.OrderBy(static one => one.Key).Select(one => new UnusedColumn(LogColumns.NameOf(layout.Headers, one.Key), one.Value)).Concat(_unusedSeries).ToList();
        return new LogEnding(file, layout, form, options, findings, _plan, _time).End(_rows, _leftOut, _columns, others, _dayFirst, _monthFirst);
    }

    private void FindColumns()
    {
        var unknown = new List<string>();
        for (var i = 0; i < layout.Headers.Length; i++)
        {
            if (i == _plan.Column || i == _plan.ClockColumn || (_unused.ContainsKey(i) && !_names.Named.ContainsKey(i)))
            {
                continue;
            }

            var cells = Cells(i);
            var header = LogColumns.NameOf(layout.Headers, i);
            var isNamed = _names.Named.TryGetValue(i, out var named);
            var meaning = isNamed ? named.Meaning : HeaderMeaning.Of(layout.Headers[i]);
            if (meaning.Role != ColumnRole.Quantity)
            {
                if (layout.Headers[i].Length > 0 || cells.Exists(static cell => cell.Length > 0))
                {
                    _unused[i] = cells.TrueForAll(static cell => cell.Length == 0) && layout.IsWhole ? "always empty" : WhyNot(meaning);
                    if (meaning.Role == ColumnRole.Unknown && cells.Exists(cell => layout.KindOf(cell) == 'N'))
                    {
                        unknown.Add(header);
                    }
                }

                continue;
            }

            if (!isNamed && cells.Count(cell => layout.KindOf(cell) == 'X') > cells.Count / 2)
            {
                _unused[i] = "no numbers";
                continue;
            }

            meaning = _names.WithUnit(meaning, i, header, cells);
            if (meaning.Role != ColumnRole.Quantity)
            {
                _unused[i] = meaning.Why!;
                continue;
            }

            if (_columns.Count >= QuantityNames.Most)
            {
                _unused[i] = FormattableString.Invariant($"beyond the first {QuantityNames.Most} quantities");
                continue;
            }

            _columns.Add(new ReadingColumn(isNamed ? named.Name : _names.NextName(meaning.Quantity!), i, header, meaning, layout, Expected()));
        }

        if (_columns.Count == 0)
        {
            var hint = unknown.Count > 0 ? unknown[0] : "HEADER";
            throw new InputProblem(file, Math.Max(1, layout.HeaderLine), 1, $"found times but no quantity; {LogColumns.Found(layout.Headers)}; say what a column holds, such as --columns 'pm25={hint}'");
        }

        LogFindings.UnknownColumns(findings, layout.HeaderLine, _columns, unknown);
        _dayFirst = new Grown<double>(Expected());
    }

    /// <summary>Rows that are expected, so that columns have their size from the start. Memory that is not used is not taken from the system.</summary>
    private int Expected() => (int)Math.Min(Math.Max(0, lines - layout.LastHeadLine), MostReadings / Math.Max(8, layout.Headers.Length));

    private static string WhyNot(HeaderMeaning meaning) => meaning.Role switch
    {
        ColumnRole.Time => "another time, or none that is understood",
        ColumnRole.Device => "the name of a device or place",
        _ => meaning.Why ?? "not known to us; name it with --columns if it is one of ours",
    };

    private List<string> Cells(int column) =>
        [.. layout.Rows.Skip(layout.DataAt).Select(row => column < row.Cells.Length ? row.Cells[column].Trim() : "")];

    private void ReadWide(LogRows rows)
    {
        if (layout.GluedRow is { } glued)
        {
            LogFindings.GluedHeader(findings, layout.HeaderLine);
            using var first = new HeldRows([(glued, layout.HeaderLine)]);
            first.Next();
            ReadWideRow(first);
        }

        while (rows.Next())
        {
            if (rows.Line > layout.LastHeadLine)
            {
                ReadWideRow(rows);
            }
        }
    }

    private void ReadWideRow(LogRows rows)
    {
        if (!ReadTime(rows, _dayFirst, _monthFirst))
        {
            return;
        }

        foreach (var column in _columns)
        {
            column.Read(rows[column.Column], rows.Line);
        }

        Watch(rows, _columns.Count);
    }

    private void ReadLong(LogRows rows, LongTable table)
    {
        var series = new List<(string Parameter, string Unit, string Device, ReadingColumn? Column)>();
        while (rows.Next())
        {
            if (rows.Line <= layout.LastHeadLine)
            {
                continue;
            }

            if (!TryFind(series, rows, table, out var column))
            {
                if (!_time.TryRead(rows, out _, out _))
                {
                    LeaveOut(rows);
                    continue;
                }

                var key = (rows[table.Parameter].ToString(), table.UnitName < 0 ? "" : rows[table.UnitName].ToString(), table.Device < 0 ? "" : rows[table.Device].ToString());
                column = NewSeries(key, table, series.Count);
                series.Add((key.Item1, key.Item2, key.Item3, column));
            }

            if (column is null)
            {
                _rows++;
                Watch(rows, 0);
                continue;
            }

            if (ReadTime(rows, column.OwnTimes!.Value.DayFirst, column.OwnTimes.Value.MonthFirst))
            {
                column.Read(rows[table.Value], rows.Line);
                Watch(rows, 2);
            }
        }

        for (var i = 0; i < layout.Headers.Length; i++)
        {
            if (i != table.Parameter && i != table.Value && i != table.UnitName && i != table.Device && i != _plan.Column && i != _plan.ClockColumn && layout.Headers[i].Length > 0)
            {
                _unused.TryAdd(i, WhyNot(HeaderMeaning.Of(layout.Headers[i])));
            }
        }

        if (_columns.Count == 0)
        {
            var names = string.Join(", ", series.Take(20).Select(static key => key.Parameter));
            throw new InputProblem(file, Math.Max(1, layout.HeaderLine), table.Parameter + 1, $"found one row for each reading, but no quantity that is known to us among {names}");
        }
    }

    /// <summary>Finds the series of a row among the few that there are, without making texts.</summary>
    private static bool TryFind(List<(string Parameter, string Unit, string Device, ReadingColumn? Column)> series, LogRows rows, LongTable table, out ReadingColumn? column)
    {
        foreach (var one in series)
        {
            if (rows[table.Parameter].SequenceEqual(one.Parameter) && (table.UnitName < 0 || rows[table.UnitName].SequenceEqual(one.Unit)) && (table.Device < 0 || rows[table.Device].SequenceEqual(one.Device)))
            {
                column = one.Column;
                return true;
            }
        }

        column = null;
        return false;
    }

    private ReadingColumn? NewSeries((string Parameter, string Unit, string Device) key, LongTable table, int count)
    {
        if (count >= MostSeries)
        {
            throw new InputProblem(file, Math.Max(1, layout.HeaderLine), table.Parameter + 1, FormattableString.Invariant($"found over {MostSeries} kinds of readings in {LogColumns.NameOf(layout.Headers, table.Parameter)}, which is more than is read"));
        }

        var meaning = LongTable.MeaningOf(key.Parameter, key.Unit);
        var header = key.Device.Length > 0 && HasManyDevices(table) ? $"{key.Parameter} at {key.Device}" : key.Parameter;
        if (meaning.Role == ColumnRole.Quantity)
        {
            var cells = layout.Rows.Skip(layout.DataAt).Where(row => table.Parameter < row.Cells.Length && row.Cells[table.Parameter].Trim() == key.Parameter && table.Value < row.Cells.Length).Select(row => row.Cells[table.Value]).ToList();
            meaning = _names.WithUnit(meaning, table.Value, header, cells);
        }

        if (meaning.Role != ColumnRole.Quantity)
        {
            _unusedSeries.Add(new UnusedColumn(header, WhyNot(meaning)));
            return null;
        }

        var column = new ReadingColumn(_names.NextName(meaning.Quantity!), table.Value, header, meaning, layout, 256) { OwnTimes = (new Grown<double>(), new Grown<double>()) };
        _columns.Add(column);
        return column;
    }

    private bool HasManyDevices(LongTable table) =>
        layout.Rows.Skip(layout.DataAt).Where(row => table.Device < row.Cells.Length).Select(row => row.Cells[table.Device]).Distinct().Skip(1).Any();

    private bool ReadTime(LogRows rows, Grown<double> dayFirst, Grown<double> monthFirst)
    {
        if (!_time.TryRead(rows, out var one, out var other))
        {
            LeaveOut(rows);
            return false;
        }

        // The second order costs memory, so it is kept only once there are two.
        if (_time.HasTwoOrders)
        {
            while (monthFirst.Count < dayFirst.Count)
            {
                monthFirst.Add(double.NaN);
            }

            monthFirst.Add(other);
        }

        dayFirst.Add(one);
        _rows++;
        return true;
    }

    private void LeaveOut(LogRows rows)
    {
        if (rows.IsBlank())
        {
            return;
        }

        _leftOut++;
        if (rows.Count >= layout.Headers.Length - 1 && rows[_plan.Column].Equals(layout.Headers[_plan.Column], StringComparison.Ordinal) && layout.HeaderLine > 0)
        {
            _repeatedHeaders++;
            LogFindings.RepeatedHeader(findings, rows.Line);
            return;
        }

        LogFindings.RowWithoutTime(findings, rows.Line, _plan.Column + 1, rows[_plan.Column]);
    }

    private void Watch(LogRows rows, int readings)
    {
        _readings += readings;
        if (_rows > MostRows || _readings > MostReadings)
        {
            throw new InputProblem(file, rows.Line, 1, FormattableString.Invariant($"the log goes on beyond {(_rows > MostRows ? MostRows : MostReadings)} {(_rows > MostRows ? "rows" : "readings")}, which is more than is read; split it, or keep fewer rows"));
        }

        if ((_rows & 0xFFF) == 0)
        {
            cancel.ThrowIfCancellationRequested();
        }
    }
}
