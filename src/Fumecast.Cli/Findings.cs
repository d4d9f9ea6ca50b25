// SPDX-License-Identifier: MIT
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>Shows on stderr what was found while reading, one line each; notes stay in the JSON.</summary>
internal static class Findings
{
    private const int MostFoldersNamed = 5;

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

    /// <summary>Says which folders were not searched for jobs.</summary>
    /// <param name="error">Where to write.</param>
    /// <param name="given">Jobs and folders as the user named them.</param>
    public static void WriteFoldersLeftOut(TextWriter error, IEnumerable<string> given)
    {
        foreach (var (folder, inner) in JobList.FoldersLeftOut(given))
        {
            var named = string.Join(", ", inner.Take(MostFoldersNamed)) + (inner.Count > MostFoldersNamed ? Amounts.Invariant($" and {inner.Count - MostFoldersNamed} more") : "");
            error.Write(DiagnosticText.Clean($"fumecast: warning: {folder}: folders in it are not searched; name them too if their jobs are meant: {named}") + "\n");
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
