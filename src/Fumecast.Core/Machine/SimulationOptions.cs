// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>What the caller decides about a simulated print.</summary>
internal sealed record SimulationOptions
{
    /// <summary>Most tools a job may use; higher numbers are refused [-].</summary>
    public const int MaxTools = 32;

    /// <summary>Diameter of each tool's filament, by tool; missing ones take the profile's [mm].</summary>
    public IReadOnlyList<double> FilamentDiameterMm { get; init; } = [];

    /// <summary>Heat that each tool's filament takes up, by tool [J/(K mm3)].</summary>
    public IReadOnlyList<double> FilamentHeatJPerKMm3 { get; init; } = [];

    /// <summary>Length of a bin of the series [s]; over 0.</summary>
    public double BinS { get; init; } = 10;

    /// <summary>Most bins that the job may have [-]; a pause that would make more ends it at once.</summary>
    public long MostBins { get; init; } = long.MaxValue;

    /// <summary>The meter's logging interval, for the evenness of flow [s]; over 0.</summary>
    public double MeterIntervalS { get; init; } = 10;

    /// <summary>Nozzle temperature to print at instead of the job's; preheating below the cold limit stays [degC].</summary>
    public double? NozzleC { get; init; }

    /// <summary>Shift of the job's printing temperatures [K].</summary>
    public double NozzleShiftK { get; init; }

    /// <summary>Nozzle temperature for a job that never commands one, such as from its comments [degC].</summary>
    public double? NozzleIfUncommandedC { get; init; }

    /// <summary>Factor on all commanded speeds [-]; over 0.</summary>
    public double SpeedFactor { get; init; } = 1;

    /// <summary>Whether E counts cubic millimetres from the start, as some files announce in a comment only.</summary>
    public bool VolumetricE { get; init; }

    /// <summary>Whether E is relative from the start, as where only a start macro says so.</summary>
    public bool RelativeE { get; init; }
}
