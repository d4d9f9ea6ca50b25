// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Reads files that describe a kind of filter.</summary>
internal static class FilterFile
{
    public const string Schema = "fumecast/filter/1";

    /// <summary>Reads one.</summary>
    /// <param name="data">The file.</param>
    /// <exception cref="InputProblem">The file is wrong.</exception>
    public static FilterKind Read(DataFile data) => YamlMap.Read(data, map =>
    {
        map.Schema(Schema);
        var figures = AgentFigures.ReaderFor(map);
        var efficiency = map.Map("efficiency");
        var kind = new FilterKind
        {
            Id = map.Id(),
            Name = map.Text("name"),
            Description = map.Text("description"),
            File = data.Name,
            Unfilled = data.IsShipped ? "" : data.UnfilledWords,
            Efficiency = AgentFigures.Read(efficiency, figures, Quantity.Share, 0, 1, "by_size"),
            BySize = BySize(efficiency),
            Bypass = figures.Required(map, "bypass", Quantity.Share, 0, 1),
            SorbentMassG = figures.Optional(map, "sorbent_mass", Quantity.Mass, 0.01, 1e6),
            Capacity = figures.Optional(map, "capacity", Quantity.Share, 0, 1),
            OwnSources = map.OptionalMap("sources") is { } sources ? SourceList.Of(sources) : [],
            Cautions = map.Texts("cautions"),
        };
        if (kind.Capacity is not null && kind.SorbentMassG is null)
        {
            map.Refuse("capacity", "found a capacity without 'sorbent_mass', which it is a share of; give both or neither");
        }

        if (kind.BySize.Count > 0 && kind.Efficiency.Particles?.Value is not (> 0 and < 1))
        {
            efficiency.Refuse("by_size", "found sizes without a figure for 'particles' over 0 and below 1, whose spread they share; give it for the size that comes through best");
        }

        return kind;
    });

    private static List<SizeEfficiency> BySize(YamlMap efficiency)
    {
        const double Most = 0.99999999;
        var sizes = new List<SizeEfficiency>();
        foreach (var entry in efficiency.Maps("by_size"))
        {
            var at = entry.Number("diameter", Quantity.ParticleDiameter, 1, 1e5);
            var share = entry.Number("taken_out", Quantity.Share, 0, 1);
            if (sizes.Count > 0 && !(at > sizes[^1].DiameterNm))
            {
                entry.Refuse("diameter", $"found {QuantityText.Show(at, Quantity.ParticleDiameter)} after {QuantityText.Show(sizes[^1].DiameterNm, Quantity.ParticleDiameter)}, expected sizes that rise");
            }

            sizes.Add(new SizeEfficiency(at, Math.Min(share, Most)));
        }

        return sizes;
    }
}
