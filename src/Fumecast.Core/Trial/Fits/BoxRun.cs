// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>One run of a trial as the estimators take it: what the meter showed, what the job laid down, when and where.</summary>
internal sealed record BoxRun
{
    /// <summary>What the meter showed.</summary>
    public required RunRecords Records { get; init; }

    /// <summary>What the job laid down.</summary>
    public required FlowSteps Flow { get; init; }

    /// <summary>When the job was started, on the clock of the records [h].</summary>
    public required double JobStartH { get; init; }

    /// <summary>Standard deviation of the stated start [h]; 0 when it is known to the minute.</summary>
    public double StartDeviationH { get; init; }

    /// <summary>Air in the room [m3].</summary>
    public required double VolumeM3 { get; init; }

    /// <summary>Whether the printer stands in an enclosure, whose air is filled first.</summary>
    public bool IsEnclosed { get; init; }
}

/// <summary>What is thought of a run before its log is seen.</summary>
/// <remarks>The printer heats before it gives anything off: a delay of 5 min, give or take 2. Deviations of delay and drift: trial methods, 1 and 2.</remarks>
internal sealed record BoxPriors
{
    /// <summary>From the start of the job to the first emission [h].</summary>
    public double DelayH { get; init; } = 5.0 / 60;

    /// <summary>Standard deviation of the delay, the start being known exactly [h].</summary>
    public double DelayDeviationH { get; init; } = 2.0 / 60;

    /// <summary>Standard deviation of the drift of the background [unit of the readings for each h].</summary>
    public double DriftDeviationPerH { get; init; } = 0.10;

    /// <summary>Loss rate of the room where it is known beforehand [1/h]; null when the log alone shall tell.</summary>
    public (double PerH, double LogDeviation)? LossPerH { get; init; }
}
