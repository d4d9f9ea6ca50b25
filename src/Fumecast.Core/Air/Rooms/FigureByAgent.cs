// SPDX-License-Identifier: MIT
using System.Collections.Frozen;
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>A figure with its spread that may differ by agent: one for particles, one for vapours, others for single agents.</summary>
internal sealed record FigureByAgent
{
    /// <summary>Nothing stated for any agent.</summary>
    public static FigureByAgent None { get; } = new();

    /// <summary>For particles, by number and by mass; null when not stated.</summary>
    public Figure? Particles { get; init; }

    /// <summary>For vapours; null when not stated.</summary>
    public Figure? Vapours { get; init; }

    /// <summary>For single agents, which win over the two groups, in the order of the file.</summary>
    public IReadOnlyList<AgentFigure> Single { get; init; } = [];

    /// <summary>The numbers at one value of each figure.</summary>
    /// <param name="valueOf">The value of a figure.</param>
    /// <param name="otherwise">For what is not stated.</param>
    public ByAgent At(Func<Figure, double> valueOf, double otherwise) => new()
    {
        Particles = Particles is { } particles ? valueOf(particles) : otherwise,
        Vapours = Vapours is { } vapours ? valueOf(vapours) : otherwise,
        Single = Single.Count == 0 ? FrozenDictionary<Agent, double>.Empty : Single.ToDictionary(static s => s.Agent, s => valueOf(s.Figure)),
    };

    /// <summary>Whether a figure of its own is stated for an agent.</summary>
    /// <param name="agent">The agent.</param>
    public bool HasOwn(Agent agent) => Single.Any(s => s.Agent == agent);

    /// <summary>Every figure with what it is for: <c>particles</c>, <c>vapours</c>, or the name of an agent.</summary>
    public IEnumerable<(string For, Figure Figure)> Figures()
    {
        if (Particles is { } particles)
        {
            yield return ("particles", particles);
        }

        if (Vapours is { } vapours)
        {
            yield return ("vapours", vapours);
        }

        foreach (var (agent, figure) in Single)
        {
            yield return (agent.Name, figure);
        }
    }
}

/// <summary>A figure for one agent.</summary>
/// <param name="Agent">The agent.</param>
/// <param name="Figure">The figure.</param>
internal sealed record AgentFigure(Agent Agent, Figure Figure);
