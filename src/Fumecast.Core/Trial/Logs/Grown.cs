// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>A column that grows; where its length is known before, it has its final size from the start, and nothing is copied.</summary>
/// <param name="expected">Length that is expected [-].</param>
internal sealed class Grown<T>(int expected = 256)
{
    private T[] _items = new T[Math.Max(16, expected)];

    /// <summary>How many there are [-].</summary>
    public int Count { get; private set; }

    /// <summary>Adds one.</summary>
    public void Add(T item)
    {
        if (Count == _items.Length)
        {
            Array.Resize(ref _items, _items.Length + (_items.Length / 2));
        }

        _items[Count++] = item;
    }

    /// <summary>All of them.</summary>
    public ReadOnlySpan<T> Items => _items.AsSpan(0, Count);

    /// <summary>All of them in an array of just that length; this column is empty afterwards.</summary>
    public T[] Take()
    {
        Array.Resize(ref _items, Count);
        var all = _items;
        (_items, Count) = ([], 0);
        return all;
    }
}
