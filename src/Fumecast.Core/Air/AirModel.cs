// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>A steady source that is not the printer.</summary>
/// <param name="Zone">Id of the zone it is in.</param>
/// <param name="Agent">What it gives off.</param>
/// <param name="PerS">How much [unit of the agent for each s], 0 or more.</param>
internal sealed record SteadySource(string Zone, Agent Agent, double PerS);

/// <summary>What is needed to follow particles by size, so that they may coagulate.</summary>
internal sealed record ParticleGrowth
{
    /// <summary>Effective density of the particles [g/cm3], over 0.</summary>
    public required double DensityGPerCm3 { get; init; }

    /// <summary>Geometric standard deviation of what the sources give off, at least 1, at most 3.5 [-].</summary>
    public required double SourceGsd { get; init; }

    /// <summary>How fast they coagulate; null for Brownian motion in air.</summary>
    public ICoagulationRate? Kernel { get; init; }
}

/// <summary>Zones, the air between them, and what takes agents out of it. Linear in every agent but the number of particles.</summary>
internal sealed record AirModel
{
    private const double MostFlowM3PerH = 1e6;

    // More than any building needs; the work for a step grows with the cube.
    private const int MostZones = 100;

    /// <summary>The zones, 1 to 100.</summary>
    public required IReadOnlyList<Zone> Zones { get; init; }

    /// <summary>The air between zones and outdoors.</summary>
    public IReadOnlyList<AirLoop> Loops { get; init; } = [];

    /// <summary>Filters with fans of their own.</summary>
    public IReadOnlyList<ZoneFilter> Filters { get; init; } = [];

    /// <summary>Levels outdoors [unit of the agent for each m3], 0 or more.</summary>
    public ByAgent OutdoorsPerM3 { get; init; } = ByAgent.Zero;

    /// <summary>Steady sources that are not the printer.</summary>
    public IReadOnlyList<SteadySource> Indoors { get; init; } = [];

    /// <summary>How particles grow by coagulation; null to leave their number linear.</summary>
    public ParticleGrowth? Particles { get; init; }

    /// <summary>The same air with nothing from outdoors and no other source: levels are then those added by the print.</summary>
    public AirModel WithoutBackground() => this with { OutdoorsPerM3 = ByAgent.Zero, Indoors = [] };

    /// <summary>The same air with clean air delivered to a zone all the time: a filter that misses nothing.</summary>
    /// <param name="zone">Id of the zone.</param>
    /// <param name="cleanAirM3PerH">Clean air [m3/h], 0 to 1e6; 0 changes nothing.</param>
    public AirModel WithCleanAir(string zone, double cleanAirM3PerH) => cleanAirM3PerH == 0 ? this : this with
    {
        Filters = [.. Filters, new ZoneFilter { Zone = zone, FlowM3PerH = cleanAirM3PerH, Efficiency = ByAgent.One, Name = "clean air" }],
    };

    /// <summary>Where a zone stands in <see cref="Zones"/>; -1 for <see cref="Zone.Outdoors"/>.</summary>
    /// <param name="place">Id of a zone, or <see cref="Zone.Outdoors"/>.</param>
    /// <exception cref="ArgumentException">There is no such zone.</exception>
    public int IndexOf(string place)
    {
        if (place == Zone.Outdoors)
        {
            return -1;
        }

        for (var i = 0; i < Zones.Count; i++)
        {
            if (Zones[i].Id == place)
            {
                return i;
            }
        }

        throw new ArgumentException($"there is no zone '{place}'; expected {string.Join(", ", Zones.Select(static z => z.Id))}, or {Zone.Outdoors}");
    }

    /// <summary>Whether two agents always behave alike: equal deposition and filters, whatever the schedules do. What comes from outdoors does not count.</summary>
    /// <param name="one">One agent.</param>
    /// <param name="other">The other.</param>
    public bool CarriesAlike(Agent one, Agent other)
    {
        foreach (var zone in Zones)
        {
            if (zone.DepositionPerH.Of(one) != zone.DepositionPerH.Of(other) || (zone.DepositionBySize is not null && one.IsParticles != other.IsParticles))
            {
                return false;
            }
        }

        return Filters.All(filter => filter.Efficiency.Of(one) == filter.Efficiency.Of(other))
            && Loops.All(loop => loop.Filters.All(filter => filter.Efficiency.Of(one) == filter.Efficiency.Of(other)));
    }

