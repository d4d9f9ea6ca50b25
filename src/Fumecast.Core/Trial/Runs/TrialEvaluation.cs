// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.GCode;
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>The front door to trials: what the logs of a notebook show.</summary>
public static class TrialEvaluation
{
    private const double HourS = 3600;

    /// <summary>Reads the notebook, its logs and jobs, and says what they show.</summary>
    /// <param name="notebook">The notebook's file.</param>
    /// <param name="options">What is asked.</param>
    /// <param name="progress">Told the share of the runs that are done, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">The notebook, a log or a job cannot be used.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static TrialOutcome Of(string notebook, TrialOptions? options = null, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(notebook);
        return Of(NotebookFile.Load(notebook), options ?? new TrialOptions(), progress, cancel);
    }

    internal static TrialOutcome Of(Notebook notebook, TrialOptions options, IProgress<double>? progress, CancellationToken cancel)
    {
        if (!(options.Interval > 0 && options.Interval < 1))
        {
            throw new ArgumentOutOfRangeException(nameof(options), options.Interval, "the interval is not between 0 and 1");
        }

        var files = new TrialFiles(notebook, options, cancel);
        var findings = new DiagnosticLog();
        List<RunOutcome> runs = [];
        foreach (var run in notebook.Runs)
        {
            cancel.ThrowIfCancellationRequested();
            runs.Add(Run(notebook, run, files, options.Interval, findings, cancel));
            progress?.Report(runs.Count / (double)notebook.Runs.Count);
        }

        return new TrialOutcome
        {
            Interval = options.Interval,
            Notebook = notebook.File,
            Runs = runs,
            Pairs = [.. new PairEvaluation(notebook, options.Interval).Of(runs)],
            Settings = TrialBasis.Settings(notebook, runs),
            Diagnostics = [.. files.Diagnostics, .. findings.Entries],
            Sources = TrialBasis.Sources,
            Cautions = TrialBasis.Cautions(runs),
        };
    }

    private static RunOutcome Run(Notebook notebook, NotebookRun run, TrialFiles files, double interval, DiagnosticLog findings, CancellationToken cancel)
    {
        var log = files.Log(run);
        var spans = new TrialSpans(log, notebook, run);
        var quantities = log.Quantities.Where(static quantity => TrialBasis.IsOfAir(quantity, forDecay: false)).ToList();
        var outcome = new RunOutcome
        {
            Name = run.Name,
            IsControl = run.IsControl,
            IsDecay = run.Decay is not null,
            Filter = run.Filter,
            Log = log,
            VolumeM3 = run.VolumeM3?.Value ?? (notebook.Room is null ? null : TrialAir.Of(notebook).VolumeM3.Value),
            Quantities = [],
        };
        if (run.Decay is not null)
        {
            var decays = new DecayEvaluation(spans, run, interval);
            return outcome with { Quantities = [.. log.Quantities.Where(static quantity => TrialBasis.IsOfAir(quantity, forDecay: true)).Select(decays.Of)] };
        }

        if (quantities.Count == 0)
        {
            throw new InputProblem($"{run.At}: run '{run.Name}': {log.File} holds nothing that a print gives off: expected pm1, pm25, pm4, pm10, number, tvoc or formaldehyde; name a column in 'columns' (see: fumecast log {log.File})");
        }

        if (run.IsControl)
        {
            var control = new ControlEvaluation(spans, log, interval, cancel);
            return outcome with { Quantities = [.. quantities.Select(control.Of)] };
        }

        var job = files.Job(run);
        var start = StartOf(notebook, run, log, spans, quantities, job, findings, cancel);
        var evaluation = new RunEvaluation(spans, log, job, TrialAir.Of(notebook) is var air && run.Filter is null ? air : air with { LossPerH = null }, interval, cancel);
        return outcome with
        {
            Start = start,
            MassG = job.MassG,
            PrintH = job.Flow.EndH,
            Quantities = [.. quantities.Select(quantity => spans.LeftOut.Count == 0
                ? evaluation.Of(quantity, start, [])
                : evaluation.Of(quantity, start, spans.LeftOut) with { WithAll = evaluation.Of(quantity, start, []) })],
        };
    }

    private static RunStart StartOf(Notebook notebook, NotebookRun run, MeterLog log, TrialSpans spans, List<LogQuantity> quantities, JobOfRun job, DiagnosticLog findings, CancellationToken cancel)
    {
        var stated = run.Start!.Value;
        var statedH = stated.IsAuto ? double.NaN : spans.At(stated, "start");
        FoundStart? best = null;
        foreach (var quantity in quantities)
        {
            var (fromH, toH) = stated.IsAuto ? (spans.FirstH, spans.EndH) : spans.Around(statedH, statedH + job.WarmUpH + job.Flow.EndH, TrialSpans.MostOfDayH, TrialSpans.MostOfDayH);
            if (LogSlice.Of(quantity, log.IntervalS ?? 60, fromH, toH, spans.LeftOut) is { } slice)
            {
                var found = FoundStart.In(slice.Records, job.Flow, ReadingNoise.Usual(LogSlice.FloorOf(slice.Records)), isEnclosed: notebook.Room is not null && TrialAir.Of(notebook).IsEnclosed, cancel: cancel);
                best = best is null || found.Strengths.Max() > best.Strengths.Max() ? found : best;
            }
        }

        var warmUpH = job.Priors(new BoxPriors()).DelayH;
        if (!stated.IsAuto)
        {
            var contradicts = best?.Contradicts(statedH + warmUpH) == true && Math.Abs(best.StartH - warmUpH - statedH) > 10.0 / 60;
            if (contradicts)
            {
                var shiftMin = (best!.StartH - warmUpH - statedH) * 60;
                var clock = Math.Abs(Math.Abs(shiftMin) - 60) <= Math.Max(5, best.UncertaintyH * 60) ? "; an hour may be a clock that was not set to summer or winter time" : "";
                findings.Report(Severity.Warning, "start-implausible", 0, 0, string.Create(CultureInfo.InvariantCulture,
                    $"run '{run.Name}': the stated start does not fit the log; one about {Math.Abs(shiftMin):0} min {(shiftMin > 0 ? "later" : "earlier")} does ({log.Time.Show(Math.Round((best.StartH - warmUpH) * 60) * 60)}){clock}; the stated one was kept: mend it, or write start: auto"), changesResult: true, subject: run.Name);
            }

            return new RunStart(statedH * HourS, false, 0, contradicts ? (best!.StartH - warmUpH) * HourS : null);
        }

        return best is { IsClear: true }
            ? new RunStart((best.StartH - warmUpH) * HourS, true, best.UncertaintyH * HourS, null)
            : throw new InputProblem($"{run.At}: run '{run.Name}': the start cannot be told from the log: the print stands out too little, or two times fit alike; state it, such as start: {log.Time.Show(log.FromS).Replace('T', ' ')}");
    }
}
