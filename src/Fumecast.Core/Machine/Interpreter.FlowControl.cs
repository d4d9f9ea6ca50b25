// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.GCode;

namespace Fumecast.Machine;

/// <content>Pauses, ends, tools, firmware retraction, excluded objects.</content>
internal sealed partial class Interpreter
{
    /// <summary>No plate holds so many; a broken job must not fill the memory with them.</summary>
    private const int MostExcludedObjects = 10_000;

    private readonly HashSet<string> _excludedObjects = new(StringComparer.OrdinalIgnoreCase);
    private string _object = "";
    private bool _runsByMotorSpeed;

    /// <summary>Whether the feeder was started by motor commands (M101) instead of E words, so that the filament is not in the file.</summary>
    public bool RunsByMotorSpeed => _runsByMotorSpeed;

    private bool ExecuteFlowControl(GCodeCommand command)
    {
        switch (command.Number)
        {
            case 0 or 1:
                StopOrPause(command);
                return true;
            case 2:
                EndJob(heatersOff: true);
                return true;
            case 30:
                _choices.Note("M30", _dialect.M30EndsJob ? "ends the job" : "deletes a file", _byDialect, command.Line);
                if (_dialect.M30EndsJob)
                {
                    EndJob(heatersOff: true);
                }

                return true;
            case 6:
                SelectTool(command, command.Has('T') ? ToolNumber(command, command.Get('T')) : _active.Number);
                return true;
            case 135 when command.Has('T'):
                SelectTool(command, ToolNumber(command, command.Get('T')));
                return true;
            case 101:
                _runsByMotorSpeed = true;
                return true;
            case 103:
                return true;
            case 108:
                if (command.Has('T'))
                {
                    SelectTool(command, ToolNumber(command, command.Get('T')));
                }

                return true;
            case 25 or 601:
                PauseForPerson(command, machineS: 0);
                return true;
            case 28:
                _isStoring = true;
                Warn(command, "stored-lines", "lines between M28 and M29 are stored by the printer, not carried out; they were left out");
                return true;
            case 112 or 410 or 524:
                Warn(command, "abort", "the job stops itself here; what follows was left out", changesResult: true);
                EndJob(heatersOff: command.Number != 410);
                return true;
            case 125 or 600:
                PauseForPerson(command, _profile.FilamentChangeS);
                Warn(command, "filament-change",
                    "a filament change purges filament that the file does not show; the time of a person is counted apart", changesResult: true);
                return true;
            case 226:
                if (_dialect.M226IsPause)
                {
                    PauseForPerson(command, machineS: 0);
                }

                _choices.Note("M226", _dialect.M226IsPause ? "a pause" : "waits for a pin; no time", _byDialect, command.Line);
                return true;
            case 400:
                Barrier();
                return true;
            case 18 or 84:
                Barrier();
                return true;
            case 486:
                TakeObject(command);
                return true;
            case 701 or 702 or 603 or 704 or 705:
                Warn(command, "load-unload", "loading or unloading moves filament in ways the file does not show", changesResult: true);
                return true;
            case 808 or 98 or 99 or 32:
                Fail(command, "not-expanded", "runs lines that are repeated or kept elsewhere, which fumecast does not expand; slice or export the job without it");
                return true;
            default:
                return false;
        }
    }

    private void Dwell(GCodeCommand command)
    {
        Barrier();
        var seconds = command.Has('S') ? command.Get('S') : command.Get('P') * _dialect.G4PUnitS;
        if (command.Has('P') && !command.Has('S'))
        {
            _choices.Note("G4 P", _dialect.G4PUnitS == 1 ? "in seconds" : "in milliseconds", _byDialect, command.Line);
        }

        Pause(command, seconds);
    }

    /// <summary>Waits as commanded. A pause after which the series is too long is not simulated first: a year of bins takes many seconds.</summary>
    private void Pause(GCodeCommand command, double seconds)
    {
        if ((_timeline.NowS + seconds) / _options.BinS > _options.MostBins)
        {
            Fail(command, "series-too-long", $"makes the job too long: {SeriesLength.TooLong(_options.MostBins, _options.BinS)}");
            return;
        }

        Spend(seconds, ref _dwellS);
    }

