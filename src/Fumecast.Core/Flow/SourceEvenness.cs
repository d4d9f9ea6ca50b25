// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>How even the forecast emission is over the print phase, at the middle of all figures: what the air sees, where the flow is only its cause.</summary>
/// <param name="ParticleNumber">The particles, or null when none are given off.</param>
/// <param name="Tvoc">The volatile organic compounds, or null when none are given off.</param>
public sealed record SourceEvenness(AgentEvenness? ParticleNumber, AgentEvenness? Tvoc);

/// <summary>How even the emission of one agent is over the print phase.</summary>
/// <remarks>All times count from the first deposit, as the print phase does.</remarks>
public sealed record AgentEvenness
{
    /// <summary>Coefficient of variation of the rate in the bins of the forecast [-].</summary>
    public required double Cv { get; init; }

    /// <summary>Standard deviation over mean that the air leaves of the rate [-].</summary>
    public required double PlateauWander { get; init; }

    /// <summary>Start of the longest time during which the air stays within 10 % of its own middle there [s].</summary>
    public required double PlateauFromS { get; init; }

    /// <summary>End of that time [s].</summary>
    public required double PlateauToS { get; init; }

    /// <summary>From when on the air stays within 10 % of one level, or null if it does so for less than a time constant [s].</summary>
    public double? SettlesAfterS { get; init; }

    /// <summary>The grade of this agent alone.</summary>
    public required EvennessGrade Grade { get; init; }
}
