// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>Shows on stderr what was found while reading, one line each; notes stay in the JSON.</summary>
internal static class Findings
{
    /// <summary>Writes the warnings.</summary>
    /// <param name="error">Where to write.</param>
    /// <param name="findings">What was found.</param>
    /// <param name="job">The job, where there are several.</param>
    public static void Write(TextWriter error, IReadOnlyList<Diagnostic> findings, string? job = null)
    {
        foreach (var finding in findings)
        {
            if (finding.Severity != Severity.Note)
            {
                var place = job is null ? "" : DiagnosticText.Clean(job) + ": ";
                error.Write($"fumecast: warning: {place}{DiagnosticText.Line(finding)}\n");
            }
        }
    }

    /// <summary>Writes the warnings of several jobs; what concerns the options comes first, once for all.</summary>
    /// <param name="error">Where to write.</param>
    /// <param name="jobs">Each job and what was found.</param>
    public static void WriteEach(TextWriter error, IReadOnlyList<(string Job, IReadOnlyList<Diagnostic> Found)> jobs)
    {
        Write(error, [.. jobs.SelectMany(static one => one.Found).Where(static finding => finding.IsOfOptions).DistinctBy(static finding => finding.Message)]);
        foreach (var (job, found) in jobs)
        {
            Write(error, [.. found.Where(static finding => !finding.IsOfOptions)], job);
        }
    }
}
