// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Fumecast.Forecast;

/// <summary>Times at which every draw of the air is looked at: close where sources or schedules change, wide where nothing happens.</summary>
/// <remarks>
/// Cells are halves of halves of the whole span, so that a draw needs few lengths of steps. Starts, ends and changes are moved to the nearest edge: draws are only
/// held against the middle on the same grid, so that does not matter.
/// </remarks>
internal sealed class AirGrid
{
    // Finest cells: some five seconds in a day.
    private const int Depth = 14;
    private const int Finest = 1 << Depth;
    private const int FinestInDecay = 4;
    private const int FewEdges = 8;
    private const int CoarsestSnap = 5;
    private const double WeightOfAmount = 0.5;
    private const double WeightOfTime = 0.3;

    /// <summary>After the last end, cells are no longer than this share of the time since then: what clears falls by sums of exponentials, and when it is below a level is read off them [-].</summary>
    private const double ShareOfDecay = 0.3;

    /// <summary>Cells that the time after the last end takes then [-].</summary>
    private const int CellsOfDecay = 40;

    private AirGrid(double baseS, int snap, int[] edges, IReadOnlyList<double> changesS)
    {
        (BaseS, Snap, Edges) = (baseS, snap, edges);
        TimesS = Array.ConvertAll(edges, edge => edge * baseS);
        ChangeAt = new double[edges.Length];
        Array.Fill(ChangeAt, double.NaN);
        foreach (var changeS in changesS)
        {
            if (EdgeOf(changeS) is var edge and > 0 && edge < edges.Length)
            {
                ChangeAt[edge] = double.IsNaN(ChangeAt[edge]) ? changeS : Math.Max(ChangeAt[edge], changeS);
            }
        }
    }

    /// <summary>Length of the finest cell [s].</summary>
    public double BaseS { get; }

    /// <summary>Edges in finest cells, from 0.</summary>
    public int[] Edges { get; }

    /// <summary>Times of the edges [s].</summary>
    public double[] TimesS { get; }

    /// <summary>Number of cells [-].</summary>
    public int Cells => Edges.Length - 1;

    /// <summary>For each edge the time of the last change of a schedule that was moved to it [s]; NaN where there is none.</summary>
    public double[] ChangeAt { get; }

    private int Snap { get; }

    /// <summary>Length of a cell [s].</summary>
    public double Seconds(int cell) => (Edges[cell + 1] - Edges[cell]) * BaseS;

    /// <summary>How often the whole span was halved to make a cell [-].</summary>
    public int Halvings(int cell) => Depth - BitOperations.Log2((uint)(Edges[cell + 1] - Edges[cell]));

    /// <summary>A time moved to where edges may be [s].</summary>
    public double Snapped(double timeS) => SnapTo(timeS, BaseS, Snap) * BaseS;

    /// <summary>The edge that a time belongs to.</summary>
    public int EdgeOf(double timeS)
    {
        var found = Array.BinarySearch(Edges, SnapTo(timeS, BaseS, Snap));
        return found >= 0 ? found : ~found;
    }

    /// <summary>The cell that a moment lies in.</summary>
    public int CellOf(double timeS)
    {
        var found = Array.BinarySearch(TimesS, timeS);
        return Math.Clamp(found >= 0 ? found : ~found - 1, 0, Cells - 1);
    }

