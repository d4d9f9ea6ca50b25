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
    private IReadOnlyList<(double FromH, double ToH)>? _leftOut;

    /// <summary>Longest time before a job and after its end that a fit goes by [h]: longer ones hold more of the day than of the print.</summary>
    public const double MostBeforeH = 2, MostAfterH = 4;

    /// <summary>How far from a print events are looked for [h].</summary>
    public const double MostOfDayH = 24;

    /// <summary>Starts of the other jobs whose log this is, as far as they are stated [h].</summary>
    private readonly double[] _otherStartsH = [.. notebook.Runs.Where(other => other != run && other.Log == run.Log && other.Start is { IsAuto: false })
        .Select(other => other.Start!.Value.In(log.Time, log.FromS) / HourS).OfType<double>()];

    /// <summary>The stretch about a print that is its own: as far as is asked for, not into another print of the same log; what that left in the air has half of the time between them to go.</summary>
    /// <param name="startH">Start of the job [h].</param>
    /// <param name="endH">End of its flow [h].</param>
    /// <param name="beforeH">How far before it at most [h].</param>
    /// <param name="afterH">How far after it at most [h].</param>
    public (double FromH, double ToH) Around(double startH, double endH, double beforeH, double afterH)
    {
        var length = endH - startH;
        var earlier = _otherStartsH.Where(other => other < startH - 0.01).Select(other => other + length + Math.Max(0, startH - other - length) / 2).DefaultIfEmpty(double.NegativeInfinity).Max();
        var later = _otherStartsH.Where(other => other > startH + 0.01).DefaultIfEmpty(double.PositiveInfinity).Min();
        return (Math.Max(FirstH, Math.Max(startH - beforeH, earlier)), Math.Min(EndH, Math.Min(endH + afterH, later)));
    }

    /// <summary>First and last row [h].</summary>
    public double FirstH => log.FromS / HourS;

    /// <summary>End of the last row [h].</summary>
    public double EndH => (log.ToS + (log.IntervalS ?? 60)) / HourS;

    /// <summary>The notes on this run.</summary>
    public IReadOnlyList<(NotebookNote Note, double FromH, double ToH)> Notes { get; } = [.. notebook.Notes
        .Where(note => note.Run is null || note.Run == run.Name)
        .Select(note => Placed(note, log))];

    /// <summary>Spans that the notebook leaves out.</summary>
    public IReadOnlyList<(double FromH, double ToH)> LeftOut => _leftOut ??= [.. Notes.Where(static one => one.Note.LeaveOut).Select(static one => (one.FromH, one.ToH))];

    /// <summary>A stated moment [h].</summary>
    /// <param name="moment">The moment.</param>
    /// <param name="what">What it is of, for a message.</param>
    /// <exception cref="InputProblem">The log's clock cannot place it, or it lies far outside of the log.</exception>
    public double At(LogMoment moment, string what)
    {
        if (moment.Offset is not null && log.Time.Offset is null)
        {
            throw new InputProblem($"{run.At}: run '{run.Name}': the {what} states a zone, but the clock of {log.File} has none; say which it is with zone: +01:00 in the notebook");
        }

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

    // A note that is silently dropped would leave in what was to be left out.
    private static (NotebookNote Note, double FromH, double ToH) Placed(NotebookNote note, MeterLog log)
    {
        if (note.From.In(log.Time, log.FromS) is not { } from || note.To.In(log.Time, log.FromS) is not { } to)
        {
            throw new InputProblem($"{note.At}: the note '{note.What}' cannot be placed in {log.File}: give 'from' and 'to' as the log counts time, not auto");
        }

        return from < to ? (note, from / HourS, to / HourS) : throw new InputProblem($"{note.At}: the note '{note.What}' ends before it begins; exchange 'from' and 'to'");
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
