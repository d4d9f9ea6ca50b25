// SPDX-License-Identifier: MIT
using Fumecast.Motion;
using Fumecast.Tests.Referees;
using static Fumecast.Tests.Referees.MotionRun;

namespace Fumecast.Tests.Published.Motion;

[Published("gcode reference section 4, computed by two independent routes", "W1 to W13, W16 to W19")]
public class Worked_moves
{
    private static readonly PerAxis Any = new(double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity);

    private static MotionRun Plan(double accel, double speed, Action<MotionLimits> limits, params (double X, double Y)[] legs) =>
        Of(
            l =>
            {
                Accelerate(l, accel);
                limits(l);
            },
            legs.Select(leg => Move(leg.X, leg.Y, speed: speed)));

    private static Action<MotionLimits> Jerk(double jerk, JerkReversal reversal = JerkReversal.Sum, bool atRest = false) => l =>
    {
        l.Junction = JunctionModel.PerAxisJerk;
        l.JerkMmPerS = new(jerk, jerk, jerk, jerk);
        l.JerkReversal = reversal;
        l.JerkAtRest = atRest;
    };

    private static Action<MotionLimits> Deviation(double mm) => l =>
    {
        l.Junction = JunctionModel.Deviation;
        l.DeviationMm = mm;
    };

    private static Action<MotionLimits> SquareCorner(double speed) => l =>
    {
        l.Junction = JunctionModel.SquareCorner;
        l.SquareCornerMmPerS = speed;
    };

    // W1: Z allows 5 mm/s, the whole move is scaled to it.
    [Fact]
    public void Slow_axis_scales_the_whole_move()
    {
        var run = Of(
            l =>
            {
                l.MaxFeedMmPerS = Any with { X = 500, Y = 500, Z = 5 };
                l.MaxAccelMmPerS2 = Any with { X = 3000, Y = 3000, Z = 100 };
                l.PrintAccelMmPerS2 = 800;
            },
            [Move(3, 4, 0.5, e: 0.1, speed: 100)]);
        Close.ToDigits(5.0249378, 8, run.Moves[0].LengthMm);
        Close.ToDigits(50.249378, 8, run.Moves[0].PeakMmPerS);
        Close.To(800, run.Moves[0].AccelMmPerS2, 1e-15);
        Close.ToDigits(0.16281172, 8, run.TotalS);
    }

    [Fact]
    public void Slow_filament_scales_the_whole_move()
    {
        var run = Of(
            l =>
            {
                l.MaxFeedMmPerS = Any with { E = 5 };
                l.PrintAccelMmPerS2 = 1500;
            },
            [Move(10, 0, e: 1.5, speed: 60)]);
        Close.ToDigits(33.333333, 8, run.Moves[0].PeakMmPerS);
        Close.ToDigits(0.32222222, 8, run.TotalS);
    }

    [Fact]
    public void Filament_limits_can_be_ignored_on_nozzle_moves()
    {
        var run = Of(
            l =>
            {
                l.MaxFeedMmPerS = Any with { E = 5 };
                l.FilamentLimitsNozzleMoves = false;
                Accelerate(l, 1500);
            },
            [Move(10, 0, e: 1.5, speed: 60), Move(0, 0, e: 5, speed: 60)]);
        Close.To(60, run.Moves[0].PeakMmPerS, 1e-15);
        Close.To(5, run.Moves[1].PeakMmPerS, 1e-15);
    }

