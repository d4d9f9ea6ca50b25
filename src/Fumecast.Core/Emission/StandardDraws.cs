// SPDX-License-Identifier: MIT
using System.Numerics;
using MathNet.Numerics.Distributions;

namespace Fumecast.Emission;

/// <summary>Standard normal deviates for the figures of one material, the same for every job of a run.</summary>
/// <remarks>
/// The points are a lattice in as many dimensions as there are figures, moved at random along each: along every single figure they are
/// spread perfectly evenly, so that quantiles are smooth and need few points. Each material takes them in an order of its own,
/// since two materials that went through one lattice side by side would not be independent.
/// Generators: L'Ecuyer and Lemieux 2000, table of Korobov rules (from memory; the tests check the evenness).
/// </remarks>
internal sealed class StandardDraws
{
    private readonly long generator;
    private readonly int[] order;
    private readonly int[] offsets;
    private readonly double[] normal;
    private readonly Dictionary<int, double[]> made = [];

    private StandardDraws(int count, long generator, string material, long seed)
    {
        Count = count;
        this.generator = generator;
        var random = new Random(Hash(material, seed));
        order = [.. Enumerable.Range(0, Count)];
        random.Shuffle(order);
        offsets = new int[Dimensions];
        for (var i = 0; i < Dimensions; i++)
        {
            offsets[i] = random.Next(Count);
        }

        // One place inside all cells of probability, off both ends, so that no point falls on probability 0 or 1.
        var shift = 0.001 + 0.998 * random.NextDouble();
        normal = new double[Count];
        for (var cell = 0; cell < Count; cell++)
        {
            normal[cell] = Normal.InvCDF(0, 1, (cell + shift) / Count);
        }
    }

    /// <summary>Number of draws [-]; a prime.</summary>
    public int Count { get; }

    /// <summary>Figures that can be drawn; species beyond share the last ones.</summary>
    public static int Dimensions => 48;

    /// <summary>The draws of totals and ratios.</summary>
    public static StandardDraws ForTotals(string material, long seed) => new(4093, 1516, material, seed);

    /// <summary>Fewer draws, for the many bins of a series.</summary>
    public static StandardDraws ForBins(string material, long seed) => new(1021, 76, material, seed);

    /// <summary>Deviates of one figure, in the order of the draws.</summary>
    public double[] Of(int dimension)
    {
        if (!made.TryGetValue(dimension, out var z))
        {
            z = new double[Count];
            var step = (long)BigInteger.ModPow(generator, dimension, Count);
            for (var i = 0; i < Count; i++)
            {
                z[i] = normal[(order[i] * step + offsets[dimension]) % Count];
            }

            made.Add(dimension, z);
        }

        return z;
    }

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
