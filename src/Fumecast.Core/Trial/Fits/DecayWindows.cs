// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;

namespace Fumecast.Trial;

/// <summary>A stretch of a log in which the level falls by one rate.</summary>
/// <param name="From">First row.</param>
/// <param name="To">Last row.</param>
/// <param name="Drop">How far the logarithm falls on the line [-].</param>
/// <param name="Line">The line.</param>
/// <param name="FirstHalfPerH">Rate of its first half of the time [1/h].</param>
/// <param name="SecondHalfPerH">Rate of its second half [1/h].</param>
internal sealed record DecayWindow(int From, int To, double Drop, DecayLine Line, double FirstHalfPerH, double SecondHalfPerH);

/// <summary>Finds the stretches of a log in which a level falls by one rate.</summary>
/// <remarks>Source: trial methods, 12.</remarks>
internal sealed record DecayWindows
{
    // Where a fall begins and ends is judged by medians of five rows; the lines go through the readings themselves.
    private const int Smoothing = 2, MostEdges = 120, MostWindows = 3;
    private const int LeastRows = 20;
    private const double LeastDrop = 0.7, HalvesAgreeTo = 0.25, StopShare = 0.05, StopSteps = 10, AgainShare = 0.08;

    /// <summary>All that were found, the largest drop first.</summary>
    public required IReadOnlyList<DecayWindow> All { get; init; }

    /// <summary>The one that a result rests on; null when there is none.</summary>
    public required DecayWindow? Primary { get; init; }

    /// <summary>Finds windows by the rule.</summary>
    /// <param name="timesH">When each reading was taken, rising [h].</param>
    /// <param name="values">The readings.</param>
    /// <param name="background">Level without what was put into the air [unit of the readings].</param>
    /// <param name="displayStep">Step of the display [same].</param>
    /// <param name="firstRow">Where a fall may begin at the earliest: after the last reading over the meter's range.</param>
    public static DecayWindows In(ReadOnlySpan<double> timesH, ReadOnlySpan<double> values, double background, double displayStep, int firstRow = 0)
    {
        var smooth = Smoothed(values);
        List<DecayWindow> found = [];
        var from = Peak(smooth, firstRow);
        var firstNet = smooth.Length == 0 ? 0 : smooth[from] - background;
        for (var round = 0; round < MostWindows && from < smooth.Length - LeastRows; round++)
        {
            var end = End(smooth, from, background, displayStep);
            found.AddRange(Best(Candidates(timesH, values, background, from, end, MostEdges, LeastRows, LeastDrop)));
            // The air may be filled again; a second fall counts while much of the first level comes back.
            from = end >= smooth.Length - LeastRows ? smooth.Length : Peak(smooth, end);
            if (from >= smooth.Length || smooth[from] - background < AgainShare * firstNet)
            {
                break;
            }
        }

        DecayWindow[] all = [.. found.OrderByDescending(static window => window.Drop)];
        var primary = all.FirstOrDefault();
        primary = all.Where(window => window.Drop >= 1 && window.Line.LossPerH >= 2 * primary!.Line.LossPerH).MaxBy(static window => window.Drop) ?? primary;
        return new DecayWindows { All = all, Primary = primary };
    }

    /// <summary>The slower fall that ends before another: the room's own, before a cleaner was switched on.</summary>
    /// <param name="before">The later, faster fall.</param>
    public DecayWindow? NaturalBefore(DecayWindow before) => All
        .Where(window => window.To <= before.From && window.Drop >= 0.2 && window.Line.LossPerH < before.Line.LossPerH / 2).MaxBy(static window => window.Drop);

    /// <summary>First row at which a fall has come down to the background's own wander.</summary>
    internal static int End(ReadOnlySpan<double> smooth, int from, double background, double displayStep)
    {
        var limit = background + Math.Max(StopShare * (smooth[from] - background), StopSteps * displayStep);
        for (var i = from; i < smooth.Length; i++)
        {
            if (smooth[i] < limit)
            {
                return i;
            }
        }

        return smooth.Length;
    }