    // W3 to W8: length, speeds at the ends, top speed, acceleration -> peak, duration and its parts.
    [Theory]
    [InlineData(100, 0, 0, 60, 500, 60, 1.7866667, 0.12, 1.5466667, 0.12)]
    [InlineData(3, 0, 0, 100, 1500, 67.082039, 0.089442719, 0.044721360, 0, 0.044721360)]
    [InlineData(10, 20, 40, 120, 3000, 120, 0.10611111, 0.033333333, 0.046111111, 0.026666667)]
    [InlineData(10, 20, 40, 250, 3000, 176.06817, 0.097378779, 0.052022723, 0, 0.045356056)]
    [InlineData(5, 0, 0, 45, 3000, 45, 0.12611111, 0.015, 0.096111111, 0.015)]
    [InlineData(0.8, 0, 0, 35, 1250, 31.622777, 0.050596443, 0.025298221, 0, 0.025298221)]
    public void Trapezoid_with_known_ends(double d, double vs, double ve, double top, double a, double peak, double seconds, double up, double cruise, double down)
    {
        var move = Trapezoid.Plan(d, vs, ve, top, a);
        Close.ToDigits(peak, 8, move.PeakMmPerS);
        Close.ToDigits(seconds, 8, move.DurationS);
        Close.ToDigits(up, 8, move.SpeedUpS);
        Close.ToDigits(down, 8, move.SlowDownS);
        if (cruise > 0)
        {
            Close.ToDigits(cruise, 8, move.CruiseS);
        }
        else
        {
            Assert.InRange(move.CruiseS, 0, 1e-12);
        }
    }

    // W3, W4, W7, W8 through the planner, the last two as moves of filament alone.
    [Theory]
    [InlineData(100, 0, 60, 500, 1.7866667)]
    [InlineData(3, 0, 100, 1500, 0.089442719)]
    [InlineData(0, -5, 45, 3000, 0.12611111)]
    [InlineData(0, 0.8, 35, 1250, 0.050596443)]
    public void Planner_from_rest_to_rest(double x, double e, double speed, double a, double seconds) =>
        Close.ToDigits(seconds, 8, Of(l => Accelerate(l, a), [Move(x, 0, e: e, speed: speed)]).TotalS);

    [Theory]
    [InlineData(null, 0.5)]
    [InlineData(64, 0.5)]
    [InlineData(16, 0.77953154)]
    public void Short_buffer_slows_short_segments(int? blocks, double seconds)
    {
        var run = Of(l => Accelerate(l, 1000), Enumerable.Repeat(Move(0.1, 0, speed: 100), 400), blocks);
        Close.ToDigits(seconds, 8, run.TotalS);
        if (blocks == 16)
        {
            Close.ToDigits(55.677644, 8, run.Moves.Max(m => m.PeakMmPerS));
        }
    }

    [Fact]
    public void Collinear_segments_are_one_move()
    {
        var segments = Enumerable.Repeat(Move(1, 0, speed: 100), 20).ToList();
        Close.ToDigits(0.3, 8, Of(l => Accelerate(l, 1000), segments).TotalS);
        Close.ToDigits(1.2649111, 8, 20 * Of(l => Accelerate(l, 1000), segments.Take(1)).TotalS);
        Close.ToDigits(1.2649111, 8, Of(l => Accelerate(l, 1000), segments, 1).TotalS);
    }

    [Fact]
    public void Change_of_speed()
    {
        var run = Of(l => Accelerate(l, 500), [Move(50, 0, speed: 60), Move(50, 0, speed: 30)]);
        Close.ToDigits(2.605, 8, run.TotalS);
        Close.To(30, run.Moves[1].StartMmPerS, 1e-14);
    }

    [Fact]
    public void Right_angled_corner()
    {
        (double, double)[] legs = [(50, 0), (0, 50)];
        Close.ToDigits(1.7866667, 8, 2 * Plan(1000, 60, Jerk(10), (50, 0)).TotalS);
        Close.ToDigits(1.7683333, 8, Plan(1000, 60, Jerk(10), legs).TotalS);
        Close.ToDigits(1.7759853, 8, Plan(1000, 60, Deviation(0.013), legs).TotalS);
        Close.ToDigits(1.7770833, 8, Plan(1000, 60, SquareCorner(5), legs).TotalS);
    }

