// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>One reading of a job for its evenness: that of the flow needs neither a material nor a nozzle temperature, that of the emission a material.</summary>
internal static class FlowPass
{
    /// <summary>A temperature at which filament flows, for jobs that set none; the flow does not depend on it [degC].</summary>
    private const double AnyHotC = 200;

    /// <summary>Simulates a job.</summary>
    public static FlowProfile Run(
        string job, EstimateOptions options, PrinterProfile printer, LoadedMaterials materials, bool keepsSeries, IProgress<double>? progress, CancellationToken cancel)
    {
        using var kept = JobFile.Keep(job, options.Stdin);
        var known = JobFile.PeekClaims(job);
        var relativeE = known?.SaysRelativeE == true;
        var volumetricE = known?.SaysVolumetricE == true;
        for (var isFirst = true; ; isFirst = false)
        {
            using var file = JobFile.Open(job, kept, options.Stdin, options.MayUseSecondCore);
            var claims = new CommentClaims();
            var early = known ?? file.HeadClaims();
            var log = new DiagnosticLog();
            var setup = JobSetup.Resolve(options, early, printer, materials);
            var emission = new EmissionAccumulator(
                setup.Materials, new EmissionOptions { Interval = options.Interval, Seed = options.Seed, StartDoseLeft = options.StartDose ? 1 : 0 }, options.BinS);
            var isGuessed = false;
            var recorder = new EmissionRecorder(setup, emission, series: null, cells: null, cancel);
            var simulation = new SimulationOptions
            {
                FilamentDiameterMm = setup.DiameterMm,
                FilamentHeatJPerKMm3 = setup.FilamentHeatJPerKMm3(),
                BinS = options.BinS,
                MeterIntervalS = options.MeterIntervalS,
                NozzleC = options.NozzleC,
                NozzleShiftK = options.NozzleShiftK ?? 0,
                SpeedFactor = options.SpeedFactor,
                VolumetricE = volumetricE || early.SaysVolumetricE,
                RelativeE = relativeE || early.SaysRelativeE,
            };
            var interpreter = new Interpreter(printer, simulation, recorder, log, Nozzle);
            var reader = new GCodeReader(file, log, claims);
            JobReading.ReadAll(file, reader, interpreter, log, progress, cancel);
            var print = interpreter.Finish();
            JobReading.ThrowFirstError(job, log);
            JobReading.ThrowIfNoJob(job, reader, log);
            JobReading.ThrowIfFedByMotorSpeed(job, interpreter, print);
            JobReading.SayIfRelativeWasUndone(print, log);
            var isRelative = JobReading.LooksRelative(print, claims);
            var whole = JobSetup.Resolve(options, claims, printer, materials);
            var isOtherSetup = !setup.Agrees(whole, print.Tools.Select(static tool => tool.Tool));
            if (isFirst && file.CanBeReadAgain && (isRelative || isOtherSetup || (isGuessed && claims.NozzleC is not null) || (claims.SaysVolumetricE && !simulation.VolumetricE)))
            {
                relativeE |= isRelative;
                volumetricE = claims.SaysVolumetricE;
                known = claims;
                continue;
            }

            JobReading.SayIfCutOff(print, reader, log);
            whole.Report(log, print.Tools.Select(static tool => tool.Tool), options);
            var unclear = whole.UnclearMaterials(claims, print, options, materials);
            var source = unclear is null ? recorder.Source : null;
            var flow = print.Evenness.Result(options.FlowSpectrum, options.AirTimeS, source);
            var layers = reader.LayerMarkCount > 0 ? reader.LayerMarkCount : print.LayersByHeight;
            return new FlowProfile
            {
                File = job,
                Flow = flow,
                SourceMissing = flow.Source is not null ? null
                    : unclear is not null ? unclear
                    : recorder.ToolWithoutMaterial is { } tool ? setup.MissingMaterial(tool)
                    : "nothing is given off during the print phase, or it is too short to tell",
                LayerS = layers > 1 ? flow.PrintPhaseS / layers : null,
                TimeS = print.TotalS,
                Series = keepsSeries ? print.Evenness.Series : null,
                InAir = keepsSeries ? print.Evenness.InAir(options.AirTimeS, source) : null,
                Diagnostics = log.Entries,
            };

            UncommandedNozzle? Nozzle(int tool)
            {
                if ((early.NozzleC ?? claims.NozzleC) is { } stated)
                {
                    return new UncommandedNozzle(stated, "the file's comments; no command sets one");
                }

                isGuessed = true;
                if (options.NozzleIfUnknownCOf(tool) is { } given)
                {
                    return new UncommandedNozzle(given, "--nozzle-if-unknown; the file states none");
                }

                if (setup.Materials[tool] is { } material)
                {
                    // How even the emission is hardly depends on it, the flow not at all.
                    log.Report(Severity.Note, ForecastFindings.NozzleAssumed, 0, 0, string.Create(CultureInfo.InvariantCulture,
                        $"the file sets no nozzle temperature; the middle of what is usual for {material.Id} is taken, {material.MiddleNozzleC:0} degC: how even the emission is hardly depends on it, the flow not at all"));
                }

                return new UncommandedNozzle(setup.Materials[tool]?.MiddleNozzleC ?? AnyHotC, "assumed; the file states none");
            }
        }
    }
}

/// <summary>The flow of a job.</summary>
public sealed record FlowProfile
{
    /// <summary>File as the user named it.</summary>
    public required string File { get; init; }

    /// <summary>How even it is.</summary>
    public required FlowEvenness Flow { get; init; }

    /// <summary>Why the emission was not judged beside the flow, or null when it was.</summary>
    public string? SourceMissing { get; init; }

    /// <summary>Mean time of a layer, or null when there are no layers [s].</summary>
    public double? LayerS { get; init; }

    /// <summary>Duration of the whole job [s].</summary>
    public required double TimeS { get; init; }

    /// <summary>Deposits over the print phase, for pictures; null when they were not asked for, or the job ranks too low to be drawn.</summary>
    public CoarseningSeries? Series { get; init; }

    /// <summary>What the grade rests on, against time; kept with <see cref="Series"/>.</summary>
    internal JobInAir? InAir { get; init; }

    /// <summary>What was found while reading.</summary>
    public required IReadOnlyList<Diagnostic> Diagnostics { get; init; }
}
