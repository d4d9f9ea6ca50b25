// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>What a meter shows.</summary>
internal enum MeterQuantity
{
    /// <summary>Mass of particles up to 1 um [ug/m3].</summary>
    Pm1,

    /// <summary>Mass of particles up to 2.5 um [ug/m3].</summary>
    Pm25,

    /// <summary>Mass of particles up to 10 um [ug/m3].</summary>
    Pm10,

    /// <summary>Number of particles [1/cm3].</summary>
    Number,

    /// <summary>Vapours in all [ug/m3].</summary>
    Tvoc,
}

/// <summary>One thing that a meter shows, and how well.</summary>
internal sealed record MeterChannel
{
    /// <summary>What it shows.</summary>
    public required MeterQuantity Quantity { get; init; }

    /// <summary>Smallest particles it sees [nm]; null for vapours.</summary>
    public double? LowerCutNm { get; init; }

    /// <summary>Largest particles it counts [nm]; null for vapours.</summary>
    public double? UpperCutNm { get; init; }

    /// <summary>Step of its display [ug/m3 or 1/cm3].</summary>
    public required Figure Resolution { get; init; }

    /// <summary>Noise of one reading however low the level: standard deviation [ug/m3 or 1/cm3].</summary>
    public required Figure NoiseFloor { get; init; }

    /// <summary>Noise of one reading as a share of the level; the larger of the two counts [-].</summary>
    public required Figure NoiseShare { get; init; }

    /// <summary>Time over which its noise hangs together [s].</summary>
    public required Figure AutocorrelationS { get; init; }

    /// <summary>What one unit shows of what is there, as a factor; its spread is that between units and between kinds of particles or vapours [-].</summary>
    public required Figure Response { get; init; }

    /// <summary>Wander of its zero for each hour, standard deviation [ug/m3 or 1/cm3].</summary>
    public required Figure ZeroDriftPerH { get; init; }

    /// <summary>Wander for each hour as a share of the level, standard deviation [-].</summary>
    public required Figure DriftSharePerH { get; init; }

    /// <summary>Every figure with a name to show.</summary>
    public IEnumerable<(string Name, Figure Figure)> Figures() =>
    [
        ("step of the display", Resolution), ("noise, least", NoiseFloor), ("noise, share of the level", NoiseShare),
        ("noise hangs together for", AutocorrelationS), ("shows of what is there", Response), ("drift of zero in an hour", ZeroDriftPerH),
        ("drift in an hour, share of the level", DriftSharePerH),
    ];
}

/// <summary>A kind of meter: what it sees, and how well.</summary>
internal sealed record MeterKind
{
    /// <summary>Id, such as <c>optical-pm</c>.</summary>
    public required string Id { get; init; }

    /// <summary>Name to show.</summary>
    public required string Name { get; init; }

    /// <summary>One line on what it stands for.</summary>
    public required string Description { get; init; }

    /// <summary>The file it was read from.</summary>
    public required string File { get; init; }

    /// <summary>What to do about places of a template that are still to be filled in; empty where there is none, and for shipped files.</summary>
    public string Unfilled { get; init; } = "";

    /// <summary>What it shows, at least one.</summary>
    public required IReadOnlyList<MeterChannel> Channels { get; init; }

    /// <summary>Time after switching on before its readings count [s].</summary>
    public required Figure WarmUpS { get; init; }

    /// <summary>Time from one logged reading to the next [s].</summary>
    public required Figure IntervalS { get; init; }

    /// <summary>Sources that the file brings along itself; others are in the shared list.</summary>
    public IReadOnlyList<SourceReference> OwnSources { get; init; } = [];

    /// <summary>What to know before relying on it.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>Every figure with a name to show.</summary>
    public IEnumerable<(string Name, Figure Figure)> Figures()
    {
        foreach (var channel in Channels)
        {
            foreach (var (name, figure) in channel.Figures())
            {
                yield return ($"{channel.Quantity.ToString().ToLowerInvariant()}, {name}", figure);
            }
        }

        yield return ("warm-up", WarmUpS);
        yield return ("time between readings", IntervalS);
    }
}
