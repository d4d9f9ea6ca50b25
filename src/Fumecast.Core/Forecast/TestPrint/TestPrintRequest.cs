// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Machine;

namespace Fumecast.Forecast.TestPrint;

/// <summary>What a test print for emission trials shall do, with nothing left open. Limits, bed and filament diameter come from the printer profile.</summary>
internal sealed record TestPrintRequest
{
    /// <summary>The printer.</summary>
    public required PrinterProfile Printer { get; init; }

    /// <summary>Id of the material; written into the file so that it needs no option to be read again.</summary>
    public required string MaterialId { get; init; }

    /// <summary>Density of the solid filament [g/cm3].</summary>
    public required double DensityGPerCm3 { get; init; }

    /// <summary>Volumetric flow throughout the print phase [mm3/s].</summary>
    public required double FlowMm3PerS { get; init; }

    /// <summary>Length of the print phase, without heating and the phases around it [s].</summary>
    public required double DurationS { get; init; }

    /// <summary>Nozzle temperature, the same from the first layer to the last [degC].</summary>
    public required double NozzleC { get; init; }

    /// <summary>Bed temperature; 0 for a cold bed [degC].</summary>
    public required double BedC { get; init; }

    /// <summary>Layer height [mm].</summary>
    public required double LayerMm { get; init; }

    /// <summary>Width of a strand [mm].</summary>
    public required double WidthMm { get; init; }

    /// <summary>Part fan throughout the print phase, 0 to 1 [-].</summary>
    public required double FanShare { get; init; }

    /// <summary>Speed of the first layer, or null to choose one [mm/s].</summary>
    public required double? FirstLayerMmPerS { get; init; }

    /// <summary>Length of the phase before heating, with the printer on and its heaters off [s].</summary>
    public required double BackgroundS { get; init; }

    /// <summary>Length of the wait with the nozzle hot before the print, in which residue in the nozzle evaporates [s].</summary>
    public required double PurgeS { get; init; }

    /// <summary>Length of the phase after printing, with the heaters off [s].</summary>
    public required double DecayS { get; init; }

    /// <summary>Whether filament is counted relatively instead of in absolute positions.</summary>
    public required bool RelativeE { get; init; }

    /// <summary>Filament diameter, or null for the profile's [mm].</summary>
    public required double? FilamentDiameterMm { get; init; }

    /// <summary>Fills what the options leave open.</summary>
    public static TestPrintRequest Of(TestPrintOptions options, Material material, PrinterProfile printer) => new()
    {
        Printer = printer,
        MaterialId = material.Id,
        DensityGPerCm3 = material.DensityGPerCm3.Value,
        FlowMm3PerS = options.FlowMm3PerS,
        DurationS = options.DurationS,
        NozzleC = options.NozzleC ?? TestPrintDefaults.NozzleC(material),
        BedC = options.BedC ?? TestPrintDefaults.BedC(material),
        LayerMm = options.LayerMm,
        WidthMm = options.WidthMm,
        FanShare = options.FanShare,
        FirstLayerMmPerS = options.FirstLayerMmPerS,
        BackgroundS = options.BackgroundS,
        PurgeS = options.PurgeS,
        DecayS = options.DecayS,
        RelativeE = options.RelativeE,
        FilamentDiameterMm = options.FilamentDiameterMm,
    };
}
