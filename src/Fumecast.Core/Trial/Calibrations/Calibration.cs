// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>The front door to calibrations: a measurement becomes a figure of a material.</summary>
public static class Calibration
{
    /// <summary>Counters that begin above this miss most particles of prints [um]; working value of this project, common practice, no source.</summary>
    private const double HighestCutUm = 0.1;

    /// <summary>Below this weight the base's figure is not cited any more [-].</summary>
    private const double LeastWeightCited = 0.01;

    /// <summary>From this many runs on a figure of one spool is more than derived from one good afternoon [-]; a choice of ours.</summary>
    private const int RunsForGradeB = 3;

    private const double Settled = 1e-4, Missed = 0.02;
    private const int MostRounds = 6;

    /// <summary>Kinds of quantities that can be taken.</summary>
    public static IReadOnlyList<string> Quantities => CalibratedFactor.Kinds;

    /// <summary>Reads runs of a notebook and makes a material of what they show.</summary>
    /// <param name="notebook">The notebook's file.</param>
    /// <param name="options">What is asked.</param>
    /// <param name="progress">Told the share of the runs that are done, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">The notebook, a log or a job cannot be used, or the runs do not show what is asked.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static CalibrationOutcome Of(string notebook, CalibrationOptions options, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(notebook);
        ArgumentNullException.ThrowIfNull(options);
        return Of(NotebookFile.Load(notebook), options, progress, cancel);
    }

    internal static CalibrationOutcome Of(Notebook notebook, CalibrationOptions options, IProgress<double>? progress, CancellationToken cancel)
    {
        var factor = FactorOf(options.Quantity);
        var taken = Taken(notebook, options);
        var interval = options.Trial.Interval;

        // A base that is named is what was wished, whatever the jobs say.
        var jobs = options.Trial.Jobs with { Interval = interval, WarnsOfOverrides = false };
        var trial = TrialEvaluation.Of(notebook with { Runs = taken, Pairs = [] }, options.Trial with { Jobs = jobs }, progress, cancel);
        jobs = jobs.NamesMaterial || notebook.Material is null ? jobs : jobs with { MaterialIfUnknown = jobs.MaterialIfUnknown ?? notebook.Material };

        var emissions = taken.Select((run, i) => EmissionOf(notebook, run, trial.Runs[i], options.Quantity)).ToList();
        var estimates = taken.Select(run => Estimate(run, jobs, cancel)).ToList();
        var material = MaterialOf(taken, estimates);
        var catalogue = new MaterialCatalogue();
        var source = material.OwnFile is { } own ? DataFile.Load(own) : catalogue.Find(material.Id);
        var id = IdOf(options.Id, material, catalogue);

        var nozzles = estimates.Select(NozzleOf).ToList();
        var atC = Math.Round(nozzles.Zip(trial.Runs, static (nozzleC, run) => nozzleC * run.MassG!.Value).Sum() / trial.Runs.Sum(static run => run.MassG!.Value), 1);
        var prior = factor.At(material, atC);

        // The volume of the air is the same in all runs, so repeats do not make it better known.
        var volumeDeviation = TrialAir.Of(notebook).VolumeM3.LogDeviation;
        var alone = emissions.Select(one => Lognormal.Of(one.PerG, interval)).Select(one => one with
        {
            LogDeviation = double.Hypot(Math.Sqrt(Math.Max(0, one.LogDeviation * one.LogDeviation - volumeDeviation * volumeDeviation)), Math.Max(0.01, notebook.EmissionDeviation)),
        }).ToList();

        // The forecast is linear in the yield below its cap, so a job's forecast by any yield says which yield gives what was measured.
        var trialFigure = FigureAt(prior.Median, Math.Exp(double.Hypot(Lognormal.Combined(alone).LogDeviation, volumeDeviation)), atC, factor, material);
        var perYield = taken.Select(run => factor.PerGram(run.Job!, jobs, factor.With(material, trialFigure), cancel).Median / trialFigure.Value).ToList();
        if (perYield.Exists(static one => !(one > 0)))
        {
            throw new InputProblem($"{taken[0].At}: {material.File}: by this material the job gives off nothing, so a yield of it cannot be told; its nozzle is too cold for it, or the base is another material: name it with --material");
        }

        List<Lognormal> yields = [.. alone.Select((one, i) => one with { Median = one.Median / perYield[i] })];
        var disagreement = Lognormal.Disagreement(yields);
        var runs = Lognormal.Combined([.. yields.Select(one => one with { LogDeviation = one.LogDeviation * disagreement })]).Wider(volumeDeviation);
        var all = prior.LogDeviation > 0 ? Lognormal.Combined([prior, runs]) : prior;
        var weight = prior.LogDeviation > 0 ? Math.Pow(all.LogDeviation / prior.LogDeviation, 2) : 1;

        var before = factor.PerGram(taken[0].Job!, jobs, material, cancel);
        var (figure, after) = Fitted(all, perYield[0], atC, factor, material, figure => factor.PerGram(taken[0].Job!, jobs, factor.With(material, figure), cancel));
        var cited = Citations(notebook, options.Quantity, taken, trial.Runs, emissions, estimates, nozzles, material, catalogue, interval);
        var holds = HoldsFor(factor, notebook, trial.Runs);
        figure = figure with
        {
            Origin = new(
                [.. cited.Select(static one => one.Source), .. weight < LeastWeightCited ? [] : factor.In(material).Origin.Sources.Where(known => cited.TrueForAll(one => one.Source != known))],
                Text($"own measurement of {(taken.Count == 1 ? "one run" : $"{taken.Count} runs")}, turned into a yield by the flow and the temperatures of its job; the figure before counts for {Share(weight)} beside it (precisions on the scale of logarithms)"),
                FigureKnown.Derived,
                taken.Count >= RunsForGradeB ? "B" : "C",
                Text($"{(taken.Count >= RunsForGradeB ? "one laboratory of one person" : taken.Count == 1 ? "a single run" : $"{taken.Count} runs only")}; {string.Join("; ", holds.Select(static one => char.ToLowerInvariant(one[0]) + one[1..].TrimEnd('.')))}")),
        };
        var old = factor.In(material);
        var wasThere = factor.Of(material) is not null;
        var parts = new CalibratedParts
        {
            Id = id,
            Name = material.Name.EndsWith(", measured", StringComparison.Ordinal) ? material.Name : $"{material.Name}, measured",
            Factor = factor.Key,
            Of = factor.Of,
            Figure = figure,
            Before = Text($"{QuantityText.Show(Rounded(old.Value), factor.Yield)} at {old.AtC:0.#} degC, GSD {Rounded(Math.Exp(old.LogDeviation)):G4}{(wasThere ? "" : ", by the sizes of the particles")}, in {Path.GetFileName(material.File)}"),
            Remark = Text($"Written by: fumecast calibrate, from {Path.GetFileName(material.File)}; {factor.Key} is a measurement of one's own, see sources."),
            Sources = [.. cited.Select(static one => (one.Source, one.Citation))],
        };
        return new CalibrationOutcome
        {
            Interval = interval,
            Notebook = notebook.File,
            Quantity = options.Quantity,
            Factor = factor.Key,
            Unit = factor.Unit,
            Runs = cited,
            Measured = (runs with { Median = runs.Median * perYield[0] }).ToUncertain(interval),
            Before = before,
            After = after,
            WeightOfBase = weight,
            Disagreement = disagreement,
            YieldPerG = figure.Value,
            Gsd = figure.Gsd ?? 1,
            AtC = atC,
            Base = material.Id,
            BaseFile = material.File,
            BaseHasNoFigure = !wasThere,
            Id = id,
            Text = CalibratedFile.Write(source, parts, catalogue),
            HoldsFor = holds,
            Diagnostics = trial.Diagnostics,
            Cautions = trial.Cautions,
        };
    }

    private static CalibratedFactor FactorOf(string quantity) => CalibratedFactor.ByKind(quantity.Split('#')[0])
        ?? throw new InputProblem($"--quantity: found '{quantity}', expected {string.Join(", ", CalibratedFactor.Kinds)}{(Nearest.To(quantity, CalibratedFactor.Kinds) is { } near ? $"; did you mean '{near}'?" : "")}") { IsOfOptions = true };

    private static List<NotebookRun> Taken(Notebook notebook, CalibrationOptions options)
    {
        List<NotebookRun> taken = [];
        foreach (var name in options.Runs)
        {
            var run = notebook.Runs.FirstOrDefault(one => one.Name == name)
                ?? throw new InputProblem($"{notebook.File}: found no run '{name}'{Nearest.Hint(name, [.. notebook.Runs.Select(static one => one.Name)])}");
            if (run.Job is null)
            {
                throw new InputProblem($"{run.At}: run '{name}' has no job, so nothing is known of what was given off for each gram; take a run with one");
            }

            if (run.Job == "-")
            {
                throw new InputProblem($"{run.At}: run '{name}': the job is standard input, which can be read only once; give a file");
            }

            if (taken.Contains(run))
            {
                throw new InputProblem($"--run: found '{name}' twice; the same log counts once") { IsOfOptions = true };
            }

            taken.Add(run);
        }

        return taken.Count > 0 ? taken : throw new InputProblem("--run: found none, expected the name of a run of the notebook") { IsOfOptions = true };
    }

    private static MeasuredEmission EmissionOf(Notebook notebook, NotebookRun run, RunOutcome outcome, string name)
    {
        var what = $"{run.At}: run '{run.Name}': {name}";
        var quantity = outcome.Quantities.FirstOrDefault(one => one.Quantity == name)
            ?? throw new InputProblem($"{what}: the log {run.Log} does not hold it; it holds {string.Join(", ", outcome.Quantities.Select(static one => one.Quantity))}");
        if (quantity.Unit == "ppb")
        {
            throw new InputProblem($"{what}: the log has it in ppb, and a yield is in ug: what is missing is the mass of these vapours for each part, which no meter of vapours in all can know; log ug/m3, with the factor that the meter's maker states");
        }

        if (name.Split('#')[0] == "number" && CutUm(notebook, outcome, name) is >= HighestCutUm and var cut)
        {
            throw new InputProblem(Text($"{what}: it counts particles from {cut:0.##} um on, and most particles of prints are smaller: their number cannot be told from it; expected a counter that begins below {HighestCutUm} um"));
        }

        return quantity.Emission ?? throw new InputProblem($"{what}: what was given off cannot be told: {quantity.WhyNot ?? "the log does not bound it"}");
    }

    private static double? CutUm(Notebook notebook, RunOutcome outcome, string name) =>
        outcome.Log.Quantities.FirstOrDefault(one => one.Name == name)?.CutFromUm
        ?? notebook.Meter?.Channels.FirstOrDefault(static channel => channel.Quantity == Air.MeterQuantity.Number)?.LowerCutNm / 1000;

    private static JobEstimate Estimate(NotebookRun run, EstimateOptions options, CancellationToken cancel) => PrintForecast.Estimate(run.Job!, options with { FlowSpectrum = false }, cancel: cancel);

    private static Material MaterialOf(List<NotebookRun> runs, List<JobEstimate> estimates)
    {
        Material? material = null;
        for (var i = 0; i < runs.Count; i++)
        {
            if (estimates[i].Materials is not [var only])
            {
                throw new InputProblem($"{runs[i].At}: run '{runs[i].Name}': {runs[i].Job} prints {string.Join(" and ", estimates[i].Materials.Select(static one => one.Id))}, and a reading does not say what came from which; take a job of one material");
            }

            material ??= only;
            if (only.Id != material.Id || only.File != material.File)
            {
                throw new InputProblem($"{runs[i].At}: run '{runs[i].Name}' prints {only.Id}, run '{runs[0].Name}' {material.Id}: take runs of one material");
            }
        }

        return material!;
    }

    private static double NozzleOf(JobEstimate estimate)
    {
        var tools = estimate.Job.Tools.Where(static tool => tool is { DepositedG: > 0, NozzleMeanWhileExtrudingC: not null }).ToList();
        return tools.Sum(static tool => tool.DepositedG * tool.NozzleMeanWhileExtrudingC!.Value) / tools.Sum(static tool => tool.DepositedG);
    }

    private static string IdOf(string? asked, Material material, MaterialCatalogue catalogue)
    {
        var id = asked ?? (material.Id.StartsWith("my-", StringComparison.Ordinal) ? material.Id : "my-" + material.Id);
        if (id.Length is 0 or > 80 || !id.All(static c => char.IsAsciiLetterLower(c) || char.IsAsciiDigit(c) || c == '-'))
        {
            throw new InputProblem($"--id: found '{id}', expected small letters, digits and dashes") { IsOfOptions = true };
        }

        return catalogue.IsShipped(id) ? throw new InputProblem($"--id: found '{id}', which is a material that came with the program; give another, such as my-{id}") { IsOfOptions = true } : id;
    }

    private static Figure FigureAt(double value, double gsd, double atC, CalibratedFactor factor, Material material) =>
        factor.In(material) with { Quantity = factor.Yield, Value = value, Gsd = gsd, Range = null, AtC = atC, ValidC = null };

    /// <summary>The yield whose forecast's middle is the combined value; in a few rounds, since draws and cap bend it a little.</summary>
    private static (Figure Figure, Uncertain PerG) Fitted(Lognormal all, double perYield, double atC, CalibratedFactor factor, Material material, Func<Figure, Uncertain> forecast)
    {
        var (value, wanted, off) = (all.Median, all.Median * perYield, 0.0);
        for (var round = 0; round < MostRounds; round++)
        {
            var figure = FigureAt(value, all.Gsd, atC, factor, material);
            var perG = forecast(figure);
            off = perG.Median / wanted;
            if (Math.Abs(off - 1) < Settled || (round == MostRounds - 1 && Math.Abs(off - 1) < Missed))
            {
                return (figure, perG);
            }

            value /= off;
        }

        throw new InputProblem(Text($"{material.File}: no yield gives what was measured, {wanted:G3} for each gram: the highest rate that the material allows one nozzle, number_cap, lies below it; is the unit of the log right?"));
    }

    private static List<CalibrationRun> Citations(
        Notebook notebook, string quantity, List<NotebookRun> taken, IReadOnlyList<RunOutcome> runs, List<MeasuredEmission> emissions, List<JobEstimate> estimates, List<double> nozzles, Material material, MaterialCatalogue catalogue, double interval)
    {
        List<CalibrationRun> cited = [];
        var known = catalogue.SharedSources.Keys.Concat(material.OwnSources.Select(static source => source.Id)).ToHashSet();
        var volume = FigureText.Show(TrialAir.Of(notebook).VolumeM3);
        for (var i = 0; i < taken.Count; i++)
        {
            var start = runs[i].Log.Time.Show(Math.Round(runs[i].Start!.AtS));
            var first = $"own measurement of {quantity}: run '{taken[i].Name}' of {Path.GetFileName(notebook.File)}, started {start}, log {Path.GetFileName(taken[i].Log)}";
            if (material.OwnSources.FirstOrDefault(source => source.Citation.StartsWith(CalibratedFile.OneLine(first), StringComparison.Ordinal)) is { } twice)
            {
                throw new InputProblem($"{taken[i].At}: run '{taken[i].Name}' is in {material.File} already ({twice.Id}), and the same log counts once; take another run, or another base with --material");
            }

            var number = 1;
            string id;
            do
            {
                id = Text($"MEASURED-{quantity.ToUpperInvariant().Replace('#', '-')}-{number++}");
            }
            while (!known.Add(id));

            var perG = emissions[i].PerG;
            var unit = emissions[i].Unit == "1" ? "1/g" : "ug/g";
            cited.Add(new(taken[i].Name, start, perG, runs[i].MassG!.Value, nozzles[i], id, Text(
                $"{first}, job {Path.GetFileName(taken[i].Job)} ({runs[i].MassG:0.#} g in {runs[i].PrintH:0.##} h, nozzle {nozzles[i]:0.#} degC), printer profile {estimates[i].Job.Printer}, meter {notebook.Meter?.Id ?? "not named"}, air of {volume}, filter {taken[i].Filter ?? "none"}, given off for each gram {perG.Median:G3} {unit} ({perG.Low:G3} to {perG.High:G3}, {100 * interval:0.#} %); holds for this spool, this printer, this meter")));
        }

        return cited;
    }

    private static List<string> HoldsFor(CalibratedFactor factor, Notebook notebook, IReadOnlyList<RunOutcome> runs)
    {
        List<string> holds = ["It holds for this spool, this printer, this meter."];
        switch (factor.Key)
        {
            case "visible_mass":
                holds.Add("Another optical meter may show half or twice of it, which the spread does not hold; neither is it the mass of all particles, most of which no optical meter sees, and which stays that of the table.");
                break;
            case "tvoc":
                holds.Add("A meter of vapours shows them in equivalents of its own gas, so another kind of meter may show a multiple of it; the spread does not hold that.");
                break;
            default:
                holds.Add(notebook.Meter is null ? "The notebook names no meter, so the number is of those particles only that this counter sees, from whatever size on." : "The number is of those particles that this counter sees.");
                break;
        }

        if (runs.Count == 1)
        {
            holds.Add(Text($"From run to run {100 * notebook.EmissionDeviation:0.#} % are assumed; further runs would show it."));
        }

        if (TrialAir.Of(notebook).IsEnclosed)
        {
            holds.Add("The printer stood in a box: what settled in it never reached the meter, so the figure is of what leaves the box, and a forecast with the box takes that off twice.");
        }

        if (runs.Any(static run => run.Filter is not null))
        {
            holds.Add("A filter was fitted: what it took out before the air of the meter is missing in the figure.");
        }

        return holds;
    }

    private static string Share(double weight) => weight < 0.001 ? "less than 0.1 %" : Text($"{100 * weight:G2} %");

    private static double Rounded(double value) => double.Parse(value.ToString("G3", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static string Text(FormattableString text) => FormattableString.Invariant(text);
}
