// SPDX-License-Identifier: MIT
using Fumecast.Air;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>The figures of a room for every draw.</summary>
internal sealed class RoomDraws
{
    private readonly Dictionary<Figure, double[]> _values = new(ReferenceEqualityComparer.Instance);
    private readonly List<DrawnInput> _inputs = [];

    /// <summary>Draws the figures of a room.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="lattice">Deviates by name.</param>
    public RoomDraws(RoomPlan plan, RoomLattice lattice)
    {
        // By name, so that the order of zones and loops does not matter.
        foreach (var (name, figure) in plan.Ranges.OrderBy(static r => r.Name, StringComparer.Ordinal))
        {
            var values = Array.ConvertAll(lattice.Of(name), figure.At);
            _values[figure] = values;
            _inputs.Add(new DrawnInput(name, values));
        }
    }

    /// <summary>What is drawn.</summary>
    public IReadOnlyList<DrawnInput> Inputs => _inputs;

    /// <summary>The values of a draw; those of the middle for less than 0.</summary>
    public Func<Figure, double> At(int draw) => figure => draw >= 0 && _values.TryGetValue(figure, out var values) ? values[draw] : figure.Value;
}

/// <summary>Deviates for the figures of a room by their names: further dimensions of the lattice that the leading source is drawn from, so that pairs of figures are spread evenly, too.</summary>
/// <remarks>
/// A remedy draws what it leaves alone in the same way, and what it adds in dimensions of its own. The dimensions are those that go with each other and with a material's: rank correlations
/// of pairs below 0.1. Figures beyond them have an order of their own.
/// </remarks>
/// <param name="leading">Name of the lattice: a material, or a given source.</param>
/// <param name="seed">Seed of the draws.</param>
internal sealed class RoomLattice(string leading, long seed)
{
    private static readonly int[] Dimensions = [.. Enumerable.Range(20, 13), .. Enumerable.Range(35, 6)];

    private readonly StandardDraws _lattice = StandardDraws.OfAir(leading, seed);
    private readonly Dictionary<string, double[]> _byName = [];

    /// <summary>Deviates of a figure, one for each draw.</summary>
    /// <param name="name">Its name.</param>
    public double[] Of(string name)
    {
        if (!_byName.TryGetValue(name, out var z))
        {
            z = _byName.Count < Dimensions.Length ? _lattice.Of(Dimensions[_byName.Count]) : StandardDraws.OfAir("room: " + name, seed).Of(1);
            _byName.Add(name, z);
        }

        return z;
    }
}
