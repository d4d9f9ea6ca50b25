// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Heat;

namespace Fumecast.Machine;

/// <content>Temperatures and fans.</content>
internal sealed partial class Interpreter
{
    /// <summary>A nozzle that sinks less than this below its set point is not worth a word [K]; common practice, no source.</summary>
    private const double MostSinkK = 5;

    /// <summary>Code of the error that a nozzle temperature is needed and nothing gives it.</summary>
    public const string NozzleMissing = "nozzle-missing";

    /// <summary>The hottest set point that a printer profile may name; beyond it a number is a mistake [degC].</summary>
    private const double MostC = 600;

    /// <summary>Absolute zero [degC].</summary>
    private const double LeastC = -273.15;

    /// <summary>From here down a set point is the way of some firmware to say off, not a slip of the pen [degC].</summary>
    private const double OffC = -273;

    /// <summary>Beds of desktop printers get no hotter [degC]; common practice, no source.</summary>
    private const double MostBedC = 200;

    /// <summary>Nor do chambers [degC]; common practice, no source.</summary>
    private const double MostChamberC = 200;

    private double _coldLimitC;
    private NozzleSetPoints? _statedNozzle;
    private bool _nozzleIsKnownHot;
    private double _temperatureScale = 1;
    private double _temperatureOffset;

    private bool ExecuteHeating(GCodeCommand command)
    {
        switch (command.Number)
        {
            case 104:
                HeatNozzle(command, wait: false);
                return true;
            case 109:
                HeatNozzle(command, wait: true);
                return true;
            case 116:
                WaitForAll();
                return true;
            case 140:
                HeatBed(command, wait: false);
                return true;
            case 190:
                HeatBed(command, wait: true);
                return true;
            case 141 or 191:
                Chamber(command);
                return true;
            case 106:
                Fan(command);
                return true;
            case 107:
                SetFan(0);
                return true;
            case 149:
                SetTemperatureUnit(command);
                return true;
            case 302:
                if (command.Has('S') && IsPossible(command, CelsiusOf(command.Get('S'))))
                {
                    _coldLimitC = CelsiusOf(command.Get('S'));
                }

                return true;
            case 303:
                Warn(command, "tuning", "M303 tunes a heater, which takes minutes that are not counted", changesResult: true);
                return true;
            case 568:
                HeatNozzle(command, wait: false, toolLetter: 'P');
                return true;
            default:
                return false;
        }
    }

    private void HeatNozzle(GCodeCommand command, bool wait, char toolLetter = 'T')
    {
        var tool = command.Has(toolLetter) ? ToolNumber(command, command.Get(toolLetter)) : _active.Number;
        if (tool < 0)
        {
            return;
        }

        if (wait && _dialect.M109SelectsTool && tool != _active.Number)
        {
            SelectTool(command, tool);
        }

        var hasTarget = TryTarget(command, out var target);
        if (hasTarget && !IsUsable(command, target))
        {
            return;
        }

        if (!wait)
        {
            if (hasTarget)
            {
                QueueNozzle(command, tool, target);
            }

            return;
        }

        Barrier();
        if (hasTarget)
        {
            SetNozzle(command, tool, target);
        }

        WaitFor(_timeline.Nozzles.HeaterOf(tool), waitsWhileCooling: command.Has('R') || _dialect.SWaitsWhileCooling);
    }

    private bool TryTarget(GCodeCommand command, out double celsius)
    {
        celsius = CelsiusOf(command.Has('S') ? command.Get('S') : command.Get('R'));
        return command.Has('S') || command.Has('R');
    }

    /// <summary>Ends the job with an error when no heater of a printer could be meant; below 0 is a way to switch off, as long as there is such a temperature.</summary>
    private bool IsPossible(GCodeCommand command, double celsius)
    {
        if (celsius is >= LeastC and <= MostC)
        {
            return true;
        }

        Fail(command, "temperature-out-of-range", FormattableString.Invariant(
            $"asks for {celsius:0.#} C; expected {(celsius < LeastC ? FormattableString.Invariant($"0 C to switch off, or up to {MostC:0} C") : FormattableString.Invariant($"at most {MostC:0} C"))}: correct the number, or the unit if M149 sets one"));
        return false;
    }

