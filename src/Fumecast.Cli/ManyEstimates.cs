// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>Estimates many jobs on all cores: one result for each as soon as it is there, in the order given, in flat memory.</summary>
/// <remarks>A job that cannot be used gives its line on stderr, after the table where both may end up in one place; the others go on, and the exit code tells in the end.</remarks>
internal sealed class ManyEstimates(Surroundings around, ForecastJob? forecast, CancellationToken cancel)
{
    /// <summary>Runs them.</summary>
    /// <param name="given">Jobs and folders as the user named them.</param>
    /// <param name="jobs">The jobs that they stand for.</param>
    /// <param name="options">What is known or wished beyond the jobs.</param>
    /// <param name="format"><c>text</c>, <c>json</c> or <c>csv</c>.</param>
    /// <param name="result">File of the result, or null or <c>-</c> for stdout.</param>
    /// <param name="quiet">Whether warnings are not shown.</param>
    /// <param name="noColour">Whether the user asked for plain text.</param>
    public int Run(IReadOnlyList<string> given, IReadOnlyList<string> jobs, EstimateOptions options, string format, string? result, bool quiet, bool noColour)
    {
        using var outputs = OutputSet.Open(around, RunInputs.Of(jobs, options.MaterialsNamed, options.Printer), ("--out", result ?? "-"));
        var target = outputs["--out"];
        var outcomes = forecast is null
            ? PrintForecast.EstimateEach(jobs, options, cancel)
            : jobs.Select(job => new EstimateOutcome(job, forecast(job, options, null, null, cancel), null));
        using var output = new Table(target.Live, format, jobs, options.Interval, around.StyleOf(noColour, toTerminal: target.IsStdout), showsWarnings: !quiet);

        // On one terminal the rows are the progress.
        var showsProgress = around.ErrorIsTerminal && !quiet && (!target.IsStdout || !around.OutputIsTerminal);

        // On one terminal, and where both go on to the same pipe or file, as they may when neither is a terminal.
        var mayShareStream = around.ErrorIsTerminal == around.OutputIsTerminal && target.IsStdout;
        using var progress = showsProgress ? new ProgressLine(around.Error, "forecasting", jobs.Count) : null;
        var code = ExitCode.Done;
        var done = 0;

        // Between the rows of a table they would be lost; each job keeps a bounded number. In one stream with the table they would also cut it.
        var refused = new List<string>();
        var warned = new List<(string Job, IReadOnlyList<Diagnostic> Found)>();
        try
        {
            foreach (var (job, found, problem) in outcomes)
            {
                if (found is not null)
                {
                    output.Add(done, found);
                    if (!quiet && found.Diagnostics.Any(static finding => finding.Severity != Severity.Note))
                    {
                        warned.Add((job, found.Diagnostics));
                    }
                }
                else
                {
                    code = ExitCode.Input;
                    output.AddFailed(job, problem!.Message);
                    if (mayShareStream)
                    {
                        refused.Add(problem.Message);
                    }
                    else
                    {
                        progress?.Clear();
                        Say(problem.Message);
                    }
                }

                done++;
                progress?.Report((double)done / jobs.Count);
            }

            output.End();
        }
        catch (IOException trouble) when (!target.IsFile && Result.IsClosedPipe(trouble))
        {
            // The reader of the pipe has seen enough.
            return code;
        }
        catch (OperationCanceledException) when (cancel.IsCancellationRequested && !target.IsFile && done > 0)
        {
            progress?.Clear();
            around.Error.Write(FormattableString.Invariant($"fumecast: interrupted after {done} of {jobs.Count} jobs; the result is not complete\n"));
            return ExitCode.Interrupted;
        }
        finally
        {
            progress?.Clear();
            refused.ForEach(Say);
            if (!quiet)
            {
                Findings.WriteFoldersLeftOut(around.Error, given);
            }

            Findings.WriteEach(around.Error, warned);
        }

        if (output.HasBegun)
        {
            outputs.Commit();
        }

        return code;

        void Say(string problem) => around.Error.Write($"fumecast: {DiagnosticText.Clean(problem)}\n");
    }

    /// <summary>The result in the form asked for; begun with the first row, so that nothing is written when no job can be used.</summary>
    private sealed class Table(Stream stream, string format, IReadOnlyList<string> jobs, double interval, TextStyle style, bool showsWarnings) : IDisposable
    {
        private readonly StreamWriter _text = new(stream, new UTF8Encoding(false), leaveOpen: true) { NewLine = "\n" };
        private EstimatesText? _page;
        private EstimatesJson? _json;
        private readonly List<string> _refused = [];
        private IReadOnlyList<string> _cautions = [];

        /// <summary>Whether anything was written.</summary>
        public bool HasBegun { get; private set; }

        public void Add(int at, JobEstimate estimate)
        {
            Begin();
            _cautions = estimate.Cautions;
            _json?.Add(estimate);
            _page?.Add(at, estimate);
            if (format == "csv")
            {
                EstimateCsv.WriteRow(_text, estimate);
            }

            _text.Flush();
            stream.Flush();
        }

        public void AddFailed(string job, string message)
        {
            _refused.Add(job);
            if (format == "json")
            {
                Begin();
                _json!.AddFailed(job, message);
            }
        }

        public void End()
        {
            _json?.End();
            _json?.Dispose();
            _json = null;
            _page?.End(_cautions, _refused, showsWarnings);
            _text.Flush();
            stream.Flush();
        }

        public void Dispose() => _json?.Dispose();

        private void Begin()
        {
            if (HasBegun)
            {
                return;
            }

            HasBegun = true;
            if (format == "json")
            {
                _json = new EstimatesJson(stream);
            }
            else if (format == "csv")
            {
                EstimateCsv.WriteHeader(_text);
            }
            else
            {
                _page = new EstimatesText(_text, jobs, interval, style);
                _page.Begin();
            }
        }
    }
}
