// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>What a key in a comment speaks of.</summary>
internal enum ClaimKey : byte
{
    None,

    /// <summary>Whole time, plain seconds or with units.</summary>
    Time,
    TimeByMode,
    TimeModelAndTotal,
    TimeElapsed,
    TimeRemaining,

    /// <summary>Length, volume and mass in one value, each with its unit; a bare number is in mm.</summary>
    Filament,
    FilamentMm,
    FilamentM,
    FilamentMm3,
    FilamentCm3,
    FilamentG,
    FilamentPerExtruder,
    FilamentPerMaterial,

    /// <summary>Labelled cm3 by its generator, but the number is mm3.</summary>
    FilamentVolumeMislabelled,

    /// <summary>A dotted key with the tool in its middle.</summary>
    ExtruderTrain,

    Material,
    MaterialNote,
    MaterialProfile,
    Diameter,
    Density,
    NozzleDiameter,
    NozzleTemperature,
    FirstLayerNozzleTemperature,
    TemperatureSetpoints,
    TemperatureLayerSetpoints,
    LayerHeight,
    LayerCount,
    Flavour,
    VolumetricE,
    RelativeE,
    Thumbnail,

    /// <summary>Plain words, without a sign between key and value.</summary>
    PlainMaterial,
    PlainDensity,
    PlainNozzle,
    PlainUses,
    PlainTakes,

    /// <summary>Marks of a new layer; see <see cref="LayerMarks"/>.</summary>
    LayerNumbered,
    LayerChange,
    ChangeLayer,
    LayerOfTotal,
    LayerObject,
    LayerTag,
    LayerSlice,
}