    /// <summary>Whether a set point can be meant; one below 0 switches off, which is said, since it may be a slip of the pen.</summary>
    private bool IsUsable(GCodeCommand command, double celsius)
    {
        if (!IsPossible(command, celsius))
        {
            return false;
        }

        var isNamed = command.Kind == CommandKind.Named;
        if (celsius is < 0 and > OffC && (isNamed || (command.Has('S') ? command.Get('S') : command.Get('R')) != 0))
        {
            var name = isNamed ? command.Name : FormattableString.Invariant($"{command.Letter}{command.Number}");
            Warn(command, "temperature-below-zero", FormattableString.Invariant(
                $"{name} asks for {celsius:0.#} C, which is taken as off; write 0 if that is meant, else correct the number"), changesResult: true, subject: name);
        }

        return true;
    }

    private double CelsiusOf(double value) => (value * _temperatureScale) + _temperatureOffset;

    private void SetTemperatureUnit(GCodeCommand command)
    {
        (_temperatureScale, _temperatureOffset) = command switch
        {
            _ when command.Mentions('F') => (5.0 / 9, -32 * 5.0 / 9),
            _ when command.Mentions('K') => (1, -273.15),
            _ => (1.0, 0.0),
        };
        _choices.Note("temperature unit", command.Mentions('F') ? "Fahrenheit" : command.Mentions('K') ? "kelvin" : "Celsius", "M149", command.Line);
    }

    /// <summary>The target after the caller's wishes; preheating below the cold limit stays as it is.</summary>
    private double WishedNozzle(GCodeCommand command, double target)
    {
        if (target > _profile.MaxNozzleC)
        {
            Warn(command, "nozzle-above-limit",
                FormattableString.Invariant($"a nozzle temperature of {target:0} C is above the profile's {_profile.MaxNozzleC:0} C"));
        }

        if (target < _profile.ColdLimitC)
        {
            return target;
        }

        _statedNozzle = _statedNozzle is { } stated
            ? stated with { LowestC = Math.Min(stated.LowestC, target), HighestC = Math.Max(stated.HighestC, target) }
            : new NozzleSetPoints(target, target, command.Line);
        return Shifted(command, _options.NozzleC ?? target);
    }

    /// <summary>What the job states and the caller replaced, unless it comes to the same.</summary>
    private NozzleSetPoints? ReplacedNozzle =>
        _options.NozzleC is { } given && _statedNozzle is { } stated && (stated.LowestC != given || stated.HighestC != given) ? stated : null;

    /// <summary>The temperature with the caller's shift, held within what a heater of a printer can mean.</summary>
    private double Shifted(GCodeCommand command, double celsius)
    {
        var wished = celsius + _options.NozzleShiftK;
        if (wished is >= 0 and <= MostC)
        {
            return wished;
        }

        var held = Math.Clamp(wished, 0, MostC);
        Warn(command, "nozzle-clipped", FormattableString.Invariant(
            $"the nozzle temperature would be {wished:0.#} C with the shift that was asked for; it is held at {held:0} C"), changesResult: true);
        return held;
    }

    private void QueueNozzle(GCodeCommand command, int tool, double target)
    {
        var wished = NoteNozzle(command, tool, target);
        _planner.Mark(_events.Add(PendingChange.NozzleTarget, tool, wished));
    }

    private void SetNozzle(GCodeCommand command, int tool, double target) =>
        _timeline.Nozzles.HeaterOf(tool).SetTarget(NoteNozzle(command, tool, target));

