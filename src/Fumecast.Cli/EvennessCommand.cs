// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Forecast;
using Fumecast.Pictures;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary><c>fumecast evenness</c>: which of several jobs has the flattest flow for a trial.</summary>
internal sealed class EvennessCommand(Surroundings around, CancellationToken cancel)
{
    private const int MostSketched = 12;
    private readonly Argument<string[]> _jobs = CommonOptions.Jobs();
    private readonly Option<double?> _meterInterval = CommonOptions.MeterInterval();
    private readonly Option<double?> _airTime = CommonOptions.AirTime();
    private readonly Option<string[]> _material = CommonOptions.Material();
    private readonly Option<string[]> _materialIfUnknown = CommonOptions.MaterialIfUnknown();
    private readonly Option<string[]> _nozzleIfUnknown = CommonOptions.NozzleIfUnknown();
    private readonly Option<bool> _purged = CommonOptions.Purged();
    private readonly Option<string?> _printer = CommonOptions.Printer();
    private readonly Option<double?> _diameter = CommonOptions.Diameter();
    private readonly Option<string?> _format = CommonOptions.Format("text", "json", "csv");
    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");
    private readonly Option<string?> _plot = CommonOptions.File("--plot", "F.svg|F.png", "Draws the flow of all jobs, and what they give off as air would smooth it, over one time axis.");
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();
    private readonly Option<bool> _sketch = CommonOptions.Sketch();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        var command = new ExampleCommand(
            "evenness", "Ranks jobs by how flat their flow and what they give off is, as an air meter would see it.",
            "fumecast evenness examples/radio-knob/job.gcode examples/screw-cup/job.gcode --plot flow.svg")
        {
            _jobs, _meterInterval, _airTime, _material, _materialIfUnknown, _nozzleIfUnknown, _purged, _printer, _diameter, _format, _out, _plot, _quiet, _noColour, _sketch,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var options = ForecastOptionSet.WithMaterials(new EstimateOptions
        {
            Printer = parsed.GetValue(_printer),
            MeterIntervalS = parsed.GetValue(_meterInterval) ?? 10,
            AirTimeS = parsed.GetValue(_airTime) ?? 600,
            StartDose = !parsed.GetValue(_purged),
            DiameterMm = parsed.GetValue(_diameter),
            Stdin = around.Input,
        }, parsed.GetValue(_material), parsed.GetValue(_materialIfUnknown));
        options = ForecastOptionSet.WithNozzleIfUnknown(options, parsed.GetValue(_nozzleIfUnknown), isNozzleGiven: false);
        var given = CommonOptions.JobsOf(parsed, _jobs, around);
        var jobs = JobList.Expand(given);
        var quiet = parsed.GetValue(_quiet);
        var (result, plot) = (parsed.GetValue(_out) ?? "-", parsed.GetValue(_plot));
        var sketches = around.WantsSketch(parsed.GetValue(_sketch), parsed.GetValue(_noColour), parsed.GetValue(_format) ?? "text", result);
        var pictureFormat = PictureName.FormatOf(plot);
        using var outputs = OutputSet.Open(around, RunInputs.Of(jobs, options.MaterialsNamed, options.Printer), ("--out", result), ("--plot", plot));
        EvennessOutcome outcome;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "simulating", jobs.Count) : null)
        {
            outcome = PrintForecast.Rank(jobs, options, plot is not null ? FlowStripsPicture.MostStrips : sketches ? MostSketched : 0, progress, cancel);
        }

        cancel.ThrowIfCancellationRequested();
        foreach (var problem in outcome.Unusable)
        {
            around.Error.Write($"fumecast: {DiagnosticText.Clean(problem.Message)}\n");
        }

        if (outcome.Ranked.Count == 0)
        {
            return ExitCode.Input;
        }

        var style = around.StyleOf(parsed.GetValue(_noColour), toTerminal: outputs["--out"].IsStdout) with { Sketches = sketches };
        if (plot is not null)
        {
            FlowStripsPicture.Write(outputs["--plot"].Stream, pictureFormat, Strips(outcome.Ranked));
        }

        Write(outputs["--out"].Stream, outcome.Ranked, parsed.GetValue(_format) ?? "text", style);
        outputs.Commit();
        if (!quiet)
        {
            Findings.WriteFoldersLeftOut(around.Error, given);
            var found = outcome.Ranked.Select(static job => (job.Profile.File, job.Profile.Diagnostics)).ToList();
            if (jobs.Count > 1)
            {
                Findings.WriteEach(around.Error, found);
            }
            else
            {
                Findings.Write(around.Error, found[0].Diagnostics);
            }
        }

        return outcome.Unusable.Count == 0 ? ExitCode.Done : ExitCode.Input;
    }

    private static void Write(Stream output, IReadOnlyList<RankedJob> ranked, string format, TextStyle style)
    {
        if (format == "json")
        {
            EvennessJson.Write(output, ranked);
            return;
        }

        using var text = new StreamWriter(output, new UTF8Encoding(false), leaveOpen: true) { NewLine = "\n" };
        if (format == "csv")
        {
            EvennessCsv.Write(text, ranked);
        }
        else
        {
            EvennessText.Write(text, ranked, style);
        }
    }

    private static FlowStripEntry[] Strips(IReadOnlyList<RankedJob> ranked)
    {
        var names = JobNames.Shortened([.. ranked.Select(static job => job.Profile.File)]);
        return [.. ranked.Select((job, i) => new FlowStripEntry(names[i], FlowStrip.Of(job.Profile), job.Profile.Flow))];
    }
}
