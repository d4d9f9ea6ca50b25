// SPDX-License-Identifier: MIT
using Fumecast.Air;

namespace Fumecast.Forecast;

/// <summary>A job in a room without and with a filter, through the eyes of meters.</summary>
/// <param name="Air">The air without the filter; settings, sources and cautions hold the filter, too.</param>
/// <param name="Room">The room without the filter.</param>
/// <param name="Zone">Zone that the meters stand in: the room around the box, else the first.</param>
/// <param name="Filter">What filter.</param>
/// <param name="Seen">What the meters show in each draw.</param>
internal sealed record FilterOutlook(AirOutcome Air, RoomPlan Room, ZonePlan Zone, FilterKind Filter, IReadOnlyList<MeterDraws> Seen);
