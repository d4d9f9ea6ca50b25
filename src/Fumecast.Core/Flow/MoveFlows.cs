// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Fumecast.Motion;

namespace Fumecast.Flow;

/// <summary>What each of a few moves adds to the figures of the flow when it happens as a whole: a rise, a constant stretch and a fall, both ramps equally steep.</summary>
/// <remarks>
/// Four at a time; the same operations in the same order whatever the lane, so that results do not depend on where a run of moves begins. Both ramps
/// share the jump of density at the peak.
/// Lanes of moves that are not whole hold anything but <see cref="DurationS"/>.
/// </remarks>
internal sealed class MoveFlows
{
    private const int Lanes = TrapezoidBatch.Size + 4;

    /// <summary>Length of the move; infinite if it is not whole: no deposit, a refill before it, or a flow that <see cref="FlowDistribution"/> counts otherwise [s].</summary>
    public readonly double[] DurationS = new double[Lanes];

    /// <summary>Deposit [mm3].</summary>
    public readonly double[] VolumeMm3 = new double[Lanes];

    /// <summary>Integral of the flow over the reference [mm3].</summary>
    public readonly double[] Sum = new double[Lanes];

    /// <summary>Integral of the square of the flow over the reference [mm6/s].</summary>
    public readonly double[] Squares = new double[Lanes];

    /// <summary>Length of the constant stretch [s].</summary>
    public readonly double[] ConstantS = new double[Lanes];

    /// <summary>Flow between the ramps [mm3/s].</summary>
    public readonly double[] PeakMm3PerS = new double[Lanes];

    /// <summary>Jump where the move begins; of no size without a rise.</summary>
    public readonly Jumps Start = new();

    /// <summary>Jump where the move ends; of no size without a fall.</summary>
    public readonly Jumps End = new();

    /// <summary>Jump at the peak; of no size if all of the move is constant.</summary>
    public readonly Jumps Peak = new();

    /// <summary>Works out moves from the first on.</summary>
    /// <param name="moves">The moves.</param>
    /// <param name="referenceMm3PerS">Flow about which moments are taken [mm3/s].</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Fill(in TimedMoves moves, double referenceMm3PerS)
    {
        var reference = Vector256.Create(referenceMm3PerS);
        var half = Vector256.Create(0.5);
        var third = Vector256.Create(1.0 / 3);
        var zero = Vector256<double>.Zero;
        for (var i = 0; i < moves.Count; i += Vector256<double>.Count)
        {
            var payload = moves.Payload(i);
            var area = Vector256.Create(payload[0].DepositAreaMm2, payload[1].DepositAreaMm2, payload[2].DepositAreaMm2, payload[3].DepositAreaMm2);
            var refill = Vector256.Create(payload[0].RefillShare, payload[1].RefillShare, payload[2].RefillShare, payload[3].RefillShare);
            var (riseS, constantS, fallS) = (moves.SpeedUpS(i), moves.CruiseS(i), moves.SlowDownS(i));
            var durationS = riseS + constantS + fallS;
            var mm3PerMm = area * moves.FeedPerMm(i);
            var start = mm3PerMm * moves.StartMmPerS(i);
            var peak = mm3PerMm * moves.PeakMmPerS(i);
            var end = mm3PerMm * moves.EndMmPerS(i);
            var rises = Vector256.GreaterThan(riseS, zero);
            var falls = Vector256.GreaterThan(fallS, zero);

            var isWhole = Vector256.GreaterThan(peak, zero) & Vector256.Equals(refill, zero)
                & FlowDistribution.TakesRamp(start, peak, rises) & FlowDistribution.TakesRamp(end, peak, falls);
            Vector256.ConditionalSelect(isWhole, durationS, Vector256.Create(double.PositiveInfinity)).StoreUnsafe(ref First(DurationS), (nuint)i);
            (mm3PerMm * moves.LengthMm(i)).StoreUnsafe(ref First(VolumeMm3), (nuint)i);
            constantS.StoreUnsafe(ref First(ConstantS), (nuint)i);
            peak.StoreUnsafe(ref First(PeakMm3PerS), (nuint)i);

            var density = Vector256<double>.One / (mm3PerMm * moves.AccelMmPerS2(i));
            var (densityAtStart, densityAtEnd) = (density & rises, density & falls);
            Start.Set(i, start, densityAtStart);
            Peak.Set(i, peak, -(densityAtStart + densityAtEnd));
            End.Set(i, end, densityAtEnd);

            (start, peak, end) = (start - reference, peak - reference, end - reference);
            ((peak * constantS) + (half * (((start + peak) * riseS) + ((peak + end) * fallS)))).StoreUnsafe(ref First(Sum), (nuint)i);
            ((peak * peak * constantS)
                + (third * (((start * start + start * peak + peak * peak) * riseS) + ((peak * peak + peak * end + end * end) * fallS)))).StoreUnsafe(ref First(Squares), (nuint)i);
        }
    }

    private static ref T First<T>(T[] column) => ref MemoryMarshal.GetArrayDataReference(column);

    /// <summary>Jumps of the density of time, one for each move.</summary>
    public sealed class Jumps
    {
        /// <summary>Cell of the table [-].</summary>
        public readonly long[] Cell = new long[Lanes];

        /// <summary>The jump [s per mm3/s].</summary>
        public readonly double[] Density = new double[Lanes];

        /// <summary>Time that it makes up to the upper edge of its cell [s].</summary>
        public readonly double[] SecondsToEdge = new double[Lanes];

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        internal void Set(int i, Vector256<double> flowMm3PerS, Vector256<double> density)
        {
            var cell = FlowDistribution.CellsOf(flowMm3PerS, out var upperEdge);
            cell.StoreUnsafe(ref First(Cell), (nuint)i);
            density.StoreUnsafe(ref First(Density), (nuint)i);
            (density * (upperEdge - flowMm3PerS)).StoreUnsafe(ref First(SecondsToEdge), (nuint)i);
        }
    }
}
