// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Reads figures by agent: <c>particles</c>, <c>vapours</c>, or single agents.</summary>
internal static class AgentFigures
{
    /// <summary>Reads the figures of a file; those written as plain texts come from where its key <c>origin</c> says, or are stated in it.</summary>
    /// <param name="map">The outermost map of the file.</param>
    public static FigureReader ReaderFor(YamlMap map) =>
        new(map.OptionalMap("origin") is { } origin ? FigureReader.Origin(origin) : FigureReader.StatedIn(map.File));

    /// <summary>Reads them.</summary>
    /// <param name="map">The map, with agents and groups as keys.</param>
    /// <param name="figures">Reads a figure.</param>
    /// <param name="quantity">What each is.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="others">Keys of the map that are read elsewhere.</param>
    public static FigureByAgent Read(YamlMap map, FigureReader figures, Quantity quantity, double min, double max, params string[] others) => new()
    {
        Particles = figures.Optional(map, AgentWords.Particles, quantity, min, max),
        Vapours = figures.Optional(map, AgentWords.Vapours, quantity, min, max),
        Single =
        [
            .. map.Keys.Where(key => key is not (AgentWords.Particles or AgentWords.Vapours) && !others.Contains(key)).ToArray()
                .Select(key => new AgentFigure(AgentWords.OfKey(map, key, [AgentWords.Particles, AgentWords.Vapours, .. others]), figures.Required(map, key, quantity, min, max))),
        ],
    };
}
