// SPDX-License-Identifier: MIT
using System.Text;

namespace Fumecast.GCode;

/// <summary>The spellings of keys seen in the comments of real files, found by their first three letters.</summary>
/// <remarks>Source: our own survey of some 600 real files, 2012 to 2026. Most comments are no claim and leave after one look at an empty slot.</remarks>
internal static class ClaimKeyTable
{
    private const int Slots = 512;

    private static readonly (string Spelling, ClaimKey Key)[] Spellings =
    [
        ("TIME", ClaimKey.Time),
        ("PRINT.TIME", ClaimKey.Time),
        ("print time", ClaimKey.Time),
        ("build time", ClaimKey.Time),
        ("estimated build time", ClaimKey.Time),
        ("calculated-during-export build time", ClaimKey.Time),
        ("total print time (s)", ClaimKey.Time),
        ("estimated printing time", ClaimKey.TimeByMode),
        ("model printing time", ClaimKey.TimeModelAndTotal),
        ("total estimated time", ClaimKey.Time),
        ("TIME_ELAPSED", ClaimKey.TimeElapsed),
        ("REMAINING_TIME", ClaimKey.TimeRemaining),

        ("filament used", ClaimKey.Filament),
        ("filament used [mm]", ClaimKey.FilamentMm),
        ("filament used [cm3]", ClaimKey.FilamentCm3),
        ("filament used [g]", ClaimKey.FilamentG),
        ("total filament used [g]", ClaimKey.FilamentG),
        ("total filament length [mm]", ClaimKey.FilamentMm),
        ("total filament weight [g]", ClaimKey.FilamentG),
        ("total filament volume [cm^3]", ClaimKey.FilamentVolumeMislabelled),
        ("filament used extruder", ClaimKey.FilamentPerExtruder),
        ("ext", ClaimKey.FilamentPerExtruder),
        ("material#", ClaimKey.FilamentPerMaterial),
        ("filament length", ClaimKey.Filament),
        ("material length", ClaimKey.Filament),
        ("plastic volume", ClaimKey.Filament),
        ("material volume", ClaimKey.Filament),
        ("plastic weight", ClaimKey.Filament),
        ("material weight", ClaimKey.Filament),
        ("filament_length_m", ClaimKey.FilamentM),
        ("filament_volume_cm3", ClaimKey.FilamentCm3),
        ("EXTRUDER_TRAIN.", ClaimKey.ExtruderTrain),

        ("filament_type", ClaimKey.Material),
        ("printMaterial", ClaimKey.Material),
        ("autoConfigureMaterial", ClaimKey.Material),
        ("filament type", ClaimKey.Material),
        ("material_name", ClaimKey.Material),
        ("material", ClaimKey.MaterialNote),
        ("<profileName>", ClaimKey.MaterialProfile),
        ("filament_diameter", ClaimKey.Diameter),
        ("filamentDiameter", ClaimKey.Diameter),
        ("filamentDiameters", ClaimKey.Diameter),
        ("filament diameter", ClaimKey.Diameter),
        ("filament_diameter_mm", ClaimKey.Diameter),
        ("fiber_dia_mm", ClaimKey.Diameter),
        ("filament_density", ClaimKey.Density),
        ("filamentDensity", ClaimKey.Density),
        ("filamentDensities", ClaimKey.Density),
        ("filament density", ClaimKey.Density),
        ("nozzle_diameter", ClaimKey.NozzleDiameter),
        ("extruderDiameter", ClaimKey.NozzleDiameter),
        ("nozzleDiameter", ClaimKey.NozzleDiameter),
        ("nozzle_dia", ClaimKey.NozzleDiameter),
        ("nozzle_diameter_mm", ClaimKey.NozzleDiameter),
        ("nozzle diameter", ClaimKey.NozzleDiameter),
        ("temperature", ClaimKey.NozzleTemperature),
        ("nozzle_temperature", ClaimKey.NozzleTemperature),
        ("temperature_C", ClaimKey.NozzleTemperature),
        ("extruder_temp_degree_c", ClaimKey.NozzleTemperature),
        ("first_layer_temperature", ClaimKey.FirstLayerNozzleTemperature),
        ("nozzle_temperature_initial_layer", ClaimKey.FirstLayerNozzleTemperature),
        ("firstLayerNozzleTemp", ClaimKey.FirstLayerNozzleTemperature),
        ("temperatureSetpointTemperatures", ClaimKey.TemperatureSetpoints),
        ("temperatureSetpoints", ClaimKey.TemperatureLayerSetpoints),
        ("layer_height", ClaimKey.LayerHeight),
        ("layer height", ClaimKey.LayerHeight),
        ("layerHeight", ClaimKey.LayerHeight),
        ("layerThickness", ClaimKey.LayerHeight),
        ("<layerThickness>", ClaimKey.LayerHeight),
        ("layer_thickness_mm", ClaimKey.LayerHeight),
        ("z_layer_height_mm", ClaimKey.LayerHeight),
        ("LAYER_COUNT", ClaimKey.LayerCount),
        ("layer count", ClaimKey.LayerCount),
        ("total layer number", ClaimKey.LayerCount),
        ("FLAVOR", ClaimKey.Flavour),
        ("gcode_flavor", ClaimKey.Flavour),
        ("use_volumetric_e", ClaimKey.VolumetricE),
        ("use_relative_e_distances", ClaimKey.RelativeE),
        ("relativeExtrusion", ClaimKey.RelativeE),
        ("thumbnail", ClaimKey.Thumbnail),

        // Plain words of our own files; "material" and the diameters above are read in this form too.
        ("density", ClaimKey.PlainDensity),
        ("nozzle", ClaimKey.PlainNozzle),
        ("uses", ClaimKey.PlainUses),
        ("takes", ClaimKey.PlainTakes),

        ("LAYER:", ClaimKey.LayerNumbered),
        ("layer ", ClaimKey.LayerNumbered),
        ("LAYER_CHANGE", ClaimKey.LayerChange),
        ("CHANGE_LAYER", ClaimKey.ChangeLayer),
        ("layer num/total_layer_count:", ClaimKey.LayerOfTotal),
        ("BEGIN_LAYER_OBJECT", ClaimKey.LayerObject),
        ("<layer>", ClaimKey.LayerTag),
        ("Slice ", ClaimKey.LayerSlice),
    ];

