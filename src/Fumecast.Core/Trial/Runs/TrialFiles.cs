// SPDX-License-Identifier: MIT
using Fumecast.GCode;

namespace Fumecast.Trial;

/// <summary>The logs and jobs of a notebook, each read once.</summary>
/// <param name="notebook">The notebook.</param>
/// <param name="options">What is asked.</param>
/// <param name="cancel">Stops the work.</param>
internal sealed class TrialFiles(Notebook notebook, TrialOptions options, CancellationToken cancel)
{
    private readonly Dictionary<string, MeterLog> _logs = [];
    private readonly Dictionary<string, JobOfRun> _jobs = [];

    /// <summary>What was found in them, with the file before each message.</summary>
    public IEnumerable<Diagnostic> Diagnostics => _logs.Values.SelectMany(static log => log.Diagnostics.Select(finding => finding with { Line = 0, Column = 0, Message = $"{log.File}{(finding.Line > 0 ? FormattableString.Invariant($", line {finding.Line}") : "")}: {finding.Message}" }))
        .Concat(_jobs.Values.SelectMany(static job => job.Estimate.Diagnostics.Where(static finding => finding.Severity == Severity.Warning).Select(finding => finding with { Line = 0, Column = 0, Message = $"{job.File}{(finding.Line > 0 ? FormattableString.Invariant($", line {finding.Line}") : "")}: {finding.Message}" })));

    /// <summary>The log of a run.</summary>
    public MeterLog Log(NotebookRun run)
    {
        if (!_logs.TryGetValue(run.Log, out var log))
        {
            log = MeterLogReader.Read(run.Log, options.Logs with
            {
                Columns = options.Logs.Columns.Count > 0 ? options.Logs.Columns : notebook.Columns,
                DateOrder = options.Logs.DateOrder ?? notebook.DateOrder,
                Zone = options.Logs.Zone ?? notebook.ClockZone,
            }, cancel);
            _logs.Add(run.Log, log);
        }

        return log;
    }

    /// <summary>The job of a run.</summary>
    public JobOfRun Job(NotebookRun run)
    {
        var path = run.Job!;
        if (!_jobs.TryGetValue(path, out var job))
        {
            var jobs = options.Jobs with { Interval = options.Interval };
            job = JobOfRun.Read(path, jobs.NamesMaterial || notebook.Material is null ? jobs : jobs with { MaterialIfUnknown = jobs.MaterialIfUnknown ?? notebook.Material }, cancel);
            _jobs.Add(path, job);
        }

        return job;
    }
}
