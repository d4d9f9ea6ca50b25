// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>Marks that wait for the move before them to be delivered, in order.</summary>
internal sealed class MarkQueue
{
    private int[] _before = new int[16];
    private int[] _ids = new int[16];
    private int _first;
    private int _end;

    /// <summary>Marks that wait [-].</summary>
    public int Count => _end - _first;

    /// <summary>Index of the move that the oldest mark precedes; none when no mark waits.</summary>
    public int NextAt => _first < _end ? _before[_first] : int.MaxValue;

    /// <summary>Adds a mark before the move that will get this index.</summary>
    public void Add(int moveIndex, int id)
    {
        if (_end == _ids.Length)
        {
            Array.Resize(ref _before, 2 * _end);
            Array.Resize(ref _ids, 2 * _end);
        }

        _before[_end] = moveIndex;
        _ids[_end++] = id;
    }

    /// <summary>Takes the oldest mark away.</summary>
    public int Take() => _ids[_first++];

    /// <summary>Follows the window when it drops its oldest moves.</summary>
    public void Forget(int moves)
    {
        for (var i = _first; i < _end; i++)
        {
            _before[i - _first] = _before[i] - moves;
            _ids[i - _first] = _ids[i];
        }

        _end -= _first;
        _first = 0;
    }
}
