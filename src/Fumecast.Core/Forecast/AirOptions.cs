// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Forecast;

/// <summary>What the user asks of a forecast of the air. A room by id or file, or described by a few values; what is not stated is an assumed range, and the result says so.</summary>
public sealed record AirOptions
{
    /// <summary>A room of ours, such as <c>bedroom-leaky-box</c>, or the path of a file; null for one described by the values below.</summary>
    public string? Room { get; init; }

    /// <summary>Volume of the room, with its unit, such as <c>30 m3</c> or <c>25 to 35 m3</c>; needed without <see cref="Room"/>.</summary>
    public string? Volume { get; init; }

    /// <summary>Air changes of the room with the outdoors, such as <c>0.5 1/h</c>; null for an assumed range.</summary>
    public string? AirChanges { get; init; }

    /// <summary>Volume of the air in a box around the printer, such as <c>0.12 m3</c>; null for an open printer.</summary>
    public string? Enclosure { get; init; }

    /// <summary>Flow through the leaks of the box, such as <c>0.5 m3/h</c>; null for an assumed range.</summary>
    public string? Leak { get; init; }

    /// <summary>A filter with a fan of its own in the box, else in the room: an id of ours or a file; null for none.</summary>
    public string? Filter { get; init; }

    /// <summary>Flow through that filter, such as <c>10 m3/h</c>; null for an assumed range.</summary>
    public string? FilterFlow { get; init; }

    /// <summary>Meters to look through: ids of ours or files.</summary>
    public IReadOnlyList<string> Meters { get; init; } = ["optical-pm"];

    /// <summary>Levels to fall below and to stay below, such as <c>styrene=30 ug/m3</c>.</summary>
    public IReadOnlyList<string> Levels { get; init; } = [];

    /// <summary>Whether to put remedies side by side.</summary>
    public bool Remedies { get; init; }

    /// <summary>Whether the air near the printer is a zone of its own.</summary>
    public bool NearField { get; init; }

    /// <summary>Whether levels over time are kept.</summary>
    public bool KeepSeries { get; init; }

    /// <summary>Coverage of all intervals, over 0 and below 1 [-].</summary>
    public double Interval { get; init; } = 0.9;

    /// <summary>Seed of the draws behind the intervals [-], those of the jobs too: it stands in the place of their own.</summary>
    public long Seed { get; init; }

    /// <summary>What is known of the jobs beyond their files; its interval and seed give way to those here.</summary>
    public EstimateOptions Jobs { get; init; } = new();
}

/// <summary>A source that is no print: rates over time of anything that gives off particles or vapours.</summary>
public sealed record GivenSource
{
    /// <summary>Id of the zone it stands in; null for the first of the room.</summary>
    public string? Zone { get; init; }

    /// <summary>When it begins, from the beginning of the run [s], 0 or more.</summary>
    public double StartS { get; init; }

    /// <summary>What it gives off, each once.</summary>
    public required IReadOnlyList<Agent> Agents { get; init; }

    /// <summary>Its stretches, one after the other: length [s] and a rate for each agent [unit of the agent for each s]. Read once, none is kept.</summary>
    public required IEnumerable<(double Seconds, IReadOnlyList<double> PerS)> Steps { get; init; }

    /// <summary>Geometric standard deviation of the rates of each agent, 1 or more [-]; absent ones are exact.</summary>
    public IReadOnlyDictionary<Agent, double> Gsd { get; init; } = new Dictionary<Agent, double>();

    /// <summary>Count median diameter of its particles [nm], over 0. The default is that of aged aerosol of prints.</summary>
    public double MedianDiameterNm { get; init; } = 35;

    /// <summary>Geometric standard deviation of their diameters, 1 to 3.5 [-].</summary>
    public double DiameterGsd { get; init; } = 1.75;

    /// <summary>Their effective density [g/cm3], over 0.</summary>
    public double DensityGPerCm3 { get; init; } = 1.1;
}
