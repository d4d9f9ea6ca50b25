// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Fumecast.Motion;

/// <summary>First stage: from displacements to direction, length, highest speed and acceleration.</summary>
/// <remarks>
/// The limit of each axis scales the whole move: v = min(v_commanded, V_i / |u_i|), a = min(a_kind, A_i / |u_i|), here written
/// as v / max(1, v |u_i| / V_i) with one division. Four moves at a time; the same operations in the same order whatever the lane, and
/// no fused multiply-add, so that results do not depend on where a batch begins or on the processor.
/// </remarks>
internal static class AxisLimits
{
    /// <summary>Fills the columns of the moves from <paramref name="from"/> up to <paramref name="to"/>, which hold commands so far.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Apply(MoveWindow window, in LimitValues limits, int from, int to)
    {
        ref var x = ref MemoryMarshal.GetArrayDataReference(window.UnitX);
        ref var y = ref MemoryMarshal.GetArrayDataReference(window.UnitY);
        ref var z = ref MemoryMarshal.GetArrayDataReference(window.UnitZ);
        ref var feed = ref MemoryMarshal.GetArrayDataReference(window.Feed);
        ref var alone = ref MemoryMarshal.GetArrayDataReference(window.Alone);
        ref var length = ref MemoryMarshal.GetArrayDataReference(window.Length);
        ref var top = ref MemoryMarshal.GetArrayDataReference(window.TopSquared);
        ref var accel = ref MemoryMarshal.GetArrayDataReference(window.Accel);
        ref var reach = ref MemoryMarshal.GetArrayDataReference(window.Reach);
        ref var calmReach = ref MemoryMarshal.GetArrayDataReference(window.CalmReach);

        var one = Vector256<double>.One;
        var speedX = Vector256.Create(limits.InverseFeed.X);
        var speedY = Vector256.Create(limits.InverseFeed.Y);
        var speedZ = Vector256.Create(limits.InverseFeed.Z);
        var speedE = Vector256.Create(limits.InverseFeed.E);
        var accelX = Vector256.Create(limits.InverseAccel.X);
        var accelY = Vector256.Create(limits.InverseAccel.Y);
        var accelZ = Vector256.Create(limits.InverseAccel.Z);
        var accelE = Vector256.Create(limits.InverseAccel.E);
        var speedPath = Vector256.Create(limits.InversePathSpeed);
        var speedENozzle = limits.FilamentLimitsNozzleMoves ? speedE : Vector256<double>.Zero;
        var accelENozzle = limits.FilamentLimitsNozzleMoves ? accelE : Vector256<double>.Zero;
        var calm = Vector256.Create(1 - limits.MinimumCruiseRatio);

        for (var k = (nuint)from; k < (nuint)to; k += 4)
        {
            var dx = Vector256.LoadUnsafe(ref x, k);
            var dy = Vector256.LoadUnsafe(ref y, k);
            var dz = Vector256.LoadUnsafe(ref z, k);
            var de = Vector256.LoadUnsafe(ref feed, k);

            var squared = (dx * dx) + (dy * dy) + (dz * dz);
            var isAlone = Vector256.Equals(squared, Vector256<double>.Zero);
            var d = Vector256.Sqrt(Vector256.ConditionalSelect(isAlone, de * de, squared));
            var inverse = one / d;
            var ux = dx * inverse;
            var uy = dy * inverse;
            var uz = dz * inverse;
            var e = de * inverse;

            var ax = Vector256.Abs(ux);
            var ay = Vector256.Abs(uy);
            var az = Vector256.Abs(uz);
            var ae = Vector256.Abs(e);
            var slowest = Vector256.MaxNative(Vector256.MaxNative(ax * speedX, ay * speedY), az * speedZ);
            slowest = Vector256.MaxNative(slowest, ae * Vector256.ConditionalSelect(isAlone, speedE, speedENozzle));
            slowest = Vector256.MaxNative(slowest, Vector256.AndNot(speedPath, isAlone));
            var weakest = Vector256.MaxNative(Vector256.MaxNative(ax * accelX, ay * accelY), az * accelZ);
            weakest = Vector256.MaxNative(weakest, ae * Vector256.ConditionalSelect(isAlone, accelE, accelENozzle));

            var v = Vector256.LoadUnsafe(ref top, k);
            v /= Vector256.MaxNative(one, v * slowest);
            var a = Vector256.LoadUnsafe(ref accel, k);
            a /= Vector256.MaxNative(one, a * weakest);
            var change = (a + a) * d;

            ux.StoreUnsafe(ref x, k);
            uy.StoreUnsafe(ref y, k);
            uz.StoreUnsafe(ref z, k);
            e.StoreUnsafe(ref feed, k);
            Vector256.ConditionalSelect(isAlone, e, Vector256<double>.Zero).StoreUnsafe(ref alone, k);
            d.StoreUnsafe(ref length, k);
            (v * v).StoreUnsafe(ref top, k);
            a.StoreUnsafe(ref accel, k);
            change.StoreUnsafe(ref reach, k);
            (change * calm).StoreUnsafe(ref calmReach, k);
        }
    }
}
