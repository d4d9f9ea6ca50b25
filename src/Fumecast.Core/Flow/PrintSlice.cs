// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>A short stretch of time (at most a second) of one tool: what it deposited and how hot it was.</summary>
/// <remarks>
/// Slices of the active tool are contiguous in time and cover the whole job; a tool that waits hot beside it has slices of its
/// own with no deposit. Start is included, end is not. The sum of the deposits is the job's total to rounding.
/// </remarks>
internal struct PrintSlice
{
    /// <summary>Start since the beginning of the job [s].</summary>
    public double StartS;

    /// <summary>Length, over 0 and at most 1 [s].</summary>
    public double DurationS;

    /// <summary>Newly deposited volume [mm3].</summary>
    public double DepositedMm3;

    /// <summary>Time with deposition [s], 0 to <see cref="DurationS"/>.</summary>
    public double ExtrudingS;

    /// <summary>Mean nozzle temperature [degC].</summary>
    public double NozzleC;

    /// <summary>The tool [-].</summary>
    public int Tool;

    /// <summary>Its nozzle, which other tools may share [-].</summary>
    public int Nozzle;

    /// <summary>Whether the tool is the active one; others only idle.</summary>
    public bool IsActiveTool;

    /// <summary>Whether the job's first deposit lies before the end of this slice.</summary>
    public bool HasStarted;
}
