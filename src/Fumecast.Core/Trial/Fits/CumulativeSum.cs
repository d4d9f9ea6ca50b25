// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>Cumulative sums of what a model does not explain: a small lasting shift adds up.</summary>
/// <remarks>Page 1954. Beside the search for events, which gives sizes. Source: air reference, 8.3; trial methods, 9.</remarks>
internal static class CumulativeSum
{
    /// <summary>Allowance and limit that match the search for events on quiet logs, for whitened values.</summary>
    public const double UsualAllowance = 0.25, UsualLimit = 12;

    /// <summary>When a sum of what the print does not explain first passes the usual limit [h]; null where none does.</summary>
    /// <param name="run">The run, its job starting where its emission does.</param>
    /// <param name="noise">The noise of the meter, not the one that a fit finds: that holds the shift.</param>
    public static double? ShiftAtH(BoxRun run, ReadingNoise noise)
    {
        var print = new PrintColumns(run, hasPrint: true, noise, EventFinder.UsualWalk * noise.Floor, null, []);
        var (up, down) = Of(Projection.Of(print.Print).Rest(print.Readings), 0, UsualAllowance);
        var first = Enumerable.Range(0, up.Length).FirstOrDefault(i => Math.Max(up[i], down[i]) > UsualLimit, -1);
        return first < 0 ? null : run.Records.StartsH[first];
    }

    /// <summary>Both sums, row by row.</summary>
    /// <param name="values">The values.</param>
    /// <param name="middle">Where they should lie.</param>
    /// <param name="allowance">What is no shift yet.</param>
    public static (double[] Up, double[] Down) Of(ReadOnlySpan<double> values, double middle, double allowance)
    {
        var (up, down) = (new double[values.Length], new double[values.Length]);
        for (var i = 0; i < values.Length; i++)
        {
            up[i] = Math.Max(0, (i > 0 ? up[i - 1] : 0) + values[i] - middle - allowance);
            down[i] = Math.Max(0, (i > 0 ? down[i - 1] : 0) + middle - allowance - values[i]);
        }

        return (up, down);
    }
}
