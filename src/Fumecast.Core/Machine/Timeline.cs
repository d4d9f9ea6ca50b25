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

    private const double SliceS = 1;
    private const double HotEnoughToReportC = 60;

    private readonly ISliceSink _sink;
    private readonly EvennessAccumulator _evenness;
    private readonly PrinterProfile _profile;
    private readonly double _binS;
    private readonly PendingEvents _events;
    private readonly Heater?[] _nozzles = new Heater?[SimulationOptions.MaxTools];
    private readonly ToolRecord[] _tools = new ToolRecord[SimulationOptions.MaxTools];
    private readonly double[] _filamentHeat;

    private double _now;
    private double _sliceStart;
    private double _sliceEnd;
    private double _sliceMm3;
    private double _sliceExtrudingS;
    private long _gridSecond;
    private double _gridOrigin;
    private long _binIndex;
    private double _fanShare;
    private int _tool;
    private int _nozzleCount;
    private bool _hasDeposited;
    private bool _hasObject;

    public Timeline(PrinterProfile profile, SimulationOptions options, PendingEvents events, EvennessAccumulator evenness, ISliceSink sink)
    {
        _profile = profile;
        _sink = sink;
        _evenness = evenness;
        _events = events;
        _binS = options.BinS;
        Bed = new Heater(profile.Bed, profile.AmbientC);
        _filamentHeat = new double[SimulationOptions.MaxTools];
        for (var tool = 0; tool < SimulationOptions.MaxTools; tool++)
        {
            _filamentHeat[tool] = tool < options.FilamentHeatJPerKMm3.Count ? options.FilamentHeatJPerKMm3[tool] : 0;
            _tools[tool] = new ToolRecord();
        }

        _sliceEnd = Math.Min(SliceS, _binS);
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

    /// <summary>Records by tool.</summary>
    public ReadOnlySpan<ToolRecord> Tools => _tools;

    /// <summary>The heater of a tool's nozzle.</summary>
    /// <param name="tool">The tool [-].</param>
    public Heater Nozzle(int tool)
    {
        _nozzleCount = Math.Max(_nozzleCount, tool + 1);
        return _nozzles[tool] ??= new Heater(_profile.Nozzle, _profile.AmbientC);
    }

    /// <summary>Lets a tool use the nozzle of another, as on printers that change the filament of one nozzle.</summary>
    /// <param name="tool">The tool [-].</param>
    /// <param name="other">The tool whose nozzle it shares [-].</param>
    public void ShareNozzle(int tool, int other)
    {
        _nozzles[tool] = Nozzle(other);
        _nozzleCount = Math.Max(_nozzleCount, tool + 1);
    }

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
        var binStart = _binIndex * _binS;
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
                Nozzle(change.Tool).SetTarget(change.Value);
                break;
            case PendingChange.NozzleHot:
                Nozzle(change.Tool).SetTarget(change.Value);
                Nozzle(change.Tool).StartAt(change.Value);
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

    /// <summary>Lets a move happen: deposits, and lets its time pass.</summary>
    /// <param name="move">The move.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Move(ref readonly TimedMove move)
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
        if (startsObject || move.Payload.RefillShare > 0 || _now + durationS > _sliceEnd)
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
            var peak = mm3PerMm * move.PeakMmPerS;
            if (move.SpeedUpS > 0)
            {
                _evenness.AddRamp(mm3PerMm * move.StartMmPerS, peak, move.SpeedUpS);
            }

            if (move.CruiseS > 0)
            {
                _evenness.AddConstant(peak, move.CruiseS);
            }

            if (move.SlowDownS > 0)
            {
                _evenness.AddRamp(peak, mm3PerMm * move.EndMmPerS, move.SlowDownS);
            }
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
            var untilEdgeS = _sliceEnd - _now;
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
                _now = _sliceEnd;
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
        _gridOrigin = _now;
        _gridSecond = 0;
        SetSliceEnd();
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Idle(double seconds)
    {
        while (_now + seconds >= _sliceEnd)
        {
            seconds -= _sliceEnd - _now;
            _now = _sliceEnd;
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
        if (_now >= (_binIndex + 1) * _binS)
        {
            _sink.BinClosed(_binIndex * _binS, _binS);
            _binIndex++;
        }

        SetSliceEnd();
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void SetSliceEnd()
    {
        // Counted, not added up: no drift over a million seconds.
        while (_gridOrigin + ((_gridSecond + 1) * SliceS) <= _now)
        {
            _gridSecond++;
        }

        _sliceEnd = Math.Min(_gridOrigin + ((_gridSecond + 1) * SliceS), (_binIndex + 1) * _binS);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Emit(double durationS)
    {
        var heater = Nozzle(_tool);
        var flowHeatWPerK = _sliceMm3 / durationS * _filamentHeat[_tool];
        heater.Advance(durationS, _fanShare, flowHeatWPerK);
        Bed.Advance(durationS, 0, 0);
        if (_sliceMm3 > 0)
        {
            _hasDeposited = true;
            _tools[_tool].Deposit(_sliceMm3, heater.LastMeanC);
        }

        var slice = new PrintSlice
        {
            StartS = _sliceStart,
            DurationS = durationS,
            DepositedMm3 = _sliceMm3,
            ExtrudingS = Math.Min(_sliceExtrudingS, durationS),
            NozzleC = heater.LastMeanC,
            Tool = _tool,
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
        if (_nozzleCount > 1)
        {
            EmitWaitingTools(durationS, heater);
        }
    }

    private void EmitWaitingTools(double durationS, Heater active)
    {
        for (var tool = 0; tool < _nozzleCount; tool++)
        {
            if (_nozzles[tool] is not { } heater || heater == active || IsSharedWithEarlier(tool))
            {
                continue;
            }

            heater.Advance(durationS, 0, 0);
            if (heater.LastMeanC < HotEnoughToReportC)
            {
                continue;
            }

            var slice = new PrintSlice
            {
                StartS = _sliceStart,
                DurationS = durationS,
                NozzleC = heater.LastMeanC,
                Tool = tool,
                HasStarted = _hasDeposited,
            };
            _sink.Slice(in slice);
        }
    }

    private bool IsSharedWithEarlier(int tool)
    {
        for (var other = 0; other < tool; other++)
        {
            if (ReferenceEquals(_nozzles[other], _nozzles[tool]))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>The timeline as the planner's sink; a struct, so that the planner's calls can be inlined.</summary>
    /// <param name="timeline">The timeline.</param>
    internal readonly struct Sink(Timeline timeline) : IMotionSink
    {
        /// <inheritdoc/>
        public void Move(ref readonly TimedMove move) => timeline.Move(in move);

        /// <inheritdoc/>
        public void Mark(int id) => timeline.Mark(id);
    }
}
