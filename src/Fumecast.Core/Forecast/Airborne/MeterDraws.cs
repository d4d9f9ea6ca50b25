// SPDX-License-Identifier: MIT
using Fumecast.Air;
using Fumecast.Emission;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>What one channel of a meter shows of a print in every draw, in a room as it is and in the room changed by a filter.</summary>
internal sealed record MeterDraws
{
    /// <summary>The meter.</summary>
    public required MeterKind Meter { get; init; }

    /// <summary>What it shows.</summary>
    public required MeterChannel Channel { get; init; }

    /// <summary>Unit of what it shows: <c>per_cm3</c> or <c>ug_per_m3</c>.</summary>
    public required string Unit { get; init; }

    /// <summary>What it shows without a print, at the middle of all figures [<see cref="Unit"/>]; 0 where nothing is stated about it.</summary>
    public required double WithoutPrint { get; init; }

    /// <summary>The room as it is, by draw.</summary>
    public required DrawnFall[] AsItIs { get; init; }

    /// <summary>The changed room, by draw.</summary>
    public required DrawnFall[] Changed { get; init; }

    /// <summary>Median and interval of draws.</summary>
    /// <param name="draws">The draws.</param>
    /// <param name="interval">Coverage [-].</param>
    public static Uncertain IntervalOf(double[] draws, double interval) => EmissionDraws.IntervalOf(draws, interval);
}

/// <summary>A print as a meter shows it in one draw.</summary>
/// <param name="IntegralH">Time integral of what is shown [unit h].</param>
/// <param name="LossPerH">How fast the level falls in the end: the slowest loss rate of the room, of its box or of what joins them [1/h], 0 where nothing leaves.</param>
internal readonly record struct DrawnFall(double IntegralH, double LossPerH);