    /// <summary>Makes a grid.</summary>
    /// <param name="spanS">The whole time [s], over 0.</param>
    /// <param name="sources">What is given off.</param>
    /// <param name="changesS">Times at which schedules change [s].</param>
    /// <param name="wanted">About so many cells [-]; more where many changes ask for them.</param>
    public static AirGrid Of(double spanS, IReadOnlyList<PlacedSource> sources, IReadOnlyList<double> changesS, int wanted)
    {
        var baseS = spanS / Finest;
        double[] times = [.. sources.SelectMany(static s => new[] { s.StartS, s.StartS + s.LengthS }).Concat(changesS).Where(t => t > 0 && t < spanS)];
        var snap = 0;
        var edges = Snapped(snap);
        while (edges.Length > FewEdges << snap && snap < CoarsestSnap)
        {
            edges = Snapped(++snap);
        }

        var cost = Costs(sources, baseS, snap);
        var lastEnd = SnapTo(sources.Max(static s => s.StartS + s.LengthS), baseS, snap);
        wanted += CellsOfDecay;
        var queue = new PriorityQueue<(int Level, int At), double>();
        var kept = new List<int>();
        queue.Enqueue((Depth, 0), double.NegativeInfinity);
        while (queue.TryDequeue(out var node, out var priority))
        {
            if (node.Level == 0 || (!double.IsNegativeInfinity(priority) && queue.Count + kept.Count + 1 >= wanted))
            {
                kept.Add(node.At << node.Level);
                continue;
            }

            for (var child = 2 * node.At; child <= 2 * node.At + 1; child++)
            {
                var level = node.Level - 1;
                queue.Enqueue((level, child), HasEdgeWithin(child << level, (child + 1) << level) || IsLongInDecay(child << level, 1 << level)
                    ? double.NegativeInfinity
                    : -(cost[level][child] + WeightOfTime * Math.ScaleB(1, level - Depth)));
            }
        }

        kept.Sort();
        kept.Add(Finest);
        return new AirGrid(baseS, snap, [.. kept], changesS);

        int[] Snapped(int by) => [.. times.Select(t => SnapTo(t, baseS, by)).Where(static edge => edge is > 0 and < Finest).Distinct().Order()];

        bool IsLongInDecay(int from, int length) => from >= lastEnd && length > Math.Max(FinestInDecay, ShareOfDecay * (from + length - lastEnd));

        bool HasEdgeWithin(int from, int until)
        {
            var found = Array.BinarySearch(edges, from + 1);
            found = found >= 0 ? found : ~found;
            return found < edges.Length && edges[found] < until;
        }
    }

    // For each cell of each level what would be lost by not splitting it: dose moved about within, and the dose itself.
    private static double[][] Costs(IReadOnlyList<PlacedSource> sources, double baseS, int snap)
    {
        var (number, tvoc) = (new double[Finest], new double[Finest]);
        foreach (var source in sources)
        {
            var agents = source.Agents.ToList();
            var (ofNumber, ofTvoc) = (agents.FindIndex(static a => a.IsParticles), agents.FindIndex(static a => !a.IsParticles));
            var fromS = SnapTo(source.StartS, baseS, snap) * baseS;
            foreach (var step in source.Steps())
            {
                var untilS = fromS + step.Seconds;
                var (n, v) = (ofNumber >= 0 ? step.PerS.Span[ofNumber] : 0, ofTvoc >= 0 ? step.PerS.Span[ofTvoc] : 0);
                for (var cell = (int)(fromS / baseS); cell < Finest && cell * baseS < untilS; cell++)
                {
                    var part = Math.Max(0, Math.Min(untilS, (cell + 1) * baseS) - Math.Max(fromS, cell * baseS));
                    number[cell] += n * part;
                    tvoc[cell] += v * part;
                }

                fromS = untilS;
            }
        }

        var costs = new double[Depth + 1][];
        for (var level = 0; level <= Depth; level++)
        {
            costs[level] = new double[Finest >> level];
        }

        AddCosts(number, costs);
        AddCosts(tvoc, costs);
        return costs;
    }

    private static void AddCosts(double[] amounts, double[][] costs)
    {
        var total = amounts.Sum();
        if (!(total > 0))
        {
            return;
        }

        var moved = new double[amounts.Length];
        for (var level = 0; level <= Depth; level++)
        {
            var count = Finest >> level;
            for (var i = 0; i < count && level > 0; i++)
            {
                moved[i] = moved[2 * i] + moved[2 * i + 1] + Math.Abs(amounts[2 * i] - amounts[2 * i + 1]) / total;
                amounts[i] = amounts[2 * i] + amounts[2 * i + 1];
            }

            for (var i = 0; i < count; i++)
            {
                costs[level][i] += (level > 0 ? moved[i] : 0) + WeightOfAmount * amounts[i] / total;
            }
        }
    }

    private static int SnapTo(double timeS, double baseS, int snap) => (int)Math.Clamp(Math.Round(timeS / (baseS * (1 << snap))), 0, Finest) << snap;
}
