// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using System.Runtime.CompilerServices;
using System.Runtime.ExceptionServices;
using Fumecast.Motion;

namespace Fumecast.Machine;

/// <summary>Carries moves, marks and changed limits from the interpreter to planner and clock, on a second core where that pays.</summary>
/// <remarks>
/// Order is kept, so the result does not depend on threads. After a long stretch without a barrier the moves go to a worker in batches;
/// at the next barrier (<see cref="Settle"/>) the worker is waited for and everything is direct again. So the interpreter may touch
/// planner, clock and heaters after a barrier, and only then. Short jobs and jobs full of barriers never leave the direct way.
/// </remarks>
internal sealed class MoveFeed : IDisposable
{
    /// <summary>Moves without a barrier after which a worker pays [-]: some milliseconds of work against some microseconds of waiting.</summary>
    private const int DirectMoves = 30_000;

    private const int BatchSize = 1024;
    private const int MostBatches = 8;

    private readonly MotionPlanner<Timeline.Sink> _planner;
    private readonly MotionLimits _limits;
    private readonly bool _mayUseWorker;
    private readonly Queue<MotionLimits> _limitsOnTheirWay = new();
    private BlockingCollection<Batch>? _full;
    private BlockingCollection<Batch>? _empty;
    private Thread? _worker;
    private ExceptionDispatchInfo? _trouble;
    private Batch? _open;
    private int _untilWorker = DirectMoves;
    private int _revision;
    private int _accelRevision;

    /// <summary>Makes a feed.</summary>
    /// <param name="planner">The planner.</param>
    /// <param name="limits">The interpreter's limits; what is changed in them holds for the moves added from then on.</param>
    /// <param name="mayUseWorker">Whether a second core may be used.</param>
    public MoveFeed(MotionPlanner<Timeline.Sink> planner, MotionLimits limits, bool mayUseWorker)
    {
        _planner = planner;
        _limits = limits;
        _mayUseWorker = mayUseWorker;
        TakeLimits(_limits);
    }

    private enum What : byte
    {
        Move,
        Mark,
        Accelerations,
        Limits,
    }

    /// <summary>Adds a move.</summary>
    /// <param name="move">The move.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Add(ref readonly MoveRequest move)
    {
        if (((_limits.Revision ^ _revision) | (_limits.AccelRevision ^ _accelRevision)) != 0)
        {
            PassLimitsOn();
        }

        if (_open is null)
        {
            _planner.Add(in move);
            if (--_untilWorker == 0)
            {
                StartBatches();
            }

            return;
        }

        ref var entry = ref NextEntry();
        entry.What = What.Move;
        entry.Move = move;
    }

    /// <summary>Places a mark behind the moves added so far.</summary>
    /// <param name="id">Its number [-].</param>
    public void Mark(int id)
    {
        if (_open is null)
        {
            _planner.Mark(id);
            return;
        }

        ref var entry = ref NextEntry();
        entry.What = What.Mark;
        entry.Id = id;
    }

    /// <summary>Waits until everything added so far has reached the planner; afterwards planner and clock may be touched.</summary>
    public void Settle()
    {
        _untilWorker = DirectMoves;
        if (_open is null)
        {
            return;
        }

        if (_open.Count > 0)
        {
            _full!.Add(_open);
        }
        else
        {
            _empty!.Add(_open);
        }

        _open = null;

        // All batches are back when as many were taken out again.
        var back = new List<Batch>(MostBatches);
        while (back.Count < MostBatches)
        {
            back.Add(_empty!.Take());
        }

        back.ForEach(batch => _empty!.Add(batch));
        _trouble?.Throw();
    }

    /// <summary>Ends the worker. What it has not done yet stays undone.</summary>
    public void Dispose()
    {
        if (_worker is null)
        {
            return;
        }

        _full!.CompleteAdding();
        _worker.Join();
        _full.Dispose();
        _empty!.Dispose();
        _worker = null;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private ref Entry NextEntry()
    {
        if (_open!.Count == BatchSize)
        {
            Hand();
        }

        return ref _open.Entries[_open.Count++];
    }

    private void Hand()
    {
        _full!.Add(_open!);
        _open = _empty!.Take();
        _trouble?.Throw();
    }

    private void StartBatches()
    {
        if (!_mayUseWorker)
        {
            return;
        }

        if (_worker is null)
        {
            _full = new BlockingCollection<Batch>(MostBatches);
            _empty = new BlockingCollection<Batch>(MostBatches);
            for (var i = 0; i < MostBatches; i++)
            {
                _empty.Add(new Batch());
            }

            _worker = new Thread(Work) { IsBackground = true, Name = "planner" };
            _worker.Start();
        }

        _open = _empty!.Take();
    }

    private void Work()
    {
        foreach (var batch in _full!.GetConsumingEnumerable())
        {
            if (_trouble is null)
            {
                try
                {
                    Play(batch);
                }
#pragma warning disable CA1031 // Whatever it is, it is raised again where the interpreter waits.
                catch (Exception trouble)
#pragma warning restore CA1031
                {
                    _trouble = ExceptionDispatchInfo.Capture(trouble);
                }
            }

            batch.Count = 0;
            _empty!.Add(batch);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Play(Batch batch)
    {
        foreach (ref var entry in batch.Entries.AsSpan(0, batch.Count))
        {
            switch (entry.What)
            {
                case What.Move:
                    _planner.Add(in entry.Move);
                    break;
                case What.Mark:
                    _planner.Mark(entry.Id);
                    break;
                case What.Accelerations:
                    _planner.Limits.PrintAccelMmPerS2 = entry.Move.DxMm;
                    _planner.Limits.TravelAccelMmPerS2 = entry.Move.DyMm;
                    _planner.Limits.RetractAccelMmPerS2 = entry.Move.DzMm;
                    break;
                case What.Limits:
                    lock (_limitsOnTheirWay)
                    {
                        _planner.Limits.CopyFrom(_limitsOnTheirWay.Dequeue());
                    }

                    break;
            }
        }
    }

    private void PassLimitsOn()
    {
        if (_open is null)
        {
            TakeLimits(_limits);
            return;
        }

        if (_limits.Revision != _revision)
        {
            var copy = new MotionLimits();
            copy.CopyFrom(_limits);
            lock (_limitsOnTheirWay)
            {
                _limitsOnTheirWay.Enqueue(copy);
            }

            NextEntry().What = What.Limits;
        }
        else
        {
            // Some files change these before every move: no copy of all the rest.
            ref var entry = ref NextEntry();
            entry.What = What.Accelerations;
            entry.Move.DxMm = _limits.PrintAccelMmPerS2;
            entry.Move.DyMm = _limits.TravelAccelMmPerS2;
            entry.Move.DzMm = _limits.RetractAccelMmPerS2;
        }

        (_revision, _accelRevision) = (_limits.Revision, _limits.AccelRevision);
    }

    private void TakeLimits(MotionLimits limits)
    {
        _planner.Limits.CopyFrom(limits);
        (_revision, _accelRevision) = (limits.Revision, limits.AccelRevision);
    }

    private struct Entry
    {
        public MoveRequest Move;
        public int Id;
        public What What;
    }

    private sealed class Batch
    {
        public readonly Entry[] Entries = new Entry[BatchSize];
        public int Count;
    }
}
