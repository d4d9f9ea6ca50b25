// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Forecast;

/// <summary>All that a forecast of the air needs, read and checked.</summary>
internal sealed record AirRequest
{
    /// <summary>The room.</summary>
    public required RoomPlan Plan { get; init; }

    /// <summary>What gives off in it, at least one.</summary>
    public required IReadOnlyList<PlacedSource> Sources { get; init; }

    /// <summary>Coverage of intervals [-].</summary>
    public double Interval { get; init; } = 0.9;

    /// <summary>Seed of the draws.</summary>
    public long Seed { get; init; }

    /// <summary>Guidelines to hold levels against.</summary>
    public IReadOnlyList<Guideline> Guidelines { get; init; } = [];

    /// <summary>Meters to look through.</summary>
    public IReadOnlyList<MeterKind> Meters { get; init; } = [];

    /// <summary>Levels the user names [units of results].</summary>
    public IReadOnlyList<(Agent Agent, double Level)> Levels { get; init; } = [];

    /// <summary>Filters to try as remedies; null for no remedies at all.</summary>
    public IReadOnlyList<FilterKind>? RemedyFilters { get; init; }

    /// <summary>Whether jobs were named in place of the prints that the room lists.</summary>
    public bool LeavesOutPrints { get; init; }

    /// <summary>Jobs that were named more than once, and how often.</summary>
    public IReadOnlyList<(string Job, int Times)> NamedAgain { get; init; } = [];

    /// <summary>Whether levels over time are kept.</summary>
    public bool KeepSeries { get; init; }

    /// <summary>About how many cells the grid of the draws has: so few that a draw is cheap; four times as many move ends of intervals by less than a percent.</summary>
    public int GridCells { get; init; } = 160;
}
