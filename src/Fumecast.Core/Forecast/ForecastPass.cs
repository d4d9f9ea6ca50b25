// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.GCode;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>How a pass reads the filament axis.</summary>
/// <param name="RelativeE">Whether E is relative from the start.</param>
/// <param name="Reason">Why, when it is.</param>
/// <param name="VolumetricE">Whether E counts cubic millimetres from the start, because the comments say so.</param>
/// <param name="AssumeNozzle">Whether a nozzle temperature that nothing states is assumed from the material.</param>
internal sealed record Attempt(bool RelativeE, string Reason, bool VolumetricE, bool AssumeNozzle = false);

/// <summary>One reading of a job from its first byte to its last.</summary>
internal sealed class ForecastPass : IDisposable
{
    private readonly string _job;
    private readonly JobSetup _setup;
    private readonly Attempt _attempt;
    private readonly SimulatedPrint _print;
    private readonly EmissionAccumulator _emission;
    private readonly DiagnosticLog _log;
    private readonly int? _toolWithoutMaterial;
    private readonly SourceSeries? _source;
    private readonly long _bytes;
    private readonly long _lines;
    private readonly long _commands;
    private readonly long _layerMarks;
    private readonly LoadedMaterials _materials;
    private readonly SeriesSpool? _series;

    private ForecastPass(
        string job, JobSetup setup, Attempt attempt, SimulatedPrint print, EmissionAccumulator emission, DiagnosticLog log,
        CommentClaims claims, EmissionRecorder recorder, GCodeReader reader, LoadedMaterials materials, JobFile file, SeriesSpool? series)
    {
        _series = series;
        _job = job;
        _setup = setup;
        _attempt = attempt;
        _print = print;
        _emission = emission;
        _log = log;
        Claims = claims;
        _toolWithoutMaterial = recorder.ToolWithoutMaterial;
        _source = recorder.Source;
        _bytes = reader.ByteCount;
        _lines = reader.LineCount;
        _commands = reader.CommandCount;
        _layerMarks = reader.LayerMarkCount;
        _materials = materials;
        CanRunAgain = file.CanBeReadAgain;
        WhyNotAgain = file.WhyNotAgain;
    }

    /// <summary>Whether the job can be read a second time; standard input and pipes cannot.</summary>
    public bool CanRunAgain { get; }

    /// <summary>Why a pipe could not be kept for that, or null.</summary>
    public string? WhyNotAgain { get; }

    /// <summary>What the whole file's comments claim.</summary>
    public CommentClaims Claims { get; }

