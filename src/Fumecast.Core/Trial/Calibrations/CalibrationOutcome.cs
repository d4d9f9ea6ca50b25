// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>What is asked of a calibration.</summary>
public sealed record CalibrationOptions
{
    /// <summary>Names of the runs that are taken, at least one, each once.</summary>
    public required IReadOnlyList<string> Runs { get; init; }

    /// <summary>The quantity of the meter: <c>pm1 pm25 pm4 pm10 number tvoc</c>; a second of the same is <c>pm25#2</c>.</summary>
    public required string Quantity { get; init; }

    /// <summary>Id of the new material; null for <c>my-</c> before that of the base.</summary>
    public string? Id { get; init; }

    /// <summary>How the trial is evaluated. A material of its jobs is the base, whatever the jobs say.</summary>
    public TrialOptions Trial { get; init; } = new();
}

/// <summary>A material with a figure of the user's own.</summary>
public sealed record CalibrationOutcome
{
    /// <summary>Coverage of all intervals [-].</summary>
    public required double Interval { get; init; }

    /// <summary>The notebook as it was named.</summary>
    public required string Notebook { get; init; }

    /// <summary>The quantity that was measured.</summary>
    public required string Quantity { get; init; }

    /// <summary>The factor that was replaced: <c>visible_mass</c>, <c>particle_number</c> or <c>tvoc</c>.</summary>
    public required string Factor { get; init; }

    /// <summary>Unit of amounts: <c>1</c> for counts, <c>ug</c> for masses.</summary>
    public required string Unit { get; init; }

    /// <summary>What each run showed.</summary>
    public required IReadOnlyList<CalibrationRun> Runs { get; init; }

    /// <summary>What the runs show together, for each gram of the first job, run to run included [<see cref="Unit"/>/g].</summary>
    public required Uncertain Measured { get; init; }

    /// <summary>Forecast for each gram of the first job by the base [<see cref="Unit"/>/g].</summary>
    public required Uncertain Before { get; init; }

    /// <summary>The same by the new material.</summary>
    public required Uncertain After { get; init; }

    /// <summary>Weight of the base's figure beside the runs, 0 to 1 [-].</summary>
    public required double WeightOfBase { get; init; }

    /// <summary>By how much the runs differ over what their intervals let expect; the spread was widened by it, 1 or more [-].</summary>
    public required double Disagreement { get; init; }

    /// <summary>The new yield at <see cref="AtC"/> [<see cref="Unit"/>/g].</summary>
    public required double YieldPerG { get; init; }

    /// <summary>Its geometric standard deviation [-].</summary>
    public required double Gsd { get; init; }

    /// <summary>Mean nozzle temperature while extruding, which it belongs to [degC].</summary>
    public required double AtC { get; init; }

    /// <summary>Id of the base.</summary>
    public required string Base { get; init; }

    /// <summary>The file that it was read from.</summary>
    public required string BaseFile { get; init; }

    /// <summary>Whether it has no figure of its own for the factor: then the sizes of its particles give one.</summary>
    public required bool BaseHasNoFigure { get; init; }

    /// <summary>Id of the new material.</summary>
    public required string Id { get; init; }

    /// <summary>The file of the new material.</summary>
    public required string Text { get; init; }

    /// <summary>What it holds for, and what it does not, one sentence each.</summary>
    public required IReadOnlyList<string> HoldsFor { get; init; }

    /// <summary>What was found while reading.</summary>
    public required IReadOnlyList<Diagnostic> Diagnostics { get; init; }

    /// <summary>The cautions to show with any result.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }
}

/// <summary>What one run showed.</summary>
/// <param name="Run">Its name.</param>
/// <param name="Start">When its job was started, by the clock of its log.</param>
/// <param name="PerG">For each gram of filament, by the fit alone.</param>
/// <param name="MassG">What the job lays down [g].</param>
/// <param name="NozzleC">Mean nozzle temperature while extruding [degC].</param>
/// <param name="Source">Id of the source that cites it in the file.</param>
/// <param name="Citation">The citation.</param>
public sealed record CalibrationRun(string Run, string Start, Uncertain PerG, double MassG, double NozzleC, string Source, string Citation);
