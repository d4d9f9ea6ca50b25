// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Flow;
using Fumecast.Heat;
using Fumecast.Motion;

namespace Fumecast.Machine;

/// <summary>The printer's clock: turns timed moves and waits into slices of at most a second, and heats nozzles and bed along.</summary>
/// <remarks>
/// Flow within a move is piecewise linear and is integrated exactly over every slice; nothing is sampled. Heaters are stepped in
/// closed form at the end of each slice with its mean flow. Slices end at whole seconds counted from the first deposit of the
/// object (the grid of the evenness figures), at bin edges, and where a target, the fan or the tool changes.
/// </remarks>
internal sealed class Timeline
{
    /// <summary>Jobs longer than this are refused: 400 days [s].</summary>
    public const double LongestJobS = 400 * 86400.0;

    private const double HotEnoughToReportC = 60;

    private readonly ISliceSink _sink;
    private readonly EvennessAccumulator _evenness;
    private readonly PendingEvents _events;
    private readonly MoveFlows _flows = new();
    private SliceGrid _grid;
    private double _now;
    private double _sliceStart;
    private double _sliceMm3;
    private double _sliceExtrudingS;
    private double _fanShare;
    private int _tool;
    private bool _hasDeposited;
    private bool _hasObject;

    public Timeline(PrinterProfile profile, SimulationOptions options, PendingEvents events, EvennessAccumulator evenness, ISliceSink sink)
    {
        _sink = sink;
        _evenness = evenness;
        _events = events;
        _grid = new SliceGrid(options.BinS);
        Nozzles = new Nozzles(profile, options);
        Bed = new Heater(profile.Bed, profile.AmbientC);
    }

    /// <summary>Time since the start [s]; current only after the planner has stopped.</summary>
    public double NowS => _now;

    /// <summary>Time spent moving [s].</summary>
    public double MotionS { get; private set; }

    /// <summary>Whether the job outgrew <see cref="LongestJobS"/>; what follows is not simulated.</summary>
    public bool IsTooLong { get; private set; }

    /// <summary>Called when motion reaches the first feed of a tool, with the tool, the lowest temperature for it [degC] and the line.</summary>
    public required Action<int, double, long> FirstFeed { get; init; }

    /// <summary>The bed.</summary>
    public Heater Bed { get; }

    /// <summary>Share of full speed of the part fan, 0 to 1 [-].</summary>
    public double FanShare => _fanShare;

    /// <summary>Whether anything was deposited.</summary>
    public bool HasDeposited => _hasDeposited;

    /// <summary>The nozzles of all tools.</summary>
    public Nozzles Nozzles { get; }

    /// <summary>Makes a tool the active one from now on.</summary>
    /// <param name="tool">The tool [-].</param>
    public void Select(int tool)
    {
        EndSlice();
        _tool = tool;
    }

    /// <summary>Lets time pass without motion.</summary>
    /// <param name="seconds">How long [s], 0 or more.</param>
    public void Pass(double seconds)
    {
        if (!Fits(seconds))
        {
            return;
        }

        Idle(seconds);
    }

    /// <summary>Ends the last slice and bin.</summary>
    public void Finish()
    {
        EndSlice();
        var binStart = _grid.BinStartS;
        if (_now > binStart)
        {
            _sink.BinClosed(binStart, _now - binStart);
        }
    }

    /// <summary>Carries out a queued change, now that motion has reached it.</summary>
    /// <param name="id">Its number [-].</param>
    public void Mark(int id)
    {
        EndSlice();
        var change = _events.Take(id);
        switch (change.Kind)
        {
            case PendingChange.NozzleTarget:
                Nozzles.HeaterOf(change.Tool).SetTarget(change.Value);
                break;
            case PendingChange.NozzleHot:
                Nozzles.HeaterOf(change.Tool).SetTarget(change.Value);
                Nozzles.HeaterOf(change.Tool).StartAt(change.Value);
                break;
            case PendingChange.BedTarget:
                Bed.SetTarget(change.Value);
                break;
            case PendingChange.Fan:
                _fanShare = change.Value;
                break;
            case PendingChange.FirstFeed:
                FirstFeed(change.Tool, change.Value, change.Place);
                break;
        }
    }

