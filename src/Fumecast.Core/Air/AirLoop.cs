// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>Air that goes round: as much leaves each place as comes to it, so every zone is balanced by construction.</summary>
internal sealed record AirLoop
{
    /// <summary>Name to show.</summary>
    public string Name { get; init; } = "";

    /// <summary>The places in order, from each to the next and from the last to the first: ids of zones, and <see cref="Zone.Outdoors"/>. Two at least, each once.</summary>
    public required IReadOnlyList<string> Through { get; init; }

    /// <summary>Flow [m3/h], 0 to 1e6.</summary>
    public required double FlowM3PerH { get; init; }

    /// <summary>When it flows, as a share of <see cref="FlowM3PerH"/>.</summary>
    public Schedule On { get; init; } = Schedule.Always;

    /// <summary>Share of each agent that comes through when the air enters from outdoors, by cracks or by a filter there, 0 to 1 [-].</summary>
    public ByAgent Penetration { get; init; } = ByAgent.One;

    /// <summary>Filters on its way between places.</summary>
    public IReadOnlyList<LoopFilter> Filters { get; init; } = [];
}

/// <summary>A filter that all air of a loop passes on its way to one of its places.</summary>
/// <param name="Before">The place of the loop that the filtered air goes to.</param>
/// <param name="Efficiency">Share taken out in one pass, 0 to 1 [-].</param>
/// <param name="Bypass">Share of the air that slips past it, 0 to 1 [-].</param>
internal sealed record LoopFilter(string Before, ByAgent Efficiency, double Bypass = 0);

/// <summary>A filter with a fan of its own that takes air from a zone and gives it back there.</summary>
/// <remarks>Source: air reference, 4.2: clean air = efficiency (1 - bypass) mixing flow. Flow and tightness matter as much as efficiency does.</remarks>
internal sealed record ZoneFilter
{
    /// <summary>Name to show.</summary>
    public string Name { get; init; } = "";

    /// <summary>Id of the zone it stands in.</summary>
    public required string Zone { get; init; }

    /// <summary>Flow through its fan [m3/h], over 0, at most 1e6.</summary>
    public required double FlowM3PerH { get; init; }

    /// <summary>Share taken out in one pass, 0 to 1 [-].</summary>
    public required ByAgent Efficiency { get; init; }

    /// <summary>Share of the air that slips past the medium, 0 to 1 [-].</summary>
    public double Bypass { get; init; }

    /// <summary>Share of the flow that is air of the zone rather than what it just blew out, 0 to 1 [-].</summary>
    public double Mixing { get; init; } = 1;

    /// <summary>When it runs.</summary>
    public Schedule On { get; init; } = Schedule.Always;

    /// <summary>Clean air delivered for an agent while it runs in full [m3/h].</summary>
    /// <param name="agent">The agent.</param>
    public double CleanAirM3PerH(Agent agent) => Efficiency.Of(agent) * (1 - Bypass) * Mixing * FlowM3PerH;
}
