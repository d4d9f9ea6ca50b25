// SPDX-License-Identifier: MIT
using Fumecast.Forecast;

namespace Fumecast.Trial;

/// <summary>What is asked of the evaluation of a trial beyond its notebook.</summary>
public sealed record TrialOptions
{
    /// <summary>Coverage of all intervals [-], over 0 and below 1.</summary>
    public double Interval { get; init; } = 0.9;

    /// <summary>What is known of the jobs beyond their files.</summary>
    public EstimateOptions Jobs { get; init; } = new();

    /// <summary>What the logs do not say, beyond what the notebook does.</summary>
    public LogOptions Logs { get; init; } = new();
}
