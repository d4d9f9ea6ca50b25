// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.GCode;
using Fumecast.Motion;

namespace Fumecast.Machine;

/// <content>Straight moves and their filament.</content>
internal sealed partial class Interpreter
{
    private const uint EBit = 1u << ('E' - 'A');
    private const uint FBit = 1u << ('F' - 'A');
    private const uint XBit = 1u << ('X' - 'A');
    private const uint YBit = 1u << ('Y' - 'A');
    private const uint ZBit = 1u << ('Z' - 'A');
    private const uint AlternativeEBits = 0b11;

    /// <summary>No desktop printer is a kilometre wide: a longer move is a mistake in the file [mm].</summary>
    private const double LongestMoveMm = 1e6;

    private const string TooLong = "moves over a kilometre at once; check the number";

    /// <summary>Pulling back more than this at once is unloading, not a retraction [mm]; common practice, no source.</summary>
    private const double UnloadMm = 20;

    /// <summary>A rise of the nozzle that counts as a new layer [mm]; common practice, no source.</summary>
    private const double LayerRiseMm = 0.04;

    private readonly ToolState[] _tools = new ToolState[SimulationOptions.MaxTools];

    private Point _position;
    private Point _offset;
    private double _mmPerUnit = 1;
    private double _feedMmPerS;
    private bool _feedWasGiven;
    private double _speedFactor = 1;
    private double _storedSpeedFactor = 1;
    private bool _relative;
    private bool _relativeE;
    private bool _filamentRelative;
    private bool _statesEMode;
    private bool _eDependsOnDialect;
    private bool _statedRelativeE;
    private bool _eWasUsed;
    private long _eByDialectLine;
    private long _relativeStatedLine;
    private UndoneRelativeE? _undoneRelative;
    private bool _watchesUndone;
    private long _wordsBefore;
    private long _backwardBefore;
    private long _standingBefore;
    private int _plane = 17;
    private int _motionMode;
    private ToolState _active;
    private bool _isExcluded;
    private FirmwareRetraction _retraction;
    private bool _autoRetract;
    private long _extrudingMoves;
    private long _absoluteEWords;
    private long _backwardEWords;
    private long _standingEWords;
    private long _layersByHeight;
    private double _layerZ = double.NegativeInfinity;
    private bool _isPrinting;
    private bool _endsWithDeposit;

    private record struct Point(double X, double Y, double Z);