    /// <summary>Reads, simulates and joins with the material table.</summary>
    public static ForecastPass Run(
        string job, SpooledInput? kept, EstimateOptions options, PrinterProfile printer, LoadedMaterials materials, CommentClaims? known,
        Attempt attempt, bool wantsSeries, IProgress<double>? progress, CancellationToken cancel)
    {
        using var file = JobFile.Open(job, kept, options.Stdin, options.MayUseSecondCore);
        var claims = new CommentClaims();
        var early = known ?? file.HeadClaims();
        attempt = attempt with
        {
            VolumetricE = attempt.VolumetricE || early.SaysVolumetricE,
            RelativeE = attempt.RelativeE || early.SaysRelativeE,
        };
        var setup = JobSetup.Resolve(options, early, printer, materials);
        var log = new DiagnosticLog();
        var emission = new EmissionAccumulator(
            setup.Materials,
            new EmissionOptions
            {
                Interval = options.Interval,
                Seed = options.Seed,
                StartDoseLeft = options.StartDose ? 1 : 0,
                NozzleIsAssumed = attempt.AssumeNozzle,
            },
            options.BinS);
        var series = wantsSeries ? new SeriesSpool() : null;
        var recorder = new EmissionRecorder(setup, emission, series, cancel);
        var simulation = new SimulationOptions
        {
            FilamentDiameterMm = setup.DiameterMm,
            FilamentHeatJPerKMm3 = setup.FilamentHeatJPerKMm3(),
            BinS = options.BinS,
            MeterIntervalS = options.MeterIntervalS,
            NozzleC = options.NozzleC,
            NozzleShiftK = options.NozzleShiftK ?? 0,
            SpeedFactor = options.SpeedFactor,
            VolumetricE = attempt.VolumetricE,
            RelativeE = attempt.RelativeE,
        };
        var interpreter = new Interpreter(printer, simulation, recorder, log, Nozzle);
        var reader = new GCodeReader(file, log, claims);
        JobReading.ReadAll(file, reader, interpreter, log, progress, cancel, ThrowIfMaterialStaysUnknown);
        if (file.CanBeReadAgain && !attempt.AssumeNozzle && log.FirstError is { Code: Interpreter.NozzleMissing })
        {
            // The comments further on may name one; if none does, the material tells what is usual.
            var readsLater = known is null && ReadsNozzleLater(reader, claims);
            var fills = known is null && options.FillsNozzle;
            var assume = !readsLater && !fills && setup.Materials.Any(static material => material is not null);
            if (assume || fills || claims.NozzleC is not null)
            {
                file.Dispose();
                series?.Dispose();
                return Run(job, kept, options, printer, materials, known ?? claims, attempt with { AssumeNozzle = assume }, wantsSeries, progress, cancel);
            }
        }

        var print = interpreter.Finish();
        JobReading.ThrowFirstError(job, log);
        JobReading.ThrowIfNoJob(job, reader, log);
        JobReading.ThrowIfFedByMotorSpeed(job, interpreter, print);

        return new ForecastPass(job, setup, attempt, print, emission, log, claims, recorder, reader, materials, file, series);

        UncommandedNozzle? Nozzle(int tool)
        {
            if ((early.NozzleC ?? claims.NozzleC) is { } stated)
            {
                return new UncommandedNozzle(stated, "the file's comments; no command sets one");
            }

            // What stands further on in a file that can be read again goes before it.
            if ((known is not null || !file.CanBeReadAgain) && options.NozzleIfUnknownCOf(tool) is { } given)
            {
                return new UncommandedNozzle(given, "--nozzle-if-unknown; the file states none");
            }

            if (!attempt.AssumeNozzle || setup.Materials[tool] is not { NozzleC.Range: { } usual } material)
            {
                return null;
            }

            log.Report(Severity.Warning, ForecastFindings.NozzleAssumed, 0, 0, string.Create(CultureInfo.InvariantCulture,
                $"the file sets no nozzle temperature; the middle of what is usual for {material.Id} is taken, {material.MiddleNozzleC:0} degC, and anything from {usual.Low:0} to {usual.High:0} degC counted as possible; give it with --nozzle C"),
                changesResult: true);
            return new UncommandedNozzle(material.MiddleNozzleC, $"assumed: the middle of what is usual for {material.Id}; the file states none");
        }

        // Both ends of the file are known: what they and the part read so far do not name, the rest will hardly.
        void ThrowIfMaterialStaysUnknown()
        {
            if (known is not null && recorder.ToolWithoutMaterial is { } tool && claims.MaterialOf(tool) is null)
            {
                throw setup.MaterialMissing(job, tool);
            }
        }
    }

    /// <summary>What a further pass would do better, or null when this one stands.</summary>
    public (Attempt Attempt, string WhyOnceIsNotEnough)? WantsAnother(
        EstimateOptions options, PrinterProfile printer, LoadedMaterials materials)
    {
        if (JobReading.LooksRelative(_print, Claims))
        {
            return (
                new Attempt(VolumetricE: Claims.SaysVolumetricE, RelativeE: true, Reason: Claims.SaysRelativeE ? "the comments say so; no command does" : "its values keep stepping back, as relative ones do; no command says so"),
                "E looks relative, but no M83 says so; save the job to a file, or add M83");
        }

        if (Claims.SaysVolumetricE && !_attempt.VolumetricE)
        {
            return (
                _attempt with { VolumetricE = true },
                "a comment says that E counts cubic millimetres, after the first of them was read; save the job to a file");
        }

        var better = JobSetup.Resolve(options, Claims, printer, materials);
        if (!_setup.Agrees(better, _print.Tools.Select(tool => tool.Tool)))
        {
            return (_attempt, "the comments at the end name another material, diameter or density; "
                + "save the job to a file, or give --material, --diameter and --density");
        }

        return null;
    }

    /// <inheritdoc/>
    public void Dispose() => _series?.Dispose();

