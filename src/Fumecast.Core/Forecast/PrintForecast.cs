// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>The front door: from a job's file to what printing it gives off.</summary>
public static class PrintForecast
{
    /// <summary>The cautions that belong with every result.</summary>
    public static IReadOnlyList<string> Cautions { get; } =
    [
        "This is an estimate of what the printer gives off, not of what anyone breathes: it is no exposure assessment and never an all-clear.",
        "Ventilate, and keep people with asthma or other sensitivities away from a running printer.",
        "Local rules and the advice of licensed professionals come first.",
        "Never leave a hot printer unattended.",
    ];

    /// <summary>Estimates what a job gives off.</summary>
    /// <param name="job">The job: a file, plain, gzipped or in a container (<c>FILE#entry</c> picks one), or <c>-</c>.</param>
    /// <param name="options">What is known or wished beyond the file.</param>
    /// <param name="series">Receives the emission against time as it is computed, or null. Its <see cref="ISeriesSink.Begin"/> comes
    /// again when the job has to be read a second time; what was received before is then void.</param>
    /// <param name="progress">Told the share of the job that has been read, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The estimate.</returns>
    /// <exception cref="InputProblem">The job, a material or a profile cannot be used.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static JobEstimate Estimate(
        string job, EstimateOptions options, ISeriesSink? series = null, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        var printer = PrinterCatalogue.Load(options.Printer ?? PrinterCatalogue.DefaultId);
        return Run(job, options, printer, new LoadedMaterials(), series, progress, forComparison: false, cancel).Estimate;
    }

    /// <summary>The same with what a comparison needs beside it.</summary>
    internal static ForecastOutcome Run(
        string job, EstimateOptions options, PrinterProfile printer, LoadedMaterials materials, ISeriesSink? series, IProgress<double>? progress,
        bool forComparison, CancellationToken cancel)
    {
        var known = JobFile.PeekClaims(job);
        var attempt = new Attempt(
            RelativeE: known?.SaysRelativeE == true, Reason: "the comments say so; no command does", VolumetricE: known?.SaysVolumetricE == true);
        var pass = ForecastPass.Run(job, options, printer, materials, known, attempt, series, progress, cancel);

        // The comments at the end of a compressed job may name what the pass did without: then it runs again, knowing.
        if (pass.WantsAnother(options, printer, materials) is { } next)
        {
            if (!pass.CanRunAgain)
            {
                throw new InputProblem($"{job}: {next.WhyOnceIsNotEnough}");
            }

            pass = ForecastPass.Run(job, options, printer, materials, pass.Claims, next.Attempt, series, progress, cancel);
        }

        return pass.Result(options, printer, forComparison);
    }
}
