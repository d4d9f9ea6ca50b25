// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using System.Numerics;
using MathNet.Numerics.Distributions;

namespace Fumecast.Uncertainty;

/// <summary>Standard normal deviates for the figures of one material, the same for every job of a run.</summary>
/// <remarks>
/// The points are a lattice in as many dimensions as there are figures, moved at random along each: along every single figure they are
/// spread perfectly evenly, so that few points do. Each material takes them in an order of its own, since two materials that went through one
/// lattice side by side would not be independent. The yield, by far the widest figure, is put in afterwards and in closed form;
/// only ratios of two jobs need it drawn, and then each point carries several, one from every equal part of its
/// distribution. The generators (a Korobov rule, L'Ecuyer and Lemieux 2000) are the best of all for their number of points by the criterion P2 of
/// such rules in 14 dimensions, each weighted by 0.06. The tests check the evenness and a million plain draws.
/// </remarks>
internal sealed class StandardDraws
{
    /// <summary>Yields that each point carries, for ratios [-].</summary>
    public const int YieldsPerPoint = 12;

    private static readonly ConcurrentDictionary<int, double[]> Normals = new();

    private readonly int _generator;
    private readonly int[] _order;
    private readonly int[] _offsets;
    private readonly int[] _turns;
    private readonly Dictionary<int, int[]> _cells = [];
    private readonly Dictionary<int, double[]> _made = [];

    private StandardDraws(int points, int generator, string material, long seed)
    {
        Points = points;
        _generator = generator;
        var random = new Random(Hash(material, seed));
        _order = [.. Enumerable.Range(0, points)];
        random.Shuffle(_order);
        _offsets = new int[Dimensions];
        for (var i = 0; i < Dimensions; i++)
        {
            _offsets[i] = random.Next(points);
        }

        _turns = new int[points];
        for (var i = 0; i < points; i++)
        {
            _turns[i] = random.Next(YieldsPerPoint);
        }
    }

    /// <summary>Points of the lattice [-]; a prime.</summary>
    public int Points { get; }

    /// <summary>Draws when yields are drawn too: every yield of every point [-].</summary>
    public int Count => Points * YieldsPerPoint;

    /// <summary>Figures that can be drawn; species beyond share the last ones.</summary>
    public static int Dimensions => 48;

    /// <summary>The draws of totals whose yield is in closed form.</summary>
    public static StandardDraws Usual(string material, long seed) => new(509, 129, material, seed);

    /// <summary>More draws, where the closed form smooths little or not at all: ratios of two jobs, in which the yield cancels, a yield that is known well, or several yields.</summary>
    public static StandardDraws Fine(string material, long seed) => new(2039, 885, material, seed);

    /// <summary>The draws of air: each goes through all zones, with one yield.</summary>
    public static StandardDraws OfAir(string material, long seed) => new(1021, 103, material, seed);

    /// <summary>Fewer draws, for the many bins of a series.</summary>
    public static StandardDraws Coarse(string material, long seed) => new(251, 24, material, seed);

    /// <summary>Deviates of one figure, one for each point.</summary>
    public double[] Of(int dimension)
    {
        if (!_made.TryGetValue(dimension, out var z))
        {
            var normal = NormalCells(Points);
            z = Array.ConvertAll(CellsOf(dimension), cell => normal[cell]);
            _made.Add(dimension, z);
        }

        return z;
    }

    /// <summary>Deviates of a yield: first one for each point, then the next for each, and so on.</summary>
    public double[] OfYield(int dimension)
    {
        var normal = NormalCells(Count);
        var cell = CellsOf(dimension);
        var z = new double[Count];
        for (var i = 0; i < z.Length; i++)
        {
            var (part, point) = Math.DivRem(i, Points);

            // Turned at random from point to point, so that the yields of two materials do not rise together.
            z[i] = normal[(((part + _turns[point]) % YieldsPerPoint) * Points) + cell[point]];
        }

        return z;
    }

    private int[] CellsOf(int dimension)
    {
        if (!_cells.TryGetValue(dimension, out var cell))
        {
            cell = new int[Points];
            var step = (long)BigInteger.ModPow(_generator, dimension, Points);
            for (var i = 0; i < Points; i++)
            {
                cell[i] = (int)(((_order[i] * step) + _offsets[dimension]) % Points);
            }

            _cells.Add(dimension, cell);
        }

        return cell;
    }

    /// <summary>The deviate in the middle of each of so many cells of equal probability: the median of a figure that stands alone is its value itself.</summary>
    private static double[] NormalCells(int count) => Normals.GetOrAdd(count, static n =>
    {
        var normal = new double[n];
        for (var cell = 0; cell < n; cell++)
        {
            normal[cell] = Normal.InvCDF(0, 1, (cell + 0.5) / n);
        }

        return normal;
    });

    /// <summary>FNV-1a: the runtime's own hash of a text differs from run to run.</summary>
    private static int Hash(string material, long seed)
    {
        var hash = 14695981039346656037UL ^ (ulong)seed;
        hash *= 1099511628211UL;
        foreach (var c in material)
        {
            hash = (hash ^ c) * 1099511628211UL;
        }

        return (int)(hash ^ (hash >> 32));
    }
}
