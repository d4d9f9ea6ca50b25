// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Globalization;
using System.Text;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Report;
using Fumecast.Trial;

namespace Fumecast.Cli;

/// <summary><c>fumecast plan</c>: whether a meter will see what a filter does, and how to go about it.</summary>
internal sealed class PlanCommand(Surroundings around, CancellationToken cancel)
{
    private static readonly string[] Starts = ["yyyy-MM-dd HH:mm", "yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd HH:mm:ss", "yyyy-MM-dd'T'HH:mm:ss"];

    private readonly Argument<string> _job = new("JOB") { Description = "The job that is printed in every run: G-code, the same gzipped, or a ZIP or 3MF container (JOB#entry picks one of several)." };
    private readonly ForecastOptionSet _shared = new();
    private readonly RoomOptionSet _place = new("The filter that the trial is about, with a fan in the box, else in the room. See: fumecast filters list.");
    private readonly Option<string?> _meter = RoomOptionSet.Named("--meter", "ID|FILE", "The meter of the trial. See: fumecast meters list.", "meters");
    private readonly Option<string?> _start = RoomOptionSet.Text("--start", "TIME", "When the meter is switched on, such as '2026-11-28 10:00'; the checklist then has times by the clock.");
    private readonly Option<double?> _certainty = QuantityOption.Make("--certainty", Quantity.Share, 0.51, 0.99, "SHARE", "How sure the trial is to show the difference, for the number of repeats. Default: 0.9.");
    private readonly Option<double?> _runToRun = QuantityOption.Make("--run-to-run", Quantity.Share, 0, 3, "SHARE", "By how much two runs alike differ from day to day. Default: 0.1, an assumption.");
    private readonly Option<string?> _notebook = CommonOptions.File("--notebook-out", "F.yaml", "Writes a notebook to fill in for fumecast trial; where options describe the room, a file of it beside.");
    private readonly Option<string?> _format = CommonOptions.Format("text", "json");
    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        var command = new ExampleCommand(
            "plan", "Plans a trial of a filter: whether the meter can see the difference, how long to wait, what to do when.",
            "fumecast plan examples/filter-trial/job.gcode --room examples/filter-trial/room.yaml --meter optical-pm --filter hepa-and-carbon --start '2026-11-28 10:00'")
        {
            _job, _place.Room, _place.Volume, _place.Changes, _place.Enclosure, _place.Leak, _meter, _place.Filter, _place.FilterFlow, _start, _certainty, _runToRun, _notebook,
            _shared.Material, _shared.MaterialIfUnknown, _shared.NozzleIfUnknown, _shared.Printer, _shared.Diameter, _shared.Density, _shared.Purged,
            _shared.Interval, _format, _out, _shared.Seed, _shared.Strict, _quiet, _noColour,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var job = parsed.GetRequiredValue(_job);
        CommonOptions.RefuseMistyped(parsed, job);
        var (format, quiet, notebook) = (parsed.GetValue(_format) ?? "text", parsed.GetValue(_quiet), parsed.GetValue(_notebook));
        var (options, plan) = (Options(parsed, job), PlanOf(parsed));
        AirForecast.RoomOf(options);
        var roomFile = notebook is not null && options.Room is null ? RoomBeside(notebook) : null;
        var inputs = RunInputs.Of([job], options.Jobs.MaterialsNamed, options.Jobs.Printer).Concat(RoomOptionSet.DataFiles(options));
        using var outputs = OutputSet.Open(around, inputs, ("--out", parsed.GetValue(_out) ?? "-"), ("--notebook-out", notebook), ("the room of --notebook-out", roomFile));
        PlanOutcome outcome;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "planning") : null)
        {
            outcome = TrialPlan.For(job, options, plan, progress, cancel);
        }

        cancel.ThrowIfCancellationRequested();
        if (notebook is not null)
        {
            var folder = Path.GetDirectoryName(Path.GetFullPath(notebook)) ?? "";
            Write(outputs["--notebook-out"], text => PlanNotebook.Write(text, outcome, options, folder, roomFile is null ? null : Path.GetFileName(roomFile)));
            if (roomFile is not null)
            {
                Write(outputs["the room of --notebook-out"], text => PlanNotebook.WriteRoom(text, options));
            }
        }

        var toFile = !outputs["--out"].IsStdout;
        if (format == "json")
        {
            PlanJson.Write(outputs["--out"].Stream, outcome);
        }
        else
        {
            Write(outputs["--out"], text => PlanText.Write(text, outcome, around.StyleOf(parsed.GetValue(_noColour), toTerminal: !toFile)));
        }

        outputs.Commit();
        if (!quiet && (format != "text" || toFile))
        {
            Findings.Write(around.Error, outcome.Diagnostics);
        }

        return ExitCode.Done;
    }

    private AirOptions Options(ParseResult parsed, string job)
    {
        if (job == "-")
        {
            throw new UsageProblem("a plan names its job in a notebook and reads it twice, so it cannot come from standard input; give a file");
        }

        foreach (var (option, what) in new[] { (_meter, "meters"), (_place.Filter, "filters") })
        {
            if (parsed.GetValue(option) is null)
            {
                throw new UsageProblem($"{option.Name} is missing: a plan is about one meter and one filter (see: fumecast {what} list)");
            }
        }

        var jobs = ForecastOptionSet.WithMaterials(_shared.Read(parsed, around.Input), parsed.GetValue(_shared.Material), parsed.GetValue(_shared.MaterialIfUnknown));
        return _place.Read(parsed) with
        {
            Meters = [parsed.GetValue(_meter)!],
            Interval = jobs.Interval,
            Seed = jobs.Seed,
            Jobs = ForecastOptionSet.WithNozzleIfUnknown(jobs, parsed.GetValue(_shared.NozzleIfUnknown), isNozzleGiven: false),
        };
    }

    private PlanOptions PlanOf(ParseResult parsed)
    {
        var options = new PlanOptions { Certainty = parsed.GetValue(_certainty) ?? 0.9, RunToRun = parsed.GetValue(_runToRun) ?? 0.10 };
        if (parsed.GetValue(_start) is not { } text)
        {
            return options;
        }

        return DateTime.TryParseExact(text.Trim(), Starts, CultureInfo.InvariantCulture, DateTimeStyles.None, out var start)
            ? options with { Start = start }
            : throw new UsageProblem($"--start: found '{text}', expected a date and time such as '2026-11-28 10:00'");
    }

    /// <summary>The file of a room beside its notebook: <c>trial.yaml</c> has <c>trial-room.yaml</c>.</summary>
    private static string RoomBeside(string notebook) => notebook == "-"
        ? throw new UsageProblem("--notebook-out: a room that options describe is written to a file beside the notebook, so it cannot go to stdout; give a file, or name a room with --room")
        : Path.Combine(Path.GetDirectoryName(notebook) ?? "", Path.GetFileNameWithoutExtension(notebook) + "-room.yaml");

    private static void Write(Output output, Action<TextWriter> write)
    {
        using var text = new StreamWriter(output.Stream, new UTF8Encoding(false), 1 << 14, leaveOpen: true) { NewLine = "\n" };
        write(text);
    }
}
