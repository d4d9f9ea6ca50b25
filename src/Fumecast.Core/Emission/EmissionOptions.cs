// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>How emission is calculated.</summary>
internal sealed record EmissionOptions
{
    /// <summary>Coverage of the intervals, over 0 and below 1 [-].</summary>
    public double Interval { get; init; } = 0.9;

    /// <summary>Seed of the draws; the same seed gives the same intervals [-].</summary>
    public long Seed { get; init; } = 1;

    /// <summary>
    /// Share of the start dose that is in a nozzle at the start, 0 to 1 [-]: residue that evaporates when it gets hot. 0 for a nozzle that was purged
    /// before; what <see cref="EmissionAccumulator.StartDoseLeft"/> says of the job before, for a nozzle that goes on with another.
    /// </summary>
    public double StartDoseLeft { get; init; } = 1;
}