    /// <summary>All pairs of edges between which the level falls far enough, by one rate in both halves of the time.</summary>
    internal static List<DecayWindow> Candidates(
        ReadOnlySpan<double> timesH, ReadOnlySpan<double> levels, double background, int from, int end, int mostEdges, int leastRows, double leastDrop)
    {
        var net = new double[levels.Length];
        for (var i = from; i < end; i++)
        {
            net[i] = levels[i] - background;
        }

        List<DecayWindow> windows = [];
        var edges = Edges(timesH, net, from, end, mostEdges);
        for (var a = 0; a < edges.Length; a++)
        {
            for (var b = a + 1; b < edges.Length; b++)
            {
                var (first, last) = (edges[a], edges[b]);
                if (last - first + 1 < leastRows || net.AsSpan(first, last - first + 1).ContainsAnyExceptInRange(double.Epsilon, double.MaxValue))
                {
                    continue;
                }

                var line = DecayLine.Through(timesH[first..(last + 1)], net.AsSpan(first..(last + 1)));
                var drop = line.LossPerH * (timesH[last] - timesH[first]);
                if (drop < leastDrop)
                {
                    continue;
                }

                var middle = first;
                while (timesH[middle] < (timesH[first] + timesH[last]) / 2)
                {
                    middle++;
                }

                // The middle row belongs to both halves.
                if (middle - first < 2 || last - middle < 2)
                {
                    continue;
                }

                var (early, late) = (
                    DecayLine.Through(timesH[first..(middle + 1)], net.AsSpan(first..(middle + 1))).LossPerH,
                    DecayLine.Through(timesH[middle..(last + 1)], net.AsSpan(middle..(last + 1))).LossPerH);
                if (Math.Abs(early - late) <= HalvesAgreeTo * line.LossPerH)
                {
                    windows.Add(new(first, last, drop, line, early, late));
                }
            }
        }

        return windows;
    }

    /// <summary>The largest drop, then those that do not overlap it.</summary>
    private static List<DecayWindow> Best(List<DecayWindow> candidates)
    {
        List<DecayWindow> best = [];
        foreach (var window in candidates.OrderByDescending(static window => window.Drop))
        {
            if (best.Count < MostWindows && best.TrueForAll(other => window.To <= other.From || window.From >= other.To))
            {
                best.Add(window);
            }
        }

        return best;
    }

    private static int[] Edges(ReadOnlySpan<double> timesH, double[] net, int from, int end, int most)
    {
        if (end - from <= most)
        {
            return [.. Enumerable.Range(from, Math.Max(0, end - from))];
        }

        SortedSet<int> edges = [from, end - 1];
        var (time, next) = (timesH[end - 1] - timesH[from], 1);
        for (var i = from; i < end; i++)
        {
            if (timesH[i] - timesH[from] >= next * time / (most / 2))
            {
                edges.Add(i);
                next++;
            }
        }

        // The other half by how far the level has fallen, so that a quick fall has as many edges as a long tail.
        var lowest = net.AsSpan(from, end - from).ToArray().Where(static one => one > 0).DefaultIfEmpty(1).Min();
        var fall = Math.Log(net[from] / lowest);
        next = 1;
        for (var i = from; i < end && fall > 0; i++)
        {
            while (next <= most / 2 && net[i] > 0 && Math.Log(net[from] / net[i]) >= next * fall / (most / 2))
            {
                edges.Add(i);
                next++;
            }
        }

        return [.. edges];
    }

    private static int Peak(ReadOnlySpan<double> smooth, int from)
    {
        var peak = from;
        for (var i = from; i < smooth.Length; i++)
        {
            peak = smooth[i] > smooth[peak] ? i : peak;
        }

        return peak;
    }

    /// <summary>Medians of five rows.</summary>
    public static double[] Smoothed(ReadOnlySpan<double> values)
    {
        var smooth = new double[values.Length];
        for (var i = 0; i < values.Length; i++)
        {
            var first = Math.Max(0, i - Smoothing);
            smooth[i] = values[first..Math.Min(values.Length, i + Smoothing + 1)].ToArray().Median();
        }

        return smooth;
    }
}
