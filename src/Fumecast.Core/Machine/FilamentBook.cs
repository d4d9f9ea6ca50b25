// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Machine;

/// <summary>What one tool fed and deposited, by the high-water rule: filament counts as deposited when it is fed beyond the farthest point before.</summary>
/// <remarks>
/// Retractions go below the mark, re-priming comes back up to it; neither deposits. Setting the logical position (G92) does not touch the book.
/// </remarks>
internal struct FilamentBook
{
    /// <summary>Less filament than any file can ask for: E words have at most 6 decimals [mm].</summary>
    private const double RoundingMm = 1e-9;

    /// <summary>Net filament fed since the start [mm].</summary>
    public double FedMm;

    /// <summary>Highest value of <see cref="FedMm"/> so far: the filament deposited [mm].</summary>
    public double HighWaterMm;

    /// <summary>The part deposited with the nozzle still [mm].</summary>
    public double PurgedMm;

    /// <summary>Filament pulled back and not yet re-primed [mm].</summary>
    public readonly double DeficitMm => HighWaterMm - FedMm;

    /// <summary>Books a feed and tells how much of it only refills.</summary>
    /// <param name="feedMm">Filament fed, negative when pulled back [mm].</param>
    /// <returns>The part of a positive feed that refills what was pulled back [mm], 0 to <paramref name="feedMm"/>.</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double Book(double feedMm)
    {
        var deficit = HighWaterMm - FedMm;
        FedMm += feedMm;
        if (FedMm - HighWaterMm > RoundingMm)
        {
            HighWaterMm = FedMm;
            return Math.Max(0, deficit);
        }

        // What a retraction took and re-priming gave back differs by rounding; it must neither deposit nor pile up.
        if (HighWaterMm - FedMm < RoundingMm)
        {
            FedMm = HighWaterMm;
        }

        return Math.Max(0, feedMm);
    }
}
