// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.GCode;
using Fumecast.Heat;

namespace Fumecast.Machine;

/// <content>Named commands, and macros whose meaning the profile states.</content>
internal sealed partial class Interpreter
{
    private const int MaxMacroDepth = 8;

    /// <summary>Macros that call macros that call macros multiply; so many lines from one command of the job are a mistake in the profile.</summary>
    private const int MostMacroLines = 100_000;

    private static readonly string[] NozzleKeys = ["EXTRUDER", "EXTRUDER_TEMP", "HOTEND", "HOTEND_TEMP", "NOZZLE", "NOZZLE_TEMP", "TEMP", "TOOL_TEMP"];
    private static readonly string[] BedKeys = ["BED", "BED_TEMP"];
    private static readonly string[] ChamberKeys = ["CHAMBER", "CHAMBER_TEMP"];

    private readonly Dictionary<string, SavedState> _savedStates = [];
    private int _macroLines;

    private sealed record SavedState(
        Point Position, Point Offset, bool Relative, bool RelativeE, bool FilamentRelative, double FeedMmPerS, double SpeedFactor,
        double FlowFactor, double LogicalE);

    private void ExecuteNamed(GCodeCommand command)
    {
        if (_profile.Macros.TryGetValue(command.Name, out var meaning))
        {
            RunMacro(command, meaning);
            return;
        }

        switch (command.Name)
        {
            case "SET_VELOCITY_LIMIT":
                SetVelocityLimit(command);
                break;
            case "SET_RETRACTION":
                SetRetraction(command);
                break;
            case "SET_HEATER_TEMPERATURE":
                SetHeaterTemperature(command);
                break;
            case "TEMPERATURE_WAIT":
                TemperatureWait(command);
                break;
            case "TURN_OFF_HEATERS":
                Barrier();
                AllHeatersOff();
                break;
            case "SET_FAN_SPEED":
                if (IsPartFan(command.Argument("FAN")))
                {
                    SetFan(Number(command, "SPEED") ?? 0);
                }

                break;
            case "ACTIVATE_EXTRUDER":
                if (ToolOfHeater(command.Argument("EXTRUDER")) is { } tool)
                {
                    SelectTool(command, tool);
                }

                break;
            case "EXCLUDE_OBJECT_START" or "START_CURRENT_OBJECT":
                _object = command.Argument("NAME") ?? "";
                UpdateExclusion(command);
                break;
            case "EXCLUDE_OBJECT_END" or "END_CURRENT_OBJECT":
                _object = "";
                _isExcluded = false;
                break;
            case "EXCLUDE_OBJECT":
                ExcludeObject(command);
                break;
            case "SAVE_GCODE_STATE":
                SaveState(command);
                break;
            case "RESTORE_GCODE_STATE":
                RestoreState(command);
                break;
            case "SET_GCODE_OFFSET":
                SetOffset(command);
                break;
            case "PAUSE":
                PauseForPerson(command, machineS: 0);
                break;
            case "CANCEL_PRINT":
                Warn(command, "abort", "the job cancels itself here; what follows was left out", changesResult: true);
                EndJob(heatersOff: true);
                break;
            case "SDCARD_LOOP_BEGIN":
                if (Number(command, "COUNT") is not 1)
                {
                    Fail(command, "not-expanded", "repeats a section, which fumecast does not expand; export the job without it");
                }

                break;
            case "SET_EXTRUDER_ROTATION_DISTANCE":
                Warn(command, "feeder-recalibrated",
                    "the feeder is recalibrated, so the true length per E is not known; check the result against the spool", changesResult: true);
                break;
            case "SET_PRESSURE_ADVANCE" or "SET_INPUT_SHAPER" or "EXCLUDE_OBJECT_DEFINE" or "DEFINE_OBJECT" or "SDCARD_LOOP_END" or "RESUME"
                or "RESPOND" or "SET_DISPLAY_TEXT" or "SET_PRINT_STATS_INFO" or "SET_LED" or "SET_PIN" or "UPDATE_DELAYED_GCODE"
                or "BED_MESH_PROFILE" or "BED_MESH_CLEAR" or "SYNC_EXTRUDER_MOTION" or "SET_IDLE_TIMEOUT" or "SET_SKEW" or "SKEW_PROFILE"
                or "TIMELAPSE_TAKE_FRAME" or "SET_STEPPER_ENABLE" or "CLEAR_PAUSE" or "STATUS" or "SAVE_VARIABLE" or "SET_GCODE_VARIABLE":
                break;
            case "BED_MESH_CALIBRATE" or "QUAD_GANTRY_LEVEL" or "Z_TILT_ADJUST" or "SCREWS_TILT_CALCULATE" or "PROBE":
                Barrier();
                Spend(_profile.ProbeS, ref _homingS);
                break;
            default:
                UnmappedMacro(command);
                break;
        }
    }

