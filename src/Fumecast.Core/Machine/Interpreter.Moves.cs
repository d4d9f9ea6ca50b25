// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.GCode;
using Fumecast.Motion;

namespace Fumecast.Machine;

/// <content>Moves: positions, distance modes, filament, arcs, retraction, homing.</content>
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

    /// <summary>Pulling back more than this at once is unloading, not a retraction [mm]; common practice, no source.</summary>
    private const double UnloadMm = 20;

    /// <summary>A rise of the nozzle that counts as a new layer [mm]; common practice, no source.</summary>
    private const double LayerRiseMm = 0.04;

    private const int MostExtraTurns = 1000;

    private readonly FilamentBook[] _books = new FilamentBook[SimulationOptions.MaxTools];
    private readonly double[] _logicalE = new double[SimulationOptions.MaxTools];
    private readonly double[] _areaMm2 = new double[SimulationOptions.MaxTools];
    private readonly double[] _diameterMm = new double[SimulationOptions.MaxTools];
    private readonly double[] _flowFactor = new double[SimulationOptions.MaxTools];
    private readonly double[] _mmPerE = new double[SimulationOptions.MaxTools];
    private readonly bool[] _volumetric = new bool[SimulationOptions.MaxTools];
    private readonly bool[] _isRetracted = new bool[SimulationOptions.MaxTools];
    private readonly bool[] _used = new bool[SimulationOptions.MaxTools];

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
    private int _plane = 17;
    private int _motionMode;
    private int _tool;
    private bool _isExcluded;
    private FirmwareRetraction _retraction;
    private bool _autoRetract;
    private long _extrudingMoves;
    private long _absoluteEWords;
    private long _backwardEWords;
    private long _standingEWords;
    private long _layersByHeight;
    private double _layerZ = double.NegativeInfinity;

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
        var feedMm = FilamentOf(present, values);
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

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
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
    private double FilamentOf(uint present, ReadOnlySpan<double> values)
    {
        if ((present & EBit) == 0)
        {
            return (present & AlternativeEBits) != 0 && _dialect.AlternativeExtruderAxes ? AlternativeFilamentOf(present, values) : 0;
        }

        return FilamentOf(values['E' - 'A'] * _mmPerUnit, (present & (XBit | YBit)) != 0);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private double FilamentOf(double e, bool isPlanar)
    {
        ref var logical = ref _logicalE[_tool];
        double change;
        if (_filamentRelative)
        {
            change = e;
            logical += e;
        }
        else
        {
            change = e - logical;
            logical = e;
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

        return change * _flowFactor[_tool] * _mmPerE[_tool];
    }

    private double AlternativeFilamentOf(uint present, ReadOnlySpan<double> values)
    {
        var letter = (present & 1) != 0 ? 'A' : 'B';
        _choices.Note("axis " + letter, "feeds filament", "the moves carry no E", 0);
        return FilamentOf(values[letter - 'A'] * _mmPerUnit, (present & (XBit | YBit)) != 0);
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

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Plan(GCodeCommand command, double dx, double dy, double dz, double feedMm, double speedMmPerS)
    {
        var lengthSquared = (dx * dx) + (dy * dy) + (dz * dz);
        if (!(lengthSquared <= LongestMoveMm * LongestMoveMm) || !(Math.Abs(feedMm) <= LongestMoveMm))
        {
            Fail(command, "implausible-move", "moves over a kilometre at once; check the number");
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
            move.Kind = lengthSquared > 0 ? MoveKind.Wipe : MoveKind.Retract;
        }
        else
        {
            move.Kind = MoveKind.Travel;
        }

        _feed.Add(in move);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Deposit(GCodeCommand command, ref MoveRequest move, bool movesNozzle)
    {
        if (!_nozzleIsKnownHot)
        {
            CheckNozzle(command);
        }

        ref var book = ref _books[_tool];
        var feedMm = move.DeMm;
        var refillMm = book.Book(feedMm);
        _used[_tool] = true;
        move.Kind = movesNozzle ? MoveKind.Print : MoveKind.Feed;
        if (movesNozzle)
        {
            _extrudingMoves++;
        }

        if (refillMm >= feedMm)
        {
            return;
        }

        move.Payload.DepositAreaMm2 = _areaMm2[_tool];
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
            CountLayer(risesWhilePrinting: move.DzMm != 0);
        }
    }

    /// <summary>Counts rises between printing moves; a spiral, which rises in them, is one layer.</summary>
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
        ref var book = ref _books[_tool];
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

    private void ArcMove(GCodeCommand command, bool clockwise)
    {
        if (command.Has('F'))
        {
            TakeFeed(command, command.Get('F'));
        }

        var start = _position;
        var target = TargetOf(command.Present, command.Values);
        var feedMm = FilamentOf(command.Present, command.Values);
        if (_isExcluded)
        {
            _position = target;
            return;
        }

        if (ArcOf(command, clockwise, start, target, out var arc) is { } problem)
        {
            Fail(command, "bad-arc", problem);
            return;
        }

        if (arc.RadiusMismatchMm > 1)
        {
            Fail(command, "bad-arc", "has start and end over 1 mm apart in radius; check I, J, K");
            return;
        }

        if (arc.RadiusMismatchMm > 0.05)
        {
            Warn(command, "arc-radius", "an arc's start and end differ by over 0.05 mm in radius; the end is kept", changesResult: true);
        }

        if (_choices.IsNew("arcs"))
        {
            _choices.Note("arcs", _dialect.ArcSegmentMm > 0
                ? FormattableString.Invariant($"cut into pieces of about {_dialect.ArcSegmentMm:0.###} mm")
                : FormattableString.Invariant($"cut into chords within {_dialect.ArcToleranceMm:0.####} mm"), _byDialect, command.Line);
        }

        var speed = _feedMmPerS * _speedFactor * _options.SpeedFactor;
        if (feedMm > 0 && _plane == 17 && _nozzleIsKnownHot && _books[_tool].DeficitMm <= 0 && arc.LengthMm <= LongestMoveMm && feedMm <= LongestMoveMm)
        {
            DepositAlong(in arc, feedMm, speed);
        }
        else
        {
            PlanAlong(command, in arc, feedMm, speed);
        }

        _position = target;
    }

    private int PiecesOf(in ArcPath arc) =>
        _dialect.ArcSegmentMm > 0 ? arc.PiecesOfLength(_dialect.ArcSegmentMm) : arc.PiecesWithin(_dialect.ArcToleranceMm);

    /// <summary>Plans the pieces of an arc one by one, as if each were commanded.</summary>
    private void PlanAlong(GCodeCommand command, in ArcPath arc, double feedMm, double speed)
    {
        var pieces = PiecesOf(in arc);
        foreach (var end in arc.Ends(pieces))
        {
            var (dx, dy, dz) = (end.X - _position.X, end.Y - _position.Y, end.Z - _position.Z);
            _position = new Point(end.X, end.Y, end.Z);
            Plan(command, dx, dy, dz, feedMm / pieces, speed);
            if (_hasEnded)
            {
                return;
            }
        }

        if (feedMm > 0)
        {
            // One command, however many pieces it was cut into.
            _extrudingMoves -= pieces - 1;
        }
    }

    /// <summary>The same for the plain case, where the pieces differ in direction only: what they share is worked out once.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void DepositAlong(in ArcPath arc, double feedMm, double speed)
    {
        var pieces = PiecesOf(in arc);
        _books[_tool].Book(feedMm);
        _used[_tool] = true;
        _extrudingMoves++;
        MoveRequest move = default;
        move.DeMm = feedMm / pieces;
        move.SpeedMmPerS = speed;
        move.Kind = MoveKind.Print;
        move.Payload.DepositAreaMm2 = _areaMm2[_tool];
        move.Payload.IsObject = true;
        var startZ = _position.Z;
        var (x, y, z) = (_position.X, _position.Y, startZ);
        foreach (var end in arc.Ends(pieces))
        {
            move.DxMm = end.X - x;
            move.DyMm = end.Y - y;
            move.DzMm = end.Z - z;
            (x, y, z) = (end.X, end.Y, end.Z);
            _feed.Add(in move);
        }

        _position = new Point(x, y, z);
        CountLayer(risesWhilePrinting: z != startZ);
    }

    /// <summary>The arc of a command; returns what is wrong with it, or null.</summary>
    private string? ArcOf(GCodeCommand command, bool clockwise, Point start, Point target, out ArcPath arc)
    {
        arc = default;
        var plane = _plane switch { 18 => ArcPlane.ZX, 19 => ArcPlane.YZ, _ => ArcPlane.XY };
        var from = new Position(start.X, start.Y, start.Z);
        var to = new Position(target.X, target.Y, target.Z);
        var turns = command.Get('P');
        if (turns is < 0 or > MostExtraTurns)
        {
            return "has P outside 0 to 1000 turns";
        }

        if (command.Has('I') || command.Has('J') || command.Has('K'))
        {
            var centre = new Position(command.Get('I') * _mmPerUnit, command.Get('J') * _mmPerUnit, command.Get('K') * _mmPerUnit);
            return ArcPath.TryFromCentre(plane, from, to, centre, clockwise, (int)turns, out arc)
                ? null : "has its centre on its start or end; check I, J, K";
        }

        if (command.Has('R'))
        {
            return ArcPath.TryFromRadius(plane, from, to, command.Get('R') * _mmPerUnit, clockwise, (int)turns, out arc)
                ? null : "with R needs an end that is not its start, and a radius above 0";
        }

        return "has neither a centre (I, J, K) nor a radius (R)";
    }

    private void SetUnits(GCodeCommand command, double mmPerUnit)
    {
        if (mmPerUnit != 1 && _dialect.Inches == InchScope.None)
        {
            Fail(command, "no-inches", "asks for inches, which this dialect does not have; choose a printer profile that does with --printer");
            return;
        }

        if (mmPerUnit != 1)
        {
            _choices.Note("inches", _dialect.Inches == InchScope.All ? "apply to all lengths, speeds and accelerations" : "apply to moves and positions",
                _byDialect, command.Line);
        }

        _mmPerUnit = mmPerUnit;
    }

    private double LimitUnit => _dialect.Inches == InchScope.All ? _mmPerUnit : 1;

    private void SetDistanceMode(GCodeCommand command, bool relative)
    {
        _relative = relative;
        switch (_dialect.EMode)
        {
            case EModeRule.LastWins:
                if (_relativeE != relative)
                {
                    _choices.Note("E after G90 or G91", relative ? "relative" : "absolute", _byDialect, command.Line);
                }

                // A start that only G90 describes still leaves a file's announced relative E alone.
                _relativeE = relative || (_options.RelativeE && !_statesEMode);
                _filamentRelative = _relativeE;
                break;
            case EModeRule.EitherRelative:
                _filamentRelative = _relative || _relativeE;
                break;
        }
    }

    private void SetFilamentMode(bool relative)
    {
        _statesEMode = true;
        _relativeE = relative;
        _filamentRelative = _dialect.EMode == EModeRule.EitherRelative ? _relative || relative : relative;
    }

    private void SetPosition(GCodeCommand command)
    {
        if (command.SubNumber > 0)
        {
            if (command.SubNumber == 1)
            {
                _offset = default;
            }

            return;
        }

        if (command.Has('X'))
        {
            _offset.X = _position.X - (command.Get('X') * _mmPerUnit);
        }

        if (command.Has('Y'))
        {
            _offset.Y = _position.Y - (command.Get('Y') * _mmPerUnit);
        }

        if (command.Has('Z'))
        {
            _offset.Z = _position.Z - (command.Get('Z') * _mmPerUnit);
        }

        if (command.Has('E'))
        {
            _logicalE[_tool] = command.Get('E') * _mmPerUnit;
        }
        else if (_dialect.AlternativeExtruderAxes && (command.Present & AlternativeEBits) != 0)
        {
            _logicalE[_tool] = command.Get(command.Has('A') ? 'A' : 'B') * _mmPerUnit;
        }
        else if (command.Present == 0 && command.Flags == 0)
        {
            Warn(command, "bare-g92", "G92 without a value is read as no change; some firmware sets all positions to 0");
        }
    }

    private void Home(GCodeCommand command)
    {
        Barrier();
        var x = command.Mentions('X');
        var y = command.Mentions('Y');
        var z = command.Mentions('Z');
        var all = !x && !y && !z;
        if (all || x)
        {
            (_position.X, _offset.X) = (0, 0);
        }

        if (all || y)
        {
            (_position.Y, _offset.Y) = (0, 0);
        }

        if (all || z)
        {
            (_position.Z, _offset.Z) = (0, 0);
        }

        var share = all ? 1 : ((x ? 1 : 0) + (y ? 1 : 0) + (z ? 1 : 0)) / 3.0;
        Spend(_profile.HomingS * share, ref _homingS);
        _choices.Note("homing", FormattableString.Invariant($"{_profile.HomingS:0.#} s for all axes"), _byPrinter, command.Line);
    }

    private void Probe(GCodeCommand command, double share = 1)
    {
        Barrier();

        // With these letters a stored mesh is loaded, shown or switched, which takes no probing.
        if (command.Mentions('A') || command.Mentions('L') || command.Mentions('D') || command.Mentions('S'))
        {
            return;
        }

        Spend(_profile.ProbeS * share, ref _homingS);
        _choices.Note("probing the bed", FormattableString.Invariant($"{_profile.ProbeS:0.#} s"), _byPrinter, command.Line);
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
