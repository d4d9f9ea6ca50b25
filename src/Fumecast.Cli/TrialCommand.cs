// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Pictures;
using Fumecast.Report;
using Fumecast.Trial;

namespace Fumecast.Cli;

/// <summary><c>fumecast trial</c>: what the logs of a trial show.</summary>
internal sealed class TrialCommand(Surroundings around, CancellationToken cancel)
{
    private readonly Argument<string> _notebook = new("NOTEBOOK") { Description = "The notebook: a YAML file that says what was done, and when. See: fumecast notebooks template." };
    private readonly ForecastOptionSet _shared = new();
    private readonly Option<string?> _format = CommonOptions.Format("text", "json");
    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");
    private readonly Option<string?> _plot = CommonOptions.File("--plot", "F.svg|F.png", "Draws each log with its fit, what happened beside the print, and the ratios.");
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();
    private readonly Option<bool> _sketch = CommonOptions.Sketch();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        var command = new ExampleCommand(
            "trial", "Reads the logs of a trial: what the print gave off, what the air and the filter took out, and how sure that is.",
            "fumecast trial examples/filter-trial/notebook.yaml")
        {
            _notebook, _shared.Material, _shared.Printer, _shared.Interval, _format, _out, _plot, _shared.Strict, _quiet, _noColour, _sketch,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var path = parsed.GetValue(_notebook)!;
        var (format, quiet) = (parsed.GetValue(_format) ?? "text", parsed.GetValue(_quiet));
        var sketches = around.WantsSketch(parsed.GetValue(_sketch), parsed.GetValue(_noColour), format, parsed.GetValue(_out));
        var jobs = ForecastOptionSet.WithMaterials(_shared.Read(parsed, around.Input), parsed.GetValue(_shared.Material), null);
        var plot = parsed.GetValue(_plot);
        var pictureFormat = PictureName.FormatOf(plot);
        var options = new TrialOptions { Interval = jobs.Interval, Jobs = jobs, Logs = new LogOptions { Strict = jobs.Strict } };
        var notebook = NotebookFile.Load(path);
        var files = notebook.Runs.SelectMany(static run => new[] { run.Log, run.Job }).Concat([notebook.Room?.File, notebook.Meter?.File]).OfType<string>().Where(static file => file.Length > 0 && (file == "-" || File.Exists(file))).Distinct().Select(static file => new InputFile(file, "a file of the notebook"));
        using var outputs = OutputSet.Open(around, files.Prepend(new InputFile(path, "the notebook")), ("--out", parsed.GetValue(_out) ?? "-"), ("--plot", plot));
        TrialOutcome outcome;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "reading", notebook.Runs.Count) : null)
        {
            outcome = TrialEvaluation.Of(notebook, options, progress, cancel);
        }

        cancel.ThrowIfCancellationRequested();
        if (plot is not null)
        {
            TrialPicture.Write(outputs["--plot"].Stream, pictureFormat, outcome);
        }

        var toFile = !outputs["--out"].IsStdout;
        if (format == "json")
        {
            TrialJson.Write(outputs["--out"].Stream, outcome);
        }
        else
        {
            using var text = new StreamWriter(outputs["--out"].Stream, new UTF8Encoding(false), 1 << 14, leaveOpen: true) { NewLine = "\n" };
            TrialText.Write(text, outcome, around.StyleOf(parsed.GetValue(_noColour), toTerminal: !toFile) with { Sketches = sketches });
        }

        outputs.Commit();
        if (!quiet && (format != "text" || toFile))
        {
            Findings.Write(around.Error, outcome.Diagnostics, null);
        }

        return ExitCode.Done;
    }
}
