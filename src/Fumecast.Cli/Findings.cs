// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>Shows on stderr what was found while reading, one line each; notes stay in the JSON.</summary>
internal static class Findings
{
    /// <summary>Writes the warnings.</summary>
    public static void Write(TextWriter error, IReadOnlyList<Diagnostic> findings)
    {
        foreach (var finding in findings)
        {
            if (finding.Severity != Severity.Note)
            {
                error.Write($"fumecast: warning: {DiagnosticText.Line(finding)}\n");
            }
        }
    }
}
