// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Aerosol;
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
        "--nozzle", Quantity.Temperature, ForecastOptionSet.LowestNozzleC, ForecastOptionSet.HighestNozzleC, "C,C,...", "Nozzle temperatures to print at, instead of the job's, in degC.");
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
        _shared.Material.HelpName = "ID,ID@C,...|N=ID";
        _shared.Material.Description = "Materials to try, as a list; with @C at that nozzle temperature, else at the job's where that is usual for the material "
            + "or at the middle of what is. One alone holds for every variant, as does that of tool N; of one job and with nothing else to try, it is tried against the job as it is.";
        var command = new ExampleCommand(
            "compare", "Puts jobs and what-ifs side by side, each against the first: totals, ratios, and what moved them.",
            "fumecast compare examples/radio-knob/job.gcode --nozzle 200,210,220 --speed 60%,100%")
        {
            _jobs, _shared.Material, _shared.MaterialIfUnknown, _nozzle, _shared.NozzleIfUnknown, _nozzleShift, _speed, _shared.Printer, _shared.Bin, _shared.Interval, _shared.MeterInterval,
            _shared.Diameter, _shared.Density, _shared.Purged, _format, _out, _plot, _shared.Seed, _shared.Strict, _quiet, _noColour,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var options = Options(parsed);
        var given = CommonOptions.JobsOf(parsed, _jobs, around);
        var jobs = JobList.Expand(given);
        RefuseNothingToDo(jobs, options);
        RefusePipesReadTwice(jobs, options);
        var quiet = parsed.GetValue(_quiet);
        var (result, plot) = (parsed.GetValue(_out) ?? "-", parsed.GetValue(_plot));
        var pictureFormat = PictureName.FormatOf(plot);
        using var outputs = OutputSet.Open(around, RunInputs.Of(jobs, options.Estimate.MaterialsNamed.Concat(options.Materials.Select(static trial => trial.Material)), options.Estimate.Printer), ("--out", result), ("--plot", plot));
        ComparisonOutcome outcome;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "comparing") : null)
        {
            outcome = PrintForecast.Compare(jobs, options, progress, cancel);
        }

        cancel.ThrowIfCancellationRequested();
        foreach (var problem in outcome.Refused.Select(static variant => variant.Problem.Message).Distinct())
        {
            around.Error.Write($"fumecast: {DiagnosticText.Clean(problem)}\n");
        }

        if (outcome.Variants.Count < 2)
        {
            return ExitCode.Input;
        }

        var style = around.StyleOf(parsed.GetValue(_noColour), toTerminal: outputs["--out"].IsStdout);
        if (plot is not null)
        {
            Draw(outputs["--plot"].Stream, pictureFormat, outcome.Variants);
        }

        Write(outputs["--out"].Stream, outcome, parsed.GetValue(_format) ?? "text", style);
        outputs.Commit();
        if (!quiet)
        {
            Findings.WriteFoldersLeftOut(around.Error, given);
            WriteFindings(outcome.Variants, jobs.Count > 1);
        }

        return outcome.Refused.Count == 0 ? ExitCode.Done : ExitCode.Input;
    }

    /// <summary>Variants of one job have much the same findings: of those after the first only what is of a new kind is said, with the variant's name. What concerns the options is said once.</summary>
    private void WriteFindings(IReadOnlyList<ComparedVariant> variants, bool namesJob)
    {
        var ofOptions = variants.SelectMany(static variant => variant.Estimate.Diagnostics).Where(static finding => finding.IsOfOptions);
        Findings.Write(around.Error, [.. ofOptions.DistinctBy(static finding => finding.Message)]);
        foreach (var job in variants.GroupBy(static variant => variant.Job))
        {
            var said = new HashSet<string>();
            var isFirst = true;
            foreach (var variant in job)
            {
                var found = variant.Estimate.Diagnostics.Where(finding => !finding.IsOfOptions && !said.Contains(finding.Code)).ToList();
                var name = isFirst ? null : variant.WhatIf;
                Findings.Write(around.Error, found, namesJob ? name is null ? variant.Job : $"{variant.Job}, {name}" : name);
                said.UnionWith(found.Select(static finding => finding.Code));
                isFirst = false;
            }
        }
    }

    private static void RefuseNothingToDo(IReadOnlyList<string> jobs, CompareOptions options)
    {
        var triesMore = options is not { NozzleC: [], NozzleShiftK: [], SpeedFactors: [] };
        if (jobs.Count == 1 && !triesMore && options is { Materials: [], Estimate.NamesMaterial: false })
        {
            throw new UsageProblem("there is only one job and nothing to compare it with; give another, or a what-if such as --nozzle 220,240");
        }

        // A lone material of a lone job is held against the job as it is, which may leave it open.
        var holdsForAll = options.Materials.Count > 0 || options.Estimate.Material is not null;
        if (holdsForAll && options.Estimate.FillsMaterial && (jobs.Count > 1 || triesMore || options.Materials.Count > 1))
        {
            throw new UsageProblem("--material holds for every variant, so --material-if-unknown has nothing to fill in; give one of them");
        }
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
        var (gap, gapByTool) = ForecastOptionSet.Materials(parsed.GetValue(_shared.MaterialIfUnknown), "--material-if-unknown");
        estimate = estimate with { Material = material, MaterialByTool = byTool, MaterialIfUnknown = gap, MaterialIfUnknownByTool = gapByTool };
        if (material is null)
        {
            // Whether one for all leaves gaps depends on the jobs.
            ForecastOptionSet.RefuseNothingToFill(estimate);
        }

        var (nozzle, shift) = (parsed.GetValue(_nozzle) ?? [], parsed.GetValue(_nozzleShift) ?? []);
        if (nozzle.Length > 0 && shift.Length > 0)
        {
            throw new UsageProblem("--nozzle and --nozzle-shift exclude each other; give one of them");
        }

        if (nozzle.Length > 0 && list.FirstOrDefault(static trial => trial.NozzleC is not null) is { } paired)
        {
            throw new UsageProblem(FormattableString.Invariant(
                $"--material {paired.Material}@{paired.NozzleC} has a nozzle temperature of its own, so --nozzle cannot be tried beside it; give one of them"));
        }

        return new CompareOptions
        {
            Estimate = ForecastOptionSet.WithNozzleIfUnknown(estimate, parsed.GetValue(_shared.NozzleIfUnknown), nozzle.Length > 0),
            Materials = list,
            NozzleC = nozzle,
            NozzleShiftK = shift,
            SpeedFactors = parsed.GetValue(_speed) ?? [],
        };
    }

    /// <summary>Several names are what-ifs, and so is one with a temperature; one name without, or names with a tool's number, hold for every variant.</summary>
    private static (string? All, IReadOnlyDictionary<int, string> ByTool, MaterialTrial[] List) Materials(string[] given)
    {
        if (given.Any(static text => text.Contains('=', StringComparison.Ordinal) && !File.Exists(text)))
        {
            var (all, byTool) = ForecastOptionSet.Materials(given);
            return (all is null ? byTool.Values : byTool.Values.Prepend(all)).FirstOrDefault(static name => Trial(name).NozzleC is not null) is { } paired
                ? throw new UsageProblem($"--material: found '{paired}' for a tool; a temperature goes with a material that all tools are tried with, so give --nozzle C instead")
                : (all, byTool, []);
        }

        // A file may have commas in its name.
        string[] names = [.. given.SelectMany(static text => File.Exists(text) ? [text] : text.Split(',', StringSplitOptions.TrimEntries))];
        if (names.Any(static name => name.Length == 0))
        {
            throw new UsageProblem($"--material: found '{string.Join(',', given)}', expected ids or files, separated by commas");
        }

        MaterialTrial[] trials = [.. names.Select(Trial)];
        for (var i = 0; i < trials.Length; i++)
        {
            if (Array.IndexOf(trials, trials[i]) < i)
            {
                throw new UsageProblem($"--material: found '{names[i]}' twice; give each material once");
            }
        }

        return trials is [{ NozzleC: not null }] or { Length: > 1 }
            ? (null, new Dictionary<int, string>(), trials)
            : (names.FirstOrDefault(), new Dictionary<int, string>(), []);
    }

    /// <summary>Reads <c>ID</c> or <c>ID@C</c>; a file may have the sign in its name.</summary>
    private static MaterialTrial Trial(string text)
    {
        var at = File.Exists(text) ? -1 : text.LastIndexOf('@');
        if (at < 0)
        {
            return new MaterialTrial(text);
        }

        return at == 0
            ? throw new UsageProblem($"--material: found '{text}' without a material before the @; expected an id or a file, then a nozzle temperature, as in pla@210")
            : new MaterialTrial(text[..at], ForecastOptionSet.TemperatureOf($"--material {text}", text[(at + 1)..]));
    }

    private static void Write(Stream output, ComparisonOutcome outcome, string format, TextStyle style)
    {
        if (format == "json")
        {
            CompareJson.Write(output, outcome);
            return;
        }

        using var text = new StreamWriter(output, new UTF8Encoding(false), leaveOpen: true) { NewLine = "\n" };
        if (format == "csv")
        {
            CompareCsv.Write(text, outcome);
        }
        else
        {
            CompareText.Write(text, outcome, style);
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
        ComparisonPicture.Write(output, format, title, columns, [.. rows], variants[0].Estimate.Interval, CompareText.OnBars(variants));
    }

    private static Uncertain? Total(ComparedVariant variant, Agent agent) =>
        variant.Estimate.Emission.FirstOrDefault(emission => emission.Agent == agent)?.Total;

    private static Uncertain? Ratio(ComparedVariant variant, Agent agent) => variant.Ratios.FirstOrDefault(ratio => ratio.Agent == agent)?.PerJob?.Ratio;
}
