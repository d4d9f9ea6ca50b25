// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;

namespace Fumecast.Trial;

/// <summary>Single readings that stand out of their neighbours.</summary>
/// <remarks>Hampel 1974: a reading far from the median of its window, by the median deviation in it. Source: air reference, 8.2; trial methods, 8.</remarks>
internal static class Spikes
{
    /// <summary>Standard deviation of normal errors over their median absolute deviation.</summary>
    public const double DeviationOverMedian = 1.4826;

    private const int LongestRun = 2;

    /// <summary>The rows that stand out, windows shortened at the ends of the log.</summary>
    /// <param name="values">The readings.</param>
    /// <param name="neighbours">Rows on either side.</param>
    /// <param name="deviations">How many deviations off.</param>
    /// <param name="leastDeviation">Least deviation reckoned with, since many readings may be alike [unit of the readings].</param>
    public static List<int> Outstanding(ReadOnlySpan<double> values, int neighbours, double deviations, double leastDeviation)
    {
        List<int> found = [];
        for (var i = 0; i < values.Length; i++)
        {
            var first = Math.Max(0, i - neighbours);
            var window = values[first..Math.Min(values.Length, i + neighbours + 1)].ToArray();
            var median = window.Median();
            var spread = DeviationOverMedian * window.Select(value => Math.Abs(value - median)).Median();
            if (Math.Abs(values[i] - median) > deviations * Math.Max(spread, leastDeviation))
            {
                found.Add(i);
            }
        }

        return found;
    }

    /// <summary>Those of at most two rows on end: longer ones are events, not spikes.</summary>
    /// <param name="values">The readings.</param>
    /// <param name="floor">Standard deviation of a reading [unit of the readings].</param>
    /// <param name="displayStep">Step of the display [same].</param>
    public static List<int> Single(ReadOnlySpan<double> values, double floor, double displayStep)
    {
        var found = Outstanding(values, 5, 4, Math.Max(floor, displayStep / Math.Sqrt(12)));
        List<int> single = [];
        for (var i = 0; i < found.Count;)
        {
            var end = i + 1;
            while (end < found.Count && found[end] == found[end - 1] + 1)
            {
                end++;
            }

            if (end - i <= LongestRun)
            {
                single.AddRange(found[i..end]);
            }

            i = end;
        }

        return single;
    }
}
