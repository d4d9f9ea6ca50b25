// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Air that goes round, as it is described: its flow as such, or as air changes of a zone.</summary>
internal sealed record LoopPlan
{
    /// <summary>Name to show; never empty.</summary>
    public required string Name { get; init; }

    /// <summary>The places in order, from each to the next and from the last to the first: ids of zones, and <see cref="Zone.Outdoors"/>.</summary>
    public required IReadOnlyList<string> Through { get; init; }

    /// <summary>Flow [m3/h], or air changes of <see cref="ChangesOf"/> [1/h].</summary>
    public required Figure Flow { get; init; }

    /// <summary>Id of the zone whose volume the flow is counted in; null when <see cref="Flow"/> is in m3/h.</summary>
    public string? ChangesOf { get; init; }

    /// <summary>When it flows.</summary>
    public Schedule On { get; init; } = Schedule.Always;

    /// <summary>Share that comes through when the air enters from outdoors [-]; all where not stated.</summary>
    public FigureByAgent Penetration { get; init; } = FigureByAgent.None;

    /// <summary>Filters that all its air passes.</summary>
    public IReadOnlyList<LoopFilterPlan> Filters { get; init; } = [];
}

/// <summary>A filter that all air of a loop passes.</summary>
/// <param name="Kind">What filter it is.</param>
/// <param name="Before">The place of the loop that the filtered air goes to.</param>
/// <param name="Bypass">Share of the air that slips past it [-].</param>
internal sealed record LoopFilterPlan(FilterKind Kind, string Before, Figure Bypass);

/// <summary>A filter with a fan of its own that takes air from a zone and gives it back there.</summary>
internal sealed record FilterPlan
{
    /// <summary>Name to show; never empty.</summary>
    public required string Name { get; init; }

    /// <summary>Id of the zone it stands in.</summary>
    public required string Zone { get; init; }

    /// <summary>What filter it is.</summary>
    public required FilterKind Kind { get; init; }

    /// <summary>Flow through its fan [m3/h].</summary>
    public required Figure FlowM3PerH { get; init; }

    /// <summary>Share of the air that slips past the medium [-].</summary>
    public required Figure Bypass { get; init; }

    /// <summary>Share of the flow that is air of the zone rather than what it just blew out [-]; null for all.</summary>
    public Figure? Mixing { get; init; }

    /// <summary>When it runs.</summary>
    public Schedule On { get; init; } = Schedule.Always;
}
