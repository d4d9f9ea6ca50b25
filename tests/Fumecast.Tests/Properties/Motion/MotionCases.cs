// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Motion;
using Fumecast.Tests.Referees;

namespace Fumecast.Tests.Properties.Motion;

/// <summary>Random limits and polylines with the nasty parts of real ones: reversals, collinear pieces, specks, hops, wipes.</summary>
internal static class MotionCases
{
    private static readonly double Free = double.PositiveInfinity;

    private static readonly Gen<PerAxis> Feeds = Gen.Select(Limit(40, 400), Limit(40, 400), Limit(3, 20), Limit(5, 60), (x, y, z, e) => new PerAxis(x, y, z, e));

    private static readonly Gen<PerAxis> Accels = Gen.Select(Limit(300, 6000), Limit(300, 6000), Limit(50, 500), Limit(500, 9000), (x, y, z, e) => new PerAxis(x, y, z, e));

    private static readonly Gen<PerAxis> Jerks = Gen.Select(Gen.Double[1, 20], Gen.Double[1, 20], Gen.Double[0.2, 2], Limit(1, 10), (x, y, z, e) => new PerAxis(x, y, z, e));

    /// <summary>Limits of any junction model and variant.</summary>
    public static Gen<MotionLimits> Limits(bool cruiseRatio = true) => Gen.Select(
        Gen.Select(Feeds, Accels, Limit(50, 300)),
        Gen.Select(Gen.Double[200, 5000], Gen.Double[200, 5000], Gen.Double[200, 5000]),
        Gen.Select(Gen.Enum<JunctionModel>(), Jerks, Gen.Enum<JerkReversal>(), Gen.Bool, Gen.Bool),
        Gen.Select(Gen.Double[0.002, 0.2], Gen.Double[1, 15], Limit(0.5, 5), Gen.Bool),
        Gen.Select(Gen.Bool, Gen.OneOf(0, 0, 0.3, 0.5), Gen.OneOf(0.0, 15), Gen.OneOf(0.0, 30)),
        (axes, accel, jerk, corner, rest) => new MotionLimits
        {
            MaxFeedMmPerS = axes.Item1,
            MaxAccelMmPerS2 = axes.Item2,
            MaxPathSpeedMmPerS = axes.Item3,
            PrintAccelMmPerS2 = accel.Item1,
            TravelAccelMmPerS2 = accel.Item2,
            RetractAccelMmPerS2 = accel.Item3,
            Junction = jerk.Item1,
            JerkMmPerS = jerk.Item2,
            JerkReversal = jerk.Item3,
            JerkAtRest = jerk.Item4,
            JerkWithinKindOnly = jerk.Item5,
            DeviationMm = corner.Item1,
            SquareCornerMmPerS = corner.Item2,
            ExtruderStepMmPerS = corner.Item3,
            StopBetweenFilamentAndNozzleMoves = corner.Item4,
            FilamentLimitsNozzleMoves = rest.Item1,
            MinimumCruiseRatio = cruiseRatio ? rest.Item2 : 0,
            MinPrintFeedMmPerS = rest.Item3,
            MinTravelFeedMmPerS = rest.Item4,
        });

    /// <summary>Polylines: each move turns by an angle from a list of typical ones, or stands still for a retraction.</summary>
    public static readonly Gen<MoveRequest[]> Polylines = Gen.Select(
            Gen.OneOf(0, 0, 0, 1, -1, 5, 30, 90, -90, 120, 180),
            Gen.OneOf(Gen.Double[0.005, 0.2], Gen.Double[0.2, 5], Gen.Double[5, 80]),
            Gen.Int[0, 19],
            Gen.Double[3, 250],
            Gen.Double[0.01, 0.06])
        .Array[1, 120]
        .Select(Walk);

    /// <summary>A planner's limits set to those of another object.</summary>
    public static void Copy(MotionLimits from, MotionLimits to)
    {
        to.MaxFeedMmPerS = from.MaxFeedMmPerS;
        to.MaxAccelMmPerS2 = from.MaxAccelMmPerS2;
        to.MaxPathSpeedMmPerS = from.MaxPathSpeedMmPerS;
        to.PrintAccelMmPerS2 = from.PrintAccelMmPerS2;
        to.TravelAccelMmPerS2 = from.TravelAccelMmPerS2;
        to.RetractAccelMmPerS2 = from.RetractAccelMmPerS2;
        to.Junction = from.Junction;
        to.JerkMmPerS = from.JerkMmPerS;
        to.JerkReversal = from.JerkReversal;
        to.JerkAtRest = from.JerkAtRest;
        to.JerkWithinKindOnly = from.JerkWithinKindOnly;
        to.DeviationMm = from.DeviationMm;
        to.SquareCornerMmPerS = from.SquareCornerMmPerS;
        to.ExtruderStepMmPerS = from.ExtruderStepMmPerS;
        to.StopBetweenFilamentAndNozzleMoves = from.StopBetweenFilamentAndNozzleMoves;
        to.FilamentLimitsNozzleMoves = from.FilamentLimitsNozzleMoves;
        to.MinimumCruiseRatio = from.MinimumCruiseRatio;
        to.MinPrintFeedMmPerS = from.MinPrintFeedMmPerS;
        to.MinTravelFeedMmPerS = from.MinTravelFeedMmPerS;
    }

    /// <summary>The fast planner over one run, with any window.</summary>
    public static MotionRun Fast(IEnumerable<(MoveRequest Move, MotionLimits Limits)> moves, int? blocks = null, int window = 2048, int largest = 1 << 18)
    {
        var run = new MotionRun();
        var planner = new MotionPlanner<MotionRun>(run, blocks, null, window, largest);
        foreach (var (move, limits) in moves)
        {
            Copy(limits, planner.Limits);
            planner.Add(in move);
        }

        planner.Stop();
        return run;
    }

    private static Gen<double> Limit(double low, double high) => Gen.OneOf(Gen.Double[low, high], Gen.Const(Free));

    private static MoveRequest[] Walk((int Turn, double Length, int Sort, double Speed, double Feed)[] steps)
    {
        var heading = 0;
        return [.. steps.Select(s =>
        {
            heading += s.Turn;
            var (sine, cosine) = Math.SinCos(heading * Math.PI / 180);
            return s.Sort switch
            {
                0 => MotionRun.Move(0, 0, e: -0.8, speed: s.Speed),
                1 => MotionRun.Move(0, 0, e: 0.8, speed: s.Speed),
                2 => MotionRun.Move(0, 0, z: 0.2, speed: s.Speed),
                3 => MotionRun.Move(s.Length * cosine, s.Length * sine, e: -s.Feed * s.Length, speed: s.Speed),
                4 or 5 => MotionRun.Move(s.Length * cosine, s.Length * sine, speed: s.Speed),
                6 => MotionRun.Move(s.Length * cosine, s.Length * sine, z: 0.1 * s.Length, e: s.Feed * s.Length, speed: s.Speed),
                7 => default,
                _ => MotionRun.Move(s.Length * cosine, s.Length * sine, e: s.Feed * s.Length, speed: s.Speed),
            };
        })];
    }
}
