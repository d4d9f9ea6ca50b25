// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Collects findings; one entry per code and subject, so its size does not grow with the file.</summary>
internal sealed class DiagnosticLog
{
    private const int MaxEntries = 500;
    private readonly Dictionary<(string Code, string Subject), int> _index = [];
    private readonly List<Diagnostic> _entries = [];
    private readonly Dictionary<string, long> _times = [];

    /// <summary>The findings in the order of their places; those without a place come last, in the order they were made.</summary>
    /// <remarks>What motion meets is found later than what the lines behind it say, so the order of finding would follow the planner's look-ahead.</remarks>
    public IReadOnlyList<Diagnostic> Entries =>
        [.. _entries.OrderBy(static entry => entry.Line > 0 ? entry.Line : long.MaxValue).ThenBy(static entry => entry.Column)];

    /// <summary>The first error, or null while the input is usable.</summary>
    public Diagnostic? FirstError { get; private set; }

    /// <summary>How often a code was reported, whatever the subject, and also beyond what is kept [-].</summary>
    /// <param name="code">Stable short name.</param>
    public long TimesOf(string code)
    {
        lock (_entries)
        {
            return _times.GetValueOrDefault(code);
        }
    }

    /// <summary>Adds a finding, or counts it if the same code and subject were seen before.</summary>
    /// <param name="severity">How much it matters.</param>
    /// <param name="code">Stable short name.</param>
    /// <param name="line">Line, 1-based; 0 when it has no place [-].</param>
    /// <param name="column">Column, 1-based; 0 when it has no place [-].</param>
    /// <param name="message">The sentence to show; that of the first occurrence is kept.</param>
    /// <param name="changesResult">Whether the numbers would differ if it were mended.</param>
    /// <param name="subject">What tells apart entries of one code, such as the name of an unknown command.</param>
    /// <param name="isOfOptions">Whether it concerns what was asked for and not the job.</param>
    public void Report(
        Severity severity, string code, long line, int column, string message, bool changesResult = false, string subject = "", bool isOfOptions = false)
    {
        _times[code] = _times.GetValueOrDefault(code) + 1;
        if (_index.TryGetValue((code, subject), out var at))
        {
            _entries[at] = _entries[at] with { Count = _entries[at].Count + 1 };
            return;
        }

        if (_entries.Count >= MaxEntries && severity != Severity.Error)
        {
            return;
        }

        var entry = new Diagnostic(code, severity, line, column, 1, message, changesResult) { IsOfOptions = isOfOptions };
        _index[(code, subject)] = _entries.Count;
        _entries.Add(entry);
        if (severity == Severity.Error)
        {
            FirstError ??= entry;
        }
    }
}
