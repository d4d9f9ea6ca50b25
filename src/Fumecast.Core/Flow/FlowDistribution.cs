// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Fumecast.Flow;

/// <summary>How long the flow had which value: a table of fixed size, filled in constant time from pieces that are linear in time.</summary>
/// <remarks>
/// A ramp spends equal times in equal steps of flow, so it raises the density of time [s per mm3/s] at its lower end and drops
/// it at its upper end. The table keeps per cell the sum of those jumps, and the time they make up to the cell's upper edge; with
/// both the cumulated time is exact at every edge, and only the place of a jump within its cell is lost. Stretches of constant flow
/// are kept apart with their least and greatest value, so a value that stands alone in its cell stays exact.
/// Cells are cut from the bits of the number: 128 to an octave, at most 0.8 % wide, from 2^-12 to 2^12 mm3/s.
/// </remarks>
internal sealed class FlowDistribution
{
    private const int CellsPerOctaveLog2 = 7;
    private const int Octaves = 24;
    private const int CellCount = Octaves << CellsPerOctaveLog2;
    private const int Shift = 52 - CellsPerOctaveLog2;
    private const long FirstKey = (1023L - 12) << CellsPerOctaveLog2;
    private const double HighestMm3PerS = 4095;

    // Ramps narrower than this share of their flow count as constant: their density would swamp that of all others.
    private const double NarrowRamp = 1e-6;

    private readonly Jump[] _jumps = new Jump[CellCount];
    private readonly Level[] _levels = new Level[CellCount];

    /// <summary>Time with flow so far [s].</summary>
    public double TotalS { get; private set; }

