// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Motion;

namespace Fumecast.Machine;

/// <content>Limits of motion, speed and flow factors, filament settings.</content>
internal sealed partial class Interpreter
{
    private bool _limitsWereSet;

    private bool ExecuteLimits(GCodeCommand command)
    {
        switch (command.Number)
        {
            case 82 or 83:
                SetFilamentMode(relative: command.Number == 83, command.Line);
                return true;
            case 200:
                SetVolumetric(command);
                return true;
            case 201:
                if (Hears(command))
                {
                    _limits.MaxAccelMmPerS2 = Merge(command, _limits.MaxAccelMmPerS2, LimitUnit);
                }

                return true;
            case 203:
                if (Hears(command))
                {
                    _choices.Note("M203", _dialect.M203PerMinute ? "in mm/min" : "in mm/s", _byDialect, command.Line);
                    _limits.MaxFeedMmPerS = Merge(command, _limits.MaxFeedMmPerS, _dialect.M203PerMinute ? LimitUnit / 60 : LimitUnit);
                }

                return true;
            case 204:
                SetAccelerations(command);
                return true;
            case 205:
                if (Hears(command))
                {
                    SetJerk(command);
                }

                return true;
            case 566:
                if (_dialect.M566SetsJerk)
                {
                    _limits.JerkMmPerS = Merge(command, _limits.JerkMmPerS, 1 / 60.0);
                    if (command.Get('X') > 0 || command.Get('Y') > 0)
                    {
                        TurnToJerk("M566 X or Y", command.Line, atRest: false);
                    }

                    if (command.Has('P'))
                    {
                        _limits.JerkWithinKindOnly = command.Get('P') == 0;
                    }
                }

                return true;
            case 207:
                _retraction = _retraction with
                {
                    LengthMm = command.Get('S', _retraction.LengthMm / _mmPerUnit) * _mmPerUnit,
                    SpeedMmPerS = command.Has('F') ? Math.Max(0.1, command.Get('F') * _mmPerUnit / 60) : _retraction.SpeedMmPerS,
                    LiftMm = command.Get('Z', _retraction.LiftMm / _mmPerUnit) * _mmPerUnit,
                    ExtraMm = _dialect.M208IsAxisLimits ? command.Get('R', _retraction.ExtraMm) : _retraction.ExtraMm,
                    RecoverSpeedMmPerS = _dialect.M208IsAxisLimits && command.Has('T')
                        ? Math.Max(0.1, command.Get('T') / 60) : _retraction.RecoverSpeedMmPerS,
                };
                return true;
            case 208:
                if (!_dialect.M208IsAxisLimits)
                {
                    _retraction = _retraction with
                    {
                        ExtraMm = command.Get('S', _retraction.ExtraMm / _mmPerUnit) * _mmPerUnit,
                        RecoverSpeedMmPerS = command.Has('F') ? Math.Max(0.1, command.Get('F') * _mmPerUnit / 60) : _retraction.RecoverSpeedMmPerS,
                    };
                }

                _choices.Note("M208", _dialect.M208IsAxisLimits ? "axis limits" : "recovery of a retraction", _byDialect, command.Line);
                return true;
            case 209:
                _autoRetract = command.Get('S', 1) != 0;
                return true;
            case 220:
                SetSpeedFactor(command);
                return true;
            case 221:
                SetFlowFactor(command);
                return true;
            case 92 when command.Has('E'):
                Warn(command, "feeder-recalibrated",
                    "M92 E recalibrates the feeder, so the true length per E is not known; check the result against the spool", changesResult: true);
                return true;
            case 501 or 502:
                if (_limitsWereSet)
                {
                    Warn(command, "limits-reloaded",
                        "M501 or M502 replaces the limits by stored ones that the file does not show; those before are kept", changesResult: true);
                }

                return true;
            case 900 when command.Get('K') > 10:
                Note(command, "old-advance", "M900 K above 10 belongs to an older unit; it does not change the result");
                return true;
            default:
                return false;
        }
    }

    private bool Hears(GCodeCommand command)
    {
        if (_dialect.HearsLimitCommands)
        {
            _limitsWereSet = true;
            return true;
        }

        _choices.Note("limits set by M201, M203, M204, M205", "not heard", _byDialect, command.Line);
        return false;
    }

    /// <summary>Takes over the positive values of X, Y, Z, E; a limit of 0 or less would stop the printer and is left out.</summary>
    private PerAxis Merge(GCodeCommand command, PerAxis limits, double unit)
    {
        return new PerAxis(Value('X', limits.X), Value('Y', limits.Y), Value('Z', limits.Z), Value('E', limits.E));

        double Value(char axis, double present)
        {
            if (!command.Has(axis))
            {
                return present;
            }

            var value = command.Get(axis) * unit;
            if (value > 0)
            {
                return value;
            }

            Warn(command, "limit-not-positive", "a limit that is not above 0 was left out", changesResult: true);
            return present;
        }
    }

