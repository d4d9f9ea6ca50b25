// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Globalization;
using Fumecast.Forecast;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>The forecast as a command calls it: see <see cref="PrintForecast.Estimate"/>.</summary>
internal delegate JobEstimate ForecastJob(
    string job, EstimateOptions options, ISeriesSink? series, IProgress<double>? progress, CancellationToken cancel);

/// <summary><c>fumecast estimate</c>: what one job will give off, in total and against time.</summary>
internal sealed class EstimateCommand(Surroundings around, ForecastJob? forecast, CancellationToken cancel)
{
    private readonly ForecastJob _forecast = forecast ?? PrintForecast.Estimate;

    private readonly Argument<string> _job = new("JOB")
    {
        Description = "G-code (.gcode, .gco, .g), the same gzipped, or a ZIP or 3MF container (JOB#entry picks one of several); - is stdin.",
    };

    private readonly Option<string[]> _material = CommonOptions.Material();
    private readonly Option<string?> _printer = CommonOptions.Printer();
    private readonly Option<double?> _bin = QuantityOption.Make(
        "--bin", Quantity.Time, 0.1, 86400, "TIME", "Length of the bins of the series and of the peak, in s. Default: 10s.");
    private readonly Option<double?> _interval = QuantityOption.Make(
        "--interval", Quantity.Share, 0.01, 0.999, "SHARE", "Coverage of the intervals. Default: 0.9.");
    private readonly Option<double?> _meterInterval = QuantityOption.Make(
        "--meter-interval", Quantity.Time, 0.1, 86400, "TIME", "Averaging time for the evenness of the flow, in s. Default: 10s.");
    private readonly Option<double?> _nozzle = QuantityOption.Make(
        "--nozzle", Quantity.Temperature, 20, 500, "C", "Nozzle temperature to print at, instead of the job's, in degC.");
    private readonly Option<double?> _nozzleShift = QuantityOption.Make(
        "--nozzle-shift", Quantity.TemperatureStep, -200, 200, "K", "Added to the job's nozzle temperatures, in K.");
    private readonly Option<double?> _diameter = QuantityOption.Make(
        "--diameter", Quantity.Length, 0.5, 10, "MM", "Filament diameter, in mm. Default: from the job, else from the printer.");
    private readonly Option<double?> _density = QuantityOption.Make(
        "--density", Quantity.Density, 0.1, 20, "G_CM3", "Filament density, in g/cm3. Default: from the job, else from the material.");
    private readonly Option<bool> _purged = new("--purged")
    {
        Description = "The nozzle was purged just before: leave out the burst of its first minutes.",
    };
    private readonly Option<string?> _format = CommonOptions.Format("text", "json", "csv");
    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");
    private readonly Option<string?> _series = CommonOptions.File("--series", "F.csv", "Writes flow, temperature and emission rates against time.");
    private readonly Option<string?> _plot = CommonOptions.File("--plot", "F.svg|F.png", "Draws flow, temperature and emission against time.");
    private readonly Option<long> _seed = CommonOptions.Seed();
    private readonly Option<bool> _strict = CommonOptions.Strict();
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        var command = new ExampleCommand(
            "estimate", "Forecasts what a print job gives off, in total and against time.",
            "fumecast estimate examples/lamp-clip/job.gcode --plot lamp-clip.svg")
        {
            _job, _material, _printer, _bin, _interval, _meterInterval, _nozzle, _nozzleShift, _diameter, _density, _purged,
            _format, _out, _series, _plot, _seed, _strict, _quiet, _noColour,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var job = parsed.GetValue(_job)!;
        if (UsageText.LooksLikeOption(job) && !File.Exists(job))
        {
            throw new UsageProblem($"unknown option '{job}' (see fumecast estimate --help)");
        }

        var options = Options(parsed);
        var format = parsed.GetValue(_format) ?? "text";
        var quiet = parsed.GetValue(_quiet);
        using var outputs = new EstimateOutputs(
            around, job, options.BinS, parsed.GetValue(_out), parsed.GetValue(_series), parsed.GetValue(_plot));
        JobEstimate estimate;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "forecasting") : null)
        {
            estimate = _forecast(job, options, outputs.Series, progress, cancel);
        }

        cancel.ThrowIfCancellationRequested();
        outputs.Finish(estimate, format, around.StyleOf(parsed.GetValue(_noColour), toTerminal: !outputs.ResultGoesToFile));
        if (!quiet && (format != "text" || outputs.ResultGoesToFile))
        {
            Findings.Write(around.Error, estimate.Diagnostics);
        }

        return ExitCode.Done;
    }

    private EstimateOptions Options(ParseResult parsed)
    {
        if (parsed.GetValue(_nozzle) is not null && parsed.GetValue(_nozzleShift) is not null)
        {
            throw new UsageProblem("--nozzle and --nozzle-shift exclude each other; give one of them");
        }

        return new EstimateOptions
        {
            MaterialByTool = Materials(parsed.GetValue(_material) ?? []),
            Printer = parsed.GetValue(_printer),
            BinS = parsed.GetValue(_bin) ?? 10,
            Interval = parsed.GetValue(_interval) ?? 0.9,
            MeterIntervalS = parsed.GetValue(_meterInterval) ?? 10,
            NozzleC = parsed.GetValue(_nozzle),
            NozzleShiftK = parsed.GetValue(_nozzleShift),
            DiameterMm = parsed.GetValue(_diameter),
            DensityGPerCm3 = parsed.GetValue(_density),
            StartBurst = !parsed.GetValue(_purged),
            Seed = parsed.GetValue(_seed),
            Strict = parsed.GetValue(_strict),
            Stdin = around.Input,
        };
    }

    /// <summary>Reads <c>ID</c> and <c>N=ID</c>.</summary>
    /// <exception cref="UsageProblem">A tool has two materials, or a material has no name.</exception>
    private static Dictionary<int, string> Materials(string[] given)
    {
        var materials = new Dictionary<int, string>();
        foreach (var text in given)
        {
            var at = text.IndexOf('=', StringComparison.Ordinal);
            var tool = EstimateOptions.AllTools;
            var id = text;
            if (at > 0 && int.TryParse(text.AsSpan(0, at), NumberStyles.None, CultureInfo.InvariantCulture, out var number))
            {
                tool = number;
                id = text[(at + 1)..];
            }

            if (string.IsNullOrWhiteSpace(id))
            {
                throw new UsageProblem($"--material: found '{text}', expected an id, a file, or N=ID such as 0=pla");
            }

            if (!materials.TryAdd(tool, id))
            {
                throw new UsageProblem(tool == EstimateOptions.AllTools
                    ? $"--material: found both '{materials[tool]}' and '{id}' for all tools; say which tool has which, as in 0={materials[tool]} 1={id}"
                    : FormattableString.Invariant($"--material: found both '{materials[tool]}' and '{id}' for tool {tool}; give one"));
            }
        }

        return materials;
    }
}
