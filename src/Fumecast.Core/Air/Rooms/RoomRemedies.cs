// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Rooms made of few figures, and rooms changed by a remedy. What a remedy leaves alone keeps its figures by reference, so it is drawn alike.</summary>
internal static class RoomRemedies
{
    private const string RoomId = "room";
    private const string BoxId = "box";
    private const double MPerMm = 1e-3;
    private const double SPerH = 3600;

    /// <summary>A room by its volume, perhaps with a box around the printer. What is not stated becomes an assumed range.</summary>
    /// <param name="volumeM3">Volume of the room [m3].</param>
    /// <param name="changesPerH">Air changes with the outdoors [1/h], or null.</param>
    /// <param name="boxM3">Volume of the air in the box [m3], or null for none.</param>
    /// <param name="leakM3PerH">Flow through the leaks of the box [m3/h], or null.</param>
    public static RoomPlan Simple(Figure volumeM3, Figure? changesPerH = null, Figure? boxM3 = null, Figure? leakM3PerH = null)
    {
        var room = new ZonePlan
        {
            Id = RoomId,
            VolumeM3 = volumeM3,
            Deposition = new FigureByAgent { Particles = AssumedAir.RoomDepositionPerH },
            DepositionAtNm = AssumedAir.DepositionAtNm,
        };
        var ventilation = new LoopPlan { Name = "ventilation", Through = [Zone.Outdoors, RoomId], Flow = changesPerH ?? AssumedAir.RoomChangesPerH, ChangesOf = RoomId };
        var plan = new RoomPlan { Id = RoomId, Description = "a room as the options describe it", Zones = [room], Loops = [ventilation] };
        if (boxM3 is not null)
        {
            var box = new ZonePlan
            {
                Id = BoxId,
                VolumeM3 = boxM3,
                Deposition = new FigureByAgent { Particles = AssumedAir.BoxDepositionPerH },
                DepositionAtNm = AssumedAir.DepositionAtNm,
                IsEnclosure = true,
            };
            var leaks = new LoopPlan
            {
                Name = "leaks of the box",
                Through = [BoxId, RoomId],
                Flow = leakM3PerH ?? AssumedAir.BoxLeakPerH,
                ChangesOf = leakM3PerH is null ? BoxId : null,
            };
            plan = plan with { Description = "a room with a box around the printer, as the options describe it", Zones = [box, room], Loops = [leaks, ventilation] };
        }

        return plan;
    }

    /// <summary>The room with one more filter where the printer stands: in its box, else in the first zone.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="kind">What filter.</param>
    /// <param name="flowM3PerH">Flow through it [m3/h]; null for an assumed range.</param>
    public static RoomPlan WithFilterByPrinter(this RoomPlan plan, FilterKind kind, Figure? flowM3PerH = null) => plan.Box is { } box
        ? plan.WithFilter(box.Id, kind, flowM3PerH ?? AssumedAir.BoxFilterFlowM3PerH)
        : plan.WithFilter(plan.Zones[0].Id, kind, flowM3PerH ?? AssumedAir.RoomFilterFlowM3PerH);

    /// <summary>The room with one more filter that has its own fan.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="zone">Id of the zone it stands in.</param>
    /// <param name="kind">What filter.</param>
    /// <param name="flowM3PerH">Flow through it [m3/h].</param>
    public static RoomPlan WithFilter(this RoomPlan plan, string zone, FilterKind kind, Figure flowM3PerH) => plan with
    {
        Filters = [.. plan.Filters, new FilterPlan { Name = Free($"{kind.Id} in {zone}", plan.Filters.Select(static f => f.Name)), Zone = zone, Kind = kind, FlowM3PerH = flowM3PerH, Bypass = kind.Bypass }],
    };

    /// <summary>The room with a window open all the time.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="zone">Id of the zone that has the window.</param>
    /// <param name="changesPerH">Further air changes by it [1/h].</param>
    public static RoomPlan WithWindow(this RoomPlan plan, string zone, Figure changesPerH) => plan with
    {
        Loops = [.. plan.Loops, new LoopPlan { Name = Free($"open window in {zone}", plan.Loops.Select(static l => l.Name)), Through = [Zone.Outdoors, zone], Flow = changesPerH, ChangesOf = zone }],
    };

    /// <summary>The room with a fan that blows the air of a zone outdoors all the time; a box gets its air from the room around it.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="zone">Id of the zone.</param>
    /// <param name="flowM3PerH">Flow of the fan [m3/h].</param>
    public static RoomPlan WithExhaust(this RoomPlan plan, string zone, Figure flowM3PerH)
    {
        var from = plan.Box?.Id == zone && plan.AroundBox() is { } around ? [Zone.Outdoors, around, zone] : new[] { Zone.Outdoors, zone };
        return plan with { Loops = [.. plan.Loops, new LoopPlan { Name = Free($"exhaust of {zone}", plan.Loops.Select(static l => l.Name)), Through = from, Flow = flowM3PerH }] };
    }

