// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>A column that grows by pieces, so that nothing is copied until its length is known.</summary>
internal sealed class Grown<T>
{
    private const int FirstPiece = 512;
    private const int LargestPiece = 32768;
    private readonly List<T[]> _full = [];
    private T[] _last = new T[FirstPiece];
    private int _at;

    /// <summary>How many there are [-].</summary>
    public int Count { get; private set; }

    /// <summary>Adds one.</summary>
    public void Add(T item)
    {
        if (_at == _last.Length)
        {
            _full.Add(_last);
            _last = new T[Math.Min(LargestPiece, 2 * _last.Length)];
            _at = 0;
        }

        _last[_at++] = item;
        Count++;
    }

    /// <summary>All of them in one piece; they stay here too.</summary>
    public T[] Copy() => [.. _full.SelectMany(static piece => piece), .. _last.AsSpan(0, _at)];

    /// <summary>All of them in one piece; this column is empty afterwards.</summary>
    public T[] Take()
    {
        var all = new T[Count];
        var to = 0;
        for (var i = 0; i < _full.Count; i++)
        {
            _full[i].CopyTo(all, to);
            to += _full[i].Length;
            _full[i] = [];
        }

        Array.Copy(_last, 0, all, to, _at);
        _full.Clear();
        (_last, _at, Count) = (new T[FirstPiece], 0, 0);
        return all;
    }
}