    private static bool IsPartFan(string? name) => name is null || name.Contains("part", StringComparison.OrdinalIgnoreCase)
        || name.Equals("fan", StringComparison.OrdinalIgnoreCase) || name.Equals("fan0", StringComparison.OrdinalIgnoreCase);

    private void SetVelocityLimit(GCodeCommand command)
    {
        _limitsWereSet = true;
        if (Positive(command, "VELOCITY") is { } velocity)
        {
            _limits.MaxPathSpeedMmPerS = velocity;
        }

        if (Positive(command, "ACCEL") is { } accel)
        {
            _limits.PrintAccelMmPerS2 = accel;
            _limits.TravelAccelMmPerS2 = accel;
        }

        if (Number(command, "SQUARE_CORNER_VELOCITY") is { } corner && corner >= 0)
        {
            _limits.SquareCornerMmPerS = corner;
        }

        if (Number(command, "MINIMUM_CRUISE_RATIO") is { } ratio && ratio is >= 0 and < 1)
        {
            _limits.MinimumCruiseRatio = ratio;
        }
        else if (Positive(command, "ACCEL_TO_DECEL") is { } reduced)
        {
            _limits.MinimumCruiseRatio = Math.Clamp(1 - (reduced / _limits.PrintAccelMmPerS2), 0, 0.999);
            _choices.Note("ACCEL_TO_DECEL", "read as a minimum cruise ratio", "older form", command.Line);
        }
    }

    private void SetRetraction(GCodeCommand command) => _retraction = _retraction with
    {
        LengthMm = Number(command, "RETRACT_LENGTH") ?? _retraction.LengthMm,
        SpeedMmPerS = Positive(command, "RETRACT_SPEED") ?? _retraction.SpeedMmPerS,
        ExtraMm = Number(command, "UNRETRACT_EXTRA_LENGTH") ?? _retraction.ExtraMm,
        RecoverSpeedMmPerS = Positive(command, "UNRETRACT_SPEED") ?? _retraction.RecoverSpeedMmPerS,
    };

    private static int? ToolOfHeater(string? name)
    {
        if (name is null || !name.StartsWith("extruder", StringComparison.OrdinalIgnoreCase))
        {
            return null;
        }

        return name.Length == 8 ? 0
            : int.TryParse(name.AsSpan(8), NumberStyles.None, CultureInfo.InvariantCulture, out var number) && number < SimulationOptions.MaxTools
            ? number : null;
    }

    private static bool IsBed(string? name) => name is not null && name.Equals("heater_bed", StringComparison.OrdinalIgnoreCase);

    private void SetHeaterTemperature(GCodeCommand command)
    {
        var name = command.Argument("HEATER");
        var target = Number(command, "TARGET") ?? 0;
        if (!IsUsable(command, target))
        {
            return;
        }

        if (ToolOfHeater(name) is { } tool)
        {
            QueueNozzle(command, tool, target);
        }
        else if (IsBed(name))
        {
            _planner.Mark(_events.Add(PendingChange.BedTarget, 0, target));
        }
    }

