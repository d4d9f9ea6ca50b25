// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>What is asked of the plan of a trial beyond room, filter and meter.</summary>
public sealed record PlanOptions
{
    /// <summary>How sure the trial is to show the difference, over 0.5 and below 1 [-]: for the number of repeats and the time to average.</summary>
    public double Certainty { get; init; } = 0.9;

    /// <summary>By how much two runs alike differ, the day's ventilation included: standard deviation of the logarithm of their levels, 0 to 3 [-]. An assumption; repeats would show it.</summary>
    public double RunToRun { get; init; } = 0.10;

    /// <summary>When the meter is switched on, by the clock on the wall; null for times from then on.</summary>
    public DateTime? Start { get; init; }
}