    private double NoteNozzle(GCodeCommand command, int tool, double target)
    {
        var wished = WishedNozzle(command, target);
        _tools[tool].HasNozzle = true;
        if (target > 0)
        {
            _tools[tool].NozzleWasCommanded |= target >= _profile.ColdLimitC;
        }
        else
        {
            _nozzleIsKnownHot = false;
        }

        return wished;
    }

    private void HeatBed(GCodeCommand command, bool wait)
    {
        var hasTarget = TryTarget(command, out var target);
        if (hasTarget && !IsUsable(command, target))
        {
            return;
        }

        if (hasTarget && target > MostBedC)
        {
            Warn(command, "bed-above-limit", FormattableString.Invariant(
                $"a bed temperature of {target:0} C is above the {MostBedC:0} C that beds of desktop printers reach; correct it if the nozzle was meant"));
        }

        if (!wait)
        {
            if (hasTarget)
            {
                _planner.Mark(_events.Add(PendingChange.BedTarget, 0, target));
            }

            return;
        }

        Barrier();
        if (hasTarget)
        {
            _timeline.Bed.SetTarget(target);
        }

        WaitFor(_timeline.Bed, waitsWhileCooling: command.Has('R') || _dialect.SWaitsWhileCooling);
    }

    private void WaitFor(Heater heater, bool waitsWhileCooling)
    {
        var seconds = _profile.Wait switch
        {
            WaitRule.Residency => HeaterWait.ResidencyS(heater, _profile.WaitWindowK, _profile.WaitS, waitsWhileCooling, _timeline.FanShare),
            WaitRule.Band => HeaterWait.BandS(heater, _profile.WaitWindowK, _profile.WaitMinTargetC, waitsWhileCooling, _timeline.FanShare),
            _ => HeaterWait.SettleS(heater, _profile.WaitWindowK, _profile.WaitS, _timeline.FanShare),
        };
        SpendHeating(seconds);
    }

    private void SpendHeating(double seconds)
    {
        if (double.IsPositiveInfinity(seconds) || double.IsNaN(seconds))
        {
            _log.Report(Severity.Warning, "target-out-of-reach", 0, 0,
                "a heater of this printer profile cannot reach its target; the wait was left out", changesResult: true);
            return;
        }

        Spend(seconds, ref _heatingS);
    }

    private void WaitForAll()
    {
        Barrier();
        foreach (var tool in _tools)
        {
            if (tool.HasNozzle)
            {
                WaitFor(_timeline.Nozzles.HeaterOf(tool.Number), waitsWhileCooling: true);
            }
        }

        WaitFor(_timeline.Bed, waitsWhileCooling: true);
    }

    private void Chamber(GCodeCommand command)
    {
        var hasTarget = TryTarget(command, out var target);
        if (hasTarget && !IsUsable(command, target))
        {
            return;
        }

        if (target > MostChamberC)
        {
            Warn(command, "chamber-above-limit", FormattableString.Invariant(
                $"a chamber temperature of {target:0} C is above the {MostChamberC:0} C that chambers of desktop printers reach; correct it if the nozzle was meant"));
        }

        if (hasTarget && target <= 0)
        {
            return;
        }

        if (command.Number == 191)
        {
            Barrier();
            Warn(command, "chamber", "waiting for a chamber's temperature is not modelled; the time is missing", changesResult: true);
        }
        else if (hasTarget)
        {
            Note(command, "chamber-heated", "a heated chamber is not modelled; air, nozzle and bed are followed as without it");
        }
    }

    private void Fan(GCodeCommand command)
    {
        if (command.Has('P') && command.Get('P') != 0 && command.Get('P') != _active.Number)
        {
            return;
        }

        var value = command.Get('S', 255);
        if (_dialect.FanSharesUpToOne && value is > 0 and <= 1)
        {
            _choices.Note("M106 S of at most 1", "a share of full speed", _byDialect, command.Line);
            SetFan(value);
            return;
        }

        SetFan(value / 255);
    }