    [Fact]
    public void Reversal()
    {
        (double, double)[] legs = [(50, 0), (-50, 0)];
        Close.ToDigits(1.7770833, 8, Plan(1000, 60, Jerk(10), legs).TotalS);
        Close.ToDigits(1.7683333, 8, Plan(1000, 60, Jerk(10, JerkReversal.Max), legs).TotalS);
        Close.ToDigits(1.7866667, 8, Plan(1000, 60, Deviation(0.013), legs).TotalS);
        Close.ToDigits(1.7866667, 8, Plan(1000, 60, SquareCorner(5), legs).TotalS);
        Close.ToDigits(1.75875, 8, Plan(1000, 60, Jerk(10, atRest: true), legs).TotalS);
        Close.ToDigits(1.75, 8, Plan(500, 60, Jerk(10, atRest: true), (100, 0)).TotalS);
    }

    // W16: the documented share of 0.75 mm is cruised.
    [Fact]
    public void Minimum_cruise_ratio_of_one_move()
    {
        void Limits(MotionLimits l, double ratio)
        {
            Accelerate(l, 3000);
            l.MinimumCruiseRatio = ratio;
        }

        var free = Of(l => Limits(l, 0), [Move(1.5, 0, speed: 100)]);
        Close.ToDigits(67.082039, 8, free.Moves[0].PeakMmPerS);
        Close.ToDigits(0.044721360, 8, free.TotalS);
        var calm = Of(l => Limits(l, 0.5), [Move(1.5, 0, speed: 100)]);
        Close.ToDigits(47.434165, 8, calm.Moves[0].PeakMmPerS);
        Close.ToDigits(0.75, 8, calm.Moves[0].CruiseS * calm.Moves[0].PeakMmPerS);
        Close.ToDigits(0.047434165, 8, calm.TotalS);
    }

    [Theory]
    [InlineData(0, 0.25228185)]
    [InlineData(0.5, 0.26837861)]
    public void Minimum_cruise_ratio_of_a_zigzag(double ratio, double seconds)
    {
        var legs = Enumerable.Range(0, 6).Select(i => i % 2 == 0 ? Move(1.5, 0, speed: 100) : Move(0, 1.5, speed: 100));
        var run = Of(
            l =>
            {
                Accelerate(l, 3000);
                SquareCorner(5)(l);
                l.MinimumCruiseRatio = ratio;
            },
            legs);
        Close.ToDigits(seconds, 8, run.TotalS);
    }

    [Fact]
    public void Barrier_costs_a_stop()
    {
        var run = new MotionRun();
        var planner = new MotionPlanner<MotionRun>(run, null);
        Accelerate(planner.Limits, 500);
        var leg = Move(50, 0);
        planner.Add(in leg);
        planner.Add(in leg);
        planner.Stop();
        Close.ToDigits(1.7866667, 8, run.TotalS);
        run.Moves.Clear();
        planner.Add(in leg);
        planner.Stop();
        planner.Add(in leg);
        planner.Stop();
        Close.ToDigits(1.9066667, 8, run.TotalS);
    }

    // W19 without its dwell: two printed legs, retraction, travel, recovery.
    [Fact]
    public void Small_program()
    {
        var run = Of(
            l =>
            {
                (l.PrintAccelMmPerS2, l.TravelAccelMmPerS2, l.RetractAccelMmPerS2) = (500, 1000, 3000);
                Deviation(0.013)(l);
                l.StopBetweenFilamentAndNozzleMoves = true;
            },
            [Move(50, 0, e: 1.6924), Move(0, 50, e: 1.6924), Move(0, 0, e: -0.8, speed: 35), Move(-50, 0, speed: 150), Move(0, 0, e: 0.8, speed: 35)]);
        double[] durations = [0.94567215, 0.94567215, 0.034523810, 0.48333333, 0.034523810];
        for (var i = 0; i < durations.Length; i++)
        {
            Close.ToDigits(durations[i], 8, run.Moves[i].DurationS);
        }

        Close.ToDigits(0.12, 8, run.Moves[0].SpeedUpS);
        Close.ToDigits(0.71359487, 8, run.Moves[0].CruiseS);
        Close.ToDigits(0.11207728, 8, run.Moves[0].SlowDownS);
        Close.ToDigits(3.9613619, 8, run.Moves[1].StartMmPerS);
        Close.To(150, run.Moves[3].PeakMmPerS, 1e-14);
        Close.ToDigits(2.4437253, 8, run.TotalS);
    }
}
