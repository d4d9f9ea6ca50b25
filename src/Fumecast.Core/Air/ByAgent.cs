// SPDX-License-Identifier: MIT
using System.Collections.Frozen;
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>A number that may differ by agent: one for particles, one for vapours, others for single agents.</summary>
internal sealed record ByAgent
{
    /// <summary>0 for every agent.</summary>
    public static ByAgent Zero { get; } = new();

    /// <summary>1 for every agent.</summary>
    public static ByAgent One { get; } = All(1);

    /// <summary>Value for particles, by number and by mass.</summary>
    public double Particles { get; init; }

    /// <summary>Value for vapours.</summary>
    public double Vapours { get; init; }

    /// <summary>Values of single agents, which win over the two groups.</summary>
    public IReadOnlyDictionary<Agent, double> Single { get; init; } = FrozenDictionary<Agent, double>.Empty;

    /// <summary>The same number for every agent.</summary>
    /// <param name="value">The number.</param>
    public static ByAgent All(double value) => new() { Particles = value, Vapours = value };

    /// <summary>A number for one agent, 0 for all others.</summary>
    /// <param name="agent">The agent.</param>
    /// <param name="value">The number.</param>
    public static ByAgent Only(Agent agent, double value) => new() { Single = new Dictionary<Agent, double> { [agent] = value } };

    /// <summary>The number for an agent.</summary>
    /// <param name="agent">The agent.</param>
    public double Of(Agent agent) => Single.TryGetValue(agent, out var value) ? value : agent.IsParticles ? Particles : Vapours;

    /// <summary>Every number it holds.</summary>
    public IEnumerable<double> Values => [Particles, Vapours, .. Single.Values];
}
