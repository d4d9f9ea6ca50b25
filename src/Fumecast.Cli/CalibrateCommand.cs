// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Emission;
using Fumecast.Report;
using Fumecast.Trial;

namespace Fumecast.Cli;

/// <summary><c>fumecast calibrate</c>: a measurement becomes a material of one's own.</summary>
internal sealed class CalibrateCommand(Surroundings around, CancellationToken cancel)
{
    private const string Report = "the report";

    private readonly Argument<string> _notebook = new("NOTEBOOK") { Description = "The notebook: a YAML file that says what was done, and when, as for: fumecast trial." };
    private readonly ForecastOptionSet _shared = new();
    private readonly Option<string[]> _runs = new("--run") { HelpName = "NAME", Description = "A run of the notebook, with a job; may be repeated. Runs count together.", Arity = ArgumentArity.OneOrMore, Required = true };
    private readonly Option<string> _quantity = new("--quantity") { HelpName = "NAME", Description = "What the meter showed: pm25, pm1, pm4 or pm10 (mass that an optical meter sees), number, or tvoc in ug/m3.", Required = true };
    private readonly Option<string?> _id = new("--id") { HelpName = "ID", Description = "Id of the new material. Default: my- before that of the job's material." };
    private readonly Option<string?> _format = CommonOptions.Format("text", "json");
    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the material goes. The report goes to stdout.");
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        _out.Required = true;
        _quantity.CompletionSources.Add([.. Calibration.Quantities]);
        _shared.Material.Description = "The base, whatever the job says: an id or a file, also one that was calibrated before. Default: the job's material.";
        var command = new ExampleCommand(
            "calibrate", "Makes a material of one's own: its yield is what the runs of a trial showed, weighed with what was known before.",
            "fumecast calibrate examples/filter-trial/notebook.yaml --run 'no filter' --quantity pm25 --out my-abs.yaml")
        {
            _notebook, _runs, _quantity, _out, _id, _shared.Material, _shared.Printer, _shared.Interval, _format, _shared.Strict, _quiet, _noColour,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var path = parsed.GetValue(_notebook)!;
        var file = parsed.GetValue(_out)!;
        if (Output.IsStandardOutput(file))
        {
            throw new UsageProblem($"--out: found '{file}', but the report goes to stdout; name a file for the material");
        }

        var (format, quiet) = (parsed.GetValue(_format) ?? "text", parsed.GetValue(_quiet));
        var jobs = ForecastOptionSet.WithMaterials(_shared.Read(parsed, around.Input), parsed.GetValue(_shared.Material), null);
        var options = new CalibrationOptions
        {
            Runs = parsed.GetRequiredValue(_runs),
            Quantity = parsed.GetRequiredValue(_quantity),
            Id = parsed.GetValue(_id),
            Trial = new TrialOptions { Interval = jobs.Interval, Jobs = jobs, Logs = new LogOptions { Strict = jobs.Strict } },
        };
        var notebook = NotebookFile.Load(path);
        var catalogue = new MaterialCatalogue();
        var inputs = notebook.Runs.SelectMany(static run => new[] { run.Log, run.Job }).OfType<string>().Distinct().Select(static one => new InputFile(one, "a file of the notebook"))
            .Concat(jobs.MaterialsNamed.Append(notebook.Material).OfType<string>().Select(catalogue.PathOf).OfType<string>().Distinct().Select(static one => new InputFile(one, "the base material")));
        using var outputs = OutputSet.Open(around, inputs.Prepend(new InputFile(path, "the notebook")), ("--out", file), (Report, "-"));
        CalibrationOutcome outcome;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "reading", options.Runs.Count) : null)
        {
            outcome = Calibration.Of(notebook, options, progress, cancel);
        }

        outputs["--out"].Stream.Write(Encoding.UTF8.GetBytes(outcome.Text));
        if (format == "json")
        {
            CalibrationJson.Write(outputs[Report].Stream, outcome, file);
        }
        else
        {
            using var text = new StreamWriter(outputs[Report].Stream, new UTF8Encoding(false), 1 << 14, leaveOpen: true) { NewLine = "\n" };
            CalibrationText.Write(text, outcome, file, around.StyleOf(parsed.GetValue(_noColour), toTerminal: true));
        }

        outputs.Commit();
        if (!quiet && format != "text")
        {
            Findings.Write(around.Error, outcome.Diagnostics, null);
        }

        return ExitCode.Done;
    }
}
