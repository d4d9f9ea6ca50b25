// SPDX-License-Identifier: MIT
using Fumecast.Flow;

namespace Fumecast.Machine;

/// <summary>What a simulated print amounts to, once the whole job has run.</summary>
internal sealed record SimulatedPrint
{
    /// <summary>Moving [s].</summary>
    public required double MotionS { get; init; }

    /// <summary>Waiting for heaters [s].</summary>
    public required double HeatingS { get; init; }

    /// <summary>Commanded pauses [s].</summary>
    public required double DwellS { get; init; }

    /// <summary>Homing and probing [s].</summary>
    public required double HomingS { get; init; }

    /// <summary>Changing tools or filament, machine time only [s].</summary>
    public required double ToolChangeS { get; init; }

    /// <summary>Macros whose duration the profile states [s].</summary>
    public required double MacroS { get; init; }

    /// <summary>Assumed waiting for a person, not in the total [s].</summary>
    public required double WaitingForPersonS { get; init; }

    /// <summary>Whole duration: all of the above but waiting for a person [s].</summary>
    public required double TotalS { get; init; }

    /// <summary>Commands that fed filament forward while the nozzle moved [-].</summary>
    public required long ExtrudingMoves { get; init; }

    /// <summary>Rises of the nozzle between deposits of the object, as a count of layers where comments mark none [-].</summary>
    public required long LayersByHeight { get; init; }

    /// <summary>The tools that were selected or fed, in order of their number.</summary>
    public required IReadOnlyList<SimulatedTool> Tools { get; init; }

    /// <summary>Ambiguities that were resolved and values that were assumed, each with the first line where it mattered.</summary>
    public required IReadOnlyList<ResolvedChoice> Choices { get; init; }

    /// <summary>Whether a command of the job sets a nozzle temperature for printing.</summary>
    public required bool StatesNozzle { get; init; }

    /// <summary>The job's own set points for printing where the caller's temperature replaced them; null where none differed.</summary>
    public NozzleSetPoints? ReplacedNozzle { get; init; }

    /// <summary>The flow over the print phase.</summary>
    public required EvennessAccumulator Evenness { get; init; }

    /// <summary>Share of the E words of printing moves that step down although E is absolute, 0 to 1: large where E is relative in truth [-].</summary>
    public required double BackwardShareOfE { get; init; }

    /// <summary>Share of the E words of printing moves that repeat the one before although E is absolute, 0 to 1: large where E is relative and the moves alike [-].</summary>
    public required double StandingShareOfE { get; init; }

    /// <summary>Whether M82 or M83 (or their like) ever said how E is meant.</summary>
    public required bool StatesEMode { get; init; }

    /// <summary>The first M83 that a G90 undid, and what E did after that; null where none was.</summary>
    public UndoneRelativeE? UndoneRelativeE { get; init; }

    /// <summary>Whether the job ends in the middle of printing: the nozzle stays hot, and nothing that ends a job follows the last deposit.</summary>
    public bool EndsWhilePrinting { get; init; }

    /// <summary>Whether E was taken as relative from the start.</summary>
    public required bool RelativeEFromStart { get; init; }
}

/// <summary>What one tool did.</summary>
/// <param name="Tool">Its number [-].</param>
/// <param name="FedMm">Net filament fed [mm].</param>
/// <param name="DepositedMm">Filament deposited, by the high-water rule [mm].</param>
/// <param name="DepositedMm3">Its volume [mm3].</param>
/// <param name="PurgedMm">The part deposited with the nozzle still [mm].</param>
/// <param name="DiameterMm">Diameter of the filament [mm].</param>
/// <param name="Heat">How hot it was.</param>
internal sealed record SimulatedTool(
    int Tool, double FedMm, double DepositedMm, double DepositedMm3, double PurgedMm, double DiameterMm, ToolRecord Heat);

/// <summary>Nozzle temperatures that a job sets for printing.</summary>
/// <param name="LowestC">Lowest [degC].</param>
/// <param name="HighestC">Highest [degC].</param>
/// <param name="Line">Line of the first, 1-based [-].</param>
internal sealed record NozzleSetPoints(double LowestC, double HighestC, long Line);

/// <summary>An M83 that no longer holds after a G90, where the last command of both decides how E is read.</summary>
/// <param name="StatedLine">Line of the M83, 1-based [-].</param>
/// <param name="UndoneLine">Line of the G90, 1-based [-].</param>
/// <param name="UndoneColumn">Column of the G90, 1-based [-].</param>
/// <param name="EWords">E words of printing moves after it, until M82 or M83 says anew [-].</param>
/// <param name="BackwardEWords">Those of them that step down [-].</param>
/// <param name="StandingEWords">Those that repeat the one before [-].</param>
internal sealed record UndoneRelativeE(long StatedLine, long UndoneLine, int UndoneColumn, long EWords, long BackwardEWords, long StandingEWords);

/// <summary>An ambiguity that was resolved, or a value that was assumed.</summary>
/// <param name="Setting">What.</param>
/// <param name="Value">How.</param>
/// <param name="Because">Why.</param>
/// <param name="Line">First line where it mattered, 1-based; 0 when it has no place [-].</param>
internal sealed record ResolvedChoice(string Setting, string Value, string Because, long Line);
