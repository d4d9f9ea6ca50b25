// SPDX-License-Identifier: MIT
using Fumecast.GCode;

namespace Fumecast.Machine;

/// <content>Units, absolute and relative positions, offsets, homing and probing.</content>
internal sealed partial class Interpreter
{
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
                NoteEReadByDialect();
                // A start that only G90 describes still leaves a file's announced relative E alone.
                var wasRelative = _relativeE;
                _relativeE = relative || (_options.RelativeE && !_statesEMode);
                _filamentRelative = _relativeE;
                _eByDialectLine = _relativeE == _statedRelativeE ? 0 : command.Line;
                _eWasUsed = false;
                if (wasRelative && !_relativeE && _relativeStatedLine > 0)
                {
                    UndoRelative(command);
                }

                break;
            case EModeRule.EitherRelative:
                _filamentRelative = _relative || _relativeE;
                break;
        }
    }

    /// <summary>Notes that G90 or G91 decided how E is read, where it did: E was used meanwhile, and M82 or M83 say otherwise.</summary>
    private void NoteEReadByDialect()
    {
        if (_eByDialectLine > 0 && _eWasUsed)
        {
            _choices.Note("E after G90 or G91", _relativeE ? "relative" : "absolute", _byDialect, _eByDialectLine);
        }

        _eByDialectLine = 0;
    }

    /// <summary>Begins to watch what E does once M83 no longer holds: where the file means it to, nearly all of the filament is lost.</summary>
    private void UndoRelative(GCodeCommand command)
    {
        _undoneRelative ??= new UndoneRelativeE(_relativeStatedLine, command.Line, command.Column, 0, 0, 0);
        if (!_watchesUndone)
        {
            _watchesUndone = true;
            (_wordsBefore, _backwardBefore, _standingBefore) = (_absoluteEWords, _backwardEWords, _standingEWords);
        }
    }

    /// <summary>Adds up what was watched, for the job now says anew how E is meant, or ends.</summary>
    private void EndWatchOfUndone()
    {
        if (_watchesUndone && _undoneRelative is { } undone)
        {
            _undoneRelative = undone with
            {
                EWords = undone.EWords + _absoluteEWords - _wordsBefore,
                BackwardEWords = undone.BackwardEWords + _backwardEWords - _backwardBefore,
                StandingEWords = undone.StandingEWords + _standingEWords - _standingBefore,
            };
        }

        _watchesUndone = false;
    }

    private void SetFilamentMode(bool relative, long line)
    {
        EndWatchOfUndone();
        NoteEReadByDialect();
        _relativeStatedLine = relative ? line : 0;
        _statedRelativeE = relative;
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
            _eDependsOnDialect = false;
            _active.LogicalE = command.Get('E') * _mmPerUnit;
        }
        else if (_dialect.AlternativeExtruderAxes && (command.Present & AlternativeEBits) != 0)
        {
            _active.LogicalE = command.Get(command.Has('A') ? 'A' : 'B') * _mmPerUnit;
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
}
