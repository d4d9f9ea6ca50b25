// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

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

    private readonly MoveWindow window;
    private readonly SpeedPlan speeds;
    private readonly TrapezoidBatch trapezoids = new();
    private readonly MarkQueue marks = new();
    private readonly int largestWindow;
    private TSink sink;
    private LimitValues values;
    private KindTable accelOfKind;
    private KindTable slowestOfKind;
    private int revision = -1;
    private int accelRevision = -1;

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

        this.sink = sink;
        this.largestWindow = largestWindow;
        Limits = limits ?? new MotionLimits();
        window = new MoveWindow(windowMoves);

        // Two passes hold twice the blocks at most, and more than half a window open would make it grow.
        var blocks = lookaheadBlocks is int wish ? Math.Min(wish, LargestWindow / 4) : lookaheadBlocks;
        speeds = new SpeedPlan(window, blocks);
    }

    /// <summary>The limits in force for moves added from now on, and for the junction with the move before them.</summary>
    public MotionLimits Limits { get; }

    /// <summary>The sink; by reference, so that a struct can be read.</summary>
    public ref TSink Sink => ref sink;

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

        if ((Limits.Revision ^ revision | Limits.AccelRevision ^ accelRevision) != 0)
        {
            AdoptLimits();
        }

        if (window.Count == window.Capacity)
        {
            Advance();
        }

        // Remainders of a subtraction of positions are no movement of the nozzle.
        var moves = nozzleMm >= ShortestMm;
        var k = window.Count;
        window.UnitX[k] = moves ? move.DxMm : 0;
        window.UnitY[k] = moves ? move.DyMm : 0;
        window.UnitZ[k] = moves ? move.DzMm : 0;
        window.Feed[k] = move.DeMm;
        window.TopSquared[k] = LimitValues.Speed(move.SpeedMmPerS, slowestOfKind[move.Kind]);
        window.Accel[k] = accelOfKind[move.Kind];
        window.Kind[k] = move.Kind;
        window.Payload[k] = move.Payload;
        window.Count = k + 1;
    }

    /// <summary>Places a mark: the sink gets it after the move added last and before the next one.</summary>
    /// <param name="id">Handed on to the sink [-].</param>
    public void Mark(int id)
    {
        if (window.Count == 0)
        {
            sink.Mark(id);
            return;
        }

        marks.Add(window.Count, id);
        if (marks.Count >= Math.Max(MostMarks, 4 * window.Capacity))
        {
            SettledEarly += window.Count;
            Stop();
        }
    }

    /// <summary>Ends the run at rest and delivers everything: a barrier.</summary>
    public void Stop()
    {
        if (window.Count > 0)
        {
            DeliverAll();
        }

        speeds.Restart(values.MinimumCruiseRatio > 0);
    }

    private void DeliverAll()
    {
        Prepare();
        var count = window.Count;
        speeds.Finish(Junctions.AtRestSquared(window, values, count - 1));
        Deliver(count);
        window.Forget(count);
        marks.Forget(count);
    }

    private void AdoptLimits()
    {
        if (Limits.Revision != revision)
        {
            // Moves added so far keep the old limits.
            Prepare();
            values = new LimitValues(Limits);
            revision = Limits.Revision;
            var print = Math.Max(LimitValues.SlowestMmPerS, LimitValues.Speed(Limits.MinPrintFeedMmPerS, 0));
            var travel = Math.Max(LimitValues.SlowestMmPerS, LimitValues.Speed(Limits.MinTravelFeedMmPerS, 0));
            slowestOfKind = new KindTable(print, travel, print);
            if (values.MinimumCruiseRatio > 0)
            {
                speeds.KeepCruiseRatio();
            }
        }

        accelRevision = Limits.AccelRevision;
        accelOfKind = new KindTable(
            LimitValues.Accel(Limits.PrintAccelMmPerS2),
            LimitValues.Accel(Limits.TravelAccelMmPerS2),
            LimitValues.Accel(Limits.RetractAccelMmPerS2));
    }

    // Computes limits and junctions of the moves added since the last time.
    private void Prepare()
    {
        var from = window.Prepared;
        var to = window.Count;
        if (from == to)
        {
            return;
        }

        AxisLimits.Apply(window, values, from, to);
        Junctions.Apply(window, values, Math.Max(from, 1), to);
        if (from == 0)
        {
            window.EntryCap[0] = Junctions.AtRestSquared(window, values, 0);
        }

        window.Prepared = to;
    }

    // Settles and delivers what is certain; makes room when that is less than half.
    private void Advance()
    {
        Prepare();
        speeds.Advance();
        if (window.Count - speeds.Settled > window.Capacity / 2 && window.Capacity >= largestWindow)
        {
            SettledEarly += speeds.SettleEarly();
        }

        DeliverSettled();
        if (window.Count > window.Capacity / 2)
        {
            window.Resize(Math.Min(2 * window.Capacity, largestWindow));
            speeds.Resize();
        }
    }

    private void DeliverSettled()
    {
        var settled = speeds.Settled;
        if (settled == 0)
        {
            return;
        }

        Deliver(settled);
        speeds.Forget(settled);
        window.Forget(settled);
        marks.Forget(settled);
    }

    private void Deliver(int count)
    {
        for (var from = 0; from < count; from += TrapezoidBatch.Size)
        {
            var size = Math.Min(TrapezoidBatch.Size, count - from);
            trapezoids.Fill(window, speeds.Entry, from, size);
            DeliverBatch(from, size);
        }

        DeliverMarks(count);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DeliverBatch(int from, int size)
    {
        var nextMark = marks.NextAt;
        TimedMove move;
        for (var i = 0; i < size; i++)
        {
            var k = from + i;
            if (k >= nextMark)
            {
                DeliverMarks(k);
                nextMark = marks.NextAt;
            }

            move.LengthMm = window.Length[k];
            move.StartMmPerS = trapezoids.Start[i];
            move.PeakMmPerS = trapezoids.Peak[i];
            move.EndMmPerS = trapezoids.Start[i + 1];
            move.AccelMmPerS2 = window.Accel[k];
            move.SpeedUpS = trapezoids.SpeedUp[i];
            move.CruiseS = trapezoids.Cruise[i];
            move.SlowDownS = trapezoids.SlowDown[i];
            move.FeedPerMm = window.Feed[k];
            move.Kind = window.Kind[k];
            move.Payload = window.Payload[k];
            sink.Move(in move);
        }
    }

    private void DeliverMarks(int upTo)
    {
        while (marks.NextAt <= upTo)
        {
            sink.Mark(marks.Take());
        }
    }
}
