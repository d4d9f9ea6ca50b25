// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Motion;
using Fumecast.Tests.Referees;
using static Fumecast.Tests.Properties.Motion.MotionCases;

namespace Fumecast.Tests.Properties.Motion;

public class Planner_laws
{
    private static readonly Gen<int?> Buffers = Gen.OneOf<int?>(null, null, null, 1, 2, 4, 16);

    // Two sets of limits alternate in stretches, as when a file changes acceleration or corner settings between features.
    private static readonly Gen<(MoveRequest Move, MotionLimits Limits)[]> ChangingRuns =
        Gen.Select(Polylines, Limits(), Limits(), Gen.Int[1, 40], (moves, a, b, stretch) =>
            moves.Select((move, i) => (move, i / stretch % 2 == 0 ? a : b)).ToArray());

    [Fact]
    public void Fast_planner_agrees_with_the_obvious_one() =>
        Gen.Select(ChangingRuns, Buffers, Gen.OneOf(4, 7, 2048)).Sample(
            (run, buffer, window) =>
            {
                var slow = ObviousPlanner.Plan(run, buffer);
                var fast = Fast(run, buffer, window).Moves;
                Assert.Equal(slow.Count, fast.Count);
                var total = slow.Sum(m => m.DurationS);
                for (var k = 0; k < slow.Count; k++)
                {
                    Close.To(slow[k].LengthMm, fast[k].LengthMm, 1e-14);
                    Close.To(slow[k].AccelMmPerS2, fast[k].AccelMmPerS2, 1e-12);
                    Close.To(slow[k].FeedPerMm, fast[k].FeedPerMm, 1e-14);
                    Assert.InRange(fast[k].DurationS - slow[k].DurationS, -1e-9 * total, 1e-9 * total);
                    Assert.InRange(fast[k].PeakMmPerS - slow[k].PeakMmPerS, -1e-6, 1e-6);
                }

                Close.To(total + 1, fast.Sum(m => m.DurationS) + 1, 1e-9);
            },
            iter: 2000);

    [Fact]
    public void Size_of_the_window_changes_no_bit() =>
        Gen.Select(ChangingRuns, Buffers).Sample(
            (run, buffer) =>
            {
                var whole = Fast(run, buffer).Moves;
                foreach (var window in (int[])[2, 4, 5, 16, 64])
                {
                    Assert.Equal(whole, Fast(run, buffer, window).Moves);
                }
            },
            iter: 300);

    [Fact]
    public void Speed_never_jumps_and_no_limit_is_broken() =>
        Gen.Select(Polylines, Limits(), Buffers).Sample(
            (moves, limits, buffer) =>
            {
                var fast = Fast(moves.Select(m => (m, limits)), buffer).Moves;
                for (var k = 0; k < fast.Count; k++)
                {
                    var m = fast[k];
                    if (k + 1 < fast.Count)
                    {
                        Assert.Equal(m.EndMmPerS, fast[k + 1].StartMmPerS);
                    }

                    Assert.True(m.StartMmPerS >= 0 && m.StartMmPerS <= m.PeakMmPerS && m.EndMmPerS <= m.PeakMmPerS && m.PeakMmPerS > 0);
                    Assert.True(m.SpeedUpS >= 0 && m.CruiseS >= 0 && m.SlowDownS >= 0 && double.IsFinite(m.DurationS));
                    Close.To(m.PeakMmPerS, m.StartMmPerS + (m.AccelMmPerS2 * m.SpeedUpS), 1e-12);
                    Close.To(m.PeakMmPerS, m.EndMmPerS + (m.AccelMmPerS2 * m.SlowDownS), 1e-12);
                    var path = (0.5 * (m.StartMmPerS + m.PeakMmPerS) * m.SpeedUpS) + (m.PeakMmPerS * m.CruiseS) + (0.5 * (m.PeakMmPerS + m.EndMmPerS) * m.SlowDownS);
                    Close.To(m.LengthMm, path, 1e-9);
                }
            },
            iter: 500);

