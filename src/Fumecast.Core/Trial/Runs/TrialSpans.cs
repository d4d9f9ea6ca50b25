// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>The times of a run in hours of its log's count.</summary>
/// <param name="log">The log.</param>
/// <param name="notebook">The notebook.</param>
/// <param name="run">The run.</param>
internal sealed class TrialSpans(MeterLog log, Notebook notebook, NotebookRun run)
{
    private const double HourS = 3600;

    /// <summary>Longest time before a job and after its end that a fit goes by [h]: longer ones hold more of the day than of the print.</summary>
    public const double MostBeforeH = 2, MostAfterH = 4;

    /// <summary>First and last row [h].</summary>
    public double FirstH => log.FromS / HourS;

    /// <summary>End of the last row [h].</summary>
    public double EndH => (log.ToS + (log.IntervalS ?? 60)) / HourS;

    /// <summary>The notes on this run.</summary>
    public IReadOnlyList<(NotebookNote Note, double FromH, double ToH)> Notes { get; } = [.. notebook.Notes
        .Where(note => note.Run is null || note.Run == run.Name)
        .Select(note => (Note: note, From: note.From.In(log.Time, log.FromS), To: note.To.In(log.Time, log.FromS)))
        .Where(static one => one is { From: not null, To: not null })
        .Select(static one => (one.Note, one.From!.Value / HourS, one.To!.Value / HourS))];

    /// <summary>Spans that the notebook leaves out.</summary>
    public IReadOnlyList<(double FromH, double ToH)> LeftOut => [.. Notes.Where(static one => one.Note.LeaveOut).Select(static one => (one.FromH, one.ToH))];

    /// <summary>A stated moment [h].</summary>
    /// <param name="moment">The moment.</param>
    /// <param name="what">What it is of, for a message.</param>
    /// <exception cref="InputProblem">The log's clock cannot place it, or it lies far outside of the log.</exception>
    public double At(LogMoment moment, string what)
    {
        if (moment.In(log.Time, log.FromS) is not { } seconds)
        {
            throw new InputProblem($"{run.At}: run '{run.Name}': the {what} is a date, but the clock of {log.File} has none; give it as a time since the log began, such as 12 min, or as auto");
        }

        var hours = seconds / HourS;
        const double graceH = 12;
        return hours >= FirstH - graceH && hours <= EndH + graceH
            ? hours
            : throw new InputProblem($"{run.At}: run '{run.Name}': the {what} lies {Math.Abs(hours - Math.Clamp(hours, FirstH, EndH)):0.#} h outside of its log, which goes from {log.Time.Show(log.FromS)} to {log.Time.Show(log.ToS)}; is it the right day, or the right file? (auto looks for it)");
    }

    /// <summary>What the notebook says of a time; null where it says nothing.</summary>
    public string? NotedAt(double fromH, double? toH)
    {
        const double nearH = 0.5;
        var end = toH ?? fromH + nearH;
        var said = Notes.Where(one => one.FromH <= end && one.ToH >= fromH - nearH).Select(static one => one.Note.What).Distinct().ToArray();
        return said.Length == 0 ? null : string.Join("; ", said);
    }
}
