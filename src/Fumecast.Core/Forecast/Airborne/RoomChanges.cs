// SPDX-License-Identifier: MIT
using Fumecast.Air;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>The remedies that can be tried in a room.</summary>
internal static class RoomChanges
{
    /// <summary>Its name for the room that nothing is changed in.</summary>
    public const string AsItIs = "as it is";

    /// <summary>The room as it is, then with one remedy each.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="filters">Filters to try, with fans of their own.</param>
    public static IEnumerable<(string Name, RoomPlan Plan)> Of(RoomPlan plan, IReadOnlyList<FilterKind> filters)
    {
        yield return (AsItIs, plan);
        if (plan.WithoutBox() is { } open)
        {
            yield return ("without the box", open);
        }

        // Remedies act where the printer stands; a window opens where people are.
        var box = plan.Box;
        var room = plan.Zones.FirstOrDefault(static z => !z.IsEnclosure && !z.IsNear) ?? plan.Zones[0];
        var (at, place, flow) = box is not null
            ? (box.Id, "the box", AssumedAir.BoxFilterFlowM3PerH)
            : (room.Id, room.Id == "room" ? "the room" : room.Id, AssumedAir.RoomFilterFlowM3PerH);
        foreach (var kind in filters)
        {
            yield return ($"{kind.Name} in {place}", plan.WithFilter(at, kind, flow));
        }

        yield return ("window open", plan.WithWindow(room.Id, AssumedAir.WindowChangesPerH));
        yield return ($"exhaust fan from {place}", plan.WithExhaust(at, AssumedAir.ExhaustM3PerH));
    }

    /// <summary>The figures that the remedies bring into a room, each once: what their table rests on beside the room's own.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="filters">Filters to try.</param>
    public static IReadOnlyList<RoomFigure> Brought(RoomPlan plan, IReadOnlyList<FilterKind> filters)
    {
        var own = plan.Figures.Select(static f => f.Figure).ToHashSet(ReferenceEqualityComparer.Instance);
        var brought = new Dictionary<Figure, RoomFigure>(ReferenceEqualityComparer.Instance);
        var order = new List<Figure>();
        foreach (var named in Of(plan, filters).SelectMany(static changed => changed.Plan.Figures).Where(f => !own.Contains(f.Figure)))
        {
            if (brought.TryAdd(named.Figure, named))
            {
                order.Add(named.Figure);
            }
            else if (brought[named.Figure].Name != named.Name)
            {
                // One fan stands in for all filters.
                brought[named.Figure] = named with { Name = $"{named.Name.Split(", ")[0]}, each filter that is tried" };
            }
        }

        return [.. order.Select(figure => brought[figure])];
    }
}
