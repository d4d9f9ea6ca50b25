// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>Position, speed and their integrals inside a move: speed up, cruise, slow down, each at constant acceleration.</summary>
/// <remarks>
/// Since deposition is locked to the path, the volume between two times is the deposit per length times the path between them: exact,
/// never sampled. Each ramp is counted from its own outer end, so that results at both ends of the move are exact.
/// </remarks>
internal static class Trapezoid
{
    /// <summary>Plans one move with known speeds at its ends.</summary>
    /// <param name="lengthMm">Length of the path [mm], over 0.</param>
    /// <param name="startMmPerS">Speed at the start [mm/s], 0 or more.</param>
    /// <param name="endMmPerS">Speed at the end [mm/s], 0 or more; |v_e^2 - v_s^2| at most 2 a d.</param>
    /// <param name="topMmPerS">Highest speed allowed [mm/s], over 0 and not below the ends.</param>
    /// <param name="accelMmPerS2">Acceleration of both ramps [mm/s2], over 0.</param>
    /// <returns>The move; feed, kind and payload are left at their defaults.</returns>
    /// <remarks>Source: kinematics of constant acceleration; v_peak^2 = min(v_top^2, (v_s^2 + v_e^2) / 2 + a d).</remarks>
    public static TimedMove Plan(double lengthMm, double startMmPerS, double endMmPerS, double topMmPerS, double accelMmPerS2)
    {
        var startSquared = startMmPerS * startMmPerS;
        var endSquared = endMmPerS * endMmPerS;
        var reachable = (0.5 * (startSquared + endSquared)) + (accelMmPerS2 * lengthMm);
        var peak = Math.Max(Math.Sqrt(Math.Min(topMmPerS * topMmPerS, reachable)), Math.Max(startMmPerS, endMmPerS));
        var up = (peak - startMmPerS) / accelMmPerS2;
        var down = (peak - endMmPerS) / accelMmPerS2;
        var ramps = 0.5 * (((startMmPerS + peak) * up) + ((endMmPerS + peak) * down));
        return new TimedMove
        {
            LengthMm = lengthMm,
            StartMmPerS = startMmPerS,
            PeakMmPerS = peak,
            EndMmPerS = endMmPerS,
            AccelMmPerS2 = accelMmPerS2,
            SpeedUpS = up,
            CruiseS = Math.Max(0, lengthMm - ramps) / peak,
            SlowDownS = down,
        };
    }

    /// <summary>Path travelled since the start of the move.</summary>
    /// <param name="move">The move.</param>
    /// <param name="timeS">Time since its start [s]; times outside the move count as its ends.</param>
    /// <returns>Path [mm], 0 to the length.</returns>
    public static double PathAt(in TimedMove move, double timeS)
    {
        var leftS = move.DurationS - timeS;
        if (!(timeS > 0))
        {
            return 0;
        }

        if (!(leftS > 0))
        {
            return move.LengthMm;
        }

        if (timeS <= move.SpeedUpS)
        {
            return Math.Min(RampPath(move.StartMmPerS, move.AccelMmPerS2, timeS), move.LengthMm);
        }

        return leftS <= move.SlowDownS
            ? Math.Max(0, move.LengthMm - RampPath(move.EndMmPerS, move.AccelMmPerS2, leftS))
            : Math.Min(SpeedUpPath(move) + (move.PeakMmPerS * (timeS - move.SpeedUpS)), move.LengthMm);
    }

    /// <summary>Path travelled between two times.</summary>
    /// <param name="move">The move.</param>
    /// <param name="fromS">Earlier time since the start of the move [s].</param>
    /// <param name="toS">Later time since the start of the move [s].</param>
    /// <returns>Path [mm], 0 or more.</returns>
    public static double PathBetween(in TimedMove move, double fromS, double toS) => PathAt(move, toS) - PathAt(move, fromS);

