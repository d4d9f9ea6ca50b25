// SPDX-License-Identifier: MIT
using Fumecast.Emission;
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

/// <summary>What a pass keeps beside the totals.</summary>
/// <param name="MostBins">Whether to keep the bins for a series, and how many at most; null for none.</param>
/// <param name="SeriesIsOptional">Whether a job of more bins goes without a series, and is not refused.</param>
/// <param name="Cells">Whether what was given off by component, for the air.</param>
internal readonly record struct PassWishes(long? MostBins, bool SeriesIsOptional, bool Cells);

/// <summary>One reading of a job from its first byte to its last.</summary>
internal sealed class ForecastPass : IDisposable
{
    private ForecastPass(string job, Attempt attempt, JobFile file, SeriesSpool? series)
    {
        (Job, Attempt, Series) = (job, attempt, series);
        (CanRunAgain, WhyNotAgain) = (file.CanBeReadAgain, file.WhyNotAgain);
    }

    /// <summary>The job, as it was named.</summary>
    public string Job { get; }

    /// <summary>How the filament axis was read.</summary>
    public Attempt Attempt { get; }

    /// <summary>Materials, diameters and densities by tool.</summary>
    public required JobSetup Setup { get; init; }

    /// <summary>The whole print.</summary>
    public required SimulatedPrint Print { get; init; }

    /// <summary>What it gave off.</summary>
    public required EmissionAccumulator Emission { get; init; }

    /// <summary>What was found on the way.</summary>
    public required DiagnosticLog Log { get; init; }

    /// <summary>Materials that were loaded.</summary>
    public required LoadedMaterials Materials { get; init; }

    /// <summary>What it gave off against time, and which tool printed without a known material.</summary>
    public required EmissionRecorder Recorder { get; init; }

    /// <summary>How much was read.</summary>
    public required GCodeReader Reader { get; init; }

    /// <summary>The bins, or null when nobody wants them.</summary>
    public SeriesSpool? Series { get; }

    /// <summary>What was given off by component in cells, or null when nobody wants them.</summary>
    public ToolCells? Cells { get; private init; }

    /// <summary>Whether the job can be read a second time; standard input and pipes cannot.</summary>
    public bool CanRunAgain { get; }

    /// <summary>Why a pipe could not be kept for that, or null.</summary>
    public string? WhyNotAgain { get; }

    /// <summary>What the whole file's comments claim.</summary>
    public required CommentClaims Claims { get; init; }

    /// <summary>Reads, simulates and joins with the material table.</summary>
    public static ForecastPass Run(
        string job, SpooledInput? kept, EstimateOptions options, PrinterProfile printer, LoadedMaterials materials, CommentClaims? known,
        Attempt attempt, PassWishes wishes, IProgress<double>? progress, CancellationToken cancel)
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
            },
            options.BinS);
        var series = wishes.MostBins is { } most ? new SeriesSpool(most, options.BinS, wishes.SeriesIsOptional) : null;
        var cells = wishes.Cells ? new ToolCells(options.BinS) : null;
        var recorder = new EmissionRecorder(setup, emission, series, cells, cancel);
        var simulation = new SimulationOptions
        {
            FilamentDiameterMm = setup.DiameterMm,
            FilamentHeatJPerKMm3 = setup.FilamentHeatJPerKMm3(),
            BinS = options.BinS,
            MostBins = wishes.SeriesIsOptional ? long.MaxValue : wishes.MostBins ?? long.MaxValue,
            MeterIntervalS = options.MeterIntervalS,
            NozzleC = options.NozzleC,
            NozzleShiftK = options.NozzleShiftK ?? 0,
            SpeedFactor = options.SpeedFactor,
            VolumetricE = attempt.VolumetricE,
            RelativeE = attempt.RelativeE,
        };
        var unset = new UnsetNozzle(setup, options, emission, log, early, claims, attempt, readsToTheEnd: known is not null || !file.CanBeReadAgain);
        var interpreter = new Interpreter(printer, simulation, recorder, log, unset.Of);
        var reader = new GCodeReader(file, log, claims);
        JobReading.ReadAll(file, reader, interpreter, log, progress, cancel, ThrowIfMaterialStaysUnknown);
        if (file.CanBeReadAgain && !attempt.AssumeNozzle && log.FirstError is { Code: Interpreter.NozzleMissing })
        {
            // The comments further on may name one; if none does, the material tells what is usual.
            var readsLater = known is null && ReadsNozzleLater(reader, claims);
            var fills = known is null && options.FillsNozzle;
            var later = readsLater || known is not null ? setup : JobSetup.Resolve(options, claims, printer, materials);
            if (!readsLater && !fills && later.Materials[interpreter.ActiveTool] is null)
            {
                // With a material its usual temperature would do.
                series?.Dispose();
                throw later.MaterialMissing(job, interpreter.ActiveTool);
            }

            var assume = !readsLater && !fills;
            if (assume || fills || claims.NozzleC is not null)
            {
                file.Dispose();
                series?.Dispose();
                return Run(job, kept, options, printer, materials, known ?? claims, attempt with { AssumeNozzle = assume }, wishes, progress, cancel);
            }
        }

        var print = interpreter.Finish();
        JobReading.ThrowFirstError(job, log);
        JobReading.ThrowIfNoJob(job, reader, log);
        JobReading.ThrowIfFedByMotorSpeed(job, interpreter, print);
        JobReading.SayIfRelativeWasUndone(print, log);
        if (setup.UnclearMaterials(claims, print, options, materials) is { } unclear)
        {
            throw claims.MaterialLine > 0 ? new InputProblem(job, claims.MaterialLine, 1, unclear) : new InputProblem($"{job}: {unclear}");
        }

        return new ForecastPass(job, attempt, file, series)
        {
            Setup = setup,
            Print = print,
            Emission = emission,
            Log = log,
            Materials = materials,
            Recorder = recorder,
            Reader = reader,
            Claims = claims,
            Cells = cells,
        };

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
        if (JobReading.LooksRelative(Print, Claims))
        {
            return (
                new Attempt(VolumetricE: Claims.SaysVolumetricE, RelativeE: true, Reason: Claims.SaysRelativeE ? "the comments say so; no command does" : "its values keep stepping back, as relative ones do; no command says so"),
                "E looks relative, but no M83 says so; save the job to a file, or add M83");
        }

        if (Claims.SaysVolumetricE && !Attempt.VolumetricE)
        {
            return (
                Attempt with { VolumetricE = true },
                "a comment says that E counts cubic millimetres, after the first of them was read; save the job to a file");
        }

        var better = JobSetup.Resolve(options, Claims, printer, materials);
        if (!Setup.Agrees(better, Print.Tools.Select(tool => tool.Tool)))
        {
            return (Attempt, "the comments at the end name another material, diameter or density; "
                + "save the job to a file, or give --material, --diameter and --density");
        }

        return null;
    }

    /// <inheritdoc/>
    public void Dispose() => Series?.Dispose();

    /// <summary>Whether the comments in the rest of a compressed job name a nozzle temperature.</summary>
    private static bool ReadsNozzleLater(GCodeReader reader, CommentClaims claims)
    {
        while (reader.Read())
        {
            // Only the comments between the commands matter.
        }

        return claims.NozzleC is not null;
    }
}
