// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Emission;
using Fumecast.Forecast.TestPrint;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>The front door: one call for each question that can be asked of print jobs.</summary>
public static class PrintForecast
{
    /// <summary>The cautions that belong with every result.</summary>
    public static IReadOnlyList<string> Cautions { get; } =
    [
        "This is an estimate of what the printer gives off, not of what anyone breathes: it is no exposure assessment and never an all-clear.",
        "Ventilate, and keep people with asthma or other sensitivities away from a running printer.",
        "Local rules and the advice of licensed professionals come first.",
        "Never leave a hot printer unattended.",
    ];

    /// <summary>Estimates what a job gives off.</summary>
    /// <param name="job">The job: a file, plain, gzipped or in a container (<c>FILE#entry</c> picks one), or <c>-</c>.</param>
    /// <param name="options">What is known or wished beyond the file.</param>
    /// <param name="series">Receives the emission against time as it is computed, or null. Its <see cref="ISeriesSink.Begin"/> comes
    /// again when the job has to be read a second time; what was received before is then void.</param>
    /// <param name="progress">Told the share of the job that has been read, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The estimate.</returns>
    /// <exception cref="InputProblem">The job, a material or a profile cannot be used.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static JobEstimate Estimate(
        string job, EstimateOptions options, ISeriesSink? series = null, IProgress<double>? progress = null, CancellationToken cancel = default) =>
        new ForecastRun(options).Estimate(job, series, progress, cancel);

    /// <summary>Estimates many jobs, on all cores: a result for each as soon as it is there, in the order given.</summary>
    /// <param name="jobs">The jobs.</param>
    /// <param name="options">What is known or wished beyond the files, the same for all.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>For each job its estimate, or what is wrong with it; in flat memory, as far as they are asked for.</returns>
    /// <exception cref="InputProblem">A profile or a material that the options name cannot be used.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static IEnumerable<EstimateOutcome> EstimateEach(IReadOnlyList<string> jobs, EstimateOptions options, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(jobs);
        ArgumentNullException.ThrowIfNull(options);
        var run = new ForecastRun(options with { MayUseSecondCore = options.MayUseSecondCore && jobs.Count == 1 });
        return JobList.Run(jobs, Attempt, cancel);

        EstimateOutcome Attempt(string job)
        {
            try
            {
                return new EstimateOutcome(job, run.Estimate(job, cancel: cancel), null);
            }
            catch (InputProblem problem)
            {
                return new EstimateOutcome(job, null, problem);
            }
        }
    }

    /// <summary>Ranks candidates for a trial by how even their flow and what they give off is, as an air meter would see it.</summary>
    /// <param name="jobs">The jobs.</param>
    /// <param name="options">Printer, meter interval, time constant of the air, diameter, speed factor; the materials where the files do not say.</param>
    /// <param name="keptSeries">For how many of the best the flow over time is kept, for pictures [-].</param>
    /// <param name="progress">Told the share of the jobs that are done, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The jobs that could be read, best first, equal ones in the order given; and of the others what is wrong with them.</returns>
    /// <exception cref="InputProblem">The profile cannot be used, a material, or the only job.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static EvennessOutcome Rank(
        IReadOnlyList<string> jobs, EstimateOptions options, int keptSeries = 0, IProgress<double>? progress = null, CancellationToken cancel = default) =>
        EvennessRanking.Rank(jobs, options, keptSeries, progress, cancel);

    /// <summary>Puts jobs and what-ifs side by side, each against the first.</summary>
    /// <param name="jobs">The jobs.</param>
    /// <param name="options">Jobs' options and the what-ifs. A single what-if of a single job is compared with the job as it is.</param>
    /// <param name="progress">Told the share of the variants that are done, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The variants in order, the first of which is the base, and what could not be used. The what-ifs of a lone job stand or fall together.</returns>
    /// <exception cref="InputProblem">The only job, a material or the profile cannot be used, there are too many variants, or nothing to compare.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static ComparisonOutcome Compare(
        IReadOnlyList<string> jobs, CompareOptions options, IProgress<double>? progress = null, CancellationToken cancel = default) =>
        Comparison.Compare(jobs, options, progress, cancel);

    /// <summary>Writes a print of constant flow for an emission trial, reads it back and judges it like any other job.</summary>
    /// <param name="options">What it shall do.</param>
    /// <param name="output">Receives the G-code, in UTF-8; must be able to read and to seek, and stays open.</param>
    /// <param name="progress">Told the share that has been read back, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The print and its estimate.</returns>
    /// <exception cref="InputProblem">What is wanted cannot be done; the message says what would be possible. Nothing was written then.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped; what was written is not complete.</exception>
    public static TestPrintOutcome TestPrint(TestPrintOptions options, Stream output, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(output);
        if (!output.CanRead || !output.CanSeek)
        {
            throw new ArgumentException("the print is read back, so the stream must be able to read and to seek", nameof(output));
        }

        var material = new MaterialCatalogue().Load(options.Material);
        var plan = TestPrintPlanner.Plan(TestPrintRequest.Of(options, material, PrinterCatalogue.Load(options.Printer ?? PrinterCatalogue.DefaultId)), cancel);
        if (!options.BeyondRange)
        {
            // What the printer cannot do at all was said first.
            TestPrintDefaults.RequireUsual(material, plan.NozzleC, plan.BedC);
        }

        using (var text = new StreamWriter(output, new UTF8Encoding(false), 1 << 16, leaveOpen: true))
        {
            TestPrintWriter.Write(plan, text, cancel);
        }

        cancel.ThrowIfCancellationRequested();
        var read = new EstimateOptions { Printer = options.Printer, Material = options.Material, AirTimeS = options.AirTimeS, Stdin = output };
        return new TestPrintOutcome(plan, TestPrintCheck.Run(plan, "-", read, progress, cancel));
    }
}

/// <summary>What came of one of many jobs.</summary>
/// <param name="Job">The job as it was named.</param>
/// <param name="Estimate">Its estimate, or null.</param>
/// <param name="Problem">What is wrong with it, or null.</param>
public sealed record EstimateOutcome(string Job, JobEstimate? Estimate, InputProblem? Problem);
