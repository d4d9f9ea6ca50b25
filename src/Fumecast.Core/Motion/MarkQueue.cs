// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>Marks that wait for the move before them to be delivered, in order.</summary>
internal sealed class MarkQueue
{
    private int[] before = new int[16];
    private int[] ids = new int[16];
    private int first;
    private int end;

    /// <summary>Marks that wait [-].</summary>
    public int Count => end - first;

    /// <summary>Index of the move that the oldest mark precedes; none when no mark waits.</summary>
    public int NextAt => first < end ? before[first] : int.MaxValue;

    /// <summary>Adds a mark before the move that will get this index.</summary>
    public void Add(int moveIndex, int id)
    {
        if (end == ids.Length)
        {
            Array.Resize(ref before, 2 * end);
            Array.Resize(ref ids, 2 * end);
        }

        before[end] = moveIndex;
        ids[end++] = id;
    }

    /// <summary>Takes the oldest mark away.</summary>
    public int Take() => ids[first++];

    /// <summary>Follows the window when it drops its oldest moves.</summary>
    public void Forget(int moves)
    {
        for (var i = first; i < end; i++)
        {
            before[i - first] = before[i] - moves;
            ids[i - first] = ids[i];
        }

        end -= first;
        first = 0;
    }
}