    private void StopOrPause(GCodeCommand command)
    {
        _choices.Note("M0 and M1", _dialect.M0 switch
        {
            M0Rule.Pause => "wait for a person",
            M0Rule.End => "end the job, heaters off",
            _ => "not known to this dialect; left out",
        }, _byDialect, command.Line);
        switch (_dialect.M0)
        {
            case M0Rule.Pause when command.Has('S') || command.Has('P'):
                Barrier();
                Pause(command, command.Has('S') ? command.Get('S') : command.Get('P') / 1000);
                break;
            case M0Rule.Pause:
                PauseForPerson(command, machineS: 0);
                break;
            case M0Rule.End:
                EndJob(heatersOff: true);
                break;
        }
    }

    /// <summary>Waits for a person. The time is not the job's: how long a person takes is not in the file.</summary>
    private void PauseForPerson(GCodeCommand command, double machineS)
    {
        Barrier();
        Spend(machineS, ref _toolChangeS);
        _personS += _profile.PersonS;
        _choices.Note("waiting for a person", FormattableString.Invariant($"{_profile.PersonS:0} s each time, kept out of the total"),
            _byPrinter, command.Line);
    }

    private void EndJob(bool heatersOff)
    {
        Barrier();
        if (heatersOff)
        {
            AllHeatersOff();
        }

        _hasEnded = true;
    }

    private void AllHeatersOff()
    {
        foreach (var tool in _tools)
        {
            if (tool.HasNozzle)
            {
                _timeline.Nozzles.HeaterOf(tool.Number).SetTarget(null);
            }
        }

        _timeline.Bed.SetTarget(null);
        _nozzleIsKnownHot = false;
    }

    private int ToolNumber(GCodeCommand command, double value)
    {
        if (value is >= 0 and < SimulationOptions.MaxTools)
        {
            return (int)value;
        }

        if (value is >= 0)
        {
            // Some generators write T255 or T1000 for a park position or a virtual tool.
            Warn(command, "tool-number", string.Create(CultureInfo.InvariantCulture,
                $"tool {value:0} is not a printing tool and was left out"), subject: value.ToString(CultureInfo.InvariantCulture));
        }

        return -1;
    }

    private void SelectTool(GCodeCommand command, int number)
    {
        // A sign instead of a number (T?, Tx, Tc) asks the printer to load what a person chose: no other tool.
        var tool = number < 0 ? _active.Number : ToolNumber(command, number);
        if (tool < 0 || tool == _active.Number)
        {
            return;
        }

        Barrier();
        if (!_tools[tool].HasNozzle && _active.HasNozzle)
        {
            _timeline.Nozzles.Share(tool, _active.Number);
            _tools[tool].HasNozzle = true;
            _tools[tool].NozzleWasCommanded = _active.NozzleWasCommanded;
            Note(command, "shared-nozzle",
                "a tool without a temperature of its own is taken to share the nozzle of the tool before it");
        }

        _timeline.Select(tool);
        HandEOver(_active, _tools[tool]);
        _active = _tools[tool];
        _nozzleIsKnownHot = false;
        Spend(_profile.ToolChangeS, ref _toolChangeS);
        _choices.Note("tool changes", FormattableString.Invariant($"{_profile.ToolChangeS:0.#} s each"), _byPrinter, command.Line);
    }

    /// <summary>What an absolute E of the next tool is counted from.</summary>
    private void HandEOver(ToolState from, ToolState to)
    {
        // Only where the readings differ does the choice matter, and then only if an absolute E comes before a G92.
        _eDependsOnDialect = from.LogicalE != to.LogicalE || from.LogicalE != 0;
        to.LogicalE = _dialect.EAcrossTools switch
        {
            EAcrossToolsRule.OneForAll => from.LogicalE,
            EAcrossToolsRule.FromZero => 0,
            _ => to.LogicalE,
        };
    }

