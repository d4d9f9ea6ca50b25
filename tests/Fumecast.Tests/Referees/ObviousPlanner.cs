// SPDX-License-Identifier: MIT
using Fumecast.Motion;

namespace Fumecast.Tests.Referees;

/// <summary>
/// The planner's rules, one after the other over a whole run at once: no batches, no vectors, no squares of speeds kept. Slow,
/// obvious, and kept for ever as the referee of the fast one.
/// </summary>
/// <remarks>Limits do not change inside a run here, except through <see cref="Plan(IReadOnlyList{ValueTuple{MoveRequest, MotionLimits}}, int?)"/>.</remarks>
internal static class ObviousPlanner
{
    private sealed class Leg
    {
        public required MoveRequest Request;
        public required MotionLimits Limits;
        public required bool FilamentOnly;
        public required double D;
        public required double[] U;
        public required double E;
        public required double Top;
        public required double A;
    }

    /// <summary>One run from rest to rest under one set of limits.</summary>
    public static List<TimedMove> Plan(MotionLimits limits, IEnumerable<MoveRequest> moves, int? blocks = null) =>
        Plan([.. moves.Select(m => (m, limits))], blocks);

    /// <summary>One run from rest to rest, each move with the limits it was added under.</summary>
    public static List<TimedMove> Plan(IReadOnlyList<(MoveRequest Move, MotionLimits Limits)> moves, int? blocks = null)
    {
        var legs = moves.Where(m => !IsNothing(m.Move)).Select(m => MakeLeg(m.Move, m.Limits)).ToList();
        var n = legs.Count;
        if (n == 0)
        {
            return [];
        }

        var junction = new double[n + 1];
        junction[0] = AtRest(legs[0]);
        junction[n] = AtRest(legs[n - 1]);
        for (var k = 1; k < n; k++)
        {
            junction[k] = Junction(legs[k - 1], legs[k]);
        }

        var top = legs.Select(l => l.Top).ToArray();
        if (legs.Any(l => l.Limits.MinimumCruiseRatio > 0))
        {
            var calm = legs.Select(l => l.A * (1 - l.Limits.MinimumCruiseRatio)).ToArray();
            var v = Speeds(legs, junction, top, calm, blocks);
            for (var k = 0; k < n; k++)
            {
                if (legs[k].Limits.MinimumCruiseRatio > 0)
                {
                    top[k] = Math.Min(top[k], Math.Sqrt((((v[k] * v[k]) + (v[k + 1] * v[k + 1])) / 2) + (calm[k] * legs[k].D)));
                }
            }
        }

        var speeds = Speeds(legs, junction, top, [.. legs.Select(l => l.A)], blocks);
        return [.. legs.Select((leg, k) => Time(leg, speeds[k], speeds[k + 1], top[k]))];
    }

    // Highest speeds at the n + 1 junctions.
    private static double[] Speeds(List<Leg> legs, double[] junction, double[] top, double[] accel, int? blocks)
    {
        var n = legs.Count;
        var cap = new double[n + 1];
        for (var k = 0; k <= n; k++)
        {
            cap[k] = Math.Min(junction[k], Math.Min(k > 0 ? top[k - 1] : top[0], k < n ? top[k] : top[n - 1]));
        }

        var v = new double[n + 1];
        if (blocks is not int buffer)
        {
            cap.CopyTo(v, 0);
            for (var k = n - 1; k >= 0; k--)
            {
                v[k] = Math.Min(v[k], Math.Sqrt((v[k + 1] * v[k + 1]) + (2 * accel[k] * legs[k].D)));
            }
        }
        else
        {
            // The exit of move k is chosen when the moves up to k + buffer - 1 are known, so as to be able to stop behind the last known.
            for (var k = 0; k <= n; k++)
            {
                var known = Math.Min(n, Math.Max(k - 1, 0) + buffer);
                var back = known == n ? cap[n] : 0;
                for (var j = known - 1; j >= k; j--)
                {
                    back = Math.Min(cap[j], Math.Sqrt((back * back) + (2 * accel[j] * legs[j].D)));
                }

                v[k] = back;
            }
        }

        for (var k = 1; k <= n; k++)
        {
            v[k] = Math.Min(v[k], Math.Sqrt((v[k - 1] * v[k - 1]) + (2 * accel[k - 1] * legs[k - 1].D)));
        }

        return v;
    }

    private static TimedMove Time(Leg leg, double vs, double ve, double top)
    {
        var peak = Math.Min(top, Math.Sqrt((((vs * vs) + (ve * ve)) / 2) + (leg.A * leg.D)));
        var up = ((peak * peak) - (vs * vs)) / (2 * leg.A);
        var down = ((peak * peak) - (ve * ve)) / (2 * leg.A);
        return new TimedMove
        {
            LengthMm = leg.D,
            StartMmPerS = vs,
            PeakMmPerS = peak,
            EndMmPerS = ve,
            AccelMmPerS2 = leg.A,
            SpeedUpS = (peak - vs) / leg.A,
            CruiseS = Math.Max(0, leg.D - up - down) / peak,
            SlowDownS = (peak - ve) / leg.A,
            FeedPerMm = leg.E,
            Kind = leg.Request.Kind,
            Payload = leg.Request.Payload,
        };
    }

    private static bool IsNothing(MoveRequest m) =>
        !(Math.Abs(m.DxMm) + Math.Abs(m.DyMm) + Math.Abs(m.DzMm) + Math.Abs(m.DeMm) is >= 1e-9 and <= 1e9);