    /// <summary>Puts the result together.</summary>
    /// <exception cref="InputProblem">A tool prints a material that nothing names, or a warning counts as an error.</exception>
    public ForecastOutcome Result(EstimateOptions options, PrinterProfile printer, ISeriesSink? series, bool forComparison)
    {
        if (_toolWithoutMaterial is { } missing)
        {
            throw _setup.MaterialMissing(_job, missing);
        }

        var depositedG = 0.0;
        var tools = new List<ToolSummary>();
        foreach (var tool in _print.Tools)
        {
            var massG = tool.DepositedMm3 * 1e-3 * _setup.DensityGPerCm3[tool.Tool];
            if (tool.DepositedMm3 > 0)
            {
                depositedG += massG;
            }

            tools.Add(Summary(tool, massG));
        }

        if (depositedG == 0)
        {
            _log.Report(Severity.Warning, "nothing-extruded", 0, 0,
                "the job extrudes nothing; what is shown is only what a hot idle nozzle is taken to give off");
        }

        ClaimCheck.Report(Claims, _print, _log);
        MaterialFit.ReportUnused(_log, _print, options);

        // With the whole file read every comment has its line.
        var setup = JobSetup.Resolve(options, Claims, printer, _materials);
        setup.Report(_log, _print.Tools.Select(static tool => tool.Tool), options);
        var nozzle = NozzleSetting.Of(options, _print, Claims);
        nozzle?.Report(_log, options);
        var agents = _emission.Results(depositedG);
        MaterialFit.Report(_log, _print, _setup, agents);
        if (options.Strict && _log.Entries.FirstOrDefault(entry => entry.ChangesResult) is { } warning)
        {
            var message = warning.Message + " (an error because of --strict)";
            throw warning.Line > 0 ? new InputProblem(_job, warning.Line, Math.Max(1, warning.Column), message) : new InputProblem($"{_job}: {message}");
        }

        if (series is not null)
        {
            _series!.Replay(series, _emission.Agents, _emission.Rates());
        }

        var estimate = new JobEstimate
        {
            Job = new JobSummary
            {
                File = _job,
                Bytes = _bytes,
                Lines = _lines,
                Commands = _commands,
                ExtrudingMoves = _print.ExtrudingMoves,
                Layers = _layerMarks > 0 ? _layerMarks : _print.LayersByHeight,
                Printer = printer.Id,
                Dialect = printer.Dialect.Id,
                Time = new JobTime
                {
                    TotalS = _print.TotalS,
                    MotionS = _print.MotionS,
                    HeatingS = _print.HeatingS,
                    DwellS = _print.DwellS,
                    HomingS = _print.HomingS,
                    ToolChangeS = _print.ToolChangeS,
                    MacroS = _print.MacroS,
                    WaitingForPersonS = _print.WaitingForPersonS,
                },
                Tools = tools,
                Claims = new JobClaims
                {
                    TimeS = Claims.TimeS,
                    FilamentMm = Claims.FilamentMm,
                    FilamentG = Claims.FilamentG,
                    Material = Claims.MaterialOf(tools.Count > 0 ? tools[0].Tool : 0),
                },
            },
            Flow = _print.Evenness.Result(options.FlowSpectrum, options.AirTimeS, _source),
            Emission = agents,
            Interval = options.Interval,
            Settings = SettingsInForce.List(options, printer, setup, _attempt, _print, nozzle),
            Diagnostics = _log.Entries,
            Sources = _materials.Catalogue.SourcesOf(
                agents.SelectMany(agent => agent.Sources).Distinct(), _setup.Materials.OfType<Material>().Distinct()),
            Cautions = PrintForecast.Cautions,
        };
        return new ForecastOutcome(estimate, forComparison ? _emission.Draws(depositedG) : null, _emission.NumberParts(depositedG));
    }

    /// <summary>Whether the comments in the rest of a compressed job name a nozzle temperature.</summary>
    private static bool ReadsNozzleLater(GCodeReader reader, CommentClaims claims)
    {
        while (reader.Read())
        {
            // Only the comments between the commands matter.
        }

        return claims.NozzleC is not null;
    }

    private ToolSummary Summary(SimulatedTool tool, double massG) => new()
    {
        Tool = tool.Tool,
        Material = _setup.Materials[tool.Tool]?.Id ?? "unknown",
        StatedMaterial = Claims.MaterialOf(tool.Tool) is { } word ? _materials.ForWord(word)?.Id : null,
        FedMm = tool.FedMm,
        DepositedMm = tool.DepositedMm,
        DepositedMm3 = tool.DepositedMm3,
        DepositedG = double.IsNaN(massG) ? 0 : massG,
        PurgedMm = tool.PurgedMm,
        NozzleMinC = tool.Heat.DepositedMm3 > 0 ? tool.Heat.MinC : null,
        NozzleMaxC = tool.Heat.DepositedMm3 > 0 ? tool.Heat.MaxC : null,
        NozzleMeanWhileExtrudingC = tool.Heat.DepositedMm3 > 0 ? tool.Heat.MeanC : null,
    };
}
