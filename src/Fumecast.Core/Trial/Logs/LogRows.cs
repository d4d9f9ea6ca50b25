// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using nietras.SeparatedValues;

namespace Fumecast.Trial;

/// <summary>The rows of a table, one at a time.</summary>
internal abstract class LogRows : IDisposable
{
    /// <summary>Most columns of a table [-].</summary>
    public const int MostColumns = 250_000;

    /// <summary>Cells of the row [-].</summary>
    public abstract int Count { get; }

    /// <summary>Its line in the file, 1-based [-].</summary>
    public abstract long Line { get; }

    /// <summary>A cell without blanks and quotes around it; empty where the row is too short.</summary>
    /// <param name="column">The column, from 0.</param>
    public abstract ReadOnlySpan<char> this[int column] { get; }

    /// <summary>Goes to the next row.</summary>
    /// <returns>Whether there is one.</returns>
    /// <exception cref="InputProblem">The table is broken here.</exception>
    public abstract bool Next();

    /// <inheritdoc/>
    public virtual void Dispose()
    {
    }

    /// <summary>Whether all cells are empty.</summary>
    public bool IsBlank()
    {
        for (var i = 0; i < Count; i++)
        {
            if (!this[i].IsEmpty)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>The cells as texts.</summary>
    public string[] Cells()
    {
        var cells = new string[Count];
        for (var i = 0; i < cells.Length; i++)
        {
            cells[i] = this[i].ToString();
        }

        return cells;
    }
}

/// <summary>Rows of a text with delimiters.</summary>
internal sealed class DelimitedRows : LogRows
{
    private readonly string _name;
    private readonly char _delimiter;
    private readonly SepReader _reader;
    private int _count;
    private long _line;
    private long _nextLine = 1;

    /// <summary>Opens a table.</summary>
    /// <param name="name">The log, for messages.</param>
    /// <param name="text">Its text.</param>
    /// <param name="delimiter">What stands between cells.</param>
    public DelimitedRows(string name, TextReader text, char delimiter)
    {
        _name = name;
        _delimiter = delimiter;
        _reader = Guarded(() => Sep.New(delimiter).Reader(static o => o with { HasHeader = false, DisableColCountCheck = true, Unescape = true }).From(text));
    }

    public override int Count => _count;

    public override long Line => _line;

    public override ReadOnlySpan<char> this[int column]
    {
        get
        {
            var cell = column < _count ? _reader.Current[column].Span.Trim() : [];

            // A blank before the opening quote hides it from the library.
            return cell is ['"', .., '"'] ? cell[1..^1].Trim() : cell;
        }
    }

    public override bool Next()
    {
        var has = Guarded(_reader.MoveNext);
        if (!has)
        {
            _count = 0;
            return false;
        }

        var row = _reader.Current;
        (_count, _line, _nextLine) = (row.ColCount, _nextLine, row.LineNumberToExcl);
        if (_count > MostColumns)
        {
            throw new InputProblem(_name, _line, MostColumns + 1, FormattableString.Invariant($"found {_count} columns, expected at most {MostColumns}; is it a log?"));
        }

        if (_nextLine - _line > 1)
        {
            RefuseSwallowedRows();
        }

        return true;
    }

    public override void Dispose()
    {
        _reader.Dispose();
        base.Dispose();
    }

    /// <summary>A remark may have several lines; one whose further lines are parted like rows has swallowed them.</summary>
    private void RefuseSwallowedRows()
    {
        for (var i = 0; i < _count; i++)
        {
            var cell = _reader.Current[i].Span;
            var end = cell.IndexOfAny('\r', '\n');
            if (end >= 0 && cell[end..].Contains(_delimiter))
            {
                throw new InputProblem(_name, _line, i + 1, "a quote that is opened here is not closed before the next row; close or remove it");
            }
        }
    }

    private T Guarded<T>(Func<T> read)
    {
        try
        {
            return read();
        }
        catch (Exception trouble) when (trouble is InvalidDataException or NotSupportedException or OverflowException or InvalidOperationException or ArgumentException)
        {
            throw new InputProblem(_name, _nextLine, 1, "a quote that is opened in this row, or soon after it, is never closed; close or remove it");
        }
        catch (IOException trouble)
        {
            throw new InputProblem($"{_name}: reading failed ({SystemTrouble.Reason(trouble)}); check the disk");
        }
    }
}

/// <summary>Rows that are held in memory.</summary>
/// <param name="rows">The rows with their lines.</param>
internal sealed class HeldRows(IReadOnlyList<(string[] Cells, long Line)> rows) : LogRows
{
    private int _at = -1;

    public override int Count => rows[_at].Cells.Length;

    public override long Line => rows[_at].Line;

    public override ReadOnlySpan<char> this[int column] => column < rows[_at].Cells.Length ? rows[_at].Cells[column].AsSpan().Trim() : [];

    public override bool Next() => ++_at < rows.Count;
}