    private void NoteEAcrossTools(long line)
    {
        _eDependsOnDialect = false;
        _choices.Note("absolute E after a tool change", _dialect.EAcrossTools switch
        {
            EAcrossToolsRule.OneForAll => "goes on from where the tool before left it",
            EAcrossToolsRule.FromZero => "starts at 0",
            _ => "goes on from where this tool left it",
        }, _byDialect, line);
    }

    private void RetractOrOffset(GCodeCommand command)
    {
        // Whatever the dialect: no firmware knows a retraction or an offset of this form.
        if (command.Has('P') && !command.Mentions('L') && (command.Has('S') || command.Has('R')))
        {
            SetToolTemperatures(command);
            return;
        }

        var hasParameters = command.Mentions('P') || command.Mentions('L');
        var retracts = _dialect.G10 switch
        {
            G10Rule.Retract => true,
            G10Rule.Offsets => false,
            _ => !hasParameters,
        };
        _choices.Note("G10", retracts ? "a retraction" : "offsets", _byDialect, command.Line);
        if (retracts)
        {
            FirmwareRetract(command);
        }
    }

    private void SetToolTemperatures(GCodeCommand command)
    {
        _choices.Note("G10 with P and S or R", "temperatures of a tool", "no other reading of it is known", command.Line);
        if (command.Has('R'))
        {
            Note(command, "standby-temperature", "temperatures for a tool at rest (G10 R) are not modelled; it keeps that of printing");
        }

        if (command.Has('S'))
        {
            HeatNozzle(command, wait: false, toolLetter: 'P');
        }
    }

    private void FirmwareRetract(GCodeCommand command)
    {
        if (_active.IsRetracted || _isExcluded)
        {
            return;
        }

        _active.IsRetracted = true;
        Plan(command, 0, 0, 0, -_retraction.LengthMm, _retraction.SpeedMmPerS);
        Lift(command, _retraction.LiftMm);
    }

    private void FirmwareRecover(GCodeCommand command)
    {
        if (!_active.IsRetracted || _isExcluded)
        {
            return;
        }

        _active.IsRetracted = false;
        Lift(command, -_retraction.LiftMm);
        Plan(command, 0, 0, 0, _retraction.LengthMm + _retraction.ExtraMm, _retraction.RecoverSpeedMmPerS);
    }

    private void Lift(GCodeCommand command, double heightMm)
    {
        if (heightMm != 0)
        {
            Plan(command, 0, 0, heightMm, 0, Math.Max(1, _limits.MaxFeedMmPerS.Z < double.PositiveInfinity ? _limits.MaxFeedMmPerS.Z : 10));
        }
    }

    /// <summary>With M209 S1 the firmware turns short moves of filament alone into its own retraction.</summary>
    private bool TryAutoRetract(GCodeCommand command, double feedMm)
    {
        if (feedMm < 0 && !_active.IsRetracted)
        {
            FirmwareRetract(command);
            return true;
        }

        if (feedMm > 0 && _active.IsRetracted)
        {
            FirmwareRecover(command);
            return true;
        }

        return false;
    }

    private void TakeObject(GCodeCommand command)
    {
        if (command.Has('S'))
        {
            _object = ((int)command.Get('S')).ToString(CultureInfo.InvariantCulture);
        }

        if (command.Has('P'))
        {
            Exclude(((int)command.Get('P')).ToString(CultureInfo.InvariantCulture));
        }

        if (command.Mentions('C'))
        {
            Exclude(_object);
        }

        if (command.Has('U'))
        {
            _excludedObjects.Remove(((int)command.Get('U')).ToString(CultureInfo.InvariantCulture));
        }

        UpdateExclusion(command);
    }

    private void Exclude(string name)
    {
        if (_excludedObjects.Count < MostExcludedObjects)
        {
            _excludedObjects.Add(name);
        }
    }

    private void UpdateExclusion(GCodeCommand command)
    {
        _isExcluded = _object.Length > 0 && _excludedObjects.Contains(_object);
        if (_isExcluded)
        {
            Warn(command, "object-excluded", "an object is excluded: its moves were left out", changesResult: false, subject: _object);
        }
    }
}
