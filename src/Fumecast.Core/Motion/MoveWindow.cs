// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>The moves whose speeds are not settled yet, one array per quantity so that four moves are computed at once.</summary>
/// <remarks>
/// Every array has room for a whole vector behind the last move; those lanes are written over when a move takes their place.
/// Arrays that hold the command are overwritten in place by what follows from it (<see cref="AxisLimits"/>).
/// </remarks>
internal sealed class MoveWindow
{
    // Lanes behind the last move that whole vectors may touch.
    private const int Spare = 4;

    /// <summary>Direction of the nozzle along X [-]; the displacement [mm] until prepared.</summary>
    public double[] UnitX = [];

    /// <summary>Direction of the nozzle along Y [-]; the displacement [mm] until prepared.</summary>
    public double[] UnitY = [];

    /// <summary>Direction of the nozzle along Z [-]; the displacement [mm] until prepared.</summary>
    public double[] UnitZ = [];

    /// <summary>Filament per length of path [mm/mm]; the filament fed [mm] until prepared.</summary>
    public double[] Feed = [];

    /// <summary>Direction of the filament, +1 or -1, when it moves alone, else 0 [-].</summary>
    public double[] Alone = [];

    /// <summary>Length of the path [mm].</summary>
    public double[] Length = [];

    /// <summary>Square of the highest speed allowed [mm2/s2]; the commanded speed [mm/s] until prepared.</summary>
    public double[] TopSquared = [];

    /// <summary>Acceleration [mm/s2]; that of the kind of move until prepared.</summary>
    public double[] Accel = [];

    /// <summary>How much the square of the speed can change along the move: 2 a d [mm2/s2].</summary>
    public double[] Reach = [];

    /// <summary>The same in the pass that secures the minimum cruise ratio; smaller where a ratio is in force [mm2/s2].</summary>
    public double[] CalmReach = [];

    /// <summary>Square of the highest speed allowed where the move begins [mm2/s2].</summary>
    public double[] EntryCap = [];

    /// <summary>What each move does with filament.</summary>
    public MoveKind[] Kind = [];

    /// <summary>What travels with each move.</summary>
    public MovePayload[] Payload = [];

    public MoveWindow(int capacity) => Resize(capacity);

    /// <summary>Moves held [-].</summary>
    public int Count { get; set; }

    /// <summary>Moves, of those held, whose limits and junctions are computed [-].</summary>
    public int Prepared { get; set; }

    /// <summary>Moves that fit [-].</summary>
    public int Capacity { get; private set; }

    /// <summary>Makes room for more moves and keeps those held.</summary>
    public void Resize(int capacity)
    {
        var lanes = capacity + Spare;
        Array.Resize(ref UnitX, lanes);
        Array.Resize(ref UnitY, lanes);
        Array.Resize(ref UnitZ, lanes);
        Array.Resize(ref Feed, lanes);
        Array.Resize(ref Alone, lanes);
        Array.Resize(ref Length, lanes);
        Array.Resize(ref TopSquared, lanes);
        Array.Resize(ref Accel, lanes);
        Array.Resize(ref Reach, lanes);
        Array.Resize(ref CalmReach, lanes);
        Array.Resize(ref EntryCap, lanes);
        Array.Resize(ref Kind, lanes);
        Array.Resize(ref Payload, lanes);
        Capacity = capacity;
    }

    /// <summary>Drops the oldest moves; every move held must be prepared.</summary>
    public void Forget(int moves)
    {
        var rest = Count - moves;
        if (moves > 0 && rest > 0)
        {
            foreach (var column in (ReadOnlySpan<double[]>)[UnitX, UnitY, UnitZ, Feed, Alone, Length, TopSquared, Accel, Reach, CalmReach, EntryCap])
            {
                Array.Copy(column, moves, column, 0, rest);
            }

            Array.Copy(Kind, moves, Kind, 0, rest);
            Array.Copy(Payload, moves, Payload, 0, rest);
        }

        Count = rest;
        Prepared = rest;
    }
}
