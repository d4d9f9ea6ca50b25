// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Numerics;
using System.Runtime.CompilerServices;
using Fumecast.Flow;
using Fumecast.GCode;
using Fumecast.Motion;

namespace Fumecast.Machine;

/// <summary>Carries out a job's commands on a simulated printer: keeps the printer's state, plans its motion and lets its clock run.</summary>
/// <remarks>
/// One command at a time, in constant memory. Where firmware families read a command differently, the profile's dialect decides
/// and the choice is noted once. Nothing that changes the result is skipped in silence. The parts: this file (state and
/// dispatch), Positions, Moves, Arcs, Heating, Limits, FlowControl, Named.
/// </remarks>
internal sealed partial class Interpreter
{
    /// <summary>Printing moves below which a text is a piece to try something with rather than a print that was cut off [-]; a reasoned choice, not measured.</summary>
    private const int LeastMovesOfAPrint = 50;

    private readonly PrinterProfile _profile;
    private readonly DialectSettings _dialect;
    private readonly SimulationOptions _options;
    private readonly DiagnosticLog _log;
    private readonly ChoiceLog _choices = new();
    private readonly PendingEvents _events = new();
    private readonly EvennessAccumulator _evenness;
    private readonly Timeline _timeline;
    private readonly MotionPlanner<Timeline.Sink> _planner;
    private readonly MotionLimits _limits;
    private readonly Func<int, UncommandedNozzle?> _uncommandedNozzle;
    private readonly string _byDialect;
    private readonly string _byPrinter;

    private double _heatingS;
    private double _dwellS;
    private double _homingS;
    private double _toolChangeS;
    private double _macroS;
    private double _personS;
    private bool _hasEnded;
    private bool _isStoring;
    private bool _hasSavedPosition;
    private int _macroDepth;

    /// <summary>Readies a printer at rest and at room temperature.</summary>
    /// <param name="profile">The printer.</param>
    /// <param name="options">What the caller decides.</param>
    /// <param name="sink">Receives the slices.</param>
    /// <param name="log">Receives the findings.</param>
    /// <param name="uncommandedNozzle">Asked for the nozzle temperature of a tool when it extrudes and none was commanded; null for none.</param>
    public Interpreter(
        PrinterProfile profile, SimulationOptions options, ISliceSink sink, DiagnosticLog log, Func<int, UncommandedNozzle?>? uncommandedNozzle = null)
    {
        _profile = profile;
        _dialect = profile.Dialect;
        _byDialect = "dialect " + _dialect.Id;
        _byPrinter = "printer " + profile.Id;
        _options = options;
        _log = log;
        _uncommandedNozzle = uncommandedNozzle
            ?? (_ => options.NozzleIfUncommandedC is { } c ? new UncommandedNozzle(c, "the file's comments; no command sets one") : null);
        _evenness = new EvennessAccumulator(options.MeterIntervalS);
        _timeline = new Timeline(profile, options, _events, _evenness, sink) { FirstFeed = CheckFirstFeed };
        _limits = profile.StartLimits();
        _planner = new MotionPlanner<Timeline.Sink>(new Timeline.Sink(_timeline), profile.LookaheadBlocks, _limits);
        _feedMmPerS = (_dialect.DefaultFeedMmPerMin ?? 0) / 60;
        _retraction = profile.Retraction;
        _coldLimitC = profile.ColdLimitC;
        _relativeE = options.RelativeE;
        _statedRelativeE = options.RelativeE;
        _filamentRelative = options.RelativeE;
        for (var tool = 0; tool < _tools.Length; tool++)
        {
            var diameterMm = tool < options.FilamentDiameterMm.Count ? options.FilamentDiameterMm[tool] : profile.FilamentDiameterMm;
            _tools[tool] = new ToolState(tool, diameterMm, options.VolumetricE);
        }

        _active = _tools[0];
    }

    /// <summary>Whether nothing more is to be carried out: the job ended itself, is not usable, or has outgrown what is simulated.</summary>
    public bool IsDone => _hasEnded || _timeline.IsTooLong;

