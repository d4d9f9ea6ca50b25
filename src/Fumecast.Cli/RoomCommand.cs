// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Pictures;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary><c>fumecast room</c>: what prints do to the air of a room, and what a meter would read.</summary>
internal sealed class RoomCommand(Surroundings around, CancellationToken cancel)
{
    private readonly Argument<string[]> _jobs = Jobs();
    private readonly ForecastOptionSet _shared = new();
    private readonly RoomOptionSet _place = new("A filter with a fan in the box, else in the room. See: fumecast filters list.");
    private readonly Option<string[]> _meter = Many("--meter", "ID|FILE", "Meter to look through; may be repeated. Default: optical-pm. See: fumecast meters list.");
    private readonly Option<string[]> _level = Many("--level", "AGENT=VALUE", "Level to fall below and to stay below, such as styrene=30ug/m3; may be repeated.");
    private readonly Option<bool> _remedies = new("--remedies") { Description = "Puts remedies side by side: without the box, with each filter, window, exhaust." };
    private readonly Option<bool> _nearField = new("--near-field") { Description = "Follows the air near the printer as a zone of its own." };
    private readonly Option<string?> _format = CommonOptions.Format("text", "json");
    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");
    private readonly Option<string?> _series = CommonOptions.File("--series", "F.csv", "Writes levels against time.");
    private readonly Option<string?> _plot = CommonOptions.File("--plot", "F.svg|F.png", "Draws levels against time by zone, guidelines, readings of the meters, and the remedies.");
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();
    private readonly Option<bool> _sketch = CommonOptions.Sketch();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        var command = new ExampleCommand(
            "room", "Forecasts what prints do to the air of a room, when it has cleared, and what a meter would read.",
            "fumecast room examples/lamp-clip/job.gcode --volume 30m3 --remedies")
        {
            _jobs, _place.Room, _place.Volume, _place.Changes, _place.Enclosure, _place.Leak, _place.Filter, _place.FilterFlow, _meter, _level, _remedies, _nearField,
            _shared.Material, _shared.MaterialIfUnknown, _shared.NozzleIfUnknown, _shared.Printer, _shared.Diameter, _shared.Density, _shared.Purged,
            _shared.Interval, _format, _out, _series, _plot, _shared.Seed, _shared.Strict, _quiet, _noColour, _sketch,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        string[] given = parsed.GetValue(_jobs) is { Length: > 0 } ? CommonOptions.JobsOf(parsed, _jobs, around) : [];
        RefuseDataFiles(given);
        var jobs = given.Length > 0 ? JobList.Expand(given) : given;
        var (format, quiet) = (parsed.GetValue(_format) ?? "text", parsed.GetValue(_quiet));
        var (plot, sketches) = (parsed.GetValue(_plot), around.WantsSketch(parsed.GetValue(_sketch), parsed.GetValue(_noColour), format, parsed.GetValue(_out)));
        var pictureFormat = PictureName.FormatOf(plot);
        var options = Options(parsed) with { KeepSeries = sketches || plot is not null || parsed.GetValue(_series) is not null };
        var room = AirForecast.RoomOf(options);
        var listed = jobs.Count > 0 ? [] : room.Prints.Select(static p => p.Path);
        var inputs = RunInputs.Of(jobs.Concat(listed), options.Jobs.MaterialsNamed, options.Jobs.Printer).Concat(RoomOptionSet.DataFiles(options));
        using var outputs = OutputSet.Open(around, inputs, ("--out", parsed.GetValue(_out) ?? "-"), ("--series", parsed.GetValue(_series)), ("--plot", plot));
        AirOutcome outcome;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "forecasting") : null)
        {
            outcome = AirForecast.OfJobs(jobs, options, progress, cancel);
        }

        cancel.ThrowIfCancellationRequested();
        if (parsed.GetValue(_series) is not null)
        {
            AirCsv.WriteSeries(outputs["--series"].Stream, outcome);
        }

        if (plot is not null)
        {
            RoomPicture.Write(outputs["--plot"].Stream, pictureFormat, outcome);
        }

        var toFile = !outputs["--out"].IsStdout;
        if (format == "json")
        {
            AirJson.Write(outputs["--out"].Stream, outcome);
        }
        else
        {
            using var text = new StreamWriter(outputs["--out"].Stream, new UTF8Encoding(false), 1 << 14, leaveOpen: true) { NewLine = "\n" };
            AirText.Write(text, outcome, around.StyleOf(parsed.GetValue(_noColour), toTerminal: !toFile) with { Sketches = sketches });
        }

        outputs.Commit();
        if (!quiet && (format != "text" || toFile))
        {
            Findings.Write(around.Error, outcome.Diagnostics);
        }

        if (!quiet)
        {
            Findings.WriteFoldersLeftOut(around.Error, given);
        }

        return ExitCode.Done;
    }

    private AirOptions Options(ParseResult parsed)
    {
        var meters = parsed.GetValue(_meter);
        var jobs = ForecastOptionSet.WithMaterials(
            _shared.Read(parsed, around.Input), parsed.GetValue(_shared.Material), parsed.GetValue(_shared.MaterialIfUnknown));
        return _place.Read(parsed) with
        {
            Meters = meters is { Length: > 0 } ? meters : new AirOptions().Meters,
            Levels = parsed.GetValue(_level) ?? [],
            Remedies = parsed.GetValue(_remedies),
            NearField = parsed.GetValue(_nearField),
            Interval = jobs.Interval,
            Seed = jobs.Seed,
            Jobs = ForecastOptionSet.WithNozzleIfUnknown(jobs, parsed.GetValue(_shared.NozzleIfUnknown), isNozzleGiven: false),
        };
    }

    // A room's file in the place of a job would be read as G-code, or be asked for a volume.
    private static void RefuseDataFiles(IEnumerable<string> given)
    {
        foreach (var name in given.Where(static name => name.EndsWith(".yaml", StringComparison.OrdinalIgnoreCase) || name.EndsWith(".yml", StringComparison.OrdinalIgnoreCase)).Where(File.Exists))
        {
            var schema = YamlMap.SchemaOf(DataFile.Load(name));
            throw new UsageProblem(DataKinds.All().FirstOrDefault(kind => kind.Schema == schema)?.One is { } one and ("room" or "filter" or "meter" or "material" or "printer")
                ? $"{name} describes a {one} and is no job; give it as --{one} {name}"
                : $"{name} is a data file and no job; expected G-code");
        }
    }

    // A room that lists its own prints needs none.
    private static Argument<string[]> Jobs()
    {
        var jobs = CommonOptions.Jobs();
        jobs.Arity = ArgumentArity.ZeroOrMore;
        jobs.Description += " All start at once, in the first zone. None where the room lists its prints.";
        return jobs;
    }

    private static Option<string[]> Many(string name, string helpName, string description) =>
        new(name) { HelpName = helpName, Description = description, Arity = ArgumentArity.OneOrMore };
}