    private void SetFan(double share) => _planner.Mark(_events.Add(PendingChange.Fan, 0, Math.Clamp(share, 0, 1)));

    /// <summary>Before something is extruded: the nozzle must be hot, or its temperature is asked for.</summary>
    /// <remarks>
    /// Files whose heating hides in a macro, or that a host preheats, extrude with a nozzle that is cold as far as their commands
    /// go. A real printer would refuse, so it was hot: the known target is taken as reached, and that is said.
    /// </remarks>
    private void CheckNozzle(GCodeCommand command)
    {
        if (_active.NozzleWasCommanded || TakeUncommandedNozzle(command))
        {
            // Looked at when motion gets there: by then the heaters are current, and nothing has to stop for it.
            _planner.Mark(_events.Add(PendingChange.FirstFeed, _active.Number, _coldLimitC, command.Line));
            _nozzleIsKnownHot = true;
        }
    }

    private void CheckFirstFeed(int tool, double coldLimitC, long line)
    {
        var heater = _timeline.Nozzles.HeaterOf(tool);
        if (heater.TemperatureC >= coldLimitC)
        {
            return;
        }

        if (heater.TargetC is { } target && target >= _profile.ColdLimitC)
        {
            _log.Report(Severity.Warning, "cold-at-first-deposit", line, 1, FormattableString.Invariant(
                $"filament is fed before the simulated nozzle is hot, without a wait in the file; it is taken to be at {target:0} C already"), changesResult: true);
            heater.StartAt(target);
        }
        else
        {
            _log.Report(Severity.Warning, "cold-extrusion", line, 1, FormattableString.Invariant(
                $"filament is fed with the nozzle at {heater.TemperatureC:0} C, below the limit of {coldLimitC:0} C"), changesResult: true);
        }
    }

    private void SayIfHeaterIsTooSmall(int tool)
    {
        var record = _timeline.Nozzles.Records[tool];
        if (record.HeaterTooSmallFromS is { } fromS)
        {
            _log.Report(Severity.Warning, "heater-too-small", 0, 0, FormattableString.Invariant(
                $"the flow of tool {tool} asks for about {record.NeededHeaterW:0} W, but the nozzle heater of the printer profile has {_profile.Nozzle.PowerW:0} W and would let the nozzle sink below the cold limit of {_profile.ColdLimitC:0} C; from {fromS:0} s on the set point is taken as held; name a profile with a larger heater (nozzle: power)"),
                changesResult: true);
        }
        else if (record.SankK > MostSinkK)
        {
            _log.Report(Severity.Warning, "nozzle-sinks", 0, 0, FormattableString.Invariant(
                $"the flow of tool {tool} asks for up to {record.NeededHeaterW:0} W, but the nozzle heater of the printer profile has {_profile.Nozzle.PowerW:0} W: the nozzle sinks by up to {record.SankK:0} K below its set point, and what it gives off with it; if your printer holds its temperature, name a profile with a larger heater (nozzle: power)"),
                changesResult: true);
        }
    }

    private bool TakeUncommandedNozzle(GCodeCommand command)
    {
        var nozzle = _options.NozzleC is { } given ? new UncommandedNozzle(given, "--nozzle; no command sets one") : _uncommandedNozzle(_active.Number);
        if (nozzle is null)
        {
            Fail(command, NozzleMissing, "feeds filament, but the file never sets a nozzle temperature; give it with --nozzle C");
            return false;
        }

        _active.NozzleWasCommanded = true;
        _active.HasNozzle = true;
        if (!IsPossible(command, nozzle.C))
        {
            return false;
        }

        var value = Shifted(command, nozzle.C);
        _planner.Mark(_events.Add(PendingChange.NozzleHot, _active.Number, value));
        _choices.Note("nozzle temperature", FormattableString.Invariant($"{value:0.#} C"), nozzle.Because, command.Line);
        return true;
    }
}
