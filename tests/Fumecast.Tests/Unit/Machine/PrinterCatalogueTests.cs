// SPDX-License-Identifier: MIT
using Fumecast.Heat;
using Fumecast.Inputs;
using Fumecast.Machine;
using Fumecast.Motion;

namespace Fumecast.Tests.Unit.Machine;

public class PrinterCatalogueTests
{
    private static readonly string Good = new DataCatalogue("printers").Find("bed-slinger-slow").Text;

    public static TheoryData<string> Ids => [.. PrinterCatalogue.Ids];

    private static PrinterProfile Read(string text) => PrinterCatalogue.Read(new DataFile("my.yaml", text));

    /// <summary>The shipped profile with one text replaced, which must be there once.</summary>
    private static string Changed(string old, string with)
    {
        Assert.Equal(2, Good.Split(old).Length);
        return Good.Replace(old, with, StringComparison.Ordinal);
    }

    private static string Complaint(string text) => Assert.Throws<InputProblem>(() => Read(text)).Message;

    [Fact]
    public void Default_and_the_three_generic_printers_are_shipped() =>
        Assert.Equal(["bed-slinger-slow", "corexy-fast", "desktop-default", "large-format"], PrinterCatalogue.Ids);

    [Theory]
    [MemberData(nameof(Ids))]
    public void Shipped_profile_loads_and_can_heat_and_move(string id)
    {
        var printer = PrinterCatalogue.Load(id);
        Assert.Equal(id, printer.Id);
        Assert.NotEmpty(printer.Description);
        Assert.Contains(printer.Dialect, Dialects.All);
        Assert.NotSame(printer.StartLimits(), printer.StartLimits());

        var nozzle = new Heater(printer.Nozzle, printer.AmbientC);
        nozzle.SetTarget(printer.MaxNozzleC - 20);
        Assert.InRange(nozzle.SecondsUntil(printer.MaxNozzleC - 20, 0, 0), 30, 600);
        var bed = new Heater(printer.Bed, printer.AmbientC);
        bed.SetTarget(100);
        Assert.InRange(bed.SecondsUntil(100, 0, 0), 100, 1800);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Every_group_of_a_shipped_profile_says_where_its_numbers_come_from(string id)
    {
        var text = new DataCatalogue("printers").Find(id).Text;
        foreach (var group in new[] { "motion", "size", "times", "nozzle", "bed", "wait" })
        {
            var start = text.IndexOf("\n" + group + ":", StringComparison.Ordinal);
            Assert.True(start > 0, group);
            var next = text.AsSpan(start + 1).IndexOf('\n') + start + 1;
            while (next + 1 < text.Length && text[next + 1] == ' ')
            {
                next = text.IndexOf('\n', next + 1);
            }

            Assert.Contains("basis:", text[start..next], StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Slow_bed_slinger_has_the_published_values()
    {
        var printer = PrinterCatalogue.Load("bed-slinger-slow");
        var limits = printer.StartLimits();
        Assert.Equal(new PerAxis(500, 500, 10, 50), limits.MaxFeedMmPerS);
        Assert.Equal(new PerAxis(500, 500, 100, 5000), limits.MaxAccelMmPerS2);
        Assert.Equal((500, 500, 1000), (limits.PrintAccelMmPerS2, limits.TravelAccelMmPerS2, limits.RetractAccelMmPerS2));
        Assert.Equal(JunctionModel.PerAxisJerk, limits.Junction);
        Assert.Equal(new PerAxis(8, 8, 0.4, 5), limits.JerkMmPerS);
        Assert.True(limits.JerkAtRest);
        Assert.False(limits.JerkWithinKindOnly);
        Assert.Equal(16, printer.LookaheadBlocks);
        Assert.Same(Dialects.NumberedCommands.Id, printer.Dialect.Id);
        Assert.Equal(new HeaterModel { PowerW = 40, HeatCapacityJPerK = 18.42, LossWPerK = 0.0664, LossFanFullWPerK = 0.0998 }, printer.Nozzle);
        Assert.Equal(HeaterModel.FromRate(0.3, 900, 10), printer.Bed);
        Assert.Equal((WaitRule.Residency, 1, 10), (printer.Wait, printer.WaitWindowK, printer.WaitS));
        Assert.Equal(new FirmwareRetraction(), printer.Retraction);
        Assert.Equal((170, 23, 25, 90), (printer.ColdLimitC, printer.AmbientC, printer.HomingS, printer.ProbeS));
    }

    [Fact]
    public void Fast_printer_limits_the_path_and_not_its_belts()
    {
        var printer = PrinterCatalogue.Load("corexy-fast");
        var limits = printer.StartLimits();
        Assert.Equal(new PerAxis(double.PositiveInfinity, double.PositiveInfinity, 15, 60), limits.MaxFeedMmPerS);
        Assert.Equal((300, 10000, 0.5), (limits.MaxPathSpeedMmPerS, limits.PrintAccelMmPerS2, limits.MinimumCruiseRatio));
        Assert.Equal((JunctionModel.SquareCorner, 5, 1), (limits.Junction, limits.SquareCornerMmPerS, limits.ExtruderStepMmPerS));
        Assert.True(limits.StopBetweenFilamentAndNozzleMoves);
        Assert.False(limits.FilamentLimitsNozzleMoves);
        Assert.Null(printer.LookaheadBlocks);
        Assert.Equal((WaitRule.Settle, 1, 10), (printer.Wait, printer.WaitWindowK, printer.WaitS));
    }

    [Fact]
    public void Large_printer_takes_thick_filament_and_waits_by_band()
    {
        var printer = PrinterCatalogue.Load("large-format");
        Assert.Equal(2.85, printer.FilamentDiameterMm);
        Assert.Equal((WaitRule.Band, 2.5, 40), (printer.Wait, printer.WaitWindowK, printer.WaitMinTargetC));
        Assert.True(printer.StartLimits().JerkWithinKindOnly);
        Assert.Equal(160, printer.ColdLimitC);
    }

    [Fact]
    public void Single_settings_of_the_dialect_can_be_overridden()
    {
        var printer = Read(Changed("  family: numbered-commands", "  family: board-configured\n  g4_p_unit: 1 s\n  m0: pause\n  default_feed: 20 mm/s"));
        Assert.Equal(Dialects.BoardConfigured with { G4PUnitS = 1, M0 = M0Rule.Pause, DefaultFeedMmPerMin = 1200 }, printer.Dialect);
    }

    [Fact]
    public void Macros_are_lines_or_a_summary()
    {
        var printer = Read(Good + """
            macros:
              - name: start_print
                lines: ["G28", "M190 S{BED|60}", "M109 S{EXTRUDER}"]
              - name: CLEAN_NOZZLE
                duration: 30 s
                nozzle: 200 degC
                bed: "{BED_TEMP|60}"
                purge: 20 mm3

            """);
        Assert.Equal(["G28", "M190 S{BED|60}", "M109 S{EXTRUDER}"], printer.Macros["START_PRINT"].Lines);
        var clean = printer.Macros["CLEAN_NOZZLE"];
        Assert.Equal((30, "200", "{BED_TEMP|60}", 20), (clean.DurationS, clean.NozzleC, clean.BedC, clean.PurgeMm3));
        Assert.Empty(clean.Lines);
    }

    [Fact]
    public void Heater_may_be_given_by_rate_and_time_constant() =>
        Assert.Equal(
            HeaterModel.FromRate(2, 200, 3),
            Read(Changed(
                "  power: 40 W\n  heat_capacity: 18.42 J/K\n  loss: 0.0664 W/K\n  loss_with_fan: 0.0998 W/K",
                "  rate: 2 K/s\n  time_constant: 200 s\n  dead_time: 3 s")).Nozzle);

    [Fact]
    public void Heater_may_be_given_by_a_power_law() =>
        Assert.Equal(
            HeaterModel.FromPowerLaw(2.186, 0.17, 0.28, 1.35, 5.67, 185),
            Read(Changed(
                "  power: 40 W\n  heat_capacity: 18.42 J/K\n  loss: 0.0664 W/K\n  loss_with_fan: 0.0998 W/K",
                "  rate: 2.186 K/s\n  cooling_rate: 0.17 K/s\n  cooling_rate_of_fan: 0.11 K/s\n  cooling_exponent: 1.35\n  dead_time: 5.67 s")).Nozzle);

    // Each mistake: what is replaced, by what, and where and how it is complained of.
    [Theory]
    [InlineData("homing: 25 s", "homming: 25 s", "my.yaml:24:9: unknown key 'homming'; did you mean 'homing'?")]
    [InlineData("ambient: 23 degC", "ambient: 23 degC\ncolour: red", "my.yaml:43:1: unknown key 'colour'")]
    [InlineData("ambient: 23 degC", "ambient: 23", "my.yaml:42:10: ambient: found '23' without a unit, expected a temperature")]
    [InlineData("z: 10 mm/s", "z: 10 mm", "my.yaml:13:43: z: found")]
    [InlineData("print: 500 mm/s2", "print: 0 mm/s2", "my.yaml:15:25: print: found '0 mm/s2', expected 1 mm/s2 to 200000 mm/s2")]
    [InlineData("loss_with_fan: 0.0998 W/K", "loss_with_fan: 0.05 W/K", "my.yaml:37:18: loss_with_fan: below loss, expected the larger of both")]
    [InlineData("highest: 275 degC", "highest: 150 degC", "my.yaml:39:12: highest: not over cold_limit, expected the higher of both")]
    [InlineData("family: numbered-commands", "family: numbered-command", "my.yaml:8:11: family: found 'numbered-command'; did you mean 'numbered-commands'?")]
    [InlineData("rule: residency", "rule: recidency", "my.yaml:41:14: rule: found 'recidency', expected one of residency, band, settle; did you mean 'residency'?")]
    [InlineData("model: per-axis-jerk", "model: deviation\n    deviation: 0.01 mm", "my.yaml:19:5: unknown key 'jerk'")]
    [InlineData("schema: fumecast/printer/1", "schema: fumecast/room/1", "my.yaml:2:9: schema: found 'fumecast/room/1', expected 'fumecast/printer/1'")]
    [InlineData("id: bed-slinger-slow", "id: Bed Slinger", "my.yaml:3:5: id: found 'Bed Slinger', expected small letters, digits and dashes")]
    [InlineData("lookahead_blocks: 16", "lookahead_blocks: 1", "my.yaml:21:21: lookahead_blocks: found '1', expected a whole number from 2 to 100000")]
    [InlineData("  family: numbered-commands", "  family: numbered-commands\n  arc_segment: 0 mm", "my.yaml:9:16: arc_segment: 0, and arc_tolerance is 0 too; expected one of them over 0")]
    public void Mistake_is_named_with_its_place(string old, string with, string start) => Assert.StartsWith(start, Complaint(Changed(old, with)), StringComparison.Ordinal);

    [Fact]
    public void Missing_group_is_named() =>
        Assert.Contains(": 4 keys are missing: 'bed' (a map of keys and values); in bed (line ", Complaint(string.Join('\n', Good.Split('\n').Where(line => !line.StartsWith("bed:", StringComparison.Ordinal)))), StringComparison.Ordinal);

    [Theory]
    [InlineData("- name: A\n    duration: 5 s\n  - name: a\n    duration: 6 s", "'A' stands twice")]
    [InlineData("- name: A\n    duration: 5 s\n    nozzle: \"{EX TRUDER}\"", "expected a key of the macro's call")]
    [InlineData("- name: A\n    duration: 5 s\n    nozzle: 200", "without a unit")]
    [InlineData("- name: A", "key 'duration' is missing")]
    public void Mistake_in_a_macro_is_named(string macros, string part) =>
        Assert.Contains(part, Complaint(Good + "macros:\n  " + macros + "\n"), StringComparison.Ordinal);

    [Fact]
    public void Unknown_printer_gets_the_nearest_name_offered()
    {
        var problem = Assert.Throws<InputProblem>(() => PrinterCatalogue.Load("corexy-fats"));
        Assert.StartsWith("found no printer 'corexy-fats'; did you mean 'corexy-fast'?", problem.Message, StringComparison.Ordinal);
    }
}