    private void SetAccelerations(GCodeCommand command)
    {
        if (_dialect.M204 != M204Rule.SOrSmallerOfBoth && !Hears(command))
        {
            return;
        }

        double? print = null;
        double? travel = null;
        double? retract = null;
        switch (_dialect.M204)
        {
            case M204Rule.PrintTravelRetract:
                print = Number('P') ?? Number('S');
                travel = Number('T') ?? Number('S');
                retract = Number('R');
                break;
            case M204Rule.PrintTravel:
                print = Number('P') ?? Number('S');
                travel = Number('T') ?? Number('S');
                break;
            case M204Rule.SPrintTRetract:
                print = Number('S') ?? Number('P');
                travel = print;
                retract = Number('T') ?? Number('R');
                break;
            case M204Rule.SOrSmallerOfBoth:
                print = Number('S') ?? (Number('P') is { } p && Number('T') is { } t ? Math.Min(p, t) : null);
                travel = print;
                if (print is null)
                {
                    _choices.Note("M204 with P or T alone", "no effect", _byDialect, command.Line);
                }

                break;
        }

        _limitsWereSet = true;
        _limits.PrintAccelMmPerS2 = print ?? _limits.PrintAccelMmPerS2;
        _limits.TravelAccelMmPerS2 = travel ?? _limits.TravelAccelMmPerS2;
        _limits.RetractAccelMmPerS2 = retract ?? _limits.RetractAccelMmPerS2;

        double? Number(char letter) => command.Has(letter) && command.Get(letter) > 0 ? command.Get(letter) * LimitUnit : null;
    }

    private void SetJerk(GCodeCommand command)
    {
        if ((command.Present & (XBit | YBit | ZBit | EBit)) != 0)
        {
            _limits.JerkMmPerS = Merge(command, _limits.JerkMmPerS, LimitUnit);
            if (command.Get('X') > 0 || command.Get('Y') > 0)
            {
                TurnToJerk("M205 X or Y", command.Line, _dialect.M205JerkAtRest);
            }
        }

        // Firmware that plans by a deviation ignores the jerk of X and Y, so J decides where both stand in one command.
        if (command.Has('J') && command.Get('J') > 0)
        {
            _limits.DeviationMm = command.Get('J') * LimitUnit;
            if (_limits.Junction != JunctionModel.Deviation)
            {
                _limits.Junction = JunctionModel.Deviation;
                _choices.Note("corners by M205 J", "a circle passes at the deviation given", "the job sets it; the printer profile plans otherwise", command.Line);
            }
        }

        if (command.Has('S'))
        {
            _limits.MinPrintFeedMmPerS = Math.Max(0, command.Get('S') * LimitUnit);
        }

        if (command.Has('T'))
        {
            _limits.MinTravelFeedMmPerS = Math.Max(0, command.Get('T') * LimitUnit);
        }
    }

    private void TurnToJerk(string by, long line, bool atRest)
    {
        if (_limits.Junction == JunctionModel.PerAxisJerk)
        {
            return;
        }

        _limits.Junction = JunctionModel.PerAxisJerk;
        _limits.JerkAtRest = atRest;
        _choices.Note("corners by " + by, atRest ? "the step of speed of each axis is limited, at rest too" : "the step of speed of each axis is limited",
            "the job sets it; the printer profile plans otherwise", line);
    }

    private void SetVolumetric(GCodeCommand command)
    {
        var tool = command.Has('T') ? ToolNumber(command, command.Get('T')) : _active.Number;
        if (tool < 0)
        {
            return;
        }

        var diameter = command.Get('D') * _mmPerUnit;
        var on = command.Has('S') ? command.Get('S') != 0 : diameter > 0;
        if (on && !command.Has('S'))
        {
            _choices.Note("M200 D without S", "E counts cubic millimetres", "assumed; firmware releases differ", command.Line);
        }

        _tools[tool].CountVolume(on, diameter);
    }

    private void SetSpeedFactor(GCodeCommand command)
    {
        if (command.Mentions('B'))
        {
            _storedSpeedFactor = _speedFactor;
        }

        if (command.Mentions('R'))
        {
            _speedFactor = _storedSpeedFactor;
        }

        if (command.Has('S'))
        {
            if (command.Get('S') > 0)
            {
                _speedFactor = command.Get('S') / 100;
            }
            else
            {
                Warn(command, "speed-factor", "M220 S is not above 0 and was left out", changesResult: true);
            }
        }
    }

    private void SetFlowFactor(GCodeCommand command)
    {
        var letter = command.Has('T') ? 'T' : 'D';
        var tool = command.Has(letter) ? ToolNumber(command, command.Get(letter)) : _active.Number;
        if (tool >= 0 && command.Has('S'))
        {
            _tools[tool].FlowFactor = Math.Max(0, command.Get('S') / 100);
        }
    }
}
