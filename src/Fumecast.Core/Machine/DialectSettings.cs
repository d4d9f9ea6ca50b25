// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>How absolute and relative filament positions are chosen.</summary>
internal enum EModeRule
{
    /// <summary>The last of G90, G91, M82, M83 decides.</summary>
    LastWins,

    /// <summary>Relative if either G91 or M83 is in force.</summary>
    EitherRelative,

    /// <summary>Only M82 and M83 count.</summary>
    Independent,
}

/// <summary>What an absolute E is counted from after a tool change.</summary>
internal enum EAcrossToolsRule
{
    /// <summary>One position for all tools: it goes on from where the tool before left it.</summary>
    OneForAll,

    /// <summary>One position for each tool: it goes on from where this tool left it.</summary>
    PerTool,

    /// <summary>A tool that is taken up starts at 0.</summary>
    FromZero,
}

/// <summary>What inches apply to.</summary>
internal enum InchScope
{
    /// <summary>All lengths, speeds and accelerations.</summary>
    All,

    /// <summary>Moves and positions only.</summary>
    Motion,

    /// <summary>Inches do not exist.</summary>
    None,
}

/// <summary>Which parameters of M204 are heard.</summary>
internal enum M204Rule
{
    /// <summary>P printing, T travel, R retraction, S both P and T.</summary>
    PrintTravelRetract,

    /// <summary>S, or the smaller of P and T when both are given; one alone does nothing.</summary>
    SOrSmallerOfBoth,

    /// <summary>P printing, T travel, S both.</summary>
    PrintTravel,

    /// <summary>Older form: S printing, T retraction.</summary>
    SPrintTRetract,
}

/// <summary>What G10 means.</summary>
internal enum G10Rule
{
    /// <summary>Retraction.</summary>
    Retract,

    /// <summary>Retraction without P and L, else temperatures or offsets.</summary>
    ByParameters,

    /// <summary>Coordinate offsets.</summary>
    Offsets,
}

/// <summary>What M0 and M1 do.</summary>
internal enum M0Rule
{
    /// <summary>Wait for a person.</summary>
    Pause,

    /// <summary>End the job, heaters off.</summary>
    End,

    /// <summary>Nothing; the command is unknown.</summary>
    Unknown,
}

/// <summary>Which word counts when a letter stands twice in one command.</summary>
internal enum RepeatedLetterRule
{
    /// <summary>The last.</summary>
    Last,

    /// <summary>The first.</summary>
    First,

    /// <summary>None: the line is an error.</summary>
    Refused,
}

/// <summary>When a wait for a temperature ends.</summary>
internal enum WaitRule
{
    /// <summary>Within a window, then a residency time inside a wider one.</summary>
    Residency,

    /// <summary>As soon as the reading is within a band; never for targets below a limit.</summary>
    Band,

    /// <summary>When the controller calls it settled, also while cooling.</summary>
    Settle,
}

/// <summary>Every point where firmware families read the same command differently.</summary>
/// <remarks>Source of the list and of the four families' values: the public documentation of the families, summarised in DEVELOPERS.md, "Dialects".</remarks>
internal sealed record DialectSettings
{
    /// <summary>Descriptive name of ours.</summary>
    public required string Id { get; init; }

    /// <summary>How filament positions become relative.</summary>
    public EModeRule EMode { get; init; }

    /// <summary>What an absolute E is counted from after a tool change.</summary>
    public EAcrossToolsRule EAcrossTools { get; init; }

    /// <summary>Seconds per unit of G4 P: 0.001 or 1 [s].</summary>
    public double G4PUnitS { get; init; } = 0.001;

    /// <summary>Whether G0 runs at the machine's highest speed instead of F.</summary>
    public bool G0AtMaximum { get; init; }

    /// <summary>Speed before any F [mm/min]; null when a move without F is an error.</summary>
    public double? DefaultFeedMmPerMin { get; init; } = 1500;

    /// <summary>What inches apply to.</summary>
    public InchScope Inches { get; init; }

    /// <summary>Whether M203 is in mm/min instead of mm/s.</summary>
    public bool M203PerMinute { get; init; }

    /// <summary>Whether limits set by M201, M203, M204, M205 are heard at all.</summary>
    public bool HearsLimitCommands { get; init; } = true;

    /// <summary>Which parameters of M204 are heard.</summary>
    public M204Rule M204 { get; init; }

    /// <summary>Whether M208 sets axis limits instead of the recover length.</summary>
    public bool M208IsAxisLimits { get; init; }

    /// <summary>What G10 means.</summary>
    public G10Rule G10 { get; init; }

    /// <summary>What M0 and M1 do.</summary>
    public M0Rule M0 { get; init; }

    /// <summary>Whether M30 ends the job instead of deleting a file.</summary>
    public bool M30EndsJob { get; init; }

    /// <summary>Whether M226 is a pause instead of a wait for a pin.</summary>
    public bool M226IsPause { get; init; }

    /// <summary>Whether a fan value of at most 1 means the full share (S1 is full speed).</summary>
    public bool FanSharesUpToOne { get; init; }

    /// <summary>Whether S waits of M109/M190 also wait while cooling.</summary>
    public bool SWaitsWhileCooling { get; init; }

    /// <summary>Which word counts when a letter stands twice in one command.</summary>
    public RepeatedLetterRule RepeatedLetter { get; init; }

    /// <summary>Whether all commands of a line run instead of the first only.</summary>
    public bool RunsAllCommandsOfALine { get; init; }

    /// <summary>Whether a line of parameters repeats the motion in force.</summary>
    public bool RepeatsMotion { get; init; }

    /// <summary>Longest piece of an arc [mm]; 0 when <see cref="ArcToleranceMm"/> decides.</summary>
    public double ArcSegmentMm { get; init; } = 1;

    /// <summary>Greatest distance of a chord from its arc [mm]; 0 when <see cref="ArcSegmentMm"/> decides.</summary>
    public double ArcToleranceMm { get; init; }

    /// <summary>Whether M109 also makes its tool the active one.</summary>
    public bool M109SelectsTool { get; init; }

    /// <summary>Whether a job that turns to limits of jerk (M205 X or Y) lets moves start and end at rest with the jerk speed.</summary>
    public bool M205JerkAtRest { get; init; }

    /// <summary>Whether M566 sets the jerk in mm/min.</summary>
    public bool M566SetsJerk { get; init; }

    /// <summary>Whether other letters than E feed filament (A, B, C as extruder axes of older machines).</summary>
    public bool AlternativeExtruderAxes { get; init; } = true;
}
