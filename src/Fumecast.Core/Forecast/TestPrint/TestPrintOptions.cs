// SPDX-License-Identifier: MIT
using Fumecast.Flow;

namespace Fumecast.Forecast.TestPrint;

/// <summary>What a test print for emission trials shall do. Absent means: from the printer profile, the material, or common practice.</summary>
public sealed record TestPrintOptions
{
    /// <summary>What is printed: the id of a material of ours, such as <c>petg</c>, or the path of a file.</summary>
    public required string Material { get; init; }

    /// <summary>Volumetric flow throughout the print phase [mm3/s], over 0.</summary>
    public required double FlowMm3PerS { get; init; }

    /// <summary>Length of the print phase, without heating and the phases around it [s], over 0.</summary>
    public required double DurationS { get; init; }

    /// <summary>Printer profile: an id of ours or a file; null takes the default one.</summary>
    public string? Printer { get; init; }

    /// <summary>Nozzle temperature; null takes the middle of what is usual for the material [degC].</summary>
    public double? NozzleC { get; init; }

    /// <summary>Bed temperature, 0 for a cold bed; null takes one a little below the glass transition (common practice, no source) [degC].</summary>
    public double? BedC { get; init; }

    /// <summary>Whether temperatures far outside what is usual for the material are meant: too hot a material decomposes, and gives off much more.</summary>
    public bool BeyondRange { get; init; }

    /// <summary>Layer height [mm]. The default is common practice for a 0.4 mm nozzle.</summary>
    public double LayerMm { get; init; } = 0.2;

    /// <summary>Width of a strand [mm]. The default is common practice for a 0.4 mm nozzle.</summary>
    public double WidthMm { get; init; } = 0.45;

    /// <summary>Part fan throughout the print phase, 0 to 1 [-].</summary>
    public double FanShare { get; init; }

    /// <summary>Speed of the first layer, or null to choose one [mm/s].</summary>
    public double? FirstLayerMmPerS { get; init; }

    /// <summary>Length of the phase before heating, with the printer on and its heaters off [s].</summary>
    public double BackgroundS { get; init; } = 1800;

    /// <summary>Length of the wait with the nozzle hot before the print, in which residue in the nozzle evaporates [s].</summary>
    public double PurgeS { get; init; }

    /// <summary>Length of the phase after printing, with the heaters off [s].</summary>
    public double DecayS { get; init; } = 3600;

    /// <summary>Whether filament is counted relatively instead of in absolute positions.</summary>
    public bool RelativeE { get; init; }

    /// <summary>Filament diameter, or null for the profile's [mm].</summary>
    public double? FilamentDiameterMm { get; init; }

    /// <summary>Time constant of the air that the print is judged by [s], over 0.</summary>
    public double AirTimeS { get; init; } = RoomSmoothing.TimeConstantS;
}

/// <summary>A test print that was written and passed its own check.</summary>
/// <param name="Plan">Its geometry.</param>
/// <param name="Estimate">What it gives off and how even it is, found in the written print.</param>
public sealed record TestPrintOutcome(TestPrintPlan Plan, JobEstimate Estimate);
