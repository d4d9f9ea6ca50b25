// SPDX-License-Identifier: MIT
using Fumecast.Motion;

namespace Fumecast.Tests.Referees;

/// <summary>A sink that keeps everything, and short ways to drive a planner in tests.</summary>
internal sealed class MotionRun : IMotionSink
{
    public List<TimedMove> Moves { get; } = [];

    /// <summary>Marks with the number of moves delivered before each.</summary>
    public List<(int Id, int After)> Marks { get; } = [];

    public double TotalS => Moves.Sum(m => m.DurationS);

    public void Move(in TimedMoves moves)
    {
        for (var i = 0; i < moves.Count; i++)
        {
            Moves.Add(moves[i]);
        }
    }

    public void Mark(int id) => Marks.Add((id, Moves.Count));

    /// <summary>Plans moves that start and end at rest.</summary>
    public static MotionRun Of(Action<MotionLimits> limits, IEnumerable<MoveRequest> moves, int? lookahead = null)
    {
        var run = new MotionRun();
        var planner = new MotionPlanner<MotionRun>(run, lookahead);
        limits(planner.Limits);
        foreach (var move in moves)
        {
            planner.Add(in move);
        }

        planner.Stop();
        return run;
    }

    /// <summary>A move by its displacement; the kind follows from it.</summary>
    public static MoveRequest Move(double x, double y, double z = 0, double e = 0, double speed = 60) => new()
    {
        DxMm = x,
        DyMm = y,
        DzMm = z,
        DeMm = e,
        SpeedMmPerS = speed,
        Kind = (x != 0 || y != 0 || z != 0, Math.Sign(e)) switch
        {
            (true, 1) => MoveKind.Print,
            (true, 0) => MoveKind.Travel,
            (true, _) => MoveKind.Wipe,
            (false, 1) => MoveKind.Feed,
            _ => MoveKind.Retract,
        },
    };

    /// <summary>Sets the three accelerations alike.</summary>
    public static void Accelerate(MotionLimits limits, double accelMmPerS2) =>
        limits.PrintAccelMmPerS2 = limits.TravelAccelMmPerS2 = limits.RetractAccelMmPerS2 = accelMmPerS2;
}