    /// <summary>Carries out one command.</summary>
    /// <param name="command">The command; read during the call only.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Execute(GCodeCommand command)
    {
        // The plain bulk of every file, before all questions of dialect.
        if (command is { Kind: CommandKind.Word, Letter: 'G', Number: 0 or 1, IndexInLine: 0, SubNumber: 0, Repeated: 0 } && !_isStoring)
        {
            _motionMode = command.Number;
            LinearMove(command);
            return;
        }

        if (command.Kind == CommandKind.None || !IsToRun(command) || (command.Repeated != 0 && !ResolveRepeated(command)))
        {
            return;
        }

        _endsWithDeposit = false;
        _isPrinting = _isPrinting && StandsAmongPrintingMoves(command);
        switch (command.Kind)
        {
            case CommandKind.Word:
                ExecuteWord(command);
                break;
            case CommandKind.Modal:
                ExecuteModal(command);
                break;
            case CommandKind.Named:
                ExecuteNamed(command);
                break;
        }
    }

    /// <summary>Ends the job and sums up.</summary>
    /// <returns>The totals.</returns>
    public SimulatedPrint Finish()
    {
        Barrier();
        _timeline.Finish();
        if (_planner.SettledEarly > 0)
        {
            _log.Report(Severity.Warning, "look-ahead-cut", 0, 0,
                "the moves were so many and so small that the look-ahead was cut; the time may be slightly too long", changesResult: true);
        }

        if (_timeline.IsTooLong)
        {
            _log.Report(Severity.Error, "job-too-long", 0, 0, string.Create(CultureInfo.InvariantCulture,
                $"the job would last over {Timeline.LongestJobS / 86400:0} days; check the speeds (F) and pauses (G4)"));
        }

        foreach (var tool in _tools)
        {
            SayIfHeaterIsTooSmall(tool.Number);
        }

        EndWatchOfUndone();
        NoteEReadByDialect();
        var tools = new List<SimulatedTool>();
        foreach (var tool in _tools)
        {
            if (tool.IsUsed)
            {
                ref readonly var book = ref tool.Book;
                tools.Add(new SimulatedTool(
                    tool.Number, book.FedMm, book.HighWaterMm, book.HighWaterMm * tool.AreaMm2, book.PurgedMm, tool.DiameterMm,
                    _timeline.Nozzles.Records[tool.Number]));
            }
        }

        return new SimulatedPrint
        {
            MotionS = _timeline.MotionS,
            HeatingS = _heatingS,
            DwellS = _dwellS,
            HomingS = _homingS,
            ToolChangeS = _toolChangeS,
            MacroS = _macroS,
            WaitingForPersonS = _personS,
            TotalS = _timeline.NowS,
            ExtrudingMoves = _extrudingMoves,
            LayersByHeight = _layersByHeight,
            Tools = tools,
            Choices = _choices.Choices,
            StatesNozzle = _statedNozzle is not null,
            ReplacedNozzle = ReplacedNozzle,
            Evenness = _evenness,
            BackwardShareOfE = _absoluteEWords > 0 ? (double)_backwardEWords / _absoluteEWords : 0,
            StandingShareOfE = _absoluteEWords > 0 ? (double)_standingEWords / _absoluteEWords : 0,
            StatesEMode = _statesEMode,
            UndoneRelativeE = _undoneRelative,
            RelativeEFromStart = _options.RelativeE,
            EndsWhilePrinting = EndsWhilePrinting(),
        };
    }

    /// <summary>Whether the last that the job does is to print: its nozzle is hot, and all that follows the last deposit stands between printing moves as well.</summary>
    /// <remarks>Where no command heats the nozzle none need switch it off; the last command must then be a deposit itself.</remarks>
    private bool EndsWhilePrinting() =>
        _isPrinting && !IsDone && _extrudingMoves >= LeastMovesOfAPrint
        && (_statedNozzle is null ? _endsWithDeposit : _timeline.Nozzles.HeaterOf(_active.Number).TargetC >= _profile.ColdLimitC);