    [Fact]
    public void Corner_speed_keeps_to_the_step_of_each_axis() =>
        Gen.Select(Polylines, Limits()).Sample(
            (moves, limits) =>
            {
                limits.Junction = JunctionModel.PerAxisJerk;
                limits.JerkReversal = JerkReversal.Sum;
                var requests = moves.Where(m => m.DxMm != 0 || m.DyMm != 0 || m.DzMm != 0 || m.DeMm != 0).ToList();
                var fast = Fast(requests.Select(m => (m, limits))).Moves;
                for (var k = 1; k < fast.Count; k++)
                {
                    var v = fast[k].StartMmPerS;
                    var (before, after) = (requests[k - 1], requests[k]);
                    var (d0, d1) = (fast[k - 1].LengthMm, fast[k].LengthMm);
                    Assert.True(v * Math.Abs((after.DxMm / d1) - (before.DxMm / d0)) <= limits.JerkMmPerS.X * (1 + 1e-12));
                    Assert.True(v * Math.Abs((after.DyMm / d1) - (before.DyMm / d0)) <= limits.JerkMmPerS.Y * (1 + 1e-12));
                    Assert.True(v * Math.Abs((after.DzMm / d1) - (before.DzMm / d0)) <= limits.JerkMmPerS.Z * (1 + 1e-12));
                    Assert.True(v * Math.Abs((after.DeMm / d1) - (before.DeMm / d0)) <= limits.JerkMmPerS.E * (1 + 1e-12));
                }
            },
            iter: 300);

    // The time-optimal profile under wider limits cannot be longer. Holds for a fixed way of taking corners; the minimum cruise ratio
    // plans twice and is left out.
    [Fact]
    public void Raising_a_limit_never_costs_time() =>
        Gen.Select(Polylines, Limits(cruiseRatio: false), Gen.Int[0, 9], Gen.Double[1.05, 3]).Sample(
            (moves, limits, which, factor) =>
            {
                var before = Fast(moves.Select(m => (m, limits))).TotalS;
                Raise(limits, which, factor);
                var after = Fast(moves.Select(m => (m, limits))).TotalS;
                Assert.True(after <= before * (1 + 1e-12), FormattableString.Invariant($"limit {which}: {before:R} s became {after:R} s"));
            },
            iter: 800);

    // For the square corner both halves must be long enough for the rule of the middle, hence no limit from it here.
    [Fact]
    public void Splitting_a_straight_move_changes_nothing() =>
        Gen.Select(Polylines, Limits(cruiseRatio: false), Gen.Int[0, 1000], Gen.Double[0.1, 0.9]).Sample(
            (moves, limits, pick, share) =>
            {
                if (limits.Junction == JunctionModel.SquareCorner)
                {
                    limits.Junction = JunctionModel.Deviation;
                }

                var k = pick % moves.Length;
                var (first, second) = (moves[k], moves[k]);
                Scale(ref first, share);
                Scale(ref second, 1 - share);
                MoveRequest[] split = [.. moves[..k], first, second, .. moves[(k + 1)..]];
                var whole = Fast(moves.Select(m => (m, limits))).TotalS;
                var parts = Fast(split.Select(m => (m, limits))).TotalS;
                Close.To(whole + 1, parts + 1, 1e-10);
            },
            iter: 500);

    private static void Scale(ref MoveRequest move, double by)
    {
        move.DxMm *= by;
        move.DyMm *= by;
        move.DzMm *= by;
        move.DeMm *= by;
    }

    private static void Raise(MotionLimits l, int which, double by)
    {
        switch (which)
        {
            case 0:
                l.MaxFeedMmPerS = l.MaxFeedMmPerS with { X = l.MaxFeedMmPerS.X * by };
                break;
            case 1:
                l.MaxFeedMmPerS = l.MaxFeedMmPerS with { E = l.MaxFeedMmPerS.E * by };
                break;
            case 2:
                l.MaxAccelMmPerS2 = l.MaxAccelMmPerS2 with { Y = l.MaxAccelMmPerS2.Y * by };
                break;
            case 3:
                l.MaxAccelMmPerS2 = l.MaxAccelMmPerS2 with { E = l.MaxAccelMmPerS2.E * by };
                break;
            case 4:
                l.MaxPathSpeedMmPerS *= by;
                break;
            case 5:
                l.PrintAccelMmPerS2 *= by;
                break;
            case 6:
                l.TravelAccelMmPerS2 *= by;
                break;
            case 7:
                l.RetractAccelMmPerS2 *= by;
                break;
            case 8:
                l.DeviationMm *= by;
                break;
            default:
                l.SquareCornerMmPerS *= by;
                break;
        }
    }
}
