// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>How emission is calculated.</summary>
public sealed record EmissionOptions
{
    /// <summary>Coverage of the intervals, over 0 and below 1 [-].</summary>
    public double Interval { get; init; } = 0.9;

    /// <summary>Seed of the draws; the same seed gives the same intervals [-].</summary>
    public long Seed { get; init; } = 1;

    /// <summary>Whether the start burst counts; false for a nozzle that was purged before.</summary>
    public bool StartBurst { get; init; } = true;

    /// <summary>Exponent of the mass rate instead of the material's own [-]; null for that one.</summary>
    public double? FlowExponent { get; init; }

    /// <summary>Whether <see cref="EmissionAccumulator.LastBinRatesPerMin"/> is wanted.</summary>
    public bool WantsSeries { get; init; }
}
