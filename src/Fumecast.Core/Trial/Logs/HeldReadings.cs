// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>Finds rows that repeat the last reading of a meter and hold no new one.</summary>
/// <remarks>
/// A meter that measures every few seconds and writes every second repeats all its columns at once. By chance that happens too, mostly in clean air, where readings are few steps of the display. So the share of
/// rows in which all columns stay is held against the share that chance would give (each column stays with its own share while others change), counted where readings are many steps high. A meter that holds is
/// taken to hold everywhere; a stay that is much longer than its usual ones counts as readings that happened to be equal, one in every usual stay.
/// </remarks>
internal static class HeldReadings
{
    /// <summary>Steps of its display from which an unchanged reading tells something [-]; a choice of ours.</summary>
    private const double TellingSteps = 20;

    /// <summary>Fewest rows to go by [-].</summary>
    private const int LeastRows = 20;

    /// <summary>Share of unchanged rows, beyond three times that of chance, from which the meter holds [-]; a choice of ours.</summary>
    private const double LeastShare = 0.04;

    /// <summary>Share of stays that are as long as the usual one, to within a row, for a lone column to be held [-]; a choice of ours.</summary>
    private const double RegularShare = 0.8;

    /// <summary>Flags what is held.</summary>
    /// <param name="columns">The columns of one meter with the flags of their readings, in the order of time.</param>
    /// <returns>Rows for each reading where it holds, else 0 [-].</returns>
    public static double Flag(IReadOnlyList<(double[] Values, ReadingState[] Flags)> columns)
    {
        var rows = columns.Count == 0 ? 0 : columns[0].Values.Length;
        if (rows < LeastRows)
        {
            return 0;
        }

        var stays = StaysOf(columns, out var telling);
        var usual = columns.Count > 1 ? UsualOfMany(columns, stays, telling) : UsualOfOne(stays, telling);
        if (usual.Most == 0)
        {
            return 0;
        }

        var length = 1;
        for (var i = 1; i < rows; i++)
        {
            // A stay longer than those of this meter is made of several readings.
            length = stays[i] && length < usual.Most ? length + 1 : 1;
            if (length > 1)
            {
                foreach (var (_, flags) in columns)
                {
                    flags[i] = flags[i] == ReadingState.Used ? ReadingState.Held : flags[i];
                }
            }
        }

        return usual.Mean;
    }

    /// <summary>Whether a number is that of the row before; two that are missing are alike too.</summary>
    public static bool IsSame(double one, double other) => one == other || (double.IsNaN(one) && double.IsNaN(other));

    private static bool[] StaysOf(IReadOnlyList<(double[] Values, ReadingState[] Flags)> columns, out bool[] telling)
    {
        var rows = columns[0].Values.Length;
        var stays = new bool[rows];
        Array.Fill(stays, true);
        var high = new byte[rows];
        foreach (var (values, _) in columns)
        {
            var threshold = TellingSteps * StepOf(values);
            for (var i = 1; i < rows; i++)
            {
                stays[i] &= IsSame(values[i], values[i - 1]);
                high[i] += Math.Abs(values[i]) >= threshold && high[i] < 250 ? (byte)1 : (byte)0;
            }
        }

        telling = new bool[rows];
        for (var i = 1; i < rows; i++)
        {
            telling[i] = high[i] >= Math.Min(2, columns.Count);
        }

        return stays;
    }

    /// <summary>The smallest difference between neighbours: a step of the display.</summary>
    private static double StepOf(double[] values)
    {
        var step = double.PositiveInfinity;
        for (var i = 1; i < values.Length; i++)
        {
            var difference = Math.Abs(values[i] - values[i - 1]);
            if (difference > 1e-9)
            {
                step = Math.Min(step, difference);
            }
        }

        return double.IsFinite(step) ? step : double.MaxValue / 1e6;
    }

    private static (double Mean, int Most) UsualOfMany(IReadOnlyList<(double[] Values, ReadingState[] Flags)> columns, bool[] stays, bool[] telling)
    {
        var (told, stayed) = (0, 0);
        var unchanged = new int[columns.Count];
        for (var i = 1; i < stays.Length; i++)
        {
            if (!telling[i])
            {
                continue;
            }

            told++;
            if (stays[i])
            {
                stayed++;
                continue;
            }

            for (var c = 0; c < unchanged.Length; c++)
            {
                unchanged[c] += IsSame(columns[c].Values[i], columns[c].Values[i - 1]) ? 1 : 0;
            }
        }

        var changed = told - stayed;
        if (told < LeastRows || changed < 5)
        {
            return (0, 0);
        }

        // Columns of a meter rise and fall together, so their shares must not be multiplied as if they did not: the square root is between both.
        var chance = Math.Sqrt(unchanged.Aggregate(1.0, (product, count) => product * count / changed)) * Math.Sqrt(unchanged.Min() / (double)changed);
        return stayed / (double)told > (3 * chance) + LeastShare ? LengthsOf(stays, telling) : (0, 0);
    }

    private static (double Mean, int Most) UsualOfOne(bool[] stays, bool[] telling)
    {
        var lengths = Lengths(stays, telling);
        if (lengths.Count < 8)
        {
            return (0, 0);
        }

        var usual = lengths.GroupBy(static length => length).MaxBy(static group => group.Count())!.Key;
        var regular = lengths.Count(length => Math.Abs(length - usual) <= 1);
        return usual >= 2 && regular >= RegularShare * lengths.Count ? (usual, usual + 1) : (0, 0);
    }

    private static (double Mean, int Most) LengthsOf(bool[] stays, bool[] telling)
    {
        var lengths = Lengths(stays, telling);
        lengths.Sort();
        return lengths.Count == 0 ? (0, 0) : (lengths.Average(), Math.Max(2, lengths[(int)(0.98 * (lengths.Count - 1))]));
    }

    /// <summary>Rows of each stay, where readings tell something.</summary>
    private static List<int> Lengths(bool[] stays, bool[] telling)
    {
        var lengths = new List<int>();
        var length = 0;
        for (var i = 1; i < stays.Length; i++)
        {
            if (!telling[i])
            {
                length = 0;
            }
            else if (stays[i])
            {
                length += length > 0 ? 1 : 0;
            }
            else
            {
                if (length > 0)
                {
                    lengths.Add(length);
                }

                length = 1;
            }
        }

        return lengths;
    }
}
