// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>The four firmware families, each as one set of <see cref="DialectSettings"/>. A profile names one and may override single settings.</summary>
/// <remarks>
/// Source of every value: the families' public documentation as summarised in the gcode reference, 2.9, except where a comment says
/// otherwise. The names are ours and describe how a family works.
/// </remarks>
internal static class Dialects
{
    /// <summary>One controller runs everything; numbered commands; the last of G90, G91, M82, M83 decides how E is read.</summary>
    public static DialectSettings NumberedCommands { get; } = new()
    {
        Id = "numbered-commands",
        EMode = EModeRule.LastWins,
        // From memory: the controller keeps one position of E.
        EAcrossTools = EAcrossToolsRule.OneForAll,
        G4PUnitS = 0.001,
        G0AtMaximum = false,
        DefaultFeedMmPerMin = 1500,
        Inches = InchScope.All,
        M203PerMinute = false,
        HearsLimitCommands = true,
        M204 = M204Rule.PrintTravelRetract,
        M208IsAxisLimits = false,
        G10 = G10Rule.Retract,
        M0 = M0Rule.Pause,
        M30EndsJob = false,
        M226IsPause = false,
        FanSharesUpToOne = false,
        SWaitsWhileCooling = false,
        // From memory: words are noted as they come, so that a later one replaces the one before.
        RepeatedLetter = RepeatedLetterRule.Last,
        RunsAllCommandsOfALine = false,
        RepeatsMotion = false,
        ArcSegmentMm = 1,
        ArcToleranceMm = 0,
        M109SelectsTool = false,
        // Changes below the jerk are instantaneous in the family's classic planner, at rest too (gcode reference, 4.4).
        M205JerkAtRest = true,
        M566SetsJerk = false,
        // A and B as further filaments: from memory, for older machines with two nozzles.
        AlternativeExtruderAxes = true,
    };

    /// <summary>Descended from machine tools: strict modal groups, dwell in seconds, arcs by the tolerance of the chord.</summary>
    public static DialectSettings MachineTool { get; } = new()
    {
        Id = "machine-tool",
        EMode = EModeRule.LastWins,
        // E is an axis like any other.
        EAcrossTools = EAcrossToolsRule.OneForAll,
        G4PUnitS = 1,
        G0AtMaximum = true,
        DefaultFeedMmPerMin = null,
        Inches = InchScope.All,
        HearsLimitCommands = false,
        G10 = G10Rule.Offsets,
        M0 = M0Rule.End,
        M30EndsJob = true,
        // NIST RS274NGC, version 3, 3.3.6 and the gcode reference, 1.
        RepeatedLetter = RepeatedLetterRule.Refused,
        RunsAllCommandsOfALine = true,
        RepeatsMotion = true,
        ArcSegmentMm = 0,
        ArcToleranceMm = 0.002,
        // A, B and C turn things on a machine tool.
        AlternativeExtruderAxes = false,
    };

    /// <summary>A host computer plans; macros and commands with NAME=VALUE; relative when either G91 or M83 says so.</summary>
    public static DialectSettings NamedMacros { get; } = new()
    {
        Id = "named-macros",
        EMode = EModeRule.EitherRelative,
        // From memory: taking up an extruder sets its E to 0.
        EAcrossTools = EAcrossToolsRule.FromZero,
        G4PUnitS = 0.001,
        G0AtMaximum = false,
        DefaultFeedMmPerMin = 1500,
        Inches = InchScope.None,
        // M204 is heard all the same, by its own rule.
        HearsLimitCommands = false,
        M204 = M204Rule.SOrSmallerOfBoth,
        G10 = G10Rule.Retract,
        M0 = M0Rule.Unknown,
        SWaitsWhileCooling = true,
        // From memory: the words go into a table by letter.
        RepeatedLetter = RepeatedLetterRule.Last,
        ArcSegmentMm = 1,
        AlternativeExtruderAxes = false,
    };

    /// <summary>One board configured by G-code itself: M203 and M566 in mm/min, G10 for tool temperatures, macro files behind commands.</summary>
    public static DialectSettings BoardConfigured { get; } = new()
    {
        Id = "board-configured",
        EMode = EModeRule.Independent,
        // From memory: one position of E, whatever the number of motors behind it.
        EAcrossTools = EAcrossToolsRule.OneForAll,
        G4PUnitS = 0.001,
        G0AtMaximum = false,
        DefaultFeedMmPerMin = 3000,
        Inches = InchScope.Motion,
        M203PerMinute = true,
        HearsLimitCommands = true,
        M204 = M204Rule.PrintTravel,
        M208IsAxisLimits = true,
        G10 = G10Rule.ByParameters,
        M0 = M0Rule.End,
        M30EndsJob = false,
        M226IsPause = true,
        FanSharesUpToOne = true,
        SWaitsWhileCooling = false,
        // From memory: each letter is searched from the start of the line.
        RepeatedLetter = RepeatedLetterRule.First,
        RunsAllCommandsOfALine = true,
        RepeatsMotion = false,
        ArcSegmentMm = 1,
        M109SelectsTool = true,
        M566SetsJerk = true,
        AlternativeExtruderAxes = false,
    };

    /// <summary>All four.</summary>
    public static IReadOnlyList<DialectSettings> All { get; } = [NumberedCommands, MachineTool, NamedMacros, BoardConfigured];

    /// <summary>The dialect of an id, or null when there is none.</summary>
    /// <param name="id">The id, such as <c>named-macros</c>.</param>
    public static DialectSettings? Find(string id) => All.FirstOrDefault(dialect => dialect.Id == id);
}
