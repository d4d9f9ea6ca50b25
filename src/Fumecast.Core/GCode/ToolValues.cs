// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>One thing claimed for each tool; null where it is not stated.</summary>
/// <typeparam name="T">A string, or a nullable number.</typeparam>
internal sealed class ToolValues<T>
{
    private const int MostTools = 64;

    private readonly List<T?> _values = [];
    private int _rank = int.MaxValue;
    private ClaimKey _key;
    private bool _isNumbered;

    /// <summary>Line of the claim, 1-based; 0 when there is none or its place is not known [-].</summary>
    internal long Line { get; private set; }

    /// <summary>What spoke.</summary>
    internal ClaimKey Key => _key;

    /// <summary>The values by tool.</summary>
    internal IReadOnlyList<T?> Values => _values;

    /// <summary>What is claimed for a tool; a lone value that names no tool holds for all.</summary>
    internal T? Of(int tool) =>
        _values.Count == 1 && !_isNumbered ? _values[0] : (uint)tool < (uint)_values.Count ? _values[tool] : default;

    /// <summary>Whether a claim would be taken: it is surer than the one before, or goes on with the next tool.</summary>
    /// <param name="key">What speaks.</param>
    /// <param name="rank">How sure it is; 0 is the surest [-].</param>
    internal bool Wants(ClaimKey key, int rank) => rank < _rank || (rank == _rank && _isNumbered && key == _key);

    /// <summary>Takes a whole list.</summary>
    internal void Set(ClaimKey key, int rank, IEnumerable<T?> values, long line)
    {
        Begin(key, rank, line);
        _values.AddRange(values.Take(MostTools));
    }

    /// <summary>Takes the value of one tool; further tools may follow.</summary>
    internal void Set(ClaimKey key, int rank, int tool, T value, long line)
    {
        if (rank != _rank || key != _key || !_isNumbered)
        {
            Begin(key, rank, line);
            _isNumbered = true;
        }

        if ((uint)tool >= MostTools)
        {
            return;
        }

        while (_values.Count <= tool)
        {
            _values.Add(default);
        }

        _values[tool] ??= value;
    }

    private void Begin(ClaimKey key, int rank, long line)
    {
        _values.Clear();
        _isNumbered = false;
        (_key, _rank, Line) = (key, rank, line);
    }
}
