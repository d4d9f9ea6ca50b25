// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Fumecast.Motion;

/// <summary>Fourth stage: speeds and times of settled moves, a few dozen at a time, four at once.</summary>
/// <remarks>v_peak^2 = min(v_top^2, (v_s^2 + v_e^2) / 2 + a d); ramps last (v_peak - v) / a; the rest of the length is cruised. See <see cref="Trapezoid"/>.</remarks>
internal sealed class TrapezoidBatch
{
    /// <summary>Moves of one batch; a multiple of four.</summary>
    public const int Size = 64;

    // Lanes behind the last move that whole vectors may touch.
    private const int Spare = 4;

    // What rounding may leave of a move that only speeds up and slows down, as a share of lengths that were subtracted: no cruise. Left in, it would
    // be there or not by chance, and every branch behind it would be guessed wrong half of the time.
    private const double Rounding = 1e-14;

    /// <summary>Speed where each move begins, and, one further, where the last ends [mm/s].</summary>
    public readonly double[] Start = new double[Size + Spare + 1];

    /// <summary>Highest speed [mm/s].</summary>
    public readonly double[] Peak = new double[Size + Spare];

    /// <summary>Time speeding up [s].</summary>
    public readonly double[] SpeedUp = new double[Size + Spare];

    /// <summary>Time cruising [s].</summary>
    public readonly double[] Cruise = new double[Size + Spare];

    /// <summary>Time slowing down [s].</summary>
    public readonly double[] SlowDown = new double[Size + Spare];

    /// <summary>Computes the moves from <paramref name="from"/> on, at most <see cref="Size"/> of them.</summary>
    /// <param name="window">The moves.</param>
    /// <param name="entry">Squares of the speeds where they begin, and one more [mm2/s2].</param>
    /// <param name="from">First move.</param>
    /// <param name="count">Number of moves.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Fill(MoveWindow window, double[] entry, int from, int count)
    {
        ref var speedSquared = ref MemoryMarshal.GetArrayDataReference(entry);
        ref var top = ref MemoryMarshal.GetArrayDataReference(window.TopSquared);
        ref var accel = ref MemoryMarshal.GetArrayDataReference(window.Accel);
        ref var length = ref MemoryMarshal.GetArrayDataReference(window.Length);
        ref var reach = ref MemoryMarshal.GetArrayDataReference(window.Reach);
        ref var start = ref MemoryMarshal.GetArrayDataReference(Start);
        ref var peak = ref MemoryMarshal.GetArrayDataReference(Peak);
        ref var speedUp = ref MemoryMarshal.GetArrayDataReference(SpeedUp);
        ref var cruise = ref MemoryMarshal.GetArrayDataReference(Cruise);
        ref var slowDown = ref MemoryMarshal.GetArrayDataReference(SlowDown);
        var half = Vector256.Create(0.5);
        var rounding = Vector256.Create(Rounding);

        for (nuint i = 0, k = (nuint)from; i < (nuint)count; i += 4, k += 4)
        {
            var startSquared = Vector256.LoadUnsafe(ref speedSquared, k);
            var endSquared = Vector256.LoadUnsafe(ref speedSquared, k + 1);
            var a = Vector256.LoadUnsafe(ref accel, k);
            var d = Vector256.LoadUnsafe(ref length, k);

            var reachable = half * (startSquared + endSquared + Vector256.LoadUnsafe(ref reach, k));
            var peakSquared = Vector256.MinNative(Vector256.LoadUnsafe(ref top, k), reachable);

            // Rounding may leave the peak a hair below an end.
            peakSquared = Vector256.MaxNative(peakSquared, Vector256.MaxNative(startSquared, endSquared));
            var vs = Vector256.Sqrt(startSquared);
            var ve = Vector256.Sqrt(endSquared);
            var vp = Vector256.Sqrt(peakSquared);
            var inverse = Vector256<double>.One / a;
            var up = (vp - vs) * inverse;
            var down = (vp - ve) * inverse;
            var ramps = half * (((vs + vp) * up) + ((ve + vp) * down));
            var rest = d - ramps;
            rest &= Vector256.GreaterThan(rest, rounding * (d + (peakSquared * inverse)));

            vs.StoreUnsafe(ref start, i);
            vp.StoreUnsafe(ref peak, i);
            up.StoreUnsafe(ref speedUp, i);
            (rest / vp).StoreUnsafe(ref cruise, i);
            down.StoreUnsafe(ref slowDown, i);
        }

        Start[count] = Math.Sqrt(entry[from + count]);
    }
}
