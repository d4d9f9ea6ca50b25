// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>A column of readings while it is read.</summary>
/// <param name="name">Name of the quantity, with a number behind it for a second one.</param>
/// <param name="column">The column in the table, from 0.</param>
/// <param name="header">Its header.</param>
/// <param name="meaning">What it holds; its unit is known.</param>
/// <param name="layout">How cells are written.</param>
/// <param name="expected">Readings that are expected [-].</param>
internal sealed class ReadingColumn(string name, int column, string header, HeaderMeaning meaning, LogLayout layout, int expected)
{
    private readonly bool _decimalComma = layout.DecimalComma;
    private readonly LogUnit _unit = meaning.Unit!;
    private readonly Grown<double> _written = new(expected);
    private readonly Grown<ReadingState> _flags = new(expected);

    public string Name => name;

    public string Kind => meaning.Quantity!;

    public int Column => column;

    public string Header => header;

    public HeaderMeaning Meaning => meaning;

    public int Count => _written.Count;

    /// <summary>Cells that hold words or signs which are none of ours, and the first of them.</summary>
    public int Texts { get; private set; }

    public string FirstText { get; private set; } = "";

    public long FirstTextLine { get; private set; }

    /// <summary>Cells with a number in another unit than the rest.</summary>
    public int OtherUnits { get; private set; }

    public int Grouped { get; private set; }

    public int Empty { get; private set; }

    /// <summary>Times of the rows where those are not shared; see <see cref="LongTable"/>.</summary>
    public (Grown<double> DayFirst, Grown<double> MonthFirst)? OwnTimes { get; init; }

    /// <summary>Reads a cell.</summary>
    /// <param name="cell">The cell.</param>
    /// <param name="line">Its line.</param>
    public void Read(ReadOnlySpan<char> cell, long line)
    {
        switch (NumberCell.Read(cell, _decimalComma, out var value, out var unit))
        {
            case CellKind.Number when unit.IsEmpty:
                Add(value, ReadingState.Used);
                return;
            case CellKind.Number:
                AddWithUnit(cell, value, unit, line);
                return;
            case CellKind.Empty:
                Empty++;
                Add(double.NaN, ReadingState.Missing);
                return;
            case CellKind.ErrorWord:
                Add(double.NaN, ReadingState.ErrorMark);
                return;
            case CellKind.OverWord:
                Add(value, ReadingState.OverRange);
                return;
            default:
                var (group, point) = _decimalComma ? ('.', ',') : (',', '.');
                if (cell.Length < 40 && LogLayout.Ungrouped(cell, group, point) is { } plain && NumberCell.Read(plain, decimalComma: false, out value, out _) == CellKind.Number)
                {
                    Grouped++;
                    Add(value, ReadingState.Used);
                    return;
                }

                AddText(cell, line);
                return;
        }
    }

    /// <summary>The values as written and their flags; to be called once.</summary>
    public (double[] Written, ReadingState[] Flags) Take() => (_written.Take(), _flags.Take());

    private void AddWithUnit(ReadOnlySpan<char> cell, double value, ReadOnlySpan<char> unit, long line)
    {
        var other = LogUnit.Of(HeaderText.Compact(HeaderText.Plain(unit.ToString())))?.For(Kind);
        if (other is null || other.Canonical != _unit.Canonical)
        {
            AddText(cell, line);
            return;
        }

        if (other != _unit)
        {
            OtherUnits++;
            value = (other.Convert(value) - _unit.Shift) / _unit.Factor;
        }

        Add(value, ReadingState.Used);
    }

    private void AddText(ReadOnlySpan<char> cell, long line)
    {
        if (Texts++ == 0)
        {
            (FirstText, FirstTextLine) = (cell[..Math.Min(40, cell.Length)].ToString(), line);
        }

        Add(double.NaN, ReadingState.ErrorMark);
    }

    private void Add(double value, ReadingState flag)
    {
        _written.Add(value);
        _flags.Add(flag);
    }
}
