// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>The limits as the planner computes with them: finite or inverse, and never 0, negative or NaN.</summary>
/// <remarks>
/// Floors, a convention of ours: speeds 0.001 mm/s, accelerations 0.001 mm/s2, steps of speed 1e-12 mm/s, corner circles 1e-12 mm.
/// Ceilings: speeds 1e6 mm/s, accelerations 1e9 mm/s2. Inverses turn "not limited" into 0 and spare divisions.
/// </remarks>
internal readonly struct LimitValues
{
    public const double SlowestMmPerS = 1e-3;
    public const double FastestMmPerS = 1e6;
    public const double WeakestMmPerS2 = 1e-3;
    public const double StrongestMmPerS2 = 1e9;

    // A step of 1e-12 mm/s against the rounding of a unit vector (1e-16) still lets a straight line pass at 1e4 mm/s.
    private const double SmallestStepMmPerS = 1e-12;
    private const double SmallestDeviationMm = 1e-12;
    private const double LargestDeviationMm = 1e6;
    private const double LargestCruiseRatio = 0.99;

    public readonly PerAxis InverseFeed;
    public readonly PerAxis InverseAccel;
    public readonly double InversePathSpeed;
    public readonly bool FilamentLimitsNozzleMoves;
    public readonly JunctionModel Junction;
    public readonly PerAxis InverseJerk;
    public readonly bool ReversalCountsLargerOnly;
    public readonly bool JerkAtRest;
    public readonly bool JerkWithinKindOnly;
    public readonly double DeviationMm;
    public readonly double SquareCornerSquared;
    public readonly double InverseExtruderStep;
    public readonly bool StopBetweenFilamentAndNozzleMoves;
    public readonly double MinimumCruiseRatio;

    public LimitValues(MotionLimits limits)
    {
        InverseFeed = Inverse(limits.MaxFeedMmPerS, SlowestMmPerS);
        InverseAccel = Inverse(limits.MaxAccelMmPerS2, WeakestMmPerS2);
        InversePathSpeed = 1 / AtLeast(limits.MaxPathSpeedMmPerS, SlowestMmPerS);
        FilamentLimitsNozzleMoves = limits.FilamentLimitsNozzleMoves;
        Junction = limits.Junction;
        InverseJerk = Inverse(limits.JerkMmPerS, SmallestStepMmPerS);
        ReversalCountsLargerOnly = limits.JerkReversal == JerkReversal.Max;
        JerkAtRest = limits.JerkAtRest && limits.Junction == JunctionModel.PerAxisJerk;
        JerkWithinKindOnly = limits.JerkWithinKindOnly && limits.Junction == JunctionModel.PerAxisJerk;
        DeviationMm = Math.Min(AtLeast(limits.DeviationMm, SmallestDeviationMm), LargestDeviationMm);
        var corner = Speed(AtLeast(limits.SquareCornerMmPerS, SmallestStepMmPerS), SmallestStepMmPerS);
        SquareCornerSquared = corner * corner;
        InverseExtruderStep = 1 / AtLeast(limits.ExtruderStepMmPerS, SmallestStepMmPerS);
        StopBetweenFilamentAndNozzleMoves = limits.StopBetweenFilamentAndNozzleMoves;
        MinimumCruiseRatio = Math.Min(AtLeast(limits.MinimumCruiseRatio, 0), LargestCruiseRatio);
    }

    /// <summary>A commanded speed inside the range that can be planned; NaN becomes the floor.</summary>
    public static double Speed(double speedMmPerS, double floorMmPerS) => Math.Min(AtLeast(speedMmPerS, floorMmPerS), FastestMmPerS);

    /// <summary>An acceleration inside the range that can be planned; NaN becomes the floor.</summary>
    public static double Accel(double accelMmPerS2) => Math.Min(AtLeast(accelMmPerS2, WeakestMmPerS2), StrongestMmPerS2);

    // The comparison is false for NaN, which therefore becomes the floor.
    private static double AtLeast(double value, double floor) => value >= floor ? value : floor;

    private static PerAxis Inverse(PerAxis limit, double floor) =>
        new(1 / AtLeast(limit.X, floor), 1 / AtLeast(limit.Y, floor), 1 / AtLeast(limit.Z, floor), 1 / AtLeast(limit.E, floor));
}
