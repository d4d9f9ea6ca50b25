// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>How much a finding about the input matters.</summary>
public enum Severity
{
    /// <summary>Worth knowing; the result does not depend on it.</summary>
    Note,

    /// <summary>The result may be affected; see <see cref="Diagnostic.ChangesResult"/>.</summary>
    Warning,

    /// <summary>The input cannot be used as it is.</summary>
    Error,
}

/// <summary>Something found while reading or interpreting a job, reported once per code with its first place and a count.</summary>
/// <param name="Code">Stable short name, lower case with dashes, for scripts.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Line">Line of the first occurrence, 1-based; 0 when it has no place [-].</param>
/// <param name="Column">Column of the first occurrence, 1-based; 0 when it has no place [-].</param>
/// <param name="Count">How often it occurred [-].</param>
/// <param name="Message">What was found, what it means and how to mend it, in one line.</param>
/// <param name="ChangesResult">Whether the numbers would differ if it were mended; <c>--strict</c> turns such warnings into errors.</param>
public sealed record Diagnostic(
    string Code, Severity Severity, long Line, int Column, long Count, string Message, bool ChangesResult = false)
{
    /// <summary>Whether it concerns what was asked for and not the job, so that it is the same for every job of a run.</summary>
    public bool IsOfOptions { get; init; }
}