    /// <summary>Lets moves happen: deposits, and lets their time pass.</summary>
    /// <param name="moves">The moves, in the order of time.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Move(in TimedMoves moves)
    {
        var isPrepared = false;
        for (var i = 0; i < moves.Count; i++)
        {
            if (_hasObject && _evenness.ReferenceMm3PerS > 0)
            {
                if (!isPrepared)
                {
                    _flows.Fill(in moves, _evenness.ReferenceMm3PerS);
                    isPrepared = true;
                }

                i = DepositWithinSlice(i, moves.Count);
                if (i == moves.Count)
                {
                    return;
                }
            }

            var move = moves[i];
            Move(in move);
        }
    }

    /// <summary>Deposits whole moves as long as they end in the running slice; returns the first move that does not, or the end.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private int DepositWithinSlice(int from, int end)
    {
        var untilS = IsTooLong ? double.NegativeInfinity : Math.Min(_grid.NextEdgeS, LongestJobS);
        var (now, motionS, extrudingS, mm3) = (_now, MotionS, _sliceExtrudingS, _sliceMm3);
        var i = from;
        for (; i < end; i++)
        {
            var durationS = _flows.DurationS[i];
            if (!(now + durationS <= untilS))
            {
                break;
            }

            now += durationS;
            motionS += durationS;
            extrudingS += durationS;
            mm3 += _flows.VolumeMm3[i];
        }

        (_now, MotionS, _sliceExtrudingS, _sliceMm3) = (now, motionS, extrudingS, mm3);
        _evenness.Add(_flows, from, i);
        return i;
    }

