// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>Finds the numbers that are no readings: marks of faults, and the largest number that a meter can show.</summary>
internal static class ReadingMarks
{
    /// <summary>Equal rows at the top of a column from which it counts as cut off there [-]. Source: trial methods, 12.</summary>
    private const int LeastRun = 5;

    /// <summary>Top of a column below which equal rows are no sign of a limit [unit as written]. Source: trial methods, 12.</summary>
    private const double LeastTop = 100;

    // Marks as seen in logs; those of temperatures are from memory.
    private static readonly double[] Faults = [-1, -9, -99, -99.9, -999, -999.9, -9999, -9999.9, -32768, -6999, -7999];
    private static readonly double[] TemperatureFaults = [-127, -196.6, -999, -9999, -99.9, 85, 999, 999.9, 6553.5, 65535];
    private static readonly double[] Tops = [999, 999.9, 999.99, 1999, 1999.9, 9999, 9999.9, 99999, 6553.5, 655.35, 65534, 65535, 32767, 3276.7, 500, 1000, 2000, 5000, 10000, 20000, 30000, 40000, 50000, 60000];

    /// <summary>Numbers that no meter measures, wherever they stand.</summary>
    private static readonly double[] AlwaysTops = [6553.5, 65534, 65535, 4294967295];

    private const double LeastAlwaysTop = 6553.5;

    /// <summary>Flags the marks of a column.</summary>
    /// <param name="quantity">Its quantity, without a number behind it.</param>
    /// <param name="written">Its values as written, in the order of time.</param>
    /// <param name="flags">Their flags, which are changed.</param>
    /// <param name="changesBeside">Whether the meter's other columns changed from the row before to a row; null where there are none.</param>
    public static void Flag(string quantity, double[] written, ReadingState[] flags, Func<int, bool>? changesBeside)
    {
        var faults = quantity == "temperature" ? TemperatureFaults : Faults;
        var (highest, low) = (double.NegativeInfinity, double.PositiveInfinity);
        var negatives = 0;
        for (var i = 0; i < written.Length; i++)
        {
            if (flags[i] == ReadingState.Used)
            {
                highest = Math.Max(highest, written[i]);
                low = Math.Min(low, written[i]);
                negatives += written[i] < 0 && !faults.Contains(written[i]) ? 1 : 0;
            }
        }

        var limit = TopOf(quantity, written, flags, highest, changesBeside);
        for (var i = 0; i < written.Length; i++)
        {
            if (flags[i] != ReadingState.Used)
            {
                continue;
            }

            // A meter that goes below zero may come to -1 by itself. Marks of other quantities than temperature are below zero.
            if ((written[i] < 0 || quantity == "temperature") && faults.Contains(written[i]) && (quantity == "temperature" ? IsAlone(written, i) : written[i] < -90 || negatives == 0))
            {
                flags[i] = ReadingState.ErrorMark;
                written[i] = double.NaN;
            }
            else if (written[i] >= limit || (written[i] >= LeastAlwaysTop && quantity != "temperature" && AlwaysTops.Contains(written[i])))
            {
                flags[i] = ReadingState.OverRange;
            }
        }
    }

    /// <summary>The value at which a column is cut off; infinity where it is not.</summary>
    private static double TopOf(string quantity, double[] written, ReadingState[] flags, double highest, Func<int, bool>? changesBeside)
    {
        if (quantity is "temperature" or "tvoc_index" || !double.IsFinite(highest))
        {
            return double.PositiveInfinity;
        }

        if (quantity == "humidity")
        {
            return highest is 99.9 or 100 && CountOf(written, flags, highest) >= 3 ? highest : double.PositiveInfinity;
        }

        if (highest < LeastTop)
        {
            return double.PositiveInfinity;
        }

        // The longest stay at the top; within it other columns of the meter go on changing, or else it may be a held reading.
        var (run, longest, changes, most) = (0, 0, 0, 0);
        for (var i = 0; i < written.Length; i++)
        {
            if (flags[i] != ReadingState.Used || written[i] != highest)
            {
                (run, changes) = (0, 0);
                continue;
            }

            run++;
            changes += run > 1 && (changesBeside?.Invoke(i) ?? false) ? 1 : 0;
            (longest, most) = (Math.Max(longest, run), Math.Max(most, changes));
        }

        var isKnown = Tops.Contains(highest) && (longest >= 2 || CountOf(written, flags, highest) >= 3);
        var isCut = longest >= LeastRun && (changesBeside is null ? Tops.Contains(highest) : most >= 2);
        return isKnown || isCut ? highest : double.PositiveInfinity;
    }

    private static int CountOf(double[] written, ReadingState[] flags, double value)
    {
        var count = 0;
        for (var i = 0; i < written.Length; i++)
        {
            count += flags[i] == ReadingState.Used && written[i] == value ? 1 : 0;
        }

        return count;
    }

    /// <summary>Whether a temperature is far from the one before: 85 may be right in an oven.</summary>
    private static bool IsAlone(double[] written, int at)
    {
        var i = at - 1;
        while (i >= 0 && double.IsNaN(written[i]))
        {
            i--;
        }

        return i < 0 || Math.Abs(written[i] - written[at]) > 20;
    }
}