    /// <summary>Whether a command is one of those that stand between the printing moves of a layer, and so does not tell that the print is over.</summary>
    private static bool StandsAmongPrintingMoves(GCodeCommand command) => command.Kind switch
    {
        CommandKind.Modal => true,
        CommandKind.Named => command.Name is "SET_FAN_SPEED" or "SET_VELOCITY_LIMIT" or "SET_PRESSURE_ADVANCE" or "EXCLUDE_OBJECT_START" or "EXCLUDE_OBJECT_END",
        _ => (command.Letter, command.Number) is ('T', _) or ('G', (>= 0 and <= 3) or 10 or 11 or 92)
            or ('M', 73 or 104 or 106 or 107 or 109 or 117 or (>= 201 and <= 205) or 220 or 221 or 486 or 900),
    };

    /// <summary>Lets all planned motion happen and comes to rest, so that clock and heaters are current.</summary>
    private void Barrier()
    {
        _planner.Stop();
        _timeline.EndSlice();
    }

    private bool IsToRun(GCodeCommand command)
    {
        if (_isStoring)
        {
            if (command is { Kind: CommandKind.Word, Letter: 'M', Number: 29 })
            {
                _isStoring = false;
            }

            return false;
        }

        if (command.IsOptionalBlock)
        {
            _choices.Note("lines that begin with /", "carried out", "default", command.Line);
        }

        if (command.IndexInLine > 0 && !_dialect.RunsAllCommandsOfALine)
        {
            Warn(command, "second-command", "a second command on a line is not carried out in this dialect", changesResult: true);
            return false;
        }

        return true;
    }

    /// <summary>Which of two words of one letter counts; returns whether to go on.</summary>
    private bool ResolveRepeated(GCodeCommand command)
    {
        if (!WordsThatMatter.Of(command.Letter, command.Number))
        {
            return true;
        }

        var letter = (char)('A' + BitOperations.TrailingZeroCount(command.Repeated));
        if (_dialect.RepeatedLetter == RepeatedLetterRule.Refused)
        {
            _log.Report(Severity.Error, "repeated-letter", command.Line, command.RepeatedColumn,
                $"found {letter} again; this dialect expects each letter once in a command: keep the one that is meant", changesResult: true);
            _hasEnded = true;
            return false;
        }

        var lastCounts = _dialect.RepeatedLetter == RepeatedLetterRule.Last;
        if (lastCounts)
        {
            command.TakeLastOfRepeated();
        }

        _log.Report(Severity.Warning, "repeated-letter", command.Line, command.RepeatedColumn,
            $"found {letter} again in one command; the {(lastCounts ? "last" : "first")} one was taken, as this dialect does: keep the one that is meant",
            changesResult: true);
        _choices.Note("a letter twice in a command", lastCounts ? "the last one counts" : "the first one counts", _byDialect, command.Line);
        return true;
    }

    private void ExecuteWord(GCodeCommand command)
    {
        switch (command.Letter)
        {
            case 'G':
                ExecuteG(command);
                break;
            case 'M':
                ExecuteM(command);
                break;
            case 'T':
                SelectTool(command, command.Number);
                break;
            default:
                Unknown(command);
                break;
        }
    }

    private void ExecuteModal(GCodeCommand command)
    {
        if (_dialect.RepeatsMotion && _motionMode is >= 0 and <= 3)
        {
            RunMotion(command, _motionMode);
            return;
        }

        var onlyFeed = command.Present == Bit('F');
        Warn(command, "no-command", onlyFeed
            ? "a line with F alone is not carried out in this dialect"
            : "a line of words without a command is not carried out in this dialect, so its move is missing", changesResult: true);
    }

