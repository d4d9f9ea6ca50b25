// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.GCode;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>What one job will give off: the result of the front door.</summary>
public sealed record JobEstimate
{
    /// <summary>What was read and simulated.</summary>
    public required JobSummary Job { get; init; }

    /// <summary>Whether filament is fed and the nozzle is never hot enough to give off anything: such a job prints nothing either, and its zeros say nothing about the air.</summary>
    internal bool IsFedCold => Flow.PrintPhaseS is not null && Emission.All(static agent => !(agent.Total.High > 0));

    /// <summary>The materials that are laid down, each once.</summary>
    internal IReadOnlyList<Material> Materials { get; init; } = [];

    /// <summary>How even the flow is.</summary>
    public required FlowEvenness Flow { get; init; }

    /// <summary>Emission by agent: particle number, particle mass, TVOC, then species.</summary>
    public required IReadOnlyList<AgentEmission> Emission { get; init; }

    /// <summary>Coverage of all intervals, over 0 and below 1 [-].</summary>
    public required double Interval { get; init; }

    /// <summary>Choices the result rests on: options, values from comments, defaults, ambiguities of the dialect.</summary>
    public required IReadOnlyList<ResolvedSetting> Settings { get; init; }

    /// <summary>What was found while reading.</summary>
    public required IReadOnlyList<Diagnostic> Diagnostics { get; init; }

    /// <summary>The sources of the figures used.</summary>
    public required IReadOnlyList<SourceReference> Sources { get; init; }

    /// <summary>The cautions to show with any result.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }

    /// <summary>The job and what it gives off of each agent, with units and intervals, one line each.</summary>
    public override string ToString() => string.Join('\n', [Job.File, .. Emission.Select(static agent => $"{agent.Agent.Name}: {agent}")]);
}

/// <summary>What was read and simulated.</summary>
public sealed record JobSummary
{
    /// <summary>File as the user named it.</summary>
    public required string File { get; init; }

    /// <summary>G-code bytes read, after decompression [-].</summary>
    public required long Bytes { get; init; }

    /// <summary>Lines read [-].</summary>
    public required long Lines { get; init; }

    /// <summary>Commands read [-].</summary>
    public required long Commands { get; init; }

    /// <summary>Commands that fed filament forward while the nozzle moved [-].</summary>
    public required long ExtrudingMoves { get; init; }

    /// <summary>Layers, from marks in comments or else from the heights of deposits [-].</summary>
    public required long Layers { get; init; }

    /// <summary>Id of the printer profile.</summary>
    public required string Printer { get; init; }

    /// <summary>Name of the dialect.</summary>
    public required string Dialect { get; init; }

    /// <summary>Where the time goes.</summary>
    public required JobTime Time { get; init; }

    /// <summary>What each tool did.</summary>
    public required IReadOnlyList<ToolSummary> Tools { get; init; }

    /// <summary>The materials of all tools, each once, with blanks between them.</summary>
    internal string MaterialNames => string.Join(' ', Tools.Select(static tool => tool.Material).Distinct());

    /// <summary>What the file's comments claim.</summary>
    public required JobClaims Claims { get; init; }
}

/// <summary>Where the time of a job goes [s each].</summary>
public sealed record JobTime
{
    /// <summary>Sum of all but waiting for a person [s].</summary>
    public required double TotalS { get; init; }

    /// <summary>Moving [s].</summary>
    public required double MotionS { get; init; }

    /// <summary>Waiting for heaters [s].</summary>
    public required double HeatingS { get; init; }

    /// <summary>Commanded pauses [s].</summary>
    public required double DwellS { get; init; }

    /// <summary>Homing and probing [s].</summary>
    public required double HomingS { get; init; }

    /// <summary>Changing tools [s].</summary>
    public required double ToolChangeS { get; init; }

    /// <summary>Macros whose duration the profile states [s].</summary>
    public required double MacroS { get; init; }

    /// <summary>Assumed waiting for a person; not part of the total [s].</summary>
    public required double WaitingForPersonS { get; init; }
}

/// <summary>What one tool did.</summary>
public sealed record ToolSummary
{
    /// <summary>The tool's number [-].</summary>
    public required int Tool { get; init; }

    /// <summary>Id of its material.</summary>
    public required string Material { get; init; }

    /// <summary>Id of the material that the comments state, whatever is taken; null where they name none of ours.</summary>
    internal string? StatedMaterial { get; init; }

    /// <summary>Net filament fed [mm].</summary>
    public required double FedMm { get; init; }

    /// <summary>Filament that left the nozzle: the high-water mark of the feed [mm].</summary>
    public required double DepositedMm { get; init; }

    /// <summary>Volume of it [mm3].</summary>
    public required double DepositedMm3 { get; init; }

    /// <summary>Mass of it [g].</summary>
    public required double DepositedG { get; init; }

    /// <summary>Of it, fed with the nozzle still (priming, purging) [mm].</summary>
    public required double PurgedMm { get; init; }

    /// <summary>Lowest nozzle temperature while extruding, or null if it never did [degC].</summary>
    public double? NozzleMinC { get; init; }

    /// <summary>Highest nozzle temperature while extruding, or null if it never did [degC].</summary>
    public double? NozzleMaxC { get; init; }

    /// <summary>Mean nozzle temperature while extruding, weighted by deposit, or null if it never did [degC].</summary>
    public double? NozzleMeanWhileExtrudingC { get; init; }
}

/// <summary>What the file's comments claim; null where they do not say.</summary>
public sealed record JobClaims
{
    /// <summary>Print time [s].</summary>
    public double? TimeS { get; init; }

    /// <summary>Filament length [mm].</summary>
    public double? FilamentMm { get; init; }

    /// <summary>Filament mass [g].</summary>
    public double? FilamentG { get; init; }

    /// <summary>Material as written.</summary>
    public string? Material { get; init; }
}

/// <summary>A choice the result rests on.</summary>
/// <param name="Setting">What was chosen, in words or as the name of a setting.</param>
/// <param name="Value">The choice.</param>
/// <param name="Because">Why: an option, a comment, a default, the profile.</param>
/// <param name="Line">First line where it mattered, 1-based; null when it has no place.</param>
/// <param name="Overrides">What the file states instead and was not followed; null where it states nothing else.</param>
public sealed record ResolvedSetting(string Setting, string Value, string Because, long? Line = null, OverriddenStatement? Overrides = null);

/// <summary>What a file states and an option overrode.</summary>
/// <param name="Stated">What the file states, in its own word or with its unit.</param>
/// <param name="Line">Line where it does, 1-based; null when the place is not known.</param>
public sealed record OverriddenStatement(string Stated, long? Line);
