// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Cli;
using Fumecast.Forecast;
using Fumecast.Tests.Unit.Report;

namespace Fumecast.Tests.Commands;

/// <summary>Runs the command line inside the tests, on a forecast made by hand.</summary>
internal static class InMemory
{
    internal sealed record Ended(int ExitCode, string Output, string Error);

    /// <summary>Runs a command.</summary>
    /// <param name="args">Arguments.</param>
    /// <param name="forecast">The forecast, or null for <see cref="Sample"/>.</param>
    /// <param name="terminal">Whether a person watches.</param>
    /// <param name="cancel">Ends it early.</param>
    public static Ended Run(string[] args, ForecastJob? forecast = null, bool terminal = false, CancellationToken cancel = default) =>
        Start(args, forecast ?? Sample, terminal, cancel);

    /// <summary>Runs a command with the forecast that users get.</summary>
    /// <param name="args">Arguments.</param>
    public static Ended Real(params string[] args) => Start(args, null, terminal: false, CancellationToken.None);

    /// <summary>Runs a command with the forecast that users get, before a person.</summary>
    /// <param name="width">Columns of the terminal [-].</param>
    /// <param name="args">Arguments.</param>
    public static Ended OnTerminal(int width, params string[] args) => Start(args, null, terminal: true, CancellationToken.None, width);

    private static Ended Start(string[] args, ForecastJob? forecast, bool terminal, CancellationToken cancel, int width = 88)
    {
        using var output = new MemoryStream();
        using var error = new StringWriter { NewLine = "\n" };
        var around = new Surroundings
        {
            Input = Stream.Null,
            Output = output,
            Error = error,
            OutputIsTerminal = terminal,
            ErrorIsTerminal = terminal,
            Width = width,
        };
        var code = CommandLine.Run(args, around, forecast, cancel);
        return new Ended(code, Encoding.UTF8.GetString(output.ToArray()), error.ToString());
    }

    /// <summary>Runs a command with the real forecast.</summary>
    /// <param name="args">Arguments.</param>
    public static Ended RunReal(string[] args) => Run(args, PrintForecast.Estimate);

    /// <summary>A forecast that needs no job.</summary>
    public static JobEstimate Sample(
        string job, EstimateOptions options, ISeriesSink? series, IProgress<double>? progress, CancellationToken cancel)
    {
        if (series is not null)
        {
            SampleSeries.Play(series, 1000, options.BinS);
        }

        var sample = SampleEstimate.Make();
        return sample with { Job = sample.Job with { File = job }, Interval = options.Interval };
    }
}