    private void TemperatureWait(GCodeCommand command)
    {
        Barrier();
        var name = command.Argument("SENSOR");
        var heater = IsBed(name) ? _timeline.Bed : ToolOfHeater(name) is { } tool ? _timeline.Nozzles.HeaterOf(tool) : null;
        if (heater is null)
        {
            Warn(command, "chamber", "waiting for a sensor that is not modelled; the time is missing", changesResult: true);
            return;
        }

        SpendHeating(HeaterWait.BetweenS(heater, Number(command, "MINIMUM"), Number(command, "MAXIMUM"), _timeline.FanShare));
    }

    private void ExcludeObject(GCodeCommand command)
    {
        var name = command.Argument("NAME") ?? (command.Argument("CURRENT") is not null ? _object : null);
        if (command.Argument("RESET") is not null)
        {
            if (name is null)
            {
                _excludedObjects.Clear();
            }
            else
            {
                _excludedObjects.Remove(name);
            }
        }
        else if (name is not null)
        {
            Exclude(name);
        }

        UpdateExclusion(command);
    }

    private void SaveState(GCodeCommand command)
    {
        if (_savedStates.Count < 1000)
        {
            _savedStates[command.Argument("NAME") ?? "default"] = new SavedState(
                _position, _offset, _relative, _relativeE, _filamentRelative, _feedMmPerS, _speedFactor, _active.FlowFactor, _active.LogicalE);
        }
    }

    private void RestoreState(GCodeCommand command)
    {
        if (!_savedStates.TryGetValue(command.Argument("NAME") ?? "default", out var saved))
        {
            Warn(command, "no-saved-state", "a state is restored that was never saved; it was left out", changesResult: true);
            return;
        }

        (_relative, _relativeE, _filamentRelative) = (saved.Relative, saved.RelativeE, saved.FilamentRelative);
        (_offset, _feedMmPerS, _speedFactor) = (saved.Offset, saved.FeedMmPerS, saved.SpeedFactor);
        _active.FlowFactor = saved.FlowFactor;
        _active.LogicalE = saved.LogicalE;
        if (command.Argument("MOVE") is "1")
        {
            var speed = Positive(command, "MOVE_SPEED") ?? _feedMmPerS;
            var (dx, dy, dz) = (saved.Position.X - _position.X, saved.Position.Y - _position.Y, saved.Position.Z - _position.Z);
            _position = saved.Position;
            Plan(command, dx, dy, dz, 0, speed);
        }
    }

    private void SetOffset(GCodeCommand command)
    {
        var before = _offset;
        _offset.X += Change('X', _givenOffset.X);
        _offset.Y += Change('Y', _givenOffset.Y);
        _offset.Z += Change('Z', _givenOffset.Z);
        _givenOffset = new Point(_givenOffset.X + _offset.X - before.X, _givenOffset.Y + _offset.Y - before.Y, _givenOffset.Z + _offset.Z - before.Z);
        if (command.Argument("MOVE") is "1")
        {
            var (dx, dy, dz) = (_offset.X - before.X, _offset.Y - before.Y, _offset.Z - before.Z);
            _position = new Point(_position.X + dx, _position.Y + dy, _position.Z + dz);
            Plan(command, dx, dy, dz, 0, Positive(command, "MOVE_SPEED") ?? _feedMmPerS);
        }

        double Change(char axis, double given) => Number(command, axis.ToString()) is { } to ? to - given
            : Number(command, axis + "_ADJUST") ?? 0;
    }

    private Point _givenOffset;

    private void RunMacro(GCodeCommand command, MacroMeaning meaning)
    {
        _choices.Note("macro " + command.Name, "as the printer profile states", _byPrinter, command.Line);
        if (_macroDepth >= MaxMacroDepth)
        {
            Fail(command, "macro-depth", "calls itself; mend the macros of the printer profile");
            return;
        }

        if (meaning.Lines.Count > 0)
        {
            RunLines(command, meaning);
            return;
        }

        Barrier();
        Spend(meaning.DurationS, ref _macroS);
        if (Filled(meaning.NozzleC, command) is { } nozzle && IsPossible(command, nozzle))
        {
            Reach(command, nozzle);
        }

        if (Filled(meaning.BedC, command) is { } bed && IsPossible(command, bed))
        {
            ReachBed(bed);
        }

        if (meaning.PurgeMm3 > 0)
        {
            Plan(command, 0, 0, 0, meaning.PurgeMm3 / _active.AreaMm2, 5);
        }
    }

