// SPDX-License-Identifier: MIT
using System.Buffers;

namespace Fumecast.Flow;

/// <summary>What the unevenness of a flow leaves of itself in the air: the base of the grade.</summary>
/// <remarks>
/// <para>A mixed volume of air with loss rate lambda follows its source like a first-order low-pass filter of time constant
/// 1/lambda: a rhythm of period P arrives weakened by sqrt(1 + (2 pi / (lambda P))^2). Layers of a minute in a room of 1/h are gone
/// (a factor of 377); a change of cross-section that lasts half an hour stays. So the grade asks not how the flow looks second by
/// second but how far the plateau would wander.</para>
/// <para>The time constant is 10 min: a small enclosure or a strongly ventilated room (common practice, no source). Real rooms of
/// 0.5 to 2 per hour smooth more, so the grade errs towards strictness. It is the same for every print, long or short: a plateau takes
/// three time constants to form and as long again to be read, and a print phase shorter than that is too short for a trial.</para>
/// </remarks>
internal static class RoomSmoothing
{
    /// <summary>Time constant of the air unless the user names another [s].</summary>
    public const double TimeConstantS = 600;

    /// <summary>Wander up to which a plateau looks steady [-].</summary>
    /// <remarks>Half of the 10 % that low-cost meters scatter by (common practice, no source): added in quadrature it widens that by an eighth.</remarks>
    public const double FlatWander = 0.05;

    /// <summary>Wander up to which a plateau can still be used [-].</summary>
    /// <remarks>1.5 times that scatter: the print, not the meter, then limits what the trial can tell, but averaging still helps.</remarks>
    public const double FairWander = 0.15;

    /// <summary>Idle share up to which a print can be flat [-].</summary>
    /// <remarks>An idle hot nozzle still emits, not in proportion to any flow. Up to a third of the time the flow remains the main thing; a choice of ours.</remarks>
    public const double FlatIdleShare = 1.0 / 3;

    /// <summary>Idle share up to which a print can be fair [-]; a choice of ours.</summary>
    public const double FairIdleShare = 2.0 / 3;

    /// <summary>Half width of the band of a plateau around its own middle [-]: the scatter of low-cost meters again.</summary>
    public const double PlateauBand = 0.10;

    private const double BandOfPlateau = (1 + PlateauBand) / (1 - PlateauBand);

    /// <summary>Share of the print phase that a plateau must take for the whole print to be flat [-]; a choice of ours.</summary>
    public const double MostOfThePrint = 0.8;

    /// <summary>Time constants that air needs to come within 5 % of a new level [-]: 1 - exp(-3) is 0.95.</summary>
    public const double TimeConstantsToForm = 3;

    /// <summary>Time constants over which a plateau should be read [-]; common practice, no source.</summary>
    public const double TimeConstantsToRead = 3;

    /// <summary>Whether a print phase ends before a plateau can form and be read.</summary>
    /// <param name="printPhaseS">Length of the print phase [s].</param>
    /// <param name="timeConstantS">Time constant of the air [s].</param>
    public static bool IsTooShort(double printPhaseS, double timeConstantS) =>
        printPhaseS < (TimeConstantsToForm + TimeConstantsToRead) * timeConstantS;

    /// <summary>Share of a step in the source that the air follows within a cell [-].</summary>
    /// <param name="cellS">Length of the cell [s].</param>
    /// <param name="timeConstantS">Time constant of the air [s], over 0.</param>
    public static double Gain(double cellS, double timeConstantS) => 1 - Math.Exp(-cellS / timeConstantS);

    /// <summary>The flow after the air's own smoothing, over its mean.</summary>
    /// <param name="flowsMm3PerS">Means over cells [mm3/s].</param>
    /// <param name="cellS">Length of a cell [s].</param>
    /// <param name="timeConstantS">Time constant of the air [s], over 0.</param>
    /// <param name="deviation">Level of the air before the first cell, less the mean, over the mean [-].</param>
    /// <returns>Level of the air at the end of each cell, 1 being the mean [-]; null with fewer than 3 cells or no flow.</returns>
    /// <remarks>The filter starts at the mean flow: the build-up from clean air belongs to every trial and is no fault of the print.</remarks>
    public static double[]? Levels(double[] flowsMm3PerS, double cellS, double timeConstantS, double deviation = 0)
    {
        var mean = flowsMm3PerS.Length < 3 ? 0 : flowsMm3PerS.Average();
        if (!(mean > 0))
        {
            return null;
        }

        var gain = Gain(cellS, timeConstantS);
        var levels = new double[flowsMm3PerS.Length];
        for (var i = 0; i < levels.Length; i++)
        {
            deviation += (flowsMm3PerS[i] / mean - 1 - deviation) * gain;
            levels[i] = 1 + deviation;
        }

        return levels;
    }

    /// <summary>Wander of the plateau: standard deviation of the levels [-].</summary>
    /// <param name="levels">Levels of the air, 1 being the mean [-].</param>
    public static double Wander(double[] levels)
    {
        var mean = levels.Average();
        return Math.Sqrt(levels.Average(level => (level - mean) * (level - mean)));
    }

    /// <summary>The longest time during which the level stays within <see cref="PlateauBand"/> of its median: what the grade goes by, for the median is the level of the print as a whole [s].</summary>
    /// <param name="levels">Levels of the air [-].</param>
    /// <param name="cellS">Length of a cell [s].</param>
    public static double LongestNearMedianS(double[] levels, double cellS)
    {
        var median = Median(levels);
        var stretch = new SteadyStretch((1 - PlateauBand) * median, (1 + PlateauBand) * median);
        foreach (var level in levels)
        {
            stretch.Add(level, level, cellS);
        }

        return stretch.LongestS;
    }