    /// <summary>Speed along the path.</summary>
    /// <param name="move">The move.</param>
    /// <param name="timeS">Time since its start [s]; times outside the move count as its ends.</param>
    /// <returns>Speed [mm/s].</returns>
    public static double SpeedAt(in TimedMove move, double timeS)
    {
        var leftS = move.DurationS - timeS;
        if (timeS <= move.SpeedUpS)
        {
            return move.StartMmPerS + (move.AccelMmPerS2 * Math.Max(0, timeS));
        }

        return leftS <= move.SlowDownS ? move.EndMmPerS + (move.AccelMmPerS2 * Math.Max(0, leftS)) : move.PeakMmPerS;
    }

    /// <summary>Time at which a length of path has been travelled.</summary>
    /// <param name="move">The move.</param>
    /// <param name="pathMm">Path since the start of the move [mm]; lengths outside the move count as its ends.</param>
    /// <returns>Time since the start of the move [s], 0 to the duration.</returns>
    public static double TimeAt(in TimedMove move, double pathMm)
    {
        var leftMm = move.LengthMm - pathMm;
        if (!(pathMm > 0))
        {
            return 0;
        }

        if (!(leftMm > 0))
        {
            return move.DurationS;
        }

        var speedUpMm = SpeedUpPath(move);
        if (pathMm <= speedUpMm)
        {
            return Math.Min(RampTime(move.StartMmPerS, move.AccelMmPerS2, pathMm), move.DurationS);
        }

        return leftMm <= 0.5 * (move.EndMmPerS + move.PeakMmPerS) * move.SlowDownS
            ? Math.Max(0, move.DurationS - RampTime(move.EndMmPerS, move.AccelMmPerS2, leftMm))
            : Math.Min(move.SpeedUpS + ((pathMm - speedUpMm) / move.PeakMmPerS), move.DurationS);
    }

    /// <summary>Integral of the square of the speed between two times: what an exact variance of the flow needs.</summary>
    /// <param name="move">The move.</param>
    /// <param name="fromS">Earlier time since the start of the move [s].</param>
    /// <param name="toS">Later time since the start of the move [s].</param>
    /// <returns>Integral of v^2 dt [mm2/s].</returns>
    /// <remarks>Over a ramp from v0 to v1 the mean of v^2 is (v0^2 + v0 v1 + v1^2) / 3; exact, since each phase is integrated alone.</remarks>
    public static double SpeedSquaredBetween(in TimedMove move, double fromS, double toS)
    {
        var cruiseEndS = move.SpeedUpS + move.CruiseS;
        return Phase(move, fromS, toS, 0, move.SpeedUpS)
            + Phase(move, fromS, toS, move.SpeedUpS, cruiseEndS)
            + Phase(move, fromS, toS, cruiseEndS, move.DurationS);
    }

    private static double Phase(in TimedMove move, double fromS, double toS, double beginS, double endS)
    {
        var from = Math.Max(fromS, beginS);
        var to = Math.Min(toS, endS);
        if (!(to > from))
        {
            return 0;
        }

        var v0 = SpeedAt(move, from);
        var v1 = SpeedAt(move, to);
        return (to - from) * ((v0 * v0) + (v0 * v1) + (v1 * v1)) / 3;
    }

    private static double SpeedUpPath(in TimedMove move) => 0.5 * (move.StartMmPerS + move.PeakMmPerS) * move.SpeedUpS;

    private static double RampPath(double outerMmPerS, double accelMmPerS2, double timeS) =>
        timeS * (outerMmPerS + (0.5 * accelMmPerS2 * timeS));

    // The form of the root that does not subtract: s = v t + a t^2 / 2 with s over 0.
    private static double RampTime(double outerMmPerS, double accelMmPerS2, double pathMm) =>
        2 * pathMm / (outerMmPerS + Math.Sqrt((outerMmPerS * outerMmPerS) + (2 * accelMmPerS2 * pathMm)));
}
