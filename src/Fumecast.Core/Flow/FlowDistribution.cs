// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

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

    /// <summary>Adds a rise, a constant stretch and a fall, both ramps equally steep: the jumps of density they share are made once.</summary>
    /// <param name="startMm3PerS">Flow at the start, 0 or more [mm3/s].</param>
    /// <param name="peakMm3PerS">Flow between the ramps, over 0 [mm3/s].</param>
    /// <param name="endMm3PerS">Flow at the end, 0 or more [mm3/s].</param>
    /// <param name="steepnessMm3PerS2">Change of the flow with time on the ramps, over 0 [mm3/s2].</param>
    /// <param name="riseS">Length of the rise; 0 when it starts at the peak [s].</param>
    /// <param name="constantS">Length of the constant stretch, 0 or more [s].</param>
    /// <param name="fallS">Length of the fall; 0 when it ends at the peak [s].</param>
    /// <returns>False, and nothing is added, when a ramp is too narrow for this or the flow too great.</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool TryAddTrapezoid(
        double startMm3PerS, double peakMm3PerS, double endMm3PerS, double steepnessMm3PerS2, double riseS, double constantS, double fallS)
    {
        var widest = peakMm3PerS * (1 - NarrowRamp);
        if (!((riseS == 0 || startMm3PerS < widest) && (fallS == 0 || endMm3PerS < widest) && peakMm3PerS <= HighestMm3PerS))
        {
            return false;
        }

        TotalS += riseS + constantS + fallS;
        if (constantS > 0)
        {
            AddLevel(peakMm3PerS, constantS);
        }

        var density = 1 / steepnessMm3PerS2;
        if (startMm3PerS == endMm3PerS && riseS > 0 && fallS > 0)
        {
            // As between corners that are alike. One cell after the other is read and written: a second round through it would wait for the first.
            AddJump(startMm3PerS, 2 * density);
            AddJump(peakMm3PerS, -2 * density);
            return true;
        }

        if (riseS > 0)
        {
            AddJump(startMm3PerS, density);
        }

        if (fallS > 0)
        {
            AddJump(endMm3PerS, density);
        }

        if (riseS > 0 || fallS > 0)
        {
            AddJump(peakMm3PerS, riseS > 0 && fallS > 0 ? -2 * density : -density);
        }

        return true;
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