    private void RunLines(GCodeCommand command, MacroMeaning meaning)
    {
        _macroLines = _macroDepth == 0 ? 0 : _macroLines;
        _macroLines += meaning.Lines.Count;
        if (_macroLines > MostMacroLines)
        {
            Fail(command, "macro-length", "becomes over 100 000 lines; mend the macros of the printer profile");
            return;
        }

        _macroDepth++;
        var text = new StringBuilder();
        foreach (var line in meaning.Lines)
        {
            text.Append(FillIn(line, command)).Append('\n');
        }

        using var stream = new MemoryStream(Encoding.UTF8.GetBytes(text.ToString()));
        var reader = new GCodeReader(stream, _log);
        while (!IsDone && reader.Read())
        {
            // Findings point at the call in the job, not into the profile.
            (reader.Command.Line, reader.Command.Column) = (command.Line, command.Column);
            Execute(reader.Command);
        }

        _macroDepth--;
    }

    private static string FillIn(string line, GCodeCommand command)
    {
        var filled = new StringBuilder();
        var at = 0;
        while (line.IndexOf('{', at) is var open and >= 0 && line.IndexOf('}', open) is var close and > 0)
        {
            var (key, fallback) = line[(open + 1)..close].Split('|', 2) is [var k, var f] ? (k, f) : (line[(open + 1)..close], "0");
            filled.Append(line, at, open - at).Append(command.Argument(key.ToUpperInvariant()) ?? fallback);
            at = close + 1;
        }

        return filled.Append(line, at, line.Length - at).ToString();
    }

    private static double? Filled(string? template, GCodeCommand command) =>
        template is not null && double.TryParse(FillIn(template, command), NumberStyles.Float, CultureInfo.InvariantCulture, out var value) ? value : null;

    /// <summary>A macro without a meaning may heat, move and feed: say so loudly, and take what its keys tell of temperatures.</summary>
    private void UnmappedMacro(GCodeCommand command)
    {
        var nozzle = FirstOf(command, NozzleKeys);
        var bed = FirstOf(command, BedKeys);
        Warn(command, "unmapped-macro", $"{command.Name} is a macro of the printer: what it does (heating, moves, purging) and its time are not in the file"
            + (nozzle is null && bed is null ? "" : "; the temperatures in its call are taken as reached when it ends")
            + "; state its meaning in a printer profile to include it", changesResult: true, subject: command.Name);
        if (nozzle is null && bed is null && FirstOf(command, ChamberKeys) is null)
        {
            return;
        }

        Barrier();
        if (nozzle is { } celsius && celsius > 0)
        {
            Reach(command, celsius);
        }

        if (bed is { } bedC && bedC > 0)
        {
            ReachBed(bedC);
        }
    }

    private void Reach(GCodeCommand command, double celsius)
    {
        SetNozzle(command, _active.Number, celsius);
        var heater = _timeline.Nozzles.HeaterOf(_active.Number);
        heater.StartAt(heater.TargetC ?? celsius);
        _choices.Note("nozzle after " + command.Name, FormattableString.Invariant($"{heater.TemperatureC:0.#} C"), "assumed from the macro's call", command.Line);
    }

    private void ReachBed(double celsius)
    {
        _timeline.Bed.SetTarget(celsius);
        _timeline.Bed.StartAt(celsius);
    }

    private static double? FirstOf(GCodeCommand command, string[] keys)
    {
        foreach (var key in keys)
        {
            if (Number(command, key) is { } value && value is > 0 and < MostC)
            {
                return value;
            }
        }

        return null;
    }

    private static double? Number(GCodeCommand command, string key) =>
        double.TryParse(command.Argument(key), NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value)
            ? value : null;

    private static double? Positive(GCodeCommand command, string key) => Number(command, key) is { } value && value > 0 ? value : null;
}
