// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Motion;
using Fumecast.Tests.Properties.Motion;
using Fumecast.Tests.Referees;
using static Fumecast.Tests.Referees.MotionRun;

namespace Fumecast.Tests.Unit.Motion;

public class MotionPlannerTests
{
    private static readonly double[] Mad = [0, -1, double.NaN, double.PositiveInfinity, double.NegativeInfinity, 1e-300, 1e300, 1];

    [Fact]
    public void Hundred_thousand_specks_on_a_line_take_the_time_of_one_move()
    {
        // 0.001 mm each; at 150 mm/s and 1000 mm/s2 the machine must see 11.25 mm ahead, eleven windows.
        const int Specks = 100_000;
        var run = new MotionRun();
        var planner = new MotionPlanner<MotionRun>(run, null);
        Accelerate(planner.Limits, 1000);
        var speck = Move(0.001, 0, speed: 150);
        for (var i = 0; i < Specks; i++)
        {
            planner.Add(in speck);
        }

        planner.Stop();
        Assert.Equal(Specks, run.Moves.Count);
        Assert.Equal(0, planner.SettledEarly);
        Close.To((100 / 150.0) + 0.15, run.TotalS, 1e-9);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(0.5)]
    public void Full_window_is_settled_early_slower_and_counted(double ratio)
    {
        var limits = new MotionLimits { MinimumCruiseRatio = ratio };
        var specks = Enumerable.Repeat((Move(0.01, 0, speed: 300), limits), 5000).ToList();
        var run = new MotionRun();
        var planner = new MotionPlanner<MotionRun>(run, null, limits, 16, 64);
        foreach (var (speck, _) in specks)
        {
            planner.Add(in speck);
        }

        planner.Stop();
        Assert.True(planner.SettledEarly > 0);
        Assert.Equal(specks.Count, run.Moves.Count);
        Assert.True(run.TotalS > MotionCases.Fast(specks).TotalS);
        Assert.Equal(0, run.Moves[0].StartMmPerS);
        Assert.Equal(0, run.Moves[^1].EndMmPerS);
        for (var k = 1; k < run.Moves.Count; k++)
        {
            Assert.Equal(run.Moves[k - 1].EndMmPerS, run.Moves[k].StartMmPerS);
            Close.To(0.01, Trapezoid.PathBetween(run.Moves[k], 0, run.Moves[k].DurationS), 1e-12);
            var change = Math.Abs(Math.Pow(run.Moves[k].EndMmPerS, 2) - Math.Pow(run.Moves[k].StartMmPerS, 2));
            Assert.True(change <= 2 * 1000 * 0.01 * (1 + 1e-9));
        }
    }

    [Fact]
    public void Moves_of_no_length_are_ignored()
    {
        var limits = new MotionLimits();
        MoveRequest[] moves = [default, Move(20, 0), Move(1e-12, 0), default, Move(20, 0), Move(double.NaN, 1), Move(double.PositiveInfinity, 1)];
        var run = Of(l => MotionCases.Copy(limits, l), moves);
        Assert.Equal(2, run.Moves.Count);
        Close.To(Of(l => MotionCases.Copy(limits, l), [Move(40, 0)]).TotalS, run.TotalS, 1e-12);
    }

    [Fact]
    public void Remainder_of_a_subtraction_does_not_move_the_nozzle()
    {
        // 10.1 + 0.2 - 10.3 is 1.8e-15, not 0.
        var run = Of(l => { }, [Move(10.1 + 0.2 - 10.3, 0, e: -0.8, speed: 35) with { Kind = MoveKind.Retract }]);
        Close.To(0.8, run.Moves[0].LengthMm, 1e-15);
        Assert.Equal(-1, run.Moves[0].FeedPerMm);
    }

    [Fact]
    public void Mad_speeds_and_limits_give_finite_times()
    {
        var mad = Gen.OneOf(Mad);
        var axes = Gen.Select(mad, mad, mad, mad, (x, y, z, e) => new PerAxis(x, y, z, e));
        var limits = Gen.Select(
            Gen.Select(axes, axes, axes, mad),
            Gen.Select(mad, mad, mad, mad),
            Gen.Select(mad, mad, mad, Gen.Enum<JunctionModel>(), Gen.Bool),
            (a, b, c) => new MotionLimits
            {
                MaxFeedMmPerS = a.Item1,
                MaxAccelMmPerS2 = a.Item2,
                JerkMmPerS = a.Item3,
                MaxPathSpeedMmPerS = a.Item4,
                PrintAccelMmPerS2 = b.Item1,
                TravelAccelMmPerS2 = b.Item2,
                RetractAccelMmPerS2 = b.Item3,
                MinimumCruiseRatio = b.Item4,
                DeviationMm = c.Item1,
                SquareCornerMmPerS = c.Item2,
                ExtruderStepMmPerS = c.Item3,
                MinPrintFeedMmPerS = c.Item3,
                Junction = c.Item4,
                JerkAtRest = c.Item5,
            });
        Gen.Select(MotionCases.Polylines, mad, limits).Sample(
            (moves, speed, l) =>
            {
                var run = MotionCases.Fast(moves.Select((m, i) => (i % 3 == 0 ? m with { SpeedMmPerS = speed } : m, l)), window: 8);
                Assert.All(run.Moves, m =>
                {
                    Assert.True(double.IsFinite(m.DurationS) && m.SpeedUpS >= 0 && m.CruiseS >= 0 && m.SlowDownS >= 0 && m.DurationS > 0);
                    Assert.True(double.IsFinite(m.PeakMmPerS) && m.PeakMmPerS > 0 && double.IsFinite(m.StartMmPerS) && double.IsFinite(m.AccelMmPerS2));
                });
            },
            iter: 300);
    }

