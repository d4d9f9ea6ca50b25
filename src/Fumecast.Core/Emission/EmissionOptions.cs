// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>How emission is calculated.</summary>
public sealed record EmissionOptions
{
    /// <summary>Coverage of the intervals, over 0 and below 1 [-].</summary>
    public double Interval { get; init; } = 0.9;

    /// <summary>Seed of the draws; the same seed gives the same intervals [-].</summary>
    public long Seed { get; init; } = 1;

    /// <summary>Whether residue in a nozzle counts, which evaporates when it gets hot; false for a nozzle that was purged before.</summary>
    public bool StartDose { get; init; } = true;

    /// <summary>Whether the nozzle temperature is the middle of what is usual for the material, because the job states none; then its range is drawn.</summary>
    public bool NozzleIsAssumed { get; init; }
}