    private static readonly Entry[]?[] Table = MakeTable();

    /// <summary>Finds the longest spelling that begins a text, in any case.</summary>
    /// <param name="text">The text of the comment, without its mark and leading blanks.</param>
    /// <param name="length">Length of the spelling [bytes].</param>
    internal static ClaimKey Find(ReadOnlySpan<byte> text, out int length)
    {
        length = 0;
        if (text.Length < 3 || Table[Slot(text)] is not { } entries)
        {
            return ClaimKey.None;
        }

        foreach (var entry in entries)
        {
            if (text.Length >= entry.Bytes.Length && Ascii.EqualsIgnoreCase(text[..entry.Bytes.Length], entry.Bytes))
            {
                length = entry.Bytes.Length;
                return entry.Key;
            }
        }

        return ClaimKey.None;
    }

    private static int Slot(ReadOnlySpan<byte> text) => ((text[0] | 0x20) + ((text[1] | 0x20) * 7) + ((text[2] | 0x20) * 31)) & (Slots - 1);

    private static Entry[]?[] MakeTable()
    {
        var table = new Entry[]?[Slots];
        foreach (var slot in Spellings
            .Select(pair => new Entry(Encoding.ASCII.GetBytes(pair.Spelling), pair.Key))
            .OrderByDescending(entry => entry.Bytes.Length)
            .GroupBy(entry => Slot(entry.Bytes)))
        {
            table[slot.Key] = [.. slot];
        }

        return table;
    }

    private sealed record Entry(byte[] Bytes, ClaimKey Key);
}
