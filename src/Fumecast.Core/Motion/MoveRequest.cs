// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>A straight move as commanded, before limits and neighbours are considered.</summary>
internal struct MoveRequest
{
    /// <summary>Displacement along X [mm].</summary>
    public double DxMm;

    /// <summary>Displacement along Y [mm].</summary>
    public double DyMm;

    /// <summary>Displacement along Z [mm].</summary>
    public double DzMm;

    /// <summary>Filament fed, negative when pulled back [mm].</summary>
    public double DeMm;

    /// <summary>Commanded speed along the path, or along the filament when the nozzle is still [mm/s]; over 0.</summary>
    public double SpeedMmPerS;

    /// <summary>What the move does with filament; chooses the acceleration.</summary>
    public MoveKind Kind;

    /// <summary>What travels with the move to the timed result.</summary>
    public MovePayload Payload;
}

/// <summary>What travels with a move from the request to the timed result; the planner does not look at it.</summary>
internal struct MovePayload
{
    /// <summary>Cross-section of the filament if the move deposits any, else 0 [mm2]; times the feed per length of path it gives the deposit per length.</summary>
    public double DepositAreaMm2;

    /// <summary>Share of the path on which the feed only refills what was retracted; deposition starts behind it, 0 to 1 [-].</summary>
    public double RefillShare;

    /// <summary>Whether the deposit belongs to the object (nozzle moving in the plane), not to a purge on the spot.</summary>
    public bool IsObject;
}
