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
        var known = JobFile.PeekClaims(job);
        var relativeE = known?.SaysRelativeE == true;
        var volumetricE = known?.SaysVolumetricE == true;
        for (var isFirst = true; ; isFirst = false)
        {
            using var file = JobFile.Open(job, options.Stdin);
            var claims = new CommentClaims();
            var log = new DiagnosticLog();
            var simulation = new SimulationOptions
            {
                FilamentDiameterMm = Diameters(options, known ?? claims, printer),
                BinS = options.BinS,
                MeterIntervalS = options.MeterIntervalS,
                NozzleIfUncommandedC = AnyHotC,
                SpeedFactor = options.SpeedFactor,
                VolumetricE = volumetricE,
                RelativeE = relativeE,
            };
            var interpreter = new Interpreter(printer, simulation, new NoSlices(), log);
            var reader = new GCodeReader(file, log, claims);
            JobReading.ReadAll(file, reader, interpreter, log, progress, cancel);
            var print = interpreter.Finish();
            JobReading.ThrowFirstError(job, log);
            var isRelative = JobReading.LooksRelative(print, claims);
            if (isFirst && job != "-" && (isRelative || (claims.SaysVolumetricE && !volumetricE)))
            {
                relativeE |= isRelative;
                volumetricE = claims.SaysVolumetricE;
                known = claims;
                continue;
            }

            return new FlowProfile(job, print.Evenness.Result(), print.TotalS, print.Evenness.Series, log.Entries);
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

    private sealed class NoSlices : ISliceSink
    {
        public void Slice(ref readonly PrintSlice slice)
        {
        }

        public void BinClosed(double startS, double durationS)
        {
        }
    }
}

/// <summary>The flow of a job.</summary>
/// <param name="File">File as the user named it.</param>
/// <param name="Flow">How even it is.</param>
/// <param name="TimeS">Duration of the whole job [s].</param>
/// <param name="Series">Deposits over the print phase, for pictures.</param>
/// <param name="Diagnostics">What was found while reading.</param>
public sealed record FlowProfile(string File, FlowEvenness Flow, double TimeS, CoarseningSeries Series, IReadOnlyList<Diagnostic> Diagnostics);
