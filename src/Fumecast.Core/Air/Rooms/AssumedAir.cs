// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Figures that stand in where a user states none: ranges, each with where it is from. All are assumptions of this project.</summary>
internal static class AssumedAir
{
    /// <summary>Diameter that the assumed deposition of particles is for [nm].</summary>
    public const double DepositionAtNm = 30;

    /// <summary>Air changes of a room with the outdoors [1/h].</summary>
    public static Figure RoomChangesPerH { get; } = FigureText.Between(0.3, 3, Quantity.RatePerH, Origin(
        ["INTERZONAL2018", "DUBATTERMAN2012", "BASE2005"],
        "abstracts: homes between a room and all else median 0.6, bedrooms median 1.23 with a deviation of 1.5, offices about 1 to 2.5 1/h; 0.3 is a lower bound for empty rooms",
        "C", "this room was not measured; a closed window and an open one differ more than rooms do"));

    /// <summary>Loss of particles of 30 nm to the surfaces of a room [1/h].</summary>
    public static Figure RoomDepositionPerH { get; } = FigureText.Between(0.7, 3.5, Quantity.RatePerH, Origin(
        ["LEE2014", "HE2005", "HOWARDREED2003", "JUDGEMENT"],
        "abstracts: ultrafine and submicron 0.68 to 5.03 1/h with mixing fans, least at 0.2 to 0.3 um, 0.3 1/h at 0.3 to 0.5 um; 1.5 1/h at 30 nm is our working value within them",
        "C", "depends on furniture and air movement; the curve against size was not seen"));

    /// <summary>Loss of particles of 30 nm to the surfaces of an enclosure [1/h].</summary>
    public static Figure BoxDepositionPerH { get; } = FigureText.Between(2, 15, Quantity.RatePerH, Origin(
        ["JUDGEMENT"], "several per hour: a box has some five times the surface of a room for its volume, and a fan stirs it", "D", "nothing was found for enclosures"));

    /// <summary>Air changes of an enclosure by its leaks [1/h].</summary>
    public static Figure BoxLeakPerH { get; } = FigureText.Between(2, 20, Quantity.RatePerH, Origin(
        ["JUDGEMENT"], "2 to 20 volumes of the box for each hour", "D", "no measured leak of a printer enclosure was found; a decay logged in the box tells it"));

    /// <summary>Flow through a small filter with a fan inside an enclosure [m3/h].</summary>
    public static Figure BoxFilterFlowM3PerH { get; } = FigureText.Between(3, 30, Quantity.AirFlow, Origin(
        ["JUDGEMENT"], "common practice, no source: small fans behind a dense medium give far less than their free flow", "D", "the flow of this filter was not measured"));

    /// <summary>Flow through an air cleaner in a room [m3/h].</summary>
    public static Figure RoomFilterFlowM3PerH { get; } = FigureText.Between(50, 300, Quantity.AirFlow, Origin(
        ["JUDGEMENT"], "common practice, no source: portable air cleaners", "D", "the flow of this cleaner was not measured"));

    /// <summary>Further air changes of a room by an open window [1/h].</summary>
    public static Figure WindowChangesPerH { get; } = FigureText.Between(2, 15, Quantity.RatePerH, Origin(
        ["JUDGEMENT"], "common practice, no source: one window wide open", "D", "wind and temperature change it from hour to hour"));

    /// <summary>Flow of a fan that blows the air of an enclosure outdoors [m3/h].</summary>
    public static Figure ExhaustM3PerH { get; } = FigureText.Between(10, 60, Quantity.AirFlow, Origin(
        ["JUDGEMENT"], "common practice, no source: a small fan on a hose", "D", "the flow of this fan was not measured"));

    /// <summary>Radius of the hemisphere around a printer that counts as near it [m].</summary>
    public const double NearRadiusM = 0.8;

    /// <summary>Air speed through the surface of that hemisphere [mm/s].</summary>
    public static Figure NearAirSpeed { get; } = FigureText.Between(20, 200, Quantity.Speed, Origin(
        ["JUDGEMENT"], "still to lively room air, 0.02 to 0.2 m/s", "D", "from memory; not measured in this room"));

    private static FigureOrigin Origin(IReadOnlyList<string> sources, string where, string grade, string why) => new(sources, where, FigureKnown.Assumed, grade, why);
}
