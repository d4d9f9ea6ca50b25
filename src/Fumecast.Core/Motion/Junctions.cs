// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Fumecast.Motion;

/// <summary>Second stage: how fast each move may begin, seen from the corner with the move before it.</summary>
/// <remarks>
/// Directions are compared in four dimensions: X, Y, Z of the nozzle and, for a move of filament alone, the filament. So a nozzle
/// move and a move of filament alone meet as at a right angle, unless the limits ask for a stop there. With w and u the outgoing and
/// incoming unit vectors, sin(theta/2) = |w + u| / 2 and cos(theta/2) = |w - u| / 2 for the angle theta between the legs: this form
/// loses no digits in nearly straight lines, and gives exactly 0 for a reversal.
/// </remarks>
internal static class Junctions
{
    // A right angle: 1/s - 1 with s = sin 45 degrees.
    private static readonly double RightAngle = Math.Sqrt(2) - 1;

    /// <summary>Fills the entry caps of moves whose predecessor is in the window too; all of them have passed <see cref="AxisLimits"/>.</summary>
    public static void Apply(MoveWindow window, in LimitValues limits, int from, int to)
    {
        switch (limits.Junction)
        {
            case JunctionModel.PerAxisJerk:
                PerAxisJerk(window, limits, from, to);
                break;
            case JunctionModel.SquareCorner:
                SquareCorner(window, limits, from, to);
                break;
            case JunctionModel.Deviation:
            default:
                Deviation(window, limits, from, to);
                break;
        }

        if (limits.JerkWithinKindOnly)
        {
            StopBetweenKinds(window, from, to);
        }

        if (limits.StopBetweenFilamentAndNozzleMoves)
        {
            StopBetweenFilamentAndNozzle(window, from, to);
        }
    }

