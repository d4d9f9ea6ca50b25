// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>A move with its final speeds: speed up, cruise, slow down, each at constant acceleration.</summary>
/// <remarks>The length of the path is that of the nozzle, or of the filament when the nozzle stands still.</remarks>
internal struct TimedMove
{
    /// <summary>Length of the path [mm].</summary>
    public double LengthMm;

    /// <summary>Speed at the start [mm/s].</summary>
    public double StartMmPerS;

    /// <summary>Speed while cruising, the highest of the move [mm/s].</summary>
    public double PeakMmPerS;

    /// <summary>Speed at the end [mm/s].</summary>
    public double EndMmPerS;

    /// <summary>Acceleration while speeding up and slowing down [mm/s2].</summary>
    public double AccelMmPerS2;

    /// <summary>Time speeding up [s].</summary>
    public double SpeedUpS;

    /// <summary>Time cruising [s].</summary>
    public double CruiseS;

    /// <summary>Time slowing down [s].</summary>
    public double SlowDownS;

    /// <summary>Filament fed per length of path, negative when pulled back [mm/mm].</summary>
    public double FeedPerMm;

    /// <summary>What the move does with filament.</summary>
    public MoveKind Kind;

    /// <summary>What the request carried along.</summary>
    public MovePayload Payload;

    /// <summary>Whole duration [s].</summary>
    public readonly double DurationS => SpeedUpS + CruiseS + SlowDownS;
}

/// <summary>Receives moves in the order of time, and marks between them.</summary>
internal interface IMotionSink
{
    /// <summary>Takes the next moves; each starts when the one before it ends.</summary>
    /// <param name="moves">The moves; valid during the call only.</param>
    void Move(in TimedMoves moves);

    /// <summary>Takes a mark that was placed between two moves.</summary>
    /// <param name="id">The number it was placed with [-].</param>
    void Mark(int id);
}
