// SPDX-License-Identifier: MIT
using Fumecast.Air;

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
        var room = plan.Zones.FirstOrDefault(z => z != box && !z.Id.Equals("near", StringComparison.Ordinal)) ?? plan.Zones[0];
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
}