    /// <summary>Square of the speed with which a move may start from rest or end at rest [mm2/s2]: 0 unless jerk at rest is in force.</summary>
    public static double AtRestSquared(MoveWindow window, in LimitValues limits, int move)
    {
        if (!limits.JerkAtRest)
        {
            return 0;
        }

        var jerk = limits.InverseJerk;
        var slowest = Math.Max(
            Math.Max(Math.Abs(window.UnitX[move]) * jerk.X, Math.Abs(window.UnitY[move]) * jerk.Y),
            Math.Max(Math.Abs(window.UnitZ[move]) * jerk.Z, Math.Abs(window.Feed[move]) * jerk.E));
        return Math.Min(1 / (slowest * slowest), window.TopSquared[move]);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void PerAxisJerk(MoveWindow window, in LimitValues limits, int from, int to)
    {
        ref var x = ref MemoryMarshal.GetArrayDataReference(window.UnitX);
        ref var y = ref MemoryMarshal.GetArrayDataReference(window.UnitY);
        ref var z = ref MemoryMarshal.GetArrayDataReference(window.UnitZ);
        ref var feed = ref MemoryMarshal.GetArrayDataReference(window.Feed);
        ref var top = ref MemoryMarshal.GetArrayDataReference(window.TopSquared);
        ref var cap = ref MemoryMarshal.GetArrayDataReference(window.EntryCap);
        var jerkX = Vector256.Create(limits.InverseJerk.X);
        var jerkY = Vector256.Create(limits.InverseJerk.Y);
        var jerkZ = Vector256.Create(limits.InverseJerk.Z);
        var jerkE = Vector256.Create(limits.InverseJerk.E);
        var largerOnly = limits.ReversalCountsLargerOnly;

        for (var k = (nuint)from; k < (nuint)to; k += 4)
        {
            var slowest = Step(ref x, k, largerOnly) * jerkX;
            slowest = Vector256.MaxNative(slowest, Step(ref y, k, largerOnly) * jerkY);
            slowest = Vector256.MaxNative(slowest, Step(ref z, k, largerOnly) * jerkZ);
            slowest = Vector256.MaxNative(slowest, Step(ref feed, k, largerOnly) * jerkE);
            var squared = Vector256<double>.One / (slowest * slowest);
            Vector256.MinNative(squared, LowerTop(ref top, k)).StoreUnsafe(ref cap, k);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Deviation(MoveWindow window, in LimitValues limits, int from, int to)
    {
        ref var accel = ref MemoryMarshal.GetArrayDataReference(window.Accel);
        ref var top = ref MemoryMarshal.GetArrayDataReference(window.TopSquared);
        ref var cap = ref MemoryMarshal.GetArrayDataReference(window.EntryCap);
        var deviation = Vector256.Create(limits.DeviationMm);
        var corner = new Corners(window);

        for (var k = (nuint)from; k < (nuint)to; k += 4)
        {
            corner.At(k, out var sine, out var cosineSquared);
            var a = Vector256.MinNative(Vector256.LoadUnsafe(ref accel, k), Vector256.LoadUnsafe(ref accel, k - 1));
            var squared = a * deviation * sine * (Vector256<double>.One + sine) / cosineSquared;
            Vector256.MinNative(squared, LowerTop(ref top, k)).StoreUnsafe(ref cap, k);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void SquareCorner(MoveWindow window, in LimitValues limits, int from, int to)
    {
        ref var feed = ref MemoryMarshal.GetArrayDataReference(window.Feed);
        ref var reach = ref MemoryMarshal.GetArrayDataReference(window.Reach);
        ref var top = ref MemoryMarshal.GetArrayDataReference(window.TopSquared);
        ref var cap = ref MemoryMarshal.GetArrayDataReference(window.EntryCap);
        var scale = Vector256.Create(limits.SquareCornerSquared * RightAngle);
        var extruderStep = Vector256.Create(limits.InverseExtruderStep);
        var quarter = Vector256.Create(0.25);
        var corner = new Corners(window);

        for (var k = (nuint)from; k < (nuint)to; k += 4)
        {
            corner.At(k, out var sine, out var cosineSquared);
            var squared = scale * sine * (Vector256<double>.One + sine) / cosineSquared;

            // The circle must touch each move before its middle: v2 <= a d tan(theta/2) / 2, a quarter of the reach.
            var shorter = Vector256.MinNative(Vector256.LoadUnsafe(ref reach, k), Vector256.LoadUnsafe(ref reach, k - 1));
            squared = Vector256.MinNative(squared, quarter * shorter * sine / Vector256.Sqrt(cosineSquared));

            var slowest = Step(ref feed, k, largerOnly: false) * extruderStep;
            squared = Vector256.MinNative(squared, Vector256<double>.One / (slowest * slowest));
            Vector256.MinNative(squared, LowerTop(ref top, k)).StoreUnsafe(ref cap, k);
        }
    }

    // By how much a component of the unit vector changes at the corner; on a turn-round perhaps the larger part only.
    private static Vector256<double> Step(ref double unit, nuint k, bool largerOnly)
    {
        var outgoing = Vector256.LoadUnsafe(ref unit, k);
        var incoming = Vector256.LoadUnsafe(ref unit, k - 1);
        var step = Vector256.Abs(outgoing - incoming);
        return largerOnly
            ? Vector256.ConditionalSelect(
                Vector256.LessThan(outgoing * incoming, Vector256<double>.Zero),
                Vector256.MaxNative(Vector256.Abs(outgoing), Vector256.Abs(incoming)),
                step)
            : step;
    }

    private static Vector256<double> LowerTop(ref double top, nuint k) =>
        Vector256.MinNative(Vector256.LoadUnsafe(ref top, k), Vector256.LoadUnsafe(ref top, k - 1));

    // Two printing moves, or two that do not print, and both with or both without movement in the plane; anything else steps
    // the filament or an axis, of which no step is allowed.
    private static void StopBetweenKinds(MoveWindow window, int from, int to)
    {
        for (var k = from; k < to; k++)
        {
            var samePrint = (window.Kind[k] == MoveKind.Print) == (window.Kind[k - 1] == MoveKind.Print);
            if (!samePrint || InPlane(window, k) != InPlane(window, k - 1))
            {
                window.EntryCap[k] = 0;
            }
        }
    }

    private static bool InPlane(MoveWindow window, int k) => window.UnitX[k] != 0 || window.UnitY[k] != 0;

    private static void StopBetweenFilamentAndNozzle(MoveWindow window, int from, int to)
    {
        for (var k = from; k < to; k++)
        {
            if ((window.Alone[k] == 0) != (window.Alone[k - 1] == 0))
            {
                window.EntryCap[k] = 0;
            }
        }
    }

    // The angle between the legs of four corners, as the sine of its half and the square of the cosine.
    private readonly ref struct Corners(MoveWindow window)
    {
        private readonly ref double _x = ref MemoryMarshal.GetArrayDataReference(window.UnitX);
        private readonly ref double _y = ref MemoryMarshal.GetArrayDataReference(window.UnitY);
        private readonly ref double _z = ref MemoryMarshal.GetArrayDataReference(window.UnitZ);
        private readonly ref double _alone = ref MemoryMarshal.GetArrayDataReference(window.Alone);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public void At(nuint k, out Vector256<double> sine, out Vector256<double> cosineSquared)
        {
            Add(ref _x, k, out var plus, out var minus);
            Add(ref _y, k, out var plusY, out var minusY);
            Add(ref _z, k, out var plusZ, out var minusZ);
            Add(ref _alone, k, out var plusE, out var minusE);
            sine = Vector256.Create(0.5) * Vector256.Sqrt(plus + plusY + plusZ + plusE);
            cosineSquared = Vector256.Create(0.25) * (minus + minusY + minusZ + minusE);
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        private static void Add(ref double unit, nuint k, out Vector256<double> plusSquared, out Vector256<double> minusSquared)
        {
            var outgoing = Vector256.LoadUnsafe(ref unit, k);
            var incoming = Vector256.LoadUnsafe(ref unit, k - 1);
            var plus = outgoing + incoming;
            var minus = outgoing - incoming;
            plusSquared = plus * plus;
            minusSquared = minus * minus;
        }
    }
}
