// SPDX-License-Identifier: MIT
using Fumecast.Flow;
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>One reading of a job for its flow alone: needs neither a material nor a nozzle temperature.</summary>
internal static class FlowPass
{
    /// <summary>A temperature at which filament flows, for jobs that set none; the flow does not depend on it [degC].</summary>
    private const double AnyHotC = 200;

    /// <summary>Simulates a job.</summary>
    public static FlowProfile Run(
        string job, EstimateOptions options, PrinterProfile printer, IProgress<double>? progress, CancellationToken cancel)
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
            var simulation = new SimulationOptions
            {
                FilamentDiameterMm = Diameters(options, early, printer),
                BinS = options.BinS,
                MeterIntervalS = options.MeterIntervalS,
                NozzleIfUncommandedC = AnyHotC,
                SpeedFactor = options.SpeedFactor,
                VolumetricE = volumetricE || early.SaysVolumetricE,
                RelativeE = relativeE || early.SaysRelativeE,
            };
            var interpreter = new Interpreter(printer, simulation, new NoSlices(cancel), log);
            var reader = new GCodeReader(file, log, claims);
            JobReading.ReadAll(file, reader, interpreter, log, progress, cancel);
            var print = interpreter.Finish();
            JobReading.ThrowFirstError(job, log);
            JobReading.ThrowIfNoJob(job, reader, log);
            var isRelative = JobReading.LooksRelative(print, claims);
            if (isFirst && file.CanBeReadAgain && (isRelative || (claims.SaysVolumetricE && !simulation.VolumetricE)))
            {
                relativeE |= isRelative;
                volumetricE = claims.SaysVolumetricE;
                known = claims;
                continue;
            }

            var flow = print.Evenness.Result();
            var layers = reader.LayerMarkCount > 0 ? reader.LayerMarkCount : print.LayersByHeight;
            return new FlowProfile
            {
                File = job,
                Flow = flow,
                LayerS = layers > 1 ? flow.PrintPhaseS / layers : null,
                TimeS = print.TotalS,
                Series = print.Evenness.Series,
                Diagnostics = log.Entries,
            };
        }
    }

    private static double[] Diameters(EstimateOptions options, CommentClaims claims, PrinterProfile printer)
    {
        var diameters = new double[SimulationOptions.MaxTools];
        for (var tool = 0; tool < diameters.Length; tool++)
        {
            diameters[tool] = JobSetup.DiameterOf(tool, options, claims, printer).Mm;
        }

        return diameters;
    }

    private sealed class NoSlices(CancellationToken cancel) : ISliceSink
    {
        public void Slice(ref readonly PrintSlice slice)
        {
        }

        // A single move or pause may last for months.
        public void BinClosed(double startS, double durationS) => cancel.ThrowIfCancellationRequested();
    }
}

/// <summary>The flow of a job.</summary>
public sealed record FlowProfile
{
    /// <summary>File as the user named it.</summary>
    public required string File { get; init; }

    /// <summary>How even it is.</summary>
    public required FlowEvenness Flow { get; init; }

    /// <summary>Mean time of a layer, or null when there are no layers [s].</summary>
    public double? LayerS { get; init; }

    /// <summary>Duration of the whole job [s].</summary>
    public required double TimeS { get; init; }

    /// <summary>Deposits over the print phase, for pictures; null when they were not asked for, or the job ranks too low to be drawn.</summary>
    public CoarseningSeries? Series { get; init; }

    /// <summary>What was found while reading.</summary>
    public required IReadOnlyList<Diagnostic> Diagnostics { get; init; }
}
