// SPDX-License-Identifier: MIT
namespace Fumecast.Forecast;

/// <summary>The front door: one job in, one estimate out.</summary>
public static class PrintForecast
{
    /// <summary>Forecasts what a job gives off.</summary>
    /// <param name="job">The job as the user named it: a file, <c>container#entry</c>, or <c>-</c>.</param>
    /// <param name="options">What is asked for.</param>
    /// <param name="series">Receives the series as its bins close, or null.</param>
    /// <param name="progress">Receives the share done [-], 0 to 1, or null.</param>
    /// <param name="cancel">Ends the work early.</param>
    /// <returns>The estimate.</returns>
    /// <exception cref="Inputs.InputProblem">The job or a data file cannot be used.</exception>
    public static JobEstimate Estimate(
        string job, EstimateOptions options, ISeriesSink? series = null, IProgress<double>? progress = null, CancellationToken cancel = default) =>
        throw new NotImplementedException("the front door is not merged yet");
}
