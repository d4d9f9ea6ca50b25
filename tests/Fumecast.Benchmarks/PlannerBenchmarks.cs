// SPDX-License-Identifier: MIT
using BenchmarkDotNet.Attributes;
using Fumecast.Motion;

namespace Fumecast.Benchmarks;

/// <summary>Time per move of the whole planner: adding, all stages, delivery to a sink that adds up durations.</summary>
[ShortRunJob]
[MemoryDiagnoser]
public class PlannerBenchmarks
{
    private const int Moves = 200_000;

    private readonly MoveRequest[] _moves = Polyline.Make(Moves)[..Moves];

    /// <summary>The junction model.</summary>
    [Params(nameof(JunctionModel.PerAxisJerk), nameof(JunctionModel.Deviation), nameof(JunctionModel.SquareCorner))]
    public string Model { get; set; } = "";

    /// <summary>Look-ahead in moves, 0 for no limit.</summary>
    [Params(0, 16)]
    public int Blocks { get; set; }

    /// <summary>Whether the acceleration changes before every move, as some files do.</summary>
    [Params(false, true)]
    public bool ChangesAcceleration { get; set; }

    /// <summary>Plans all moves; the time is given per move.</summary>
    [Benchmark(OperationsPerInvoke = Moves)]
    public double Plan()
    {
        var planner = new MotionPlanner<Clock>(default, Blocks > 0 ? Blocks : null);
        planner.Limits.Junction = Enum.Parse<JunctionModel>(Model);
        planner.Limits.MaxFeedMmPerS = new(500, 500, 10, 50);
        planner.Limits.MaxAccelMmPerS2 = new(3000, 3000, 100, 5000);
        for (var i = 0; i < _moves.Length; i++)
        {
            if (ChangesAcceleration)
            {
                planner.Limits.PrintAccelMmPerS2 = 1000 + (i & 3);
            }

            planner.Add(in _moves[i]);
        }

        planner.Stop();
        return planner.Sink.Seconds;
    }

    private struct Clock : IMotionSink
    {
        public double Seconds;

        public void Move(in TimedMoves moves)
        {
            for (var i = 0; i < moves.Count; i++)
            {
                Seconds += moves[i].DurationS;
            }
        }

        public readonly void Mark(int id)
        {
        }
    }
}
