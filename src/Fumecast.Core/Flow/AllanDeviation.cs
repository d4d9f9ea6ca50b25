// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>How much neighbouring means differ, against the time they are taken over.</summary>
/// <remarks>
/// sqrt(half the mean squared difference of successive means). Unlike a standard deviation it tells fast unevenness, which averages
/// out, from drift, which does not. Overlapping means use every starting point and scatter less; fumecast reports those.
/// Source: W. J. Riley, Handbook of Frequency Stability Analysis, NIST SP 1065 (2008), definitions from memory.
/// </remarks>
internal static class AllanDeviation
{
    /// <summary>Deviation from means that do not overlap.</summary>
    /// <param name="values">Values at equal distances.</param>
    /// <param name="perMean">Values to a mean [-], 1 or more.</param>
    /// <returns>Deviation in the unit of the values; null with fewer than two means.</returns>
    public static double? Plain(ReadOnlySpan<double> values, int perMean) => Of(values, perMean, perMean);

    /// <summary>Deviation from means that start at every value.</summary>
    /// <param name="values">Values at equal distances.</param>
    /// <param name="perMean">Values to a mean [-], 1 or more.</param>
    /// <returns>Deviation in the unit of the values; null with fewer than two means side by side.</returns>
    public static double? Overlapping(ReadOnlySpan<double> values, int perMean) => Of(values, perMean, 1);

    private static double? Of(ReadOnlySpan<double> values, int perMean, int stride)
    {
        if (perMean < 1 || values.Length / 2 < perMean)
        {
            return null;
        }

        // Difference of two neighbouring sums, moved along value by value.
        var difference = 0.0;
        for (var i = 0; i < perMean; i++)
        {
            difference += values[i + perMean] - values[i];
        }

        var (sum, count) = (0.0, 0L);
        for (var start = 0; ; start++)
        {
            if (start % stride == 0)
            {
                sum += difference * difference;
                count++;
            }

            if (start + 2 * perMean >= values.Length)
            {
                return Math.Sqrt(0.5 * sum / count) / perMean;
            }

            difference += values[start + 2 * perMean] - 2 * values[start + perMean] + values[start];
        }
    }

    /// <summary>The curve over averaging times from the logging interval on, doubling, up to a quarter of the time there is.</summary>
    /// <param name="flowsMm3PerS">Means over cells [mm3/s].</param>
    /// <param name="cellS">Length of a cell [s].</param>
    /// <param name="intervalS">Shortest averaging time; rounded to whole cells [s].</param>
    /// <returns>Overlapping deviations over the mean flow; empty with fewer than 3 cells or no flow.</returns>
    public static IReadOnlyList<AllanPoint> Curve(double[] flowsMm3PerS, double cellS, double intervalS)
    {
        var mean = flowsMm3PerS.Length < 3 ? 0 : flowsMm3PerS.Average();
        if (!(mean > 0))
        {
            return [];
        }

        var points = new List<AllanPoint>();
        for (var cells = (long)Math.Max(1, Math.Round(intervalS / cellS)); 4 * cells <= flowsMm3PerS.Length; cells *= 2)
        {
            if (Overlapping(flowsMm3PerS, (int)cells) is { } deviation)
            {
                points.Add(new(cells * cellS, deviation / mean));
            }
        }

        return points;
    }
}
