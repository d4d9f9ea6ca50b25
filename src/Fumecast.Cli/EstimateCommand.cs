// SPDX-License-Identifier: MIT
using System.CommandLine;
using Fumecast.Forecast;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>The forecast as a command calls it: see <see cref="PrintForecast.Estimate"/>.</summary>
internal delegate JobEstimate ForecastJob(
    string job, EstimateOptions options, ISeriesSink? series, IProgress<double>? progress, CancellationToken cancel);

/// <summary><c>fumecast estimate</c>: what jobs will give off, in total and against time.</summary>
internal sealed class EstimateCommand(Surroundings around, ForecastJob? forecast, CancellationToken cancel)
{
    private readonly Argument<string[]> _jobs = CommonOptions.Jobs();
    private readonly ForecastOptionSet _shared = new();
    private readonly Option<double?> _nozzle = QuantityOption.Make(
        "--nozzle", Quantity.Temperature, ForecastOptionSet.LowestNozzleC, ForecastOptionSet.HighestNozzleC, "C", "Nozzle temperature to print at, instead of the job's, in degC.");
    private readonly Option<double?> _nozzleShift = QuantityOption.Make(
        "--nozzle-shift", Quantity.TemperatureStep, -200, 200, "K", "Added to the job's nozzle temperatures, in K.");
    private readonly Option<double?> _speed = QuantityOption.Make(
        "--speed", Quantity.Share, 0.05, 10, "SHARE", "Factor on all speeds, such as 60%.");
    private readonly Option<string?> _format = CommonOptions.Format("text", "json", "csv");
    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");
    private readonly Option<string?> _series = CommonOptions.File("--series", "F.csv", "Writes flow, temperature and emission rates against time; for one job.");
    private readonly Option<string?> _plot = CommonOptions.File("--plot", "F.svg|F.png", "Draws flow, temperature and emission against time; for one job.");
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();
    private readonly Option<bool> _sketch = CommonOptions.Sketch();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        var command = new ExampleCommand(
            "estimate", "Forecasts what print jobs give off, in total and against time.",
            "fumecast estimate examples/lamp-clip/job.gcode --plot lamp-clip.svg")
        {
            _jobs, _shared.Material, _shared.MaterialIfUnknown, _shared.Printer, _shared.Bin, _shared.Interval, _shared.MeterInterval, _shared.AirTime, _nozzle,
            _shared.NozzleIfUnknown, _nozzleShift, _speed, _shared.Diameter, _shared.Density, _shared.Purged, _format, _out, _series, _plot, _shared.Seed, _shared.Strict, _quiet, _noColour, _sketch,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var options = Options(parsed);
        var given = CommonOptions.JobsOf(parsed, _jobs, around);
        var jobs = JobList.Expand(given);

        // A folder gives a table however many jobs it holds, so that a script finds the same form.
        return jobs.Count == 1 && ReferenceEquals(jobs[0], given[0]) ? One(parsed, jobs[0], options) : Many(parsed, given, jobs, options);
    }

    private int One(ParseResult parsed, string job, EstimateOptions options)
    {
        var format = parsed.GetValue(_format) ?? "text";
        var quiet = parsed.GetValue(_quiet);
        var sketches = around.WantsSketch(parsed.GetValue(_sketch), parsed.GetValue(_noColour), format, parsed.GetValue(_out));
        using var outputs = new EstimateOutputs(
            around, RunInputs.Of([job], options.MaterialsNamed, options.Printer), options.BinS, parsed.GetValue(_out), parsed.GetValue(_series), parsed.GetValue(_plot), sketches);
        JobEstimate estimate;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "forecasting") : null)
        {
            estimate = (forecast ?? PrintForecast.Estimate)(job, options, outputs.Series, progress, cancel);
        }

        cancel.ThrowIfCancellationRequested();
        outputs.Finish(estimate, format, around.StyleOf(parsed.GetValue(_noColour), toTerminal: !outputs.ResultGoesToFile) with { Sketches = sketches });
        if (!quiet && (format != "text" || outputs.ResultGoesToFile))
        {
            Findings.Write(around.Error, estimate.Diagnostics);
        }

        return ExitCode.Done;
    }

    private int Many(ParseResult parsed, IReadOnlyList<string> given, IReadOnlyList<string> jobs, EstimateOptions options)
    {
        foreach (var option in new[] { _series, _plot })
        {
            if (parsed.GetValue(option) is not null)
            {
                throw new UsageProblem(FormattableString.Invariant($"{option.Name} is for one job, found {jobs.Count}; estimate them one by one for it"));
            }
        }

        if (parsed.GetValue(_sketch))
        {
            throw new UsageProblem(FormattableString.Invariant($"--sketch is for one job, found {jobs.Count}; estimate them one by one for it"));
        }

        return new ManyEstimates(around, forecast, cancel).Run(
            given, jobs, options, parsed.GetValue(_format) ?? "text", parsed.GetValue(_out), parsed.GetValue(_quiet), parsed.GetValue(_noColour));
    }

    private EstimateOptions Options(ParseResult parsed)
    {
        if (parsed.GetValue(_nozzle) is not null && parsed.GetValue(_nozzleShift) is not null)
        {
            throw new UsageProblem("--nozzle and --nozzle-shift exclude each other; give one of them");
        }

        var options = ForecastOptionSet.WithMaterials(
            _shared.Read(parsed, around.Input), parsed.GetValue(_shared.Material), parsed.GetValue(_shared.MaterialIfUnknown));
        options = ForecastOptionSet.WithNozzleIfUnknown(options, parsed.GetValue(_shared.NozzleIfUnknown), parsed.GetValue(_nozzle) is not null);
        return options with
        {
            NozzleC = parsed.GetValue(_nozzle),
            NozzleShiftK = parsed.GetValue(_nozzleShift),
            SpeedFactor = parsed.GetValue(_speed) ?? 1,
        };
    }
}
