// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Fumecast.Motion;

/// <summary>Turns commanded moves into moves in time: limits of the axes, corners, look-ahead, trapezoids. Start reading here.</summary>
/// <remarks>
/// <para>Streaming: moves go into a window (<see cref="MoveWindow"/>); when it is full the stages run over it as batches
/// (<see cref="AxisLimits"/>, <see cref="Junctions"/>, <see cref="SpeedPlan"/>, <see cref="TrapezoidBatch"/>), settled moves go to the
/// sink, and the few unsettled ones stay. Nothing is allocated per move. The result does not depend on the size of the window, bit for bit,
/// unless <see cref="SettledEarly"/> says otherwise. Methods that run per move or per batch are compiled optimised from the start: a job is
/// often done before the runtime would replace a first, slow version (400 000 moves took 58 ms, now 33 ms).</para>
/// <para>Guards: moves shorter than 1e-9 mm, or with a displacement that is no finite number of at most 1e9 mm, are ignored; speeds and
/// limits that are 0, negative or NaN are raised to the floors stated at <see cref="LimitValues"/>.</para>
/// </remarks>
/// <typeparam name="TSink">Type of the sink; a struct lets its calls be inlined.</typeparam>
internal sealed class MotionPlanner<TSink>
    where TSink : IMotionSink
{
    // 1024 moves take 130 KB: large enough to share out the cost of a batch, small enough for the second-level cache. (512 to 4096 were
    // equally quick.)
    private const int DefaultWindow = 1024;

    // 65 536 moves take 9 MB. Only moves of micrometres at high speed and low acceleration need so many: 0.02 mm each look 1.3 m ahead.
    private const int LargestWindow = 1 << 16;

    // So many marks, and four for each move that fits, end the run: a broken file must not fill the memory with them.
    private const int MostMarks = 1 << 14;

    private const double ShortestMm = 1e-9;
    private const double LongestMm = 1e9;

    private readonly MoveWindow _window;
    private readonly SpeedPlan _speeds;
    private readonly TrapezoidBatch _trapezoids = new();
    private readonly MarkQueue _marks = new();
    private readonly int _largestWindow;
    private TSink _sink;
    private LimitValues _values;
    private KindTable _accelOfKind;
    private KindTable _slowestOfKind;
    private int _revision = -1;
    private int _accelRevision = -1;

    /// <summary>Makes a planner at rest.</summary>
    /// <param name="sink">Receives the timed moves and the marks.</param>
    /// <param name="lookaheadBlocks">Moves that the firmware can hold, the one that runs included [-], 1 or more, above 16 384 as 16 384;
    /// null for no limit. The end of what is known counts as a stop at speed 0.</param>
    /// <param name="limits">The limits to begin with, which the planner goes on to read; null for the defaults.</param>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="lookaheadBlocks"/> is below 1.</exception>
    public MotionPlanner(TSink sink, int? lookaheadBlocks, MotionLimits? limits = null)
        : this(sink, lookaheadBlocks, limits, DefaultWindow, LargestWindow)
    {
    }

    internal MotionPlanner(TSink sink, int? lookaheadBlocks, MotionLimits? limits, int windowMoves, int largestWindow)
    {
        if (lookaheadBlocks < 1)
        {
            throw new ArgumentOutOfRangeException(nameof(lookaheadBlocks), lookaheadBlocks, "expected 1 or more");
        }

        _sink = sink;
        _largestWindow = largestWindow;
        Limits = limits ?? new MotionLimits();
        _window = new MoveWindow(windowMoves);

        // Two passes hold twice the blocks at most, and more than half a window open would make it grow.
        var blocks = lookaheadBlocks is int wish ? Math.Min(wish, LargestWindow / 4) : lookaheadBlocks;
        _speeds = new SpeedPlan(_window, blocks);
    }

    /// <summary>The limits in force for moves added from now on, and for the junction with the move before them.</summary>
    public MotionLimits Limits { get; }

    /// <summary>The sink; by reference, so that a struct can be read.</summary>
    public ref TSink Sink => ref _sink;

    /// <summary>Moves whose speeds were settled before what follows was known, since the window was full: they are slower than need be [-].</summary>
    public long SettledEarly { get; private set; }

    /// <summary>Adds a move.</summary>
    /// <param name="move">The move as commanded.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Add(ref readonly MoveRequest move)
    {
        var nozzleMm = Math.Abs(move.DxMm) + Math.Abs(move.DyMm) + Math.Abs(move.DzMm);
        var totalMm = nozzleMm + Math.Abs(move.DeMm);
        if (!(totalMm >= ShortestMm && totalMm <= LongestMm))
        {
            return;
        }

        if ((Limits.Revision ^ _revision | Limits.AccelRevision ^ _accelRevision) != 0)
        {
            AdoptLimits();
        }

        if (_window.Count == _window.Capacity)
        {
            Advance();
        }

        // Remainders of a subtraction of positions are no movement of the nozzle.
        var moves = nozzleMm >= ShortestMm;
        var k = _window.Count;
        _window.UnitX[k] = moves ? move.DxMm : 0;
        _window.UnitY[k] = moves ? move.DyMm : 0;
        _window.UnitZ[k] = moves ? move.DzMm : 0;
        _window.Feed[k] = move.DeMm;
        _window.TopSquared[k] = LimitValues.Speed(move.SpeedMmPerS, _slowestOfKind[move.Kind]);
        _window.Accel[k] = _accelOfKind[move.Kind];
        _window.Kind[k] = move.Kind;
        _window.Payload[k] = move.Payload;
        _window.Count = k + 1;
    }

    /// <summary>Adds the pieces of an arc, as if one by one.</summary>
    /// <param name="piece">What they share: all but the displacement, which is not looked at.</param>
    /// <param name="start">Where the first of them begins.</param>
    /// <param name="ends">Where they end; used up.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(ref readonly MoveRequest piece, Position start, ref ArcPath.PieceEnds ends)
    {
        if ((Limits.Revision ^ _revision | Limits.AccelRevision ^ _accelRevision) != 0)
        {
            AdoptLimits();
        }

        var feedMm = Math.Abs(piece.DeMm);
        var speed = LimitValues.Speed(piece.SpeedMmPerS, _slowestOfKind[piece.Kind]);
        var accel = _accelOfKind[piece.Kind];
        var pieces = ends;
        while (!pieces.IsDone)
        {
            if (_window.Count == _window.Capacity)
            {
                Advance();
            }

            // Looked up for all that fit at once: they stay in place until the window is full.
            var (window, k, capacity) = (_window, _window.Count, _window.Capacity);
            ref var x = ref MemoryMarshal.GetArrayDataReference(window.UnitX);
            ref var y = ref MemoryMarshal.GetArrayDataReference(window.UnitY);
            ref var z = ref MemoryMarshal.GetArrayDataReference(window.UnitZ);
            ref var feed = ref MemoryMarshal.GetArrayDataReference(window.Feed);
            ref var top = ref MemoryMarshal.GetArrayDataReference(window.TopSquared);
            ref var acceleration = ref MemoryMarshal.GetArrayDataReference(window.Accel);
            ref var kind = ref MemoryMarshal.GetArrayDataReference(window.Kind);
            ref var payload = ref MemoryMarshal.GetArrayDataReference(window.Payload);
            while (k < capacity && pieces.MoveNext())
            {
                var end = pieces.Current;
                var (dx, dy, dz) = (end.X - start.X, end.Y - start.Y, end.Z - start.Z);
                start = end;
                var nozzleMm = Math.Abs(dx) + Math.Abs(dy) + Math.Abs(dz);
                if (!(nozzleMm >= ShortestMm && nozzleMm + feedMm <= LongestMm))
                {
                    if (!(nozzleMm + feedMm >= ShortestMm && nozzleMm + feedMm <= LongestMm))
                    {
                        continue;
                    }

                    (dx, dy, dz) = (0, 0, 0);
                }

                Unsafe.Add(ref x, k) = dx;
                Unsafe.Add(ref y, k) = dy;
                Unsafe.Add(ref z, k) = dz;
                Unsafe.Add(ref feed, k) = piece.DeMm;
                Unsafe.Add(ref top, k) = speed;
                Unsafe.Add(ref acceleration, k) = accel;
                Unsafe.Add(ref kind, k) = piece.Kind;
                Unsafe.Add(ref payload, k) = piece.Payload;
                k++;
            }

            window.Count = k;
        }

        ends = pieces;
    }

    /// <summary>Places a mark: the sink gets it after the move added last and before the next one.</summary>
    /// <param name="id">Handed on to the sink [-].</param>
    public void Mark(int id)
    {
        if (_window.Count == 0)
        {
            _sink.Mark(id);
            return;
        }

        _marks.Add(_window.Count, id);
        if (_marks.Count >= Math.Max(MostMarks, 4 * _window.Capacity))
        {
            SettledEarly += _window.Count;
            Stop();
        }
    }

    /// <summary>Ends the run at rest and delivers everything: a barrier.</summary>
    public void Stop()
    {
        if (_window.Count > 0)
        {
            DeliverAll();
        }

        _speeds.Restart(_values.MinimumCruiseRatio > 0);
    }

    private void DeliverAll()
    {
        Prepare();
        var count = _window.Count;
        _speeds.Finish(Junctions.AtRestSquared(_window, _values, count - 1));
        Deliver(count);
        _window.Forget(count);
        _marks.Forget(count);
    }

    private void AdoptLimits()
    {
        if (Limits.Revision != _revision)
        {
            // Moves added so far keep the old limits.
            Prepare();
            _values = new LimitValues(Limits);
            _revision = Limits.Revision;
            var print = Math.Max(LimitValues.SlowestMmPerS, LimitValues.Speed(Limits.MinPrintFeedMmPerS, 0));
            var travel = Math.Max(LimitValues.SlowestMmPerS, LimitValues.Speed(Limits.MinTravelFeedMmPerS, 0));
            _slowestOfKind = new KindTable(print, travel, print);
            if (_values.MinimumCruiseRatio > 0)
            {
                _speeds.KeepCruiseRatio();
            }
        }

        _accelRevision = Limits.AccelRevision;
        _accelOfKind = new KindTable(
            LimitValues.Accel(Limits.PrintAccelMmPerS2),
            LimitValues.Accel(Limits.TravelAccelMmPerS2),
            LimitValues.Accel(Limits.RetractAccelMmPerS2));
    }

    // Computes limits and junctions of the moves added since the last time.
    private void Prepare()
    {
        var from = _window.Prepared;
        var to = _window.Count;
        if (from == to)
        {
            return;
        }

        AxisLimits.Apply(_window, _values, from, to);
        Junctions.Apply(_window, _values, Math.Max(from, 1), to);
        if (from == 0)
        {
            _window.EntryCap[0] = Junctions.AtRestSquared(_window, _values, 0);
        }

        _window.Prepared = to;
    }

    // Settles and delivers what is certain; makes room when that is less than half.
    private void Advance()
    {
        Prepare();
        _speeds.Advance();
        if (_window.Count - _speeds.Settled > _window.Capacity / 2 && _window.Capacity >= _largestWindow)
        {
            SettledEarly += _speeds.SettleEarly();
        }

        DeliverSettled();
        if (_window.Count > _window.Capacity / 2)
        {
            _window.Resize(Math.Min(2 * _window.Capacity, _largestWindow));
            _speeds.Resize();
        }
    }

    private void DeliverSettled()
    {
        var settled = _speeds.Settled;
        if (settled == 0)
        {
            return;
        }

        Deliver(settled);
        _speeds.Forget(settled);
        _window.Forget(settled);
        _marks.Forget(settled);
    }

    private void Deliver(int count)
    {
        for (var from = 0; from < count; from += TrapezoidBatch.Size)
        {
            var size = Math.Min(TrapezoidBatch.Size, count - from);
            _trapezoids.Fill(_window, _speeds.Entry, from, size);
            DeliverBatch(from, size);
        }

        DeliverMarks(count);
    }

    private void DeliverBatch(int from, int size)
    {
        for (var i = 0; i < size;)
        {
            DeliverMarks(from + i);
            var end = Math.Min(size, _marks.NextAt - from);
            _sink.Move(new TimedMoves(_window, from + i, _trapezoids, i, end - i));
            i = end;
        }
    }

    private void DeliverMarks(int upTo)
    {
        while (_marks.NextAt <= upTo)
        {
            _sink.Mark(_marks.Take());
        }
    }
}
