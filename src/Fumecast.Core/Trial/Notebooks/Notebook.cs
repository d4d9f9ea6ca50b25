// SPDX-License-Identifier: MIT
using Fumecast.Air;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>What was done in a trial, and when.</summary>
internal sealed record Notebook
{
    /// <summary>The file it was read from; empty when it was made of options.</summary>
    public required string File { get; init; }

    /// <summary>The room; null where only decays of stated volumes were run.</summary>
    public RoomPlan? Room { get; init; }

    /// <summary>The meter's kind; null where none is named.</summary>
    public MeterKind? Meter { get; init; }

    /// <summary>What was printed, where the jobs do not say; null where they do.</summary>
    public string? Material { get; init; }

    /// <summary>Zone that the meter stood in; null for the room around the printer.</summary>
    public string? MeterIn { get; init; }

    /// <summary>What columns of the logs hold, where their headers are not understood.</summary>
    public IReadOnlyList<KeyValuePair<string, string>> Columns { get; init; } = [];

    /// <summary>Order of day and month in the logs; null to decide it from them.</summary>
    public DateOrder? DateOrder { get; init; }

    /// <summary>Zone of the logs' clock where they do not state one.</summary>
    public string? ClockZone { get; init; }

    /// <summary>How windows, doors and fans were held, in the user's words; empty where nothing is said, which results then say.</summary>
    public IReadOnlyList<KeyValuePair<string, string>> Held { get; init; } = [];

    /// <summary>Loss rate of the room as it is known beforehand [1/h]; null leaves it to the logs.</summary>
    public Figure? LossPerH { get; init; }

    /// <summary>By how much the emission for each gram may differ from run to run: standard deviation of its logarithm [-].</summary>
    public double EmissionDeviation { get; init; } = 0.10;

    /// <summary>By how much two runs alike differ, the day's ventilation included: standard deviation of the logarithm of their levels [-].</summary>
    public double RunToRun { get; init; } = EffectTest.UsualRunToRun;

    /// <summary>The runs, at least one.</summary>
    public required IReadOnlyList<NotebookRun> Runs { get; init; }

    /// <summary>What happened meanwhile.</summary>
    public IReadOnlyList<NotebookNote> Notes { get; init; } = [];

    /// <summary>Which runs are held against each other: base and other; empty for every run with a filter against the first without.</summary>
    public IReadOnlyList<(string Base, string Run)> Pairs { get; init; } = [];
}

/// <summary>One run: a log and what was done while it was kept.</summary>
internal sealed record NotebookRun
{
    /// <summary>Its name, unique in the notebook.</summary>
    public required string Name { get; init; }

    /// <summary>The log, as a path that can be opened.</summary>
    public required string Log { get; init; }

    /// <summary>The job, as a path that can be opened; null for a control and for a decay.</summary>
    public string? Job { get; init; }

    /// <summary>When the job was started; null where none was.</summary>
    public LogMoment? Start { get; init; }

    /// <summary>What was fitted; null for none.</summary>
    public string? Filter { get; init; }

    /// <summary>Bounds of the decay that is read; null for a run that is no decay.</summary>
    public (LogMoment From, LogMoment To)? Decay { get; init; }

    /// <summary>Volume that a decay is read in [m3]; null for that of the room.</summary>
    public Figure? VolumeM3 { get; init; }

    /// <summary>Level without what was put into the air, where the log does not hold it [unit of the quantity]; null to take it from the log.</summary>
    public double? Background { get; init; }

    /// <summary>Whether no job ran and no decay is read: it shows how the meter wanders by itself.</summary>
    public bool IsControl => Job is null && Decay is null;

    /// <summary>Place in the notebook, for messages.</summary>
    public string At { get; init; } = "";
}

/// <summary>Something that happened.</summary>
/// <param name="Run">The run; null for all.</param>
/// <param name="From">When it began.</param>
/// <param name="To">When it ended.</param>
/// <param name="What">What it was.</param>
/// <param name="LeaveOut">Whether the readings of that time are left out of the fit.</param>
/// <param name="At">Place in the notebook, for messages.</param>
internal sealed record NotebookNote(string? Run, LogMoment From, LogMoment To, string What, bool LeaveOut, string At);
