// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.GCode;
using Fumecast.Motion;

namespace Fumecast.Machine;

/// <content>Arcs, as straight pieces.</content>
internal sealed partial class Interpreter
{
    private const int MostExtraTurns = 1000;

    private int _extraWork;
    private bool _hasArcs;

    /// <summary>Work beyond one step for each command since it was asked last: pieces of arcs [-].</summary>
    public int TakeExtraWork()
    {
        var work = _extraWork;
        _extraWork = 0;
        return work;
    }

    private void ArcMove(GCodeCommand command, bool clockwise)
    {
        if (command.Has('F'))
        {
            TakeFeed(command, command.Get('F'));
        }

        var start = _position;
        var target = TargetOf(command.Present, command.Values);
        var feedMm = FilamentOf(command);
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

        if (!(arc.LengthMm <= LongestMoveMm) || !(Math.Abs(feedMm) <= LongestMoveMm))
        {
            Fail(command, "implausible-move", TooLong);
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

        if (!_hasArcs)
        {
            _hasArcs = true;
            _choices.Note("arcs", _dialect.ArcSegmentMm > 0
                ? FormattableString.Invariant($"cut into pieces of about {_dialect.ArcSegmentMm:0.###} mm")
                : FormattableString.Invariant($"cut into chords within {_dialect.ArcToleranceMm:0.####} mm"), _byDialect, command.Line);
        }

        var speed = _feedMmPerS * _speedFactor * _options.SpeedFactor;
        if (feedMm > 0 && _plane == 17 && _nozzleIsKnownHot && _active.Book.DeficitMm <= 0)
        {
            DepositAlong(in arc, target, feedMm, speed);
        }
        else
        {
            PlanAlong(command, in arc, feedMm, speed);
        }

        _position = target;
    }

    private int PiecesOf(in ArcPath arc)
    {
        var pieces = _dialect.ArcSegmentMm > 0 ? arc.PiecesOfLength(_dialect.ArcSegmentMm) : arc.PiecesWithin(_dialect.ArcToleranceMm);
        _extraWork += pieces;
        return pieces;
    }

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
    private void DepositAlong(in ArcPath arc, Point target, double feedMm, double speed)
    {
        var pieces = PiecesOf(in arc);
        _active.Book.Book(feedMm);
        _active.IsUsed = true;
        _extrudingMoves++;
        MoveRequest move = default;
        move.DeMm = feedMm / pieces;
        move.SpeedMmPerS = speed;
        move.Kind = MoveKind.Print;
        move.Payload.DepositAreaMm2 = _active.AreaMm2;
        move.Payload.IsObject = true;
        _isPrinting = _endsWithDeposit = true;
        var start = _position;
        var ends = arc.Ends(pieces);
        _planner.Add(in move, new Position(start.X, start.Y, start.Z), ref ends);
        _position = target;
        CountLayer(risesWhilePrinting: target.Z != start.Z);
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
}