    /// <summary>Checks every number and name.</summary>
    /// <exception cref="ArgumentException">Something is out of range, or names a zone that is not there.</exception>
    public void Validate()
    {
        Demand(Zones.Count is > 0 and <= MostZones, string.Create(CultureInfo.InvariantCulture, $"there are {Zones.Count} zones; expected 1 to {MostZones}"));
        Demand(Zones.Select(static z => z.Id).Distinct().Count() == Zones.Count, "two zones have one id");
        foreach (var zone in Zones)
        {
            Demand(zone.Id.Length > 0 && zone.Id != Zone.Outdoors, $"a zone cannot be called '{zone.Id}'");
            Within(zone.VolumeM3, double.Epsilon, 1e7, $"volume of {zone.Id} [m3]");
            Within(zone.DepositionPerH, 0, 1e4, $"deposition in {zone.Id} [1/h]");
            if (zone.DepositionBySize is { } bySize)
            {
                Demand(Particles is not null, $"deposition by size in {zone.Id} needs the size of the particles");
                Within(bySize.PerH, 0, 1e4, $"deposition in {zone.Id} [1/h]");
                Within(bySize.ReferenceNm, 0.1, 1e6, $"reference diameter of deposition in {zone.Id} [nm]");
                Within(bySize.Power, 0, 2, $"power of deposition in {zone.Id} [-]");
            }
        }

        foreach (var loop in Loops)
        {
            Demand(loop.Through.Count >= 2, $"a loop needs two places, found {string.Join(", ", loop.Through)}");
            Demand(loop.Through.Distinct().Count() == loop.Through.Count, $"a loop goes through a place twice: {string.Join(", ", loop.Through)}");
            foreach (var place in loop.Through)
            {
                IndexOf(place);
            }

            Within(loop.FlowM3PerH, 0, MostFlowM3PerH, $"flow of {Called(loop)} [m3/h]");
            Within(loop.Penetration, 0, 1, $"penetration of {Called(loop)} [-]");
            foreach (var filter in loop.Filters)
            {
                Demand(loop.Through.Contains(filter.Before), $"a filter stands before '{filter.Before}', where {Called(loop)} does not go");
                Within(filter.Efficiency, 0, 1, $"efficiency in {Called(loop)} [-]");
                Within(filter.Bypass, 0, 1, $"bypass in {Called(loop)} [-]");
            }

            Check(loop.On, Called(loop));
        }

        foreach (var filter in Filters)
        {
            Demand(IndexOf(filter.Zone) >= 0, "a filter cannot stand outdoors");
            Within(filter.FlowM3PerH, double.Epsilon, MostFlowM3PerH, "flow of a filter [m3/h]");
            Within(filter.Efficiency, 0, 1, "efficiency of a filter [-]");
            Within(filter.Bypass, 0, 1, "bypass of a filter [-]");
            Within(filter.Mixing, 0, 1, "mixing of a filter [-]");
            Check(filter.On, "a filter");
        }

        Within(OutdoorsPerM3, 0, 1e30, "level outdoors [1/m3]");
        foreach (var source in Indoors)
        {
            Demand(IndexOf(source.Zone) >= 0, "a source cannot stand outdoors");
            Within(source.PerS, 0, 1e30, "a steady source [1/s]");
        }

        if (Particles is { } particles)
        {
            Within(particles.DensityGPerCm3, 0.01, 30, "density of the particles [g/cm3]");
            Within(particles.SourceGsd, 1, 3.5, "GSD of the particles [-]");
            Demand(
                (OutdoorsPerM3.Of(Agent.ParticleNumber) > 0) == (OutdoorsPerM3.Of(Agent.ParticleMass) > 0),
                "particles outdoors that are followed by size need number and mass");
        }
    }

    private static string Called(AirLoop loop) => loop.Name.Length > 0 ? $"'{loop.Name}'" : $"the loop {string.Join(", ", loop.Through)}";

    private static void Check(Schedule schedule, string what)
    {
        if (schedule.Problem() is { } problem)
        {
            throw new ArgumentException($"times of {what}: {problem}");
        }
    }

    private static void Within(ByAgent values, double low, double high, string what)
    {
        foreach (var value in values.Values)
        {
            Within(value, low, high, what);
        }
    }

    private static void Within(double value, double low, double high, string what)
    {
        if (!(value >= low && value <= high))
        {
            var least = low == double.Epsilon ? "more than 0" : low.ToString(CultureInfo.InvariantCulture);
            throw new ArgumentException(string.Create(CultureInfo.InvariantCulture, $"{what} is {value}; expected {least} to {high}"));
        }
    }

    private static void Demand(bool holds, string otherwise)
    {
        if (!holds)
        {
            throw new ArgumentException(otherwise);
        }
    }
}
