// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Machine;

/// <summary>Reads the dialect of a profile: the name of a family, and single settings that differ from it.</summary>
internal static class DialectEntry
{
    /// <summary>Reads the key <c>dialect</c>: <c>family</c> and any settings.</summary>
    public static DialectSettings Read(YamlMap profile)
    {
        var map = profile.Map("dialect");
        var name = map.Text("family");
        var family = Dialects.Find(name);
        if (family is null)
        {
            family = Dialects.All[0];
            if (map.Has("family"))
            {
                map.Refuse("family", $"found '{name}'{Nearest.Hint(name, [.. Dialects.All.Select(dialect => dialect.Id)])}");
            }
        }

        var dialect = family with
        {
            EMode = map.OptionalChoice<EModeRule>("e_mode") ?? family.EMode,
            EAcrossTools = map.OptionalChoice<EAcrossToolsRule>("e_across_tools") ?? family.EAcrossTools,
            G4PUnitS = map.OptionalNumber("g4_p_unit", Quantity.Time, 0.001, 1) ?? family.G4PUnitS,
            G0AtMaximum = map.OptionalFlag("g0_at_maximum") ?? family.G0AtMaximum,
            DefaultFeedMmPerMin = map.OptionalNumber("default_feed", Quantity.Speed, 0.01, 1000) * 60 ?? family.DefaultFeedMmPerMin,
            Inches = map.OptionalChoice<InchScope>("inches") ?? family.Inches,
            M203PerMinute = map.OptionalFlag("m203_per_minute") ?? family.M203PerMinute,
            HearsLimitCommands = map.OptionalFlag("hears_limit_commands") ?? family.HearsLimitCommands,
            M204 = map.OptionalChoice<M204Rule>("m204") ?? family.M204,
            M208IsAxisLimits = map.OptionalFlag("m208_is_axis_limits") ?? family.M208IsAxisLimits,
            G10 = map.OptionalChoice<G10Rule>("g10") ?? family.G10,
            M0 = map.OptionalChoice<M0Rule>("m0") ?? family.M0,
            M30EndsJob = map.OptionalFlag("m30_ends_job") ?? family.M30EndsJob,
            M226IsPause = map.OptionalFlag("m226_is_pause") ?? family.M226IsPause,
            FanSharesUpToOne = map.OptionalFlag("fan_shares_up_to_one") ?? family.FanSharesUpToOne,
            SWaitsWhileCooling = map.OptionalFlag("s_waits_while_cooling") ?? family.SWaitsWhileCooling,
            RepeatedLetter = map.OptionalChoice<RepeatedLetterRule>("repeated_letter") ?? family.RepeatedLetter,
            RunsAllCommandsOfALine = map.OptionalFlag("runs_all_commands_of_a_line") ?? family.RunsAllCommandsOfALine,
            RepeatsMotion = map.OptionalFlag("repeats_motion") ?? family.RepeatsMotion,
            ArcSegmentMm = map.OptionalNumber("arc_segment", Quantity.Length, 0, 100) ?? family.ArcSegmentMm,
            ArcToleranceMm = map.OptionalNumber("arc_tolerance", Quantity.Length, 0, 1) ?? family.ArcToleranceMm,
            M109SelectsTool = map.OptionalFlag("m109_selects_tool") ?? family.M109SelectsTool,
            M205JerkAtRest = map.OptionalFlag("m205_jerk_at_rest") ?? family.M205JerkAtRest,
            M566SetsJerk = map.OptionalFlag("m566_sets_jerk") ?? family.M566SetsJerk,
            AlternativeExtruderAxes = map.OptionalFlag("alternative_extruder_axes") ?? family.AlternativeExtruderAxes,
        };
        if (!(dialect.ArcSegmentMm > 0 || dialect.ArcToleranceMm > 0))
        {
            map.Refuse("arc_segment", "0, and arc_tolerance is 0 too; expected one of them over 0");
        }

        return dialect;
    }
}
