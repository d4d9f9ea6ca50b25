// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Motion;

/// <summary>Third stage: the highest speed at each junction from which the machine can still do what follows.</summary>
/// <remarks>
/// <para>Works on squares of speeds, so that v2 = v0^2 + 2 a d costs an addition. The backward pass lowers each entry to what can be
/// braked to the next, the forward pass to what can be reached from the one before.</para>
/// <para>Unlimited, and yet streaming: the backward pass runs over the moves known so far as if they ended in a stop. Moves that come
/// later can only raise its values. So wherever the forward speed does not exceed the backward one, the speed at the junction is
/// certain, and so is everything before it: a speed held down by the backward pass would, one move later, exceed it again.</para>
/// <para>Limited to n moves: the exit speed of a move is settled when n moves, itself included, are known, such that the machine could
/// stop at the end of the last of them; as a firmware with a buffer of that size does.</para>
/// </remarks>
internal sealed class LookAhead(int? blocks, int capacity)
{
    /// <summary>Square of the speed where each move begins, one more than there are moves [mm2/s2]; final up to <see cref="Settled"/>, included.</summary>
    public double[] Entry { get; private set; } = new double[capacity + Spare];

    /// <summary>Moves whose entry and exit are final [-].</summary>
    public int Settled { get; private set; }

    // The exit of the last move, and lanes behind it that whole vectors may touch.
    private const int Spare = 8;

    // Whether the entry of the first unsettled move is final; only false at the start of a run.
    private bool _hasStart;

    // Limited only: moves that the backward walk has seen.
    private int _walked;

    /// <summary>Settles what is certain of the moves before <paramref name="to"/>; at least one more move will follow.</summary>
    public void Advance(double[] entryCap, double[] reach, int to)
    {
        if (blocks is int limit)
        {
            AdvanceLimited(limit, entryCap, reach, to);
        }
        else if (to > Settled)
        {
            var certain = Plan(entryCap, reach, to, endCap: 0);
            if (certain >= 0)
            {
                Settled = certain;
                _hasStart = true;
            }
        }
    }

    /// <summary>Settles all moves before <paramref name="to"/>; the run ends there at rest, or with the square of the speed that may be dropped there.</summary>
    public void Finish(double[] entryCap, double[] reach, int to, double endCap)
    {
        if (blocks is int limit)
        {
            // Behind the last move comes the end of the run, not the end of what is known.
            AdvanceLimited(limit, entryCap, reach, to - 1);
        }

        if (to > Settled)
        {
            Plan(entryCap, reach, to, endCap);
            Entry[to] = Math.Min(endCap, Entry[to - 1] + reach[to - 1]);
            Settled = to;
        }
    }

    /// <summary>Settles moves that are not certain, with the speeds of the last <see cref="Advance"/>: slower than need be, never too fast.</summary>
    public void SettleEarly(int upTo)
    {
        if (upTo > Settled)
        {
            Settled = upTo;
            _hasStart = true;
        }
    }

    /// <summary>Takes over the state of another pass that has planned the same moves alike.</summary>
    public void StartLike(LookAhead other)
    {
        Array.Copy(other.Entry, Entry, Entry.Length);
        Settled = other.Settled;
        _hasStart = other._hasStart;
        _walked = other._walked;
    }

    /// <summary>Drops the oldest moves, all of them settled.</summary>
    public void Forget(int moves, int count)
    {
        Array.Copy(Entry, moves, Entry, 0, count - moves + 1);
        Settled -= moves;
        _walked = Math.Max(_walked - moves, 0);
    }

    /// <summary>Begins a new run.</summary>
    public void Restart()
    {
        Settled = 0;
        _walked = 0;
        _hasStart = false;
    }

    /// <summary>Makes room for more moves and keeps what is known.</summary>
    public void Resize(int newCapacity)
    {
        var entry = Entry;
        Array.Resize(ref entry, newCapacity + Spare);
        Entry = entry;
    }

    // Both passes over the unsettled moves. Returns the newest certain junction (the entry of that move), or -1.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private int Plan(double[] entryCap, double[] reach, int to, double endCap)
    {
        var first = Settled;
        var entry = Entry.AsSpan(0, to);
        var cap = entryCap.AsSpan(0, to);
        var change = reach.AsSpan(0, to);

        var backward = endCap;
        for (var k = to - 1; k >= first; k--)
        {
            backward = double.MinNative(cap[k], backward + change[k]);
            if (k == first && _hasStart)
            {
                break;
            }

            entry[k] = backward;
        }

        var certain = -1;
        var forward = _hasStart ? entry[first] : cap[first];
        for (var k = first; k < to; k++)
        {
            var limit = entry[k];
            certain = forward <= limit ? k : certain;
            entry[k] = double.MinNative(forward, limit);

            // The same as from the lesser of both, but only a sum and a comparison wait for the move before.
            forward = k + 1 < to ? double.MinNative(double.MinNative(cap[k + 1], limit + change[k]), forward + change[k]) : 0;
        }

        return certain;
    }

    private void AdvanceLimited(int limit, double[] entryCap, double[] reach, int to)
    {
        var entry = Entry;
        for (var last = _walked; last < to; last++)
        {
            // As if the machine stopped behind this move; earlier values change until one of them is held by its own cap.
            var oldestFree = _hasStart ? Settled + 1 : Settled;
            var backward = 0.0;
            for (var k = last; k >= oldestFree; k--)
            {
                backward = Math.Min(entryCap[k], backward + reach[k]);
                if (k < last && backward == entry[k])
                {
                    break;
                }

                entry[k] = backward;
            }

            if (last - Settled + 1 >= limit)
            {
                _hasStart = true;
                var next = Settled + 1;
                var known = next <= last ? entry[next] : 0;
                entry[next] = Math.Min(known, entry[Settled] + reach[Settled]);
                Settled = next;
            }
        }

        _walked = Math.Max(_walked, to);
    }
}