    private void RunMotion(GCodeCommand command, int mode)
    {
        if (mode <= 1)
        {
            LinearMove(command);
        }
        else
        {
            ArcMove(command, clockwise: mode == 2);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void LinearMove(GCodeCommand command)
    {
        var present = command.Present;
        var values = command.Values;
        if ((present & FBit) != 0)
        {
            TakeFeed(command, values['F' - 'A']);
        }

        var target = TargetOf(present, values);
        var feedMm = FilamentOf(command);
        if (_isExcluded)
        {
            _position = target;
            return;
        }

        var dx = target.X - _position.X;
        var dy = target.Y - _position.Y;
        var dz = target.Z - _position.Z;
        _position = target;
        if (_autoRetract && dx == 0 && dy == 0 && dz == 0 && Math.Abs(feedMm) is >= 0.1 and <= 10 && TryAutoRetract(command, feedMm))
        {
            return;
        }

        var speed = _motionMode == 0 && _dialect.G0AtMaximum ? double.MaxValue : _feedMmPerS * _speedFactor * _options.SpeedFactor;
        Plan(command, dx, dy, dz, feedMm, speed);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Point TargetOf(uint present, ReadOnlySpan<double> values)
    {
        var target = _position;
        if ((present & (XBit | YBit | ZBit)) == 0)
        {
            return target;
        }

        if (_relative)
        {
            if ((present & XBit) != 0)
            {
                target.X += values['X' - 'A'] * _mmPerUnit;
            }

            if ((present & YBit) != 0)
            {
                target.Y += values['Y' - 'A'] * _mmPerUnit;
            }

            if ((present & ZBit) != 0)
            {
                target.Z += values['Z' - 'A'] * _mmPerUnit;
            }

            return target;
        }

        if ((present & XBit) != 0)
        {
            target.X = (values['X' - 'A'] * _mmPerUnit) + _offset.X;
        }

        if ((present & YBit) != 0)
        {
            target.Y = (values['Y' - 'A'] * _mmPerUnit) + _offset.Y;
        }

        if ((present & ZBit) != 0)
        {
            target.Z = (values['Z' - 'A'] * _mmPerUnit) + _offset.Z;
        }

        return target;
    }

    /// <summary>Filament that a command feeds [mm], before the book; keeps the logical position.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private double FilamentOf(GCodeCommand command)
    {
        var present = command.Present;
        if ((present & EBit) == 0)
        {
            return (present & AlternativeEBits) != 0 && _dialect.AlternativeExtruderAxes ? AlternativeFilamentOf(command) : 0;
        }

        return FilamentOf(command.Values['E' - 'A'] * _mmPerUnit, (present & (XBit | YBit)) != 0, command.Line);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private double FilamentOf(double e, bool isPlanar, long line)
    {
        var tool = _active;
        _eWasUsed = true;
        double change;
        if (_filamentRelative)
        {
            change = e;
            tool.LogicalE += e;
        }
        else
        {
            change = e - tool.LogicalE;
            tool.LogicalE = e;
            if (_eDependsOnDialect)
            {
                NoteEAcrossTools(line);
            }

            if (isPlanar)
            {
                _absoluteEWords++;
                if (change < 0)
                {
                    _backwardEWords++;
                }
                else if (change == 0)
                {
                    _standingEWords++;
                }
            }
        }

        return change * tool.FlowFactor * tool.MmPerE;
    }

    private double AlternativeFilamentOf(GCodeCommand command)
    {
        var letter = command.Has('A') ? 'A' : 'B';
        if (_choices.IsNew("axis " + letter))
        {
            _choices.Note("axis " + letter, "feeds filament", "the moves carry no E", 0);
        }

        return FilamentOf(command.Get(letter) * _mmPerUnit, (command.Present & (XBit | YBit)) != 0, command.Line);
    }

    private void TakeFeed(GCodeCommand command, double feed)
    {
        if (feed > 0)
        {
            _feedMmPerS = feed * _mmPerUnit / 60;
            _feedWasGiven = true;
        }
        else
        {
            Warn(command, "feed-not-positive", "F is not above 0; the speed before it stays", changesResult: true);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Plan(GCodeCommand command, double dx, double dy, double dz, double feedMm, double speedMmPerS)
    {
        var lengthSquared = (dx * dx) + (dy * dy) + (dz * dz);
        if (!(lengthSquared <= LongestMoveMm * LongestMoveMm) || !(Math.Abs(feedMm) <= LongestMoveMm))
        {
            Fail(command, "implausible-move", TooLong);
            return;
        }

        if (lengthSquared == 0 && feedMm == 0)
        {
            return;
        }

        if (!_feedWasGiven)
        {
            NoteDefaultFeed(command);
        }

        MoveRequest move = default;
        move.DxMm = dx;
        move.DyMm = dy;
        move.DzMm = dz;
        move.DeMm = feedMm;
        move.SpeedMmPerS = speedMmPerS;
        if (feedMm > 0)
        {
            Deposit(command, ref move, movesNozzle: lengthSquared > 0);
        }
        else if (feedMm < 0)
        {
            Withdraw(command, feedMm);
            _endsWithDeposit = false;
            move.Kind = lengthSquared > 0 ? MoveKind.Wipe : MoveKind.Retract;
        }
        else
        {
            _endsWithDeposit = false;
            move.Kind = MoveKind.Travel;
        }

        _planner.Add(in move);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Deposit(GCodeCommand command, ref MoveRequest move, bool movesNozzle)
    {
        if (!_nozzleIsKnownHot)
        {
            CheckNozzle(command);
        }

        ref var book = ref _active.Book;
        var feedMm = move.DeMm;
        var refillMm = book.Book(feedMm);
        _active.IsUsed = true;
        move.Kind = movesNozzle ? MoveKind.Print : MoveKind.Feed;
        if (movesNozzle)
        {
            _extrudingMoves++;
        }

        if (refillMm >= feedMm)
        {
            return;
        }

        move.Payload.DepositAreaMm2 = _active.AreaMm2;
        if (refillMm > 0)
        {
            move.Payload.RefillShare = refillMm / feedMm;
        }

        if (!movesNozzle)
        {
            book.PurgedMm += feedMm - refillMm;
        }
        else if (move.DxMm != 0 || move.DyMm != 0)
        {
            move.Payload.IsObject = true;
            _isPrinting = _endsWithDeposit = true;
            CountLayer(risesWhilePrinting: move.DzMm != 0);
        }
    }

    /// <summary>Counts rises between printing moves; a spiral, which rises in them, is one layer.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void CountLayer(bool risesWhilePrinting)
    {
        if (_position.Z > _layerZ + LayerRiseMm || _layerZ == double.NegativeInfinity)
        {
            _layersByHeight += risesWhilePrinting && _layersByHeight > 0 ? 0 : 1;
            _layerZ = _position.Z;
        }
    }

    private void Withdraw(GCodeCommand command, double feedMm)
    {
        ref var book = ref _active.Book;
        book.Book(feedMm);
        if (feedMm < -UnloadMm && book.HighWaterMm > 0)
        {
            Note(command, "long-retraction",
                "filament is pulled back over 20 mm at once, as in unloading; what is fed next counts as re-priming until it is made up");
        }
    }

    private void NoteDefaultFeed(GCodeCommand command)
    {
        if (_dialect.DefaultFeedMmPerMin is null)
        {
            Fail(command, "no-feed", "moves before any F, which this dialect does not allow; add F to the first move");
            return;
        }

        _feedWasGiven = true;
        _choices.Note("speed before any F", FormattableString.Invariant($"{_dialect.DefaultFeedMmPerMin:0} mm/min"), _byDialect, command.Line);
    }

    private void Spend(double seconds, ref double category)
    {
        if (!(seconds > 0))
        {
            return;
        }

        seconds = Math.Min(seconds, Timeline.LongestJobS * 2);
        category += seconds;
        _timeline.Pass(seconds);
    }
}
