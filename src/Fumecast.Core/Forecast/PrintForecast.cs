// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

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
        string job, EstimateOptions options, ISeriesSink? series = null, IProgress<double>? progress = null, CancellationToken cancel = default) =>
        new ForecastRun(options).Estimate(job, series, progress, cancel);
}