    /// <summary>The longest time in a row whose levels all lie within <see cref="PlateauBand"/> of their own middle: where from and to, since the first cell [s].</summary>
    /// <param name="levels">Levels of the air [-], over 0.</param>
    /// <param name="cellS">Length of a cell [s].</param>
    /// <remarks>Of its own middle, not of the median of all: levels that fall throughout pass the median at their steepest, and settle elsewhere.</remarks>
    public static (double FromS, double ToS) LongestPlateau(double[] levels, double cellS)
    {
        var (highs, lows) = (new Outermost(levels, 1), new Outermost(levels, -1));
        var (from, longestFrom, longestTo) = (0, 0, 0);
        for (var to = 0; to < levels.Length; to++)
        {
            highs.Add(to);
            lows.Add(to);
            while (highs.Level > BandOfPlateau * Math.Max(0, lows.Level))
            {
                from++;
                highs.Leave(from);
                lows.Leave(from);
            }

            if (to + 1 - from > longestTo - longestFrom)
            {
                (longestFrom, longestTo) = (from, to + 1);
            }
        }

        highs.Return();
        lows.Return();
        return (longestFrom * cellS, longestTo * cellS);
    }

    /// <summary>From when on all levels lie within <see cref="PlateauBand"/> of their own middle, since the first cell; null if they do so for less than a time constant [s].</summary>
    /// <param name="levels">Levels of the air [-], over 0.</param>
    /// <param name="cellS">Length of a cell [s].</param>
    /// <param name="timeConstantS">Time constant of the air [s].</param>
    public static double? SettlesAfterS(double[] levels, double cellS, double timeConstantS)
    {
        var (highest, lowest) = (levels[^1], levels[^1]);
        var from = levels.Length;
        while (from > 0)
        {
            (highest, lowest) = (Math.Max(highest, levels[from - 1]), Math.Min(lowest, levels[from - 1]));
            if (highest > BandOfPlateau * lowest)
            {
                break;
            }

            from--;
        }

        return (levels.Length - from) * cellS < timeConstantS ? null : from * cellS;
    }

    /// <summary>The middle level [-].</summary>
    /// <param name="levels">Levels of the air [-], at least one.</param>
    /// <remarks>Found by parting a borrowed copy ever more narrowly round it (quickselect); a query would take memory for four.</remarks>
    public static double Median(double[] levels)
    {
        var borrowed = ArrayPool<double>.Shared.Rent(levels.Length);
        var part = borrowed.AsSpan(0, levels.Length);
        levels.CopyTo(part);
        var sought = part.Length / 2;
        while (part.Length > 1)
        {
            var pivot = part[part.Length / 2];
            var (low, high) = (0, part.Length - 1);
            while (low <= high)
            {
                while (part[low] < pivot)
                {
                    low++;
                }

                while (part[high] > pivot)
                {
                    high--;
                }

                if (low <= high)
                {
                    (part[low], part[high]) = (part[high], part[low]);
                    low++;
                    high--;
                }
            }

            if (sought <= high)
            {
                part = part[..(high + 1)];
            }
            else if (sought >= low)
            {
                part = part[low..];
                sought -= low;
            }
            else
            {
                break;
            }
        }

        var median = part[sought];
        ArrayPool<double>.Shared.Return(borrowed);
        return median;
    }

    /// <summary>The grade.</summary>
    /// <param name="wander">Relative wander of the plateau [-].</param>
    /// <param name="plateauS">Longest time near the median, as <see cref="LongestNearMedianS"/> gives it [s].</param>
    /// <param name="timeConstantS">Time constant of the air [s].</param>
    /// <param name="printPhaseS">Length of the print phase [s].</param>
    /// <param name="idleShare">Share of the print phase without flow [-].</param>
    /// <remarks>
    /// The smoothed level has the forming of a plateau in it already, so three more time constants are enough to read it. A print that
    /// is level for most of its time but begins with a solid base is not held to that base.
    /// </remarks>
    public static EvennessGrade Grade(double wander, double plateauS, double timeConstantS, double printPhaseS, double idleShare)
    {
        var readable = plateauS >= TimeConstantsToRead * timeConstantS;
        var mostly = readable && plateauS >= MostOfThePrint * printPhaseS;
        return (wander <= FlatWander || mostly) && idleShare <= FlatIdleShare ? EvennessGrade.Flat
            : (wander <= FairWander || readable) && idleShare <= FairIdleShare ? EvennessGrade.Fair
            : EvennessGrade.Uneven;
    }

    /// <summary>Places of the highest or the lowest levels that a later one has not overtaken yet; the first of them bounds the stretch.</summary>
    /// <remarks>In a borrowed array, one place after the other: nodes of a list took ten times the memory of the levels.</remarks>
    private struct Outermost(double[] levels, int sign)
    {
        private readonly int[] _places = ArrayPool<int>.Shared.Rent(levels.Length);
        private int _first;
        private int _end;

        public readonly double Level => levels[_places[_first]];

        public void Add(int place)
        {
            while (_end > _first && sign * levels[_places[_end - 1]] <= sign * levels[place])
            {
                _end--;
            }

            _places[_end++] = place;
        }

        public void Leave(int from)
        {
            while (_first < _end && _places[_first] < from)
            {
                _first++;
            }
        }

        public readonly void Return() => ArrayPool<int>.Shared.Return(_places);
    }
}