    [Theory]
    [InlineData(null, 4)]
    [InlineData(null, 1024)]
    [InlineData(3, 4)]
    public void Marks_arrive_between_their_moves(int? blocks, int window)
    {
        var run = new MotionRun();
        var planner = new MotionPlanner<MotionRun>(run, blocks, null, window, 1 << 18);
        var move = Move(1, 0);
        planner.Mark(100);
        for (var i = 0; i < 1000; i++)
        {
            planner.Add(in move);
            if (i % 3 == 0)
            {
                planner.Mark(i);
            }

            if (i % 9 == 0)
            {
                planner.Mark(-i);
            }
        }

        planner.Stop();
        Assert.Equal((100, 0), run.Marks[0]);
        var expected = Enumerable.Range(0, 1000)
            .SelectMany(i => new[] { (Id: i, After: i + 1, Wanted: i % 3 == 0), (Id: -i, After: i + 1, Wanted: i % 9 == 0) })
            .Where(m => m.Wanted)
            .Select(m => (m.Id, m.After));
        Assert.Equal(expected, run.Marks.Skip(1));
    }

    [Fact]
    public void Flood_of_marks_ends_the_run_instead_of_filling_the_memory()
    {
        var run = new MotionRun();
        var planner = new MotionPlanner<MotionRun>(run, null);
        var move = Move(1, 0);
        planner.Add(in move);
        for (var i = 0; i < 200_000; i++)
        {
            planner.Mark(i);
        }

        Assert.Equal(1, planner.SettledEarly);
        Assert.Equal(200_000, run.Marks.Count);
        Assert.All(run.Marks, m => Assert.Equal(1, m.After));
    }

    [Fact]
    public void Changed_limits_hold_for_moves_added_later()
    {
        var run = new MotionRun();
        var planner = new MotionPlanner<MotionRun>(run, null);
        var move = Move(50, 0, speed: 100);
        planner.Limits.MaxPathSpeedMmPerS = 40;
        planner.Limits.TravelAccelMmPerS2 = 500;
        planner.Add(in move);
        planner.Limits.MaxPathSpeedMmPerS = 80;
        planner.Limits.TravelAccelMmPerS2 = 2000;
        planner.Add(in move);
        planner.Stop();
        Assert.Equal([40.0, 80], run.Moves.Select(m => m.PeakMmPerS));
        Assert.Equal([500.0, 2000], run.Moves.Select(m => m.AccelMmPerS2));
    }

    // The first moves are delivered when the ratio comes into force: the calm pass must go on from their speed.
    [Theory]
    [InlineData(null)]
    [InlineData(3)]
    public void Minimum_cruise_ratio_may_begin_while_speeding_up(int? blocks)
    {
        var free = new MotionLimits();
        var calm = new MotionLimits { MinimumCruiseRatio = 0.5 };
        var moves = Enumerable.Range(0, 200).Select(i => (Move(0.1, 0, speed: 300), i < 30 ? free : calm)).ToList();
        var slow = ObviousPlanner.Plan(moves, blocks);
        var fast = MotionCases.Fast(moves, blocks, window: 8).Moves;
        Assert.All(slow.Zip(fast), pair => Close.To(pair.First.DurationS, pair.Second.DurationS, 1e-9));
    }

    [Fact]
    public void Slowest_commanded_speeds_are_raised()
    {
        var run = Of(
            l => (l.MinPrintFeedMmPerS, l.MinTravelFeedMmPerS) = (5, 20),
            [Move(50, 0, e: 1, speed: 1), Move(50, 0, speed: 1)]);
        Assert.Equal([5.0, 20], run.Moves.Select(m => m.PeakMmPerS));
    }

    // The nozzle stops and the filament starts, or the other way round: each axis steps from v to 0 or from 0 to v.
    [Fact]
    public void Jerk_lets_a_retraction_follow_a_move_without_a_stop()
    {
        MoveRequest[] moves = [Move(50, 0, speed: 60), Move(0, 0, e: -5, speed: 40)];
        void Limits(MotionLimits l, bool stop)
        {
            Accelerate(l, 1000);
            l.Junction = JunctionModel.PerAxisJerk;
            l.JerkMmPerS = new(8, 8, 0.4, 5);
            l.StopBetweenFilamentAndNozzleMoves = stop;
        }

        Assert.Equal(5, Of(l => Limits(l, false), moves).Moves[1].StartMmPerS, 12);
        Assert.Equal(0, Of(l => Limits(l, true), moves).Moves[1].StartMmPerS);
    }

    [Fact]
    public void Payload_and_kind_come_back_with_their_move()
    {
        var moves = Enumerable.Range(1, 3000).Select(i =>
            Move(1, i % 7, e: 0.1) with { Payload = new() { DepositAreaMm2 = i / 7.0, RefillShare = 0.5, IsObject = i % 2 == 0 } }).ToList();
        var run = Of(l => { }, moves);
        Assert.Equal(moves.Select(m => (m.Payload, m.Kind)), run.Moves.Select(m => (m.Payload, m.Kind)));
    }

    [Fact]
    public void Buffer_of_no_move_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new MotionPlanner<MotionRun>(new MotionRun(), 0));
}
