// SPDX-License-Identifier: MIT
using Fumecast.Heat;
using Fumecast.Motion;

namespace Fumecast.Machine;

/// <summary>A printer as far as time and temperature depend on it. Loaded from a data file; see <c>Data/printers</c>.</summary>
internal sealed record PrinterProfile
{
    /// <summary>Id of ours, or the file's name.</summary>
    public required string Id { get; init; }

    /// <summary>One line that says what kind of printer it stands for.</summary>
    public required string Description { get; init; }

    /// <summary>How its firmware reads G-code.</summary>
    public required DialectSettings Dialect { get; init; }

    /// <summary>Makes the limits in force at the start of a job; a new instance each time, since a job changes them.</summary>
    public required Func<MotionLimits> StartLimits { get; init; }

    /// <summary>Moves the planner can look ahead, or null for no limit [-].</summary>
    public int? LookaheadBlocks { get; init; }

    /// <summary>Filament diameter [mm].</summary>
    public double FilamentDiameterMm { get; init; } = 1.75;

    /// <summary>Usable bed along X [mm].</summary>
    public double BedXMm { get; init; } = 220;

    /// <summary>Usable bed along Y [mm].</summary>
    public double BedYMm { get; init; } = 220;

    /// <summary>Usable height [mm].</summary>
    public double HeightMm { get; init; } = 240;

    /// <summary>Time to home all axes [s].</summary>
    public double HomingS { get; init; }

    /// <summary>Time to probe the bed [s].</summary>
    public double ProbeS { get; init; }

    /// <summary>Time of a tool change [s].</summary>
    public double ToolChangeS { get; init; }

    /// <summary>Machine time of a filament change, without the person's [s].</summary>
    public double FilamentChangeS { get; init; } = 60;

    /// <summary>Assumed time until a person reacts to a pause; reported apart, never in the total [s].</summary>
    public double PersonS { get; init; } = 300;

    /// <summary>Firmware retraction.</summary>
    public FirmwareRetraction Retraction { get; init; } = new();

    /// <summary>The nozzle heater, the same for each tool.</summary>
    public required HeaterModel Nozzle { get; init; }

    /// <summary>The bed heater.</summary>
    public required HeaterModel Bed { get; init; }

    /// <summary>When a wait for a temperature ends.</summary>
    public WaitRule Wait { get; init; }

    /// <summary>Window around the target that starts the residency clock or counts as settled; the band of <see cref="WaitRule.Band"/> [K].</summary>
    public double WaitWindowK { get; init; } = 1;

    /// <summary>Residency or settling time [s].</summary>
    public double WaitS { get; init; } = 10;

    /// <summary>Targets below this are not waited for, for <see cref="WaitRule.Band"/> [degC].</summary>
    public double WaitMinTargetC { get; init; }

    /// <summary>Filament is not fed below this nozzle temperature [degC].</summary>
    public double ColdLimitC { get; init; } = 170;

    /// <summary>Highest nozzle temperature that is plausible [degC].</summary>
    public double MaxNozzleC { get; init; } = 320;

    /// <summary>Air around the printer [degC].</summary>
    public double AmbientC { get; init; } = 23;

    /// <summary>Meanings of macros by name in upper case.</summary>
    public IReadOnlyDictionary<string, MacroMeaning> Macros { get; init; } = new Dictionary<string, MacroMeaning>();
}

/// <summary>Retraction by command (G10, G11), as set in the firmware.</summary>
internal sealed record FirmwareRetraction
{
    /// <summary>Length [mm].</summary>
    public double LengthMm { get; init; } = 3;

    /// <summary>Speed of the retraction [mm/s].</summary>
    public double SpeedMmPerS { get; init; } = 45;

    /// <summary>Speed of the recovery [mm/s].</summary>
    public double RecoverSpeedMmPerS { get; init; } = 8;

    /// <summary>Extra length of the recovery [mm].</summary>
    public double ExtraMm { get; init; }

    /// <summary>Lift of the nozzle [mm].</summary>
    public double LiftMm { get; init; }
}

/// <summary>What a macro does: lines to run instead, or a summary.</summary>
internal sealed record MacroMeaning
{
    /// <summary>Lines of G-code with <c>{KEY}</c> or <c>{KEY|default}</c> filled in from the call; empty for a summary.</summary>
    public IReadOnlyList<string> Lines { get; init; } = [];

    /// <summary>Duration of a summary [s].</summary>
    public double DurationS { get; init; }

    /// <summary>Nozzle temperature at its end, as a number or <c>{KEY}</c> [degC]; null for no change.</summary>
    public string? NozzleC { get; init; }

    /// <summary>Bed temperature at its end, as a number or <c>{KEY}</c> [degC]; null for no change.</summary>
    public string? BedC { get; init; }

    /// <summary>Volume purged [mm3].</summary>
    public double PurgeMm3 { get; init; }
}