    /// <summary>The room without its box: the printer stands in the room. Filters and fans of the box go with it.</summary>
    /// <param name="plan">The room.</param>
    /// <returns>Null when there is no box, or no zone around it.</returns>
    public static RoomPlan? WithoutBox(this RoomPlan plan)
    {
        if (plan.Box is not { } box || plan.AroundBox() is not { } around)
        {
            return null;
        }

        return plan with
        {
            // The printer stands in the first zone.
            Zones = [plan.Zones.First(z => z.Id == around), .. plan.Zones.Where(z => z.Id != around && z != box)],
            Loops = [.. plan.Loops.Where(l => !l.Through.Contains(box.Id))],
            Filters = [.. plan.Filters.Where(f => f.Zone != box.Id)],
            Indoors = [.. plan.Indoors.Select(s => s.Zone == box.Id ? s with { Zone = around } : s)],
            Prints = [.. plan.Prints.Select(p => p.Zone == box.Id ? p with { Zone = around } : p)],
        };
    }

    /// <summary>The room with a part near the printer on its own: a hemisphere, with as much air through its surface as moves about in the room.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="zone">Id of the zone that the printer, or the box around it, stands in.</param>
    /// <param name="radiusM">Radius of the hemisphere [m], over 0.</param>
    /// <param name="speed">Air speed through its surface [mm/s]; null for <see cref="AssumedAir.NearAirSpeed"/>.</param>
    /// <returns>Null when the hemisphere takes up more than half of the zone.</returns>
    /// <remarks>Flow = half of the free surface times the speed: air reference, 5.2 (the form there is from memory) and W5.16.</remarks>
    public static RoomPlan? WithNearField(this RoomPlan plan, string zone, double radiusM = AssumedAir.NearRadiusM, Figure? speed = null)
    {
        var id = Free("near", plan.Zones.Select(static z => z.Id));
        var far = plan.Zones.First(z => z.Id == zone);
        var volumeM3 = 2 * Math.PI / 3 * radiusM * radiusM * radiusM;
        if (volumeM3 > far.VolumeM3.Value / 2)
        {
            return null;
        }

        var air = speed ?? AssumedAir.NearAirSpeed;
        var m3PerHPerSpeed = NearFlowM3PerH(radiusM, 1 * MPerMm * SPerH);
        var flow = air with
        {
            Quantity = Quantity.AirFlow,
            Value = air.Value * m3PerHPerSpeed,
            Range = air.Range is { } r ? (r.Low * m3PerHPerSpeed, r.High * m3PerHPerSpeed) : null,
        };
        var near = new ZonePlan
        {
            Id = id,
            IsNear = true,
            VolumeM3 = new Figure { Quantity = Quantity.AirVolume, Value = volumeM3, Origin = air.Origin },
            Deposition = far.Deposition,
            DepositionAtNm = far.DepositionAtNm,
        };

        // Prints of the zone, and air that a box shares with it alone, now meet the air near the printer. Filters, other sources and the way outdoors stay with the rest of the zone.
        var isFirst = plan.Zones[0].Id == zone;
        return plan with
        {
            Zones = [.. isFirst ? [near] : Array.Empty<ZonePlan>(), .. plan.Zones.Select(z => z == far ? z with { NearM3 = volumeM3 } : z), .. isFirst ? [] : new[] { near }],
            Loops =
            [
                new LoopPlan { Name = "air around the printer", Through = [id, zone], Flow = flow },
                .. plan.Loops.Select(l => plan.Box is { } box && l.Through.Contains(box.Id) && !l.Through.Contains(Zone.Outdoors)
                    ? l with { Through = [.. l.Through.Select(place => place == zone ? id : place)] }
                    : l),
            ],
            Prints = [.. plan.Prints.Select(p => p.Zone == zone ? p with { Zone = id } : p)],
        };
    }

    /// <summary>Flow of air through the surface of a hemisphere [m3/h].</summary>
    /// <param name="radiusM">Its radius [m].</param>
    /// <param name="speedMPerH">Air speed [m/h].</param>
    internal static double NearFlowM3PerH(double radiusM, double speedMPerH) => 0.5 * 2 * Math.PI * radiusM * radiusM * speedMPerH;

    /// <summary>Id of the zone around the box: the first one that shares a loop with it; null when there is none.</summary>
    /// <param name="plan">The room.</param>
    public static string? AroundBox(this RoomPlan plan) => plan.Box is { } box
        ? plan.Loops.Where(l => l.Through.Contains(box.Id)).SelectMany(static l => l.Through).FirstOrDefault(place => place != box.Id && place != Zone.Outdoors)
        : null;

    private static string Free(string name, IEnumerable<string> taken)
    {
        var all = taken.ToHashSet();
        var free = name;
        for (var i = 2; all.Contains(free); i++)
        {
            free = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{name} ({i})");
        }

        return free;
    }
}
