// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Inputs;
using Fumecast.Pictures;
using Fumecast.Report;
using Fumecast.Uncertainty;

namespace Fumecast.Cli;

/// <summary><c>fumecast compare</c>: jobs and what-ifs side by side, each against the first.</summary>
internal sealed class CompareCommand(Surroundings around, CancellationToken cancel)
{
    private readonly Argument<string[]> _jobs = CommonOptions.Jobs();
    private readonly ForecastOptionSet _shared = new();
    private readonly Option<double[]?> _nozzle = QuantityListOption.Make(
        "--nozzle", Quantity.Temperature, 20, 500, "C,C,...", "Nozzle temperatures to print at, instead of the job's, in degC.");
    private readonly Option<double[]?> _nozzleShift = QuantityListOption.Make(
        "--nozzle-shift", Quantity.TemperatureStep, -200, 200, "K,K,...", "Steps to add to the job's nozzle temperatures, in K.");
    private readonly Option<double[]?> _speed = QuantityListOption.Make(
        "--speed", Quantity.Share, 0.05, 10, "SHARE,...", "Factors on all speeds, such as 60%,100%.");
    private readonly Option<string?> _format = CommonOptions.Format("text", "json", "csv");
    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");
    private readonly Option<string?> _plot = CommonOptions.File("--plot", "F.svg|F.png", "Draws totals and ratios with their intervals.");
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        _shared.Material.HelpName = "ID,ID,...|N=ID";
        _shared.Material.Description = "Materials to try, as a list; or the material, or that of tool N, as in estimate.";
        var command = new ExampleCommand(
            "compare", "Puts jobs and what-ifs side by side, each against the first: totals, ratios, and what moved them.",
            "fumecast compare examples/radio-knob/job.gcode --nozzle 200,210,220 --speed 60%,100%")
        {
            _jobs, _shared.Material, _nozzle, _nozzleShift, _speed, _shared.Printer, _shared.Bin, _shared.Interval, _shared.MeterInterval,
            _shared.Diameter, _shared.Density, _shared.Purged, _format, _out, _plot, _shared.Seed, _shared.Strict, _quiet, _noColour,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var options = Options(parsed);
        var jobs = JobList.Expand(CommonOptions.JobsOf(parsed, _jobs));
        if (jobs.Count == 1 && options is { Materials: [], NozzleC: [], NozzleShiftK: [], SpeedFactors: [] })
        {
            throw new UsageProblem("there is only one job and nothing to compare it with; give another, or a what-if such as --nozzle 220,240");
        }

        RefusePipesReadTwice(jobs, options);
        var quiet = parsed.GetValue(_quiet);
        var (result, plot) = (parsed.GetValue(_out) ?? "-", parsed.GetValue(_plot));
        var pictureFormat = PictureName.FormatOf(plot);
        using var outputs = OutputSet.Open(around, RunInputs.Of(jobs, options.Estimate.MaterialsNamed.Concat(options.Materials), options.Estimate.Printer), ("--out", result), ("--plot", plot));
        IReadOnlyList<ComparedVariant> variants;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "comparing") : null)
        {
            variants = PrintForecast.Compare(jobs, options, progress, cancel);
        }

        cancel.ThrowIfCancellationRequested();
        var style = around.StyleOf(parsed.GetValue(_noColour), toTerminal: outputs["--out"].IsStdout);
        if (plot is not null)
        {
            Draw(outputs["--plot"].Stream, pictureFormat, variants);
        }

        Write(outputs["--out"].Stream, variants, parsed.GetValue(_format) ?? "text", style);
        outputs.Commit();
        if (!quiet)
        {
            // Variants of one job have the same findings.
            foreach (var variant in variants.DistinctBy(static variant => variant.Job))
            {
                Findings.Write(around.Error, variant.Estimate.Diagnostics, jobs.Count > 1 ? variant.Job : null);
            }
        }

        return ExitCode.Done;
    }

    /// <summary>A pipe is read once, and every variant reads its job.</summary>
    private static void RefusePipesReadTwice(IReadOnlyList<string> jobs, CompareOptions options)
    {
        var whatIfs = Math.Max(1, options.Materials.Count) * Math.Max(1, options.NozzleC.Count) * Math.Max(1, options.NozzleShiftK.Count)
            * Math.Max(1, options.SpeedFactors.Count);
        if (jobs.Count > 1 && whatIfs == 1)
        {
            return;
        }

        foreach (var job in jobs)
        {
            if (JobFile.PathOf(job) is { } path && FileNode.Of(path) is { Kind: FileKind.Pipe })
            {
                throw new InputProblem($"{job}: is a pipe, which can be read only once; save the job to a file to compare variants of it");
            }
        }
    }

    private CompareOptions Options(ParseResult parsed)
    {
        var estimate = _shared.Read(parsed, around.Input);
        var (material, byTool, list) = Materials(parsed.GetValue(_shared.Material) ?? []);
        var (nozzle, shift) = (parsed.GetValue(_nozzle) ?? [], parsed.GetValue(_nozzleShift) ?? []);
        if (nozzle.Length > 0 && shift.Length > 0)
        {
            throw new UsageProblem("--nozzle and --nozzle-shift exclude each other; give one of them");
        }

        return new CompareOptions
        {
            Estimate = estimate with { Material = material, MaterialByTool = byTool },
            Materials = list,
            NozzleC = nozzle,
            NozzleShiftK = shift,
            SpeedFactors = parsed.GetValue(_speed) ?? [],
        };
    }

    /// <summary>Several names are what-ifs; one name, or names with a tool's number, hold for every variant.</summary>
    private static (string? All, IReadOnlyDictionary<int, string> ByTool, string[] List) Materials(string[] given)
    {
        if (given.Any(static text => text.Contains('=', StringComparison.Ordinal)))
        {
            var (all, byTool) = ForecastOptionSet.Materials(given);
            return (all, byTool, []);
        }

        // A file may have commas in its name.
        string[] names = [.. given.SelectMany(static text => File.Exists(text) ? [text] : text.Split(',', StringSplitOptions.TrimEntries))];
        for (var i = 0; i < names.Length; i++)
        {
            if (names[i].Length == 0)
            {
                throw new UsageProblem($"--material: found '{string.Join(',', given)}', expected ids or files, separated by commas");
            }

            if (Array.IndexOf(names, names[i]) < i)
            {
                throw new UsageProblem($"--material: found '{names[i]}' twice; give each material once");
            }
        }

        return names.Length < 2 ? (names.FirstOrDefault(), new Dictionary<int, string>(), []) : (null, new Dictionary<int, string>(), names);
    }

    private static void Write(Stream output, IReadOnlyList<ComparedVariant> variants, string format, TextStyle style)
    {
        if (format == "json")
        {
            CompareJson.Write(output, variants);
            return;
        }

        using var text = new StreamWriter(output, new UTF8Encoding(false), leaveOpen: true) { NewLine = "\n" };
        if (format == "csv")
        {
            CompareCsv.Write(text, variants);
        }
        else
        {
            CompareText.Write(text, variants, style);
        }
    }

    private static void Draw(Stream output, PictureFormat format, IReadOnlyList<ComparedVariant> variants)
    {
        var names = CompareText.Names(variants);
        ComparisonColumn[] columns =
        [
            new("Particles", "1"), new("Particles, against the first", ""), new("TVOC, against the first", "", IsVapours: true),
        ];
        var rows = variants.Select((variant, i) => new ComparisonRow(
            names[i],
            [Total(variant, Agent.ParticleNumber), Ratio(variant, Agent.ParticleNumber), Ratio(variant, Agent.Tvoc)]));
        var jobs = variants.Select(static variant => variant.Job).Distinct().ToArray();
        var title = jobs.Length == 1 ? $"What would {jobs[0]} give off?" : "Which gives off less?";
        ComparisonPicture.Write(output, format, title, columns, [.. rows], variants[0].Estimate.Interval);
    }

    private static Uncertain? Total(ComparedVariant variant, Agent agent) =>
        variant.Estimate.Emission.FirstOrDefault(emission => emission.Agent == agent)?.Total;

    private static Uncertain? Ratio(ComparedVariant variant, Agent agent) => variant.Ratios.FirstOrDefault(ratio => ratio.Agent == agent)?.PerJob?.Ratio;
}
