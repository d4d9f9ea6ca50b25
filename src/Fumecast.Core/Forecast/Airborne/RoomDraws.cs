// SPDX-License-Identifier: MIT
using Fumecast.Air;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>The figures of a room for every draw. Each figure has its own order of evenly spread values, found by its name, so that a remedy draws what it leaves alone in the same way.</summary>
internal sealed class RoomDraws
{
    private readonly Dictionary<Figure, double[]> _values = new(ReferenceEqualityComparer.Instance);
    private readonly List<DrawnInput> _inputs = [];

    /// <summary>Draws the figures of a room.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="seed">Seed of the draws.</param>
    public RoomDraws(RoomPlan plan, long seed)
    {
        foreach (var (name, figure) in plan.Ranges)
        {
            var values = Array.ConvertAll(StandardDraws.OfAir("room: " + name, seed).Of(1), figure.At);
            _values[figure] = values;
            _inputs.Add(new DrawnInput(name, values));
        }
    }

    /// <summary>What is drawn.</summary>
    public IReadOnlyList<DrawnInput> Inputs => _inputs;

    /// <summary>The values of a draw; those of the middle for less than 0.</summary>
    public Func<Figure, double> At(int draw) => figure => draw >= 0 && _values.TryGetValue(figure, out var values) ? values[draw] : figure.Value;
}