    private void ExecuteG(GCodeCommand command)
    {
        if (command.SubNumber > 0 && command.Number != 92)
        {
            ExecuteSubG(command);
            return;
        }

        switch (command.Number)
        {
            case 0 or 1 or 2 or 3:
                _motionMode = command.Number;
                RunMotion(command, command.Number);
                break;
            case 4:
                Dwell(command);
                break;
            case 10:
                RetractOrOffset(command);
                break;
            case 11:
                FirmwareRecover(command);
                break;
            case 17 or 18 or 19:
                _plane = command.Number;
                break;
            case 20:
                SetUnits(command, 25.4);
                break;
            case 21:
                SetUnits(command, 1);
                break;
            case 28:
                Home(command);
                break;
            case 29 or 32 or 33 or 34:
                Probe(command);
                break;
            case 30 or 31:
                Probe(command, share: 0.1);
                break;
            case 53 or 54 or 55 or 56 or 57 or 58 or 59:
                Note(command, "work-offsets", "coordinate systems are ignored: they shift the print without changing it");
                break;
            case 60:
                _hasSavedPosition = true;
                break;
            case 61 when _hasSavedPosition:
                Warn(command, "saved-position", "saved positions are not modelled; a move may be missing", changesResult: true);
                break;
            case 80:
                _motionMode = -1;
                _choices.Note("G80", "ends the motion mode", _byDialect, command.Line);
                break;
            case 90:
                SetDistanceMode(command, relative: false);
                break;
            case 91:
                SetDistanceMode(command, relative: true);
                break;
            case 92:
                SetPosition(command);
                break;
            case 40 or 49 or 61 or 64 or 94 or 98 or 99:
                // What headers of machine tools set: no tool radius or length offset, exact or blended path, speed per minute, canned cycles.
                break;
            case 5 or 38 or 93:
                Fail(command, "unsupported-motion", "is motion that fumecast does not simulate; leaving it out would falsify the result");
                break;
            default:
                Unknown(command);
                break;
        }
    }

    /// <summary>Commands with a number behind the point mean something else than those without.</summary>
    private void ExecuteSubG(GCodeCommand command)
    {
        switch (command.Number, command.SubNumber)
        {
            case (91, 1) or (29, > 0) or (61, 1) or (59, > 0):
                // Relative arc centres, as always here; mesh and height offsets; exact path; coordinate systems.
                break;
            case (90, 1):
                Fail(command, "unsupported-motion", "sets arc centres that fumecast does not read; leaving it out would falsify the result");
                break;
            case (0 or 1 or 2 or 3 or 5 or 38, > 0):
                Fail(command, "unsupported-motion", "is motion that fumecast does not simulate; leaving it out would falsify the result");
                break;
            default:
                Unknown(command);
                break;
        }
    }

    private void ExecuteM(GCodeCommand command)
    {
        if (!ExecuteHeating(command) && !ExecuteLimits(command) && !ExecuteFlowControl(command) && !IdleCommands.HasM(command.Number))
        {
            Unknown(command);
        }
    }

    private void Unknown(GCodeCommand command)
    {
        var name = string.Create(CultureInfo.InvariantCulture, $"{command.Letter}{command.Number}");
        if (command.SubNumber > 0)
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{name}.{command.SubNumber}");
        }

        _log.Report(Severity.Warning, "unknown-command", command.Line, command.Column,
            $"{name} is not known here and was left out", subject: name);
    }

    private void Note(GCodeCommand command, string code, string message) =>
        _log.Report(Severity.Note, code, command.Line, command.Column, message);

    private void Warn(GCodeCommand command, string code, string message, bool changesResult = false, string subject = "") =>
        _log.Report(Severity.Warning, code, command.Line, command.Column, message, changesResult, subject);

    /// <summary>The tool in use [-].</summary>
    public int ActiveTool => _active.Number;

    private void Fail(GCodeCommand command, string code, string what)
    {
        var name = command.Kind == CommandKind.Named
            ? command.Name
            : string.Create(CultureInfo.InvariantCulture, $"{command.Letter}{command.Number}");
        if (command.Kind != CommandKind.Named && command.SubNumber > 0)
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{name}.{command.SubNumber}");
        }

        _log.Report(Severity.Error, code, command.Line, command.Column, $"{name} {what}");
        _hasEnded = true;
    }

    private static uint Bit(char letter) => 1u << (letter - 'A');
}

/// <summary>A nozzle temperature that no command sets.</summary>
/// <param name="C">The temperature [degC].</param>
/// <param name="Because">Where it is taken from, in words.</param>
internal sealed record UncommandedNozzle(double C, string Because);
