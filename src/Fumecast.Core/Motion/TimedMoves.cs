// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Fumecast.Motion;

/// <summary>Moves with their final speeds, one after the other and without a mark between them; valid during the sink's call only.</summary>
/// <remarks>Either one by one, or four at a time by quantity; lanes behind the last move hold anything.</remarks>
internal readonly ref struct TimedMoves(MoveWindow window, int firstInWindow, TrapezoidBatch times, int firstInTimes, int count)
{
    /// <summary>Moves [-], at most <see cref="TrapezoidBatch.Size"/>.</summary>
    public int Count => count;

    /// <summary>One of them.</summary>
    public TimedMove this[int i]
    {
        get
        {
            var (k, t) = (firstInWindow + i, firstInTimes + i);
            return new TimedMove
            {
                LengthMm = window.Length[k],
                StartMmPerS = times.Start[t],
                PeakMmPerS = times.Peak[t],
                EndMmPerS = times.Start[t + 1],
                AccelMmPerS2 = window.Accel[k],
                SpeedUpS = times.SpeedUp[t],
                CruiseS = times.Cruise[t],
                SlowDownS = times.SlowDown[t],
                FeedPerMm = window.Feed[k],
                Kind = window.Kind[k],
                Payload = window.Payload[k],
            };
        }
    }

    /// <summary>Length of the path [mm].</summary>
    public Vector256<double> LengthMm(int i) => Four(window.Length, firstInWindow + i);

    /// <summary>Filament fed per length of path [mm/mm].</summary>
    public Vector256<double> FeedPerMm(int i) => Four(window.Feed, firstInWindow + i);

    /// <summary>Acceleration while speeding up and slowing down [mm/s2].</summary>
    public Vector256<double> AccelMmPerS2(int i) => Four(window.Accel, firstInWindow + i);

    /// <summary>Speed at the start [mm/s].</summary>
    public Vector256<double> StartMmPerS(int i) => Four(times.Start, firstInTimes + i);

    /// <summary>Speed while cruising [mm/s].</summary>
    public Vector256<double> PeakMmPerS(int i) => Four(times.Peak, firstInTimes + i);

    /// <summary>Speed at the end [mm/s].</summary>
    public Vector256<double> EndMmPerS(int i) => Four(times.Start, firstInTimes + i + 1);

    /// <summary>Time speeding up [s].</summary>
    public Vector256<double> SpeedUpS(int i) => Four(times.SpeedUp, firstInTimes + i);

    /// <summary>Time cruising [s].</summary>
    public Vector256<double> CruiseS(int i) => Four(times.Cruise, firstInTimes + i);

    /// <summary>Time slowing down [s].</summary>
    public Vector256<double> SlowDownS(int i) => Four(times.SlowDown, firstInTimes + i);

    /// <summary>What the requests carried along; four of them.</summary>
    public ReadOnlySpan<MovePayload> Payload(int i) => window.Payload.AsSpan(firstInWindow + i, Vector256<double>.Count);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Four(double[] column, int at) => Vector256.LoadUnsafe(ref MemoryMarshal.GetArrayDataReference(column), (nuint)at);
}
