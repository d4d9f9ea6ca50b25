// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Flow;

/// <summary>Mean and spread of the means over equal intervals: what a meter that averages over its logging interval can see.</summary>
/// <remarks>
/// Exact for intervals of whole seconds; for others a deposit counts as even over its cell (at most 1 s).
/// Only whole intervals count; a last partial one is left out.
/// Source: gcode reference, Q7; running moments after Welford 1962 and their merging after Chan, Golub and LeVeque 1983 (from memory).
/// </remarks>
internal sealed class IntervalMoments
{
    // Relative: the borders of cells and of intervals are sums and products of decimal fractions.
    private const double Hair = 1e-9;
    private readonly double _intervalS;
    private long _current;
    private double _currentMm3;
    private Moments _closed;

    /// <summary>Makes an empty one.</summary>
    /// <param name="intervalS">Interval [s], 0.1 to 1e7.</param>
    /// <exception cref="ArgumentOutOfRangeException">The interval is out of range.</exception>
    public IntervalMoments(double intervalS)
    {
        if (intervalS is not (>= 0.1 and <= 1e7))
        {
            throw new ArgumentOutOfRangeException(nameof(intervalS), intervalS, "expected 0.1 s to 1e7 s");
        }

        _intervalS = intervalS;
    }

    /// <summary>Adds a deposit; in the order of time.</summary>
    /// <param name="startS">Start since the beginning of the first interval [s], 0 to 1e12.</param>
    /// <param name="durationS">Length [s], at most 1.</param>
    /// <param name="volumeMm3">Volume [mm3]; 0 changes nothing.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(double startS, double durationS, double volumeMm3)
    {
        if (!(volumeMm3 > 0))
        {
            return;
        }

        var (atS, endS) = (startS, startS + durationS);
        for (var interval = (long)(startS / _intervalS + Hair); ; interval++)
        {
            var borderS = (interval + 1) * _intervalS;
            if (endS <= borderS + Hair * _intervalS)
            {
                Deposit(interval, volumeMm3);
                return;
            }

            var partMm3 = volumeMm3 * (borderS - atS) / (endS - atS);
            Deposit(interval, partMm3);
            volumeMm3 -= partMm3;
            atS = borderS;
        }
    }

    /// <summary>Coefficient of variation of the means over whole intervals.</summary>
    /// <param name="endS">End of the last deposit since the beginning of the first interval [s].</param>
    /// <returns>Standard deviation over mean [-]; null with fewer than two whole intervals, or no flow in them.</returns>
    public double? Cv(double endS)
    {
        var all = Until(endS);
        return all.Count >= 2 && all.Mean > 0 ? Math.Sqrt(all.SquaredDeviations / all.Count) / all.Mean : null;
    }

    /// <summary>Limits of an individuals chart over the means of whole intervals: mean and 2.66 mean moving ranges either way.</summary>
    /// <remarks>
    /// 2.66 = 3 / 1.128, from control-chart tables (from memory). A drawing aid: neighbouring means of a print are alike by construction, so the
    /// limits are too narrow in a steady stretch and meaningless across travel. Source: gcode reference, Q9.
    /// </remarks>
    /// <param name="endS">End of the last deposit since the beginning of the first interval [s].</param>
    /// <returns>Lower and upper limit [mm3/s]; null with fewer than two whole intervals.</returns>
    public (double LowMm3PerS, double HighMm3PerS)? IndividualsLimits(double endS)
    {
        const double RangesToLimit = 2.66;
        var all = Until(endS);
        if (all.Count < 2)
        {
            return null;
        }

        var reach = RangesToLimit * all.MovingRanges / (all.Count - 1);
        return (all.Mean - reach, all.Mean + reach);
    }

    private Moments Until(double endS)
    {
        var whole = (long)(endS / _intervalS + Hair);
        var all = _closed;
        if (whole > _current)
        {
            all.Merge(1, _currentMm3 / _intervalS);
            all.Merge(whole - _current - 1, 0);
        }

        return all;
    }

    private void Deposit(long interval, double volumeMm3)
    {
        if (interval > _current)
        {
            _closed.Merge(1, _currentMm3 / _intervalS);
            _closed.Merge(interval - _current - 1, 0);
            _current = interval;
            _currentMm3 = 0;
        }

        _currentMm3 += volumeMm3;
    }

    private struct Moments
    {
        public long Count;
        public double Mean;
        public double SquaredDeviations;

        /// <summary>Sum of the steps from each value to the next, without sign.</summary>
        public double MovingRanges;

        private double _last;

        /// <summary>Adds a number of equal values.</summary>
        public void Merge(long count, double value)
        {
            if (count <= 0)
            {
                return;
            }

            if (Count > 0)
            {
                MovingRanges += Math.Abs(value - _last);
            }

            _last = value;
            var step = value - Mean;
            var total = Count + count;
            Mean += step * count / total;
            SquaredDeviations += step * step * ((double)Count * count / total);
            Count = total;
        }
    }
}
