// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>What the interpreter keeps of one tool: its filament, how its E is read, and what was said of its nozzle.</summary>
/// <param name="number">The tool [-].</param>
/// <param name="diameterMm">Diameter of its filament [mm].</param>
/// <param name="isVolumetric">Whether its E counts cubic millimetres from the start.</param>
internal sealed class ToolState(int number, double diameterMm, bool isVolumetric)
{
    /// <summary>What was fed and deposited; a field, since it is a struct that changes in place.</summary>
    public FilamentBook Book;

    /// <summary>The tool [-].</summary>
    public int Number { get; } = number;

    /// <summary>Diameter of the filament [mm].</summary>
    public double DiameterMm { get; } = diameterMm;

    /// <summary>Section of the filament [mm2].</summary>
    public double AreaMm2 { get; } = Area(diameterMm);

    /// <summary>Where the job takes E to be, in its own unit of length or volume made metric.</summary>
    public double LogicalE { get; set; }

    /// <summary>Factor on what is fed [-].</summary>
    public double FlowFactor { get; set; } = 1;

    /// <summary>Filament for one of E: 1, or less where E counts cubic millimetres [mm].</summary>
    public double MmPerE { get; private set; } = isVolumetric ? 1 / Area(diameterMm) : 1;

    /// <summary>Whether a firmware retraction is waiting for its recovery.</summary>
    public bool IsRetracted { get; set; }

    /// <summary>Whether it ever fed.</summary>
    public bool IsUsed { get; set; }

    /// <summary>Whether its nozzle was ever given a target, or another tool's is shared.</summary>
    public bool HasNozzle { get; set; }

    /// <summary>Whether its nozzle was ever given a target for printing.</summary>
    public bool NozzleWasCommanded { get; set; }

    /// <summary>Lets E count cubic millimetres, or millimetres.</summary>
    /// <param name="on">Whether cubic.</param>
    /// <param name="statedDiameterMm">The diameter by which the firmware feeds them, 0 or less for the filament's own [mm].</param>
    public void CountVolume(bool on, double statedDiameterMm)
    {
        // The firmware feeds E over the area of its D; the volume follows from the real filament.
        MmPerE = on ? 1 / (statedDiameterMm > 0 ? Area(statedDiameterMm) : AreaMm2) : 1;
    }

    private static double Area(double diameterMm) => Math.PI * diameterMm * diameterMm / 4;
}