    private void Move(ref readonly TimedMove move)
    {
        var durationS = move.DurationS;
        if (!Fits(durationS))
        {
            return;
        }

        MotionS += durationS;
        if (move.Payload.DepositAreaMm2 == 0)
        {
            Idle(durationS);
            return;
        }

        var startsObject = !_hasObject && move.Payload.IsObject;
        if (startsObject || move.Payload.RefillShare > 0 || _now + durationS > _grid.NextEdgeS)
        {
            DepositAcrossSlices(in move, startsObject);
            return;
        }

        var mm3PerMm = move.Payload.DepositAreaMm2 * move.FeedPerMm;
        _sliceMm3 += mm3PerMm * move.LengthMm;
        _sliceExtrudingS += durationS;
        _now += durationS;
        if (_hasObject)
        {
            _evenness.AddRamp(mm3PerMm * move.StartMmPerS, mm3PerMm * move.PeakMmPerS, move.SpeedUpS);
            _evenness.AddConstant(mm3PerMm * move.PeakMmPerS, move.CruiseS);
            _evenness.AddRamp(mm3PerMm * move.PeakMmPerS, mm3PerMm * move.EndMmPerS, move.SlowDownS);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private bool Fits(double seconds)
    {
        if (_now + seconds <= LongestJobS)
        {
            return !IsTooLong;
        }

        IsTooLong = true;
        return false;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DepositAcrossSlices(ref readonly TimedMove move, bool startsObject)
    {
        var refillMm = move.Payload.RefillShare * move.LengthMm;
        var mm3PerMm = move.Payload.DepositAreaMm2 * move.FeedPerMm;
        var t = 0.0;
        if (refillMm > 0)
        {
            t = Math.Clamp(Trapezoid.TimeAt(in move, refillMm), 0, move.DurationS);
            Idle(t);
        }

        if (startsObject)
        {
            StartObject();
        }

        var remainingMm3 = mm3PerMm * (move.LengthMm - refillMm);
        t = DepositPhase(move.StartMmPerS, move.PeakMmPerS, move.SpeedUpS, ref remainingMm3, t, 0, mm3PerMm);
        t = DepositPhase(move.PeakMmPerS, move.PeakMmPerS, move.CruiseS, ref remainingMm3, t, move.SpeedUpS, mm3PerMm);
        DepositPhase(move.PeakMmPerS, move.EndMmPerS, move.SlowDownS, ref remainingMm3, t, move.SpeedUpS + move.CruiseS, mm3PerMm);

        // What rounding left over; it keeps the sum over slices equal to the book.
        _sliceMm3 += remainingMm3;
    }

    /// <summary>Deposits one phase of a move from time <paramref name="t"/> within the move on; returns the time at its end.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private double DepositPhase(
        double fromMmPerS, double toMmPerS, double phaseS, ref double remainingMm3, double t, double phaseStartS, double mm3PerMm)
    {
        var phaseEndS = phaseStartS + phaseS;
        while (t < phaseEndS)
        {
            var stepS = phaseEndS - t;
            var untilEdgeS = _grid.NextEdgeS - _now;
            var reachesEdge = stepS >= untilEdgeS;
            if (reachesEdge)
            {
                stepS = Math.Max(0, untilEdgeS);
            }

            var slope = phaseS > 0 ? (toMmPerS - fromMmPerS) / phaseS : 0;
            var v0 = fromMmPerS + (slope * (t - phaseStartS));
            var v1 = v0 + (slope * stepS);
            var mm3 = mm3PerMm * 0.5 * (v0 + v1) * stepS;
            remainingMm3 -= mm3;
            _sliceMm3 += mm3;
            _sliceExtrudingS += stepS;
            if (_hasObject && stepS > 0)
            {
                if (slope == 0)
                {
                    _evenness.AddConstant(mm3PerMm * v0, stepS);
                }
                else
                {
                    _evenness.AddRamp(mm3PerMm * v0, Math.Max(0, mm3PerMm * v1), stepS);
                }
            }

            t += stepS;
            if (reachesEdge)
            {
                _now = _grid.NextEdgeS;
                EndSlice();
            }
            else
            {
                _now += stepS;
                break;
            }
        }

        return Math.Max(t, phaseEndS);
    }

    private void StartObject()
    {
        EndSlice();
        _hasObject = true;
        _grid.StartCounting(_now);
        _grid.Advance(_now);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Idle(double seconds)
    {
        while (_now + seconds >= _grid.NextEdgeS)
        {
            seconds -= _grid.NextEdgeS - _now;
            _now = _grid.NextEdgeS;
            EndSlice();
        }

        _now += Math.Max(0, seconds);
    }

    /// <summary>Ends the running slice now, heats, hands it on, and starts the next one; heaters are current after it.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void EndSlice()
    {
        var durationS = _now - _sliceStart;
        if (durationS > 0)
        {
            Emit(durationS);
        }

        _sliceStart = _now;
        var binStart = _grid.BinStartS;
        if (_grid.Advance(_now))
        {
            _sink.BinClosed(binStart, _grid.BinS);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Emit(double durationS)
    {
        var nozzleC = Nozzles.Work(_tool, _sliceStart, durationS, _fanShare, _sliceMm3);
        Bed.Advance(durationS, 0, 0);
        _hasDeposited |= _sliceMm3 > 0;
        var slice = new PrintSlice
        {
            StartS = _sliceStart,
            DurationS = durationS,
            DepositedMm3 = _sliceMm3,
            ExtrudingS = Math.Min(_sliceExtrudingS, durationS),
            NozzleC = nozzleC,
            Tool = _tool,
            Nozzle = Nozzles.NumberOf(_tool),
            IsActiveTool = true,
            HasStarted = _hasDeposited,
        };
        _sink.Slice(in slice);
        if (_hasObject)
        {
            _evenness.AddCell(_sliceStart, durationS, _sliceMm3);
        }

        _sliceMm3 = 0;
        _sliceExtrudingS = 0;
        if (Nozzles.Count > 1)
        {
            EmitWaitingTools(durationS);
        }
    }

    private void EmitWaitingTools(double durationS)
    {
        for (var tool = 0; tool < Nozzles.Count; tool++)
        {
            if (Nozzles.Wait(tool, _tool, durationS) is not { } nozzleC || nozzleC < HotEnoughToReportC)
            {
                continue;
            }

            var slice = new PrintSlice
            {
                StartS = _sliceStart,
                DurationS = durationS,
                NozzleC = nozzleC,
                Tool = tool,
                Nozzle = Nozzles.NumberOf(tool),
                HasStarted = _hasDeposited,
            };
            _sink.Slice(in slice);
        }
    }

    /// <summary>The timeline as the planner's sink; a struct, so that the planner's calls can be inlined.</summary>
    /// <param name="timeline">The timeline.</param>
    internal readonly struct Sink(Timeline timeline) : IMotionSink
    {
        /// <inheritdoc/>
        public void Move(in TimedMoves moves) => timeline.Move(in moves);

        /// <inheritdoc/>
        public void Mark(int id) => timeline.Mark(id);
    }
}
