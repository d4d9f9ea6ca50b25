// SPDX-License-Identifier: MIT
using Fumecast.GCode;

namespace Fumecast.Report;

/// <summary>A finding in one line.</summary>
internal static class DiagnosticText
{
    /// <summary>Replaces control characters, so that what a file holds can neither break the line nor steer the terminal.</summary>
    /// <param name="text">The text.</param>
    public static string Clean(string text) => TextPage.Clean(text);

    /// <summary>The finding's place, message and count: <c>line 12: no such macro (3 times)</c>.</summary>
    /// <param name="found">The finding.</param>
    public static string Line(Diagnostic found)
    {
        var place = found.Line > 0 ? Amounts.Invariant($"line {found.Line}: ") : "";
        var times = found.Count > 1 ? Amounts.Invariant($" ({found.Count} times)") : "";
        return TextPage.Clean(place + found.Message + times);
    }
}
