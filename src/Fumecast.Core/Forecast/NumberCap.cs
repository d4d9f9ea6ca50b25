// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;

namespace Fumecast.Forecast;

/// <summary>Tells where the cap on particle rates, and no measurement, sets the upper end of an interval.</summary>
internal static class NumberCap
{
    /// <summary>Share of the cap from which a peak counts as held by it: its bin may begin or end below [-].</summary>
    private const double HeldShare = 0.95;

    /// <summary>Marks number and mass of particles, which is cut with the number.</summary>
    /// <param name="agents">What is given off.</param>
    /// <param name="emission">The job; the cap is one for each nozzle, so that two hot nozzles together may lie above it.</param>
    public static IReadOnlyList<AgentEmission> Mark(IReadOnlyList<AgentEmission> agents, EmissionAccumulator emission)
    {
        if (emission.CapThatHolds(HeldShare) is not { } capPerMin)
        {
            return agents;
        }

        var words = string.Create(CultureInfo.InvariantCulture, $"the model's cap on particle rates, {capPerMin:0e0} a minute");
        return [.. agents.Select(agent => agent.Agent.IsParticles ? agent with { HighCappedBy = words } : agent)];
    }
}