    private static Leg MakeLeg(MoveRequest m, MotionLimits l)
    {
        var filamentOnly = Math.Abs(m.DxMm) + Math.Abs(m.DyMm) + Math.Abs(m.DzMm) < 1e-9;
        var d = filamentOnly ? Math.Abs(m.DeMm) : Math.Sqrt((m.DxMm * m.DxMm) + (m.DyMm * m.DyMm) + (m.DzMm * m.DzMm));
        double[] u = filamentOnly ? [0, 0, 0] : [m.DxMm / d, m.DyMm / d, m.DzMm / d];
        var e = m.DeMm / d;

        var wish = m.SpeedMmPerS > 0.001 ? Math.Min(m.SpeedMmPerS, 1e6) : 0.001;
        wish = Math.Max(wish, m.Kind == MoveKind.Travel ? l.MinTravelFeedMmPerS : l.MinPrintFeedMmPerS);
        var a = m.Kind switch
        {
            MoveKind.Travel => l.TravelAccelMmPerS2,
            MoveKind.Print or MoveKind.Wipe => l.PrintAccelMmPerS2,
            _ => l.RetractAccelMmPerS2,
        };
        a = a > 0.001 ? Math.Min(a, 1e9) : 0.001;

        (double Part, double Speed, double Accel)[] axes =
        [
            (u[0], l.MaxFeedMmPerS.X, l.MaxAccelMmPerS2.X),
            (u[1], l.MaxFeedMmPerS.Y, l.MaxAccelMmPerS2.Y),
            (u[2], l.MaxFeedMmPerS.Z, l.MaxAccelMmPerS2.Z),
            (filamentOnly || l.FilamentLimitsNozzleMoves ? e : 0, l.MaxFeedMmPerS.E, l.MaxAccelMmPerS2.E),
            (filamentOnly ? 0 : 1, l.MaxPathSpeedMmPerS, double.PositiveInfinity),
        ];
        foreach (var (part, speed, accel) in axes.Where(axis => axis.Part != 0))
        {
            wish = Math.Min(wish, speed / Math.Abs(part));
            a = Math.Min(a, accel / Math.Abs(part));
        }

        return new Leg { Request = m, Limits = l, FilamentOnly = filamentOnly, D = d, U = u, E = e, Top = wish, A = a };
    }

    private static double AtRest(Leg leg)
    {
        var l = leg.Limits;
        if (l.Junction != JunctionModel.PerAxisJerk || !l.JerkAtRest)
        {
            return 0;
        }

        return JerkLimit(l, leg.U.Append(leg.E).Select(Math.Abs));
    }

    private static double JerkLimit(MotionLimits l, IEnumerable<double> steps)
    {
        double[] jerk = [l.JerkMmPerS.X, l.JerkMmPerS.Y, l.JerkMmPerS.Z, l.JerkMmPerS.E];
        return steps.Zip(jerk, (step, j) => step > 1e-12 ? j / step : double.PositiveInfinity).Min();
    }

    // The limits in force when the second move was added decide.
    private static double Junction(Leg from, Leg to)
    {
        var l = to.Limits;
        if (l.StopBetweenFilamentAndNozzleMoves && from.FilamentOnly != to.FilamentOnly)
        {
            return 0;
        }

        // Directions as in space, with the filament as a fourth axis when it moves alone.
        double[] u = [.. from.U, from.FilamentOnly ? from.E : 0];
        double[] w = [.. to.U, to.FilamentOnly ? to.E : 0];
        var sine = Norm(u.Zip(w, (a, b) => (a + b) / 2));
        var cosine = Norm(u.Zip(w, (a, b) => (a - b) / 2));
        switch (l.Junction)
        {
            case JunctionModel.PerAxisJerk:
                var sameKind = (from.Request.Kind == MoveKind.Print) == (to.Request.Kind == MoveKind.Print);
                var samePlane = (from.U[0] != 0 || from.U[1] != 0) == (to.U[0] != 0 || to.U[1] != 0);
                if (l.JerkWithinKindOnly && !(sameKind && samePlane))
                {
                    return 0;
                }

                var steps = from.U.Append(from.E).Zip(to.U.Append(to.E), (a, b) =>
                    l.JerkReversal == JerkReversal.Max && a * b < 0 ? Math.Max(Math.Abs(a), Math.Abs(b)) : Math.Abs(a - b));
                return JerkLimit(l, steps);
            case JunctionModel.Deviation:
                return Math.Sqrt(Math.Min(from.A, to.A) * l.DeviationMm * Circle(sine, cosine));
            default:
                var v = l.SquareCornerMmPerS * Math.Sqrt((Math.Sqrt(2) - 1) * Circle(sine, cosine));
                var tangent = cosine > 0 ? sine / cosine : double.PositiveInfinity;
                var middle = Math.Sqrt(Math.Min(from.A * from.D, to.A * to.D) * tangent / 2);
                var feedStep = Math.Abs(to.E - from.E);
                return Math.Min(Math.Min(v, middle), feedStep > 1e-12 ? l.ExtruderStepMmPerS / feedStep : double.PositiveInfinity);
        }
    }

    // s / (1 - s), by way of 1 - s^2 = c^2 so that a nearly straight line keeps its digits.
    private static double Circle(double sine, double cosine) =>
        cosine > 0 ? sine * (1 + sine) / (cosine * cosine) : double.PositiveInfinity;

    private static double Norm(IEnumerable<double> parts) => Math.Sqrt(parts.Sum(p => p * p));
}
