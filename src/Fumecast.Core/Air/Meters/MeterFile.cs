// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Reads files that describe a kind of meter.</summary>
internal static class MeterFile
{
    public const string Schema = "fumecast/meter/1";

    private static readonly string[] Quantities = [.. Enum.GetNames<MeterQuantity>().Select(static name => name.ToLowerInvariant())];

    /// <summary>Reads one.</summary>
    /// <param name="data">The file.</param>
    /// <exception cref="InputProblem">The file is wrong.</exception>
    public static MeterKind Read(DataFile data) => YamlMap.Read(data, map =>
    {
        map.Schema(Schema);
        var figures = AgentFigures.ReaderFor(map);
        var shows = map.Map("shows");
        var channels = new List<MeterChannel>();
        foreach (var key in shows.Keys.ToArray())
        {
            if (Array.IndexOf(Quantities, key) is >= 0 and var at)
            {
                channels.Add(Channel(shows.Map(key), Enum.GetValues<MeterQuantity>()[at], figures));
            }
            else
            {
                shows.Refuse(key, $"found '{key}', expected one of {string.Join(", ", Quantities)}");
                _ = shows.OptionalMap(key);
            }
        }

        if (channels.Count == 0 && map.Has("shows"))
        {
            map.Refuse("shows", "found nothing that it shows, expected one of " + string.Join(", ", Quantities));
        }

        return new MeterKind
        {
            Id = map.Id(),
            Name = map.Text("name"),
            Description = map.Text("description"),
            File = data.Name,
            Unfilled = data.IsShipped ? "" : data.UnfilledWords,
            Channels = channels,
            WarmUpS = figures.Required(map, "warm_up", Quantity.Time, 0, 30 * 86_400),
            IntervalS = figures.Required(map, "interval", Quantity.Time, 0.1, 86_400),
            OwnSources = map.OptionalMap("sources") is { } sources ? SourceList.Of(sources) : [],
            Cautions = map.Texts("cautions"),
        };
    });

    private static MeterChannel Channel(YamlMap map, MeterQuantity quantity, FigureReader figures)
    {
        var level = quantity == MeterQuantity.Number ? Quantity.NumberConcentration : Quantity.MassConcentration;
        var isVapour = quantity == MeterQuantity.Tvoc;
        var channel = new MeterChannel
        {
            Quantity = quantity,
            LowerCutNm = isVapour ? null : map.Number("from", Quantity.ParticleDiameter, 1, 1e5),
            UpperCutNm = isVapour ? null : map.Number("to", Quantity.ParticleDiameter, 1, 1e5),
            Resolution = figures.Required(map, "resolution", level, 0, 1e9),
            NoiseFloor = figures.Required(map, "noise_floor", level, 0, 1e9),
            NoiseShare = figures.Required(map, "noise_share", Quantity.Share, 0, 10),
            AutocorrelationS = figures.Required(map, "noise_time", Quantity.Time, 0.01, 86_400),
            Response = figures.Required(map, "response", Quantity.Number, 0, 1000),
            ZeroDriftPerH = figures.Required(map, "zero_drift", level, 0, 1e9),
            DriftSharePerH = figures.Required(map, "drift_share", Quantity.Share, 0, 10),
        };
        if (channel is { LowerCutNm: { } low, UpperCutNm: { } high } && map.Has("from") && map.Has("to") && !(low < high))
        {
            map.Refuse("to", $"found {QuantityText.Show(high, Quantity.ParticleDiameter)}, expected more than 'from'");
        }

        return channel;
    }
}