    /// <summary>Adds a stretch of constant flow.</summary>
    /// <param name="flowMm3PerS">Flow, over 0 [mm3/s].</param>
    /// <param name="seconds">Length, over 0 [s].</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void AddConstant(double flowMm3PerS, double seconds)
    {
        TotalS += seconds;
        AddLevel(flowMm3PerS, seconds);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void AddLevel(double flowMm3PerS, double seconds)
    {
        ref var level = ref _levels[CellOf(flowMm3PerS)];
        if (level.Seconds == 0)
        {
            level.LowMm3PerS = level.HighMm3PerS = flowMm3PerS;
        }
        else if (flowMm3PerS < level.LowMm3PerS)
        {
            level.LowMm3PerS = flowMm3PerS;
        }
        else if (flowMm3PerS > level.HighMm3PerS)
        {
            level.HighMm3PerS = flowMm3PerS;
        }

        level.Seconds += seconds;
    }

    /// <summary>Adds a stretch during which the flow changes evenly from one value to another, in either direction.</summary>
    /// <param name="lowMm3PerS">The lesser flow, 0 or more [mm3/s].</param>
    /// <param name="highMm3PerS">The greater flow, over 0 [mm3/s].</param>
    /// <param name="seconds">Length, over 0 [s].</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void AddRamp(double lowMm3PerS, double highMm3PerS, double seconds)
    {
        var width = highMm3PerS - lowMm3PerS;
        if (width <= highMm3PerS * NarrowRamp || highMm3PerS > HighestMm3PerS)
        {
            AddConstant(Math.Min(0.5 * (lowMm3PerS + highMm3PerS), HighestMm3PerS), seconds);
            return;
        }

        TotalS += seconds;
        var density = seconds / width;
        AddJump(lowMm3PerS, density);
        AddJump(highMm3PerS, -density);
    }

    /// <summary>Whether a ramp of a whole move is counted as one, four moves at a time: it is not too narrow, and the flow not too great.</summary>
    /// <param name="endMm3PerS">Flow at the outer end, 0 or more [mm3/s].</param>
    /// <param name="peakMm3PerS">Flow at the inner end [mm3/s].</param>
    /// <param name="isThere">Whether there is a ramp at all.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> TakesRamp(Vector256<double> endMm3PerS, Vector256<double> peakMm3PerS, Vector256<double> isThere) =>
        Vector256.LessThanOrEqual(peakMm3PerS, Vector256.Create(HighestMm3PerS))
        & (Vector256.LessThan(endMm3PerS, peakMm3PerS * Vector256.Create(1 - NarrowRamp)) | ~isThere);

    /// <summary>Cells of four flows that are not too great.</summary>
    /// <param name="flowMm3PerS">The flows, 0 or more [mm3/s].</param>
    /// <param name="upperEdgeMm3PerS">Where their cells end [mm3/s].</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<long> CellsOf(Vector256<double> flowMm3PerS, out Vector256<double> upperEdgeMm3PerS)
    {
        var first = Vector256.Create(FirstKey);
        var key = Vector256.Max(Vector256.ShiftRightLogical(flowMm3PerS.AsInt64(), Shift), first);
        upperEdgeMm3PerS = Vector256.ShiftLeft(key + Vector256<long>.One, Shift).AsDouble();
        return key - first;
    }

    /// <summary>Adds whole moves.</summary>
    /// <param name="flows">What the moves add.</param>
    /// <param name="from">The first of them.</param>
    /// <param name="to">Behind the last of them.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(MoveFlows flows, int from, int to)
    {
        var totalS = TotalS;
        var ends = new Gathered(_jumps);
        for (var i = from; i < to; i++)
        {
            totalS += flows.DurationS[i];
            if (flows.ConstantS[i] > 0)
            {
                AddLevel(flows.PeakMm3PerS[i], flows.ConstantS[i]);
            }

            if (flows.Peak.Density[i] != 0)
            {
                ends.Add(flows.Start, i);
                ref var peak = ref _jumps[flows.Peak.Cell[i]];
                peak.Density += flows.Peak.Density[i];
                peak.SecondsToEdge += flows.Peak.SecondsToEdge[i];
                ends.Add(flows.End, i);
            }
        }

        ends.Flush();
        TotalS = totalS;
    }

    /// <summary>Time with flow below a value, or at it.</summary>
    /// <param name="flowMm3PerS">The value [mm3/s].</param>
    /// <param name="including">Whether time at exactly this value counts.</param>
    /// <returns>Time [s]; exact at the edges of cells, interpolated within.</returns>
    public double SecondsBelow(double flowMm3PerS, bool including)
    {
        var cell = CellOf(flowMm3PerS);
        var (seconds, density) = (0.0, 0.0);
        for (var i = 0; i < cell; i++)
        {
            seconds += ContinuousS(i, density) + _levels[i].Seconds;
            density += _jumps[i].Density;
        }

        return seconds + WithinCellS(cell, flowMm3PerS, ContinuousS(cell, density), including);
    }

    /// <summary>The flow that is exceeded during half of the time with flow; of two such values the lower.</summary>
    /// <returns>Flow [mm3/s]; null when there was none.</returns>
    public double? Median()
    {
        if (!(TotalS > 0))
        {
            return null;
        }

        // A hair less than half, so that rounding does not pick the upper of two values.
        var halfS = 0.5 * TotalS * (1 - 1e-12);
        var (seconds, density) = (0.0, 0.0);
        for (var i = 0; i < CellCount; i++)
        {
            var continuousS = ContinuousS(i, density);
            var nextS = seconds + continuousS + _levels[i].Seconds;
            if (nextS >= halfS)
            {
                return Locate(i, continuousS, halfS - seconds);
            }

            seconds = nextS;
            density += _jumps[i].Density;
        }

        return HighestMm3PerS;
    }

    /// <summary>The flow at which a cell has collected a time: linear between the few points where its slope changes.</summary>
    private double Locate(int cell, double continuousS, double soughtS)
    {
        ref readonly var level = ref _levels[cell];
        Span<double> corners = level.Seconds > 0
            ? [LowerEdge(cell), level.LowMm3PerS, level.HighMm3PerS, UpperEdge(cell)]
            : [LowerEdge(cell), UpperEdge(cell)];
        for (var i = 1; i < corners.Length; i++)
        {
            if (WithinCellS(cell, corners[i - 1], continuousS, including: true) >= soughtS)
            {
                return corners[i - 1];
            }

            var from = WithinCellS(cell, corners[i - 1], continuousS, including: true);
            var to = WithinCellS(cell, corners[i], continuousS, including: false);
            if (to >= soughtS && to > from)
            {
                return corners[i - 1] + (corners[i] - corners[i - 1]) * (soughtS - from) / (to - from);
            }
        }

        return corners[^1];
    }

    private double WithinCellS(int cell, double flowMm3PerS, double continuousS, bool including)
    {
        ref readonly var level = ref _levels[cell];
        var share = (flowMm3PerS - LowerEdge(cell)) / (UpperEdge(cell) - LowerEdge(cell));
        var levelShare = flowMm3PerS > level.HighMm3PerS || (including && flowMm3PerS == level.HighMm3PerS) ? 1
            : flowMm3PerS <= level.LowMm3PerS ? 0
            : (flowMm3PerS - level.LowMm3PerS) / (level.HighMm3PerS - level.LowMm3PerS);
        return continuousS * Math.Clamp(share, 0, 1) + level.Seconds * levelShare;
    }

    /// <summary>Time that ramps spend in a cell, given the density at its lower edge [s].</summary>
    private double ContinuousS(int cell, double density) =>
        Math.Max(0, density * (UpperEdge(cell) - LowerEdge(cell)) + _jumps[cell].SecondsToEdge);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void AddJump(double flowMm3PerS, double density)
    {
        var cell = CellOf(flowMm3PerS);
        ref var jump = ref _jumps[cell];
        jump.Density += density;
        jump.SecondsToEdge += density * (UpperEdge(cell) - flowMm3PerS);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int CellOf(double flowMm3PerS)
    {
        var cell = (int)((BitConverter.DoubleToInt64Bits(flowMm3PerS) >> Shift) - FirstKey);
        return (uint)cell < CellCount ? cell : cell < 0 ? 0 : CellCount - 1;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double UpperEdge(int cell) => BitConverter.Int64BitsToDouble((FirstKey + cell + 1) << Shift);

    private static double LowerEdge(int cell) => cell == 0 ? 0 : UpperEdge(cell - 1);

    /// <summary>What ramps that begin or end in a cell change.</summary>
    private struct Jump
    {
        /// <summary>Change of the density of time [s per mm3/s].</summary>
        public double Density;

        /// <summary>Time that the change makes up to the upper edge [s].</summary>
        public double SecondsToEdge;
    }

    /// <summary>Jumps on their way into the table: as long as they fall into one cell, as where one move ends and the next begins, they are summed on the way.</summary>
    /// <remarks>Otherwise each would wait for the one before it to be written, which took longer than all else that a move asks for.</remarks>
    private ref struct Gathered(Jump[] table)
    {
        private long _cell;
        private double _density;
        private double _secondsToEdge;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public void Add(MoveFlows.Jumps jumps, int i)
        {
            if (jumps.Cell[i] != _cell)
            {
                Flush();
                (_cell, _density, _secondsToEdge) = (jumps.Cell[i], 0, 0);
            }

            _density += jumps.Density[i];
            _secondsToEdge += jumps.SecondsToEdge[i];
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public readonly void Flush()
        {
            ref var jump = ref table[_cell];
            jump.Density += _density;
            jump.SecondsToEdge += _secondsToEdge;
        }
    }

    /// <summary>Stretches of constant flow in a cell.</summary>
    private struct Level
    {
        /// <summary>Their time [s].</summary>
        public double Seconds;

        /// <summary>Least flow [mm3/s].</summary>
        public double LowMm3PerS;

        /// <summary>Greatest flow [mm3/s].</summary>
        public double HighMm3PerS;
    }
}
