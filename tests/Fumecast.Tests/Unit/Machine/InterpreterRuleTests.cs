// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Tests.Unit.Machine;

/// <summary>Each rule of the interpreter that is easily got wrong, one at a time.</summary>
public class InterpreterRuleTests
{
    private const string RelativeThenG90 = "M83\nG90\nG1 X10 E1 F1800\nG1 X20 E1\n";

    [Fact]
    public void G90_makes_E_absolute_again_where_the_last_command_wins() =>
        Close.To(1, Simulated.Run(RelativeThenG90, Simulated.With(d => d with { EMode = EModeRule.LastWins })).DepositedMm, 1e-12);

    [Theory]
    [InlineData(EModeRule.EitherRelative)]
    [InlineData(EModeRule.Independent)]
    internal void G90_leaves_E_relative_elsewhere(EModeRule rule) =>
        Close.To(2, Simulated.Run(RelativeThenG90, Simulated.With(d => d with { EMode = rule })).DepositedMm, 1e-12);

    [Fact]
    public void G91_alone_makes_E_relative_where_either_counts() =>
        Close.To(3, Simulated.Run("G91\nG1 X1 E1 F600\nG1 X1 E2\n", Simulated.With(d => d with { EMode = EModeRule.EitherRelative })).DepositedMm, 1e-12);

    [Fact]
    public void Setting_the_logical_E_moves_no_filament() =>
        Close.To(4, Simulated.Run("M82\nG1 X10 E3 F600\nG92 E0\nG1 X20 E1\n").DepositedMm, 1e-12);

    [Fact]
    public void A_file_that_ends_retracted_keeps_what_it_deposited()
    {
        var run = Simulated.Run("M83\nG1 X10 E3 F600\nG1 E-5 F1800\n");
        Close.To(3, run.DepositedMm, 1e-12);
        Close.To(-2, run.Print.Tools[0].FedMm, 1e-12);
    }

    [Theory]
    [InlineData(false, 200.0)]
    [InlineData(true, 12000.0)]
    public void M203_is_read_in_the_unit_of_the_dialect(bool perMinute, double limitMmPerMin)
    {
        // 10 mm at 60 mm/s wished; the limit X200 is 200 mm/s, or 200 mm/min.
        var run = Simulated.Run("M203 X200\nG1 X1000 F6000\n", Simulated.With(d => d with { M203PerMinute = perMinute }));
        var speed = perMinute ? 200.0 / 60 : 100;
        Close.To((1000 / speed) + (speed / 1000), run.Print.MotionS, 1e-9);
        Assert.True(limitMmPerMin > 0);
    }

    [Theory]
    [InlineData(0.001, 0.5)]
    [InlineData(1.0, 500.0)]
    public void G4_P_is_read_in_the_unit_of_the_dialect(double unitS, double seconds) =>
        Close.To(seconds, Simulated.Run("G4 P500\n", Simulated.With(d => d with { G4PUnitS = unitS })).Print.DwellS, 1e-12);

    [Fact]
    public void G4_S_is_in_seconds_and_wins_over_P() => Close.To(2, Simulated.Run("G4 S2 P500\n").Print.DwellS, 1e-12);

    [Theory]
    [InlineData(G10Rule.Retract, -3.0)]
    [InlineData(G10Rule.ByParameters, 0.0)]
    [InlineData(G10Rule.Offsets, 0.0)]
    internal void G10_with_parameters_means_what_the_dialect_says(G10Rule rule, double fedMm)
    {
        var run = Simulated.Run("M83\nG1 X1 E5 F600\nG10 L2 P0 X0\n", Simulated.With(d => d with { G10 = rule }));
        Close.To(5 + fedMm, run.Print.Tools[0].FedMm, 1e-12);
    }

    [Fact]
    public void A_firmware_retraction_and_its_recovery_deposit_nothing()
    {
        var run = Simulated.Run("M83\nG1 X10 E5 F600\nG10\nG10\nG0 X50\nG11\nG1 X60 E1\n");
        Close.To(6, run.DepositedMm, 1e-12);
        Close.To(6, run.Print.Tools[0].FedMm, 1e-12);
    }

    [Fact]
    public void A_fan_value_of_1_is_full_speed_only_where_the_dialect_says_so()
    {
        // With the fan at full the loss is larger, so cooling from 210 to below 200 takes less time.
        var full = Simulated.Run("M109 S210\nM106 S1\nM109 R180\n", Simulated.With(d => d with { FanSharesUpToOne = true }));
        var barely = Simulated.Run("M109 S210\nM106 S1\nM109 R180\n");
        Assert.True(full.Print.HeatingS < barely.Print.HeatingS - 5);
    }

    [Fact]
    public void M109_S_waits_while_cooling_only_where_the_dialect_says_so()
    {
        var waits = Simulated.Run("M109 S210\nM109 S180\n", Simulated.With(d => d with { SWaitsWhileCooling = true }));
        var goesOn = Simulated.Run("M109 S210\nM109 S180\n");
        Assert.True(waits.Print.HeatingS > goesOn.Print.HeatingS + 20);
    }

    [Fact]
    public void An_unmapped_macro_is_loudly_warned_about_and_its_temperature_taken_as_reached()
    {
        var run = Simulated.Run("START_PRINT BED_TEMP=60 EXTRUDER_TEMP=225\nM83\nG1 X10 E1 F600\n", options: new SimulationOptions());
        Assert.Contains(run.Log.Entries, entry => entry.Code == "unmapped-macro" && entry.ChangesResult && entry.Message.StartsWith("START_PRINT", StringComparison.Ordinal));
        Close.To(225, run.Print.Tools[0].Heat.MeanC, 1e-12);
    }

    [Fact]
    public void A_mapped_macro_runs_its_lines_with_the_call_filled_in()
    {
        var printer = Simulated.Printer with
        {
            Macros = new Dictionary<string, MacroMeaning>
            {
                ["BEGIN"] = new() { Lines = ["M104 S{HOT|200}", "M109 S{HOT|200}", "G4 S3"] },
            },
        };
        var run = Simulated.Run("BEGIN HOT=230\nM83\nG1 X10 E1 F600\n", printer, new SimulationOptions());
        Close.To(3, run.Print.DwellS, 1e-12);
        Close.To(230, run.Print.Tools[0].Heat.MaxC, 1e-12);
    }

    [Fact]
    public void Feeding_without_any_temperature_is_refused_and_names_the_option()
    {
        var run = Simulated.Run("M83\nG1 X10 E1 F600\n", options: new SimulationOptions());
        Assert.Contains("--nozzle", run.Log.FirstError?.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_nozzle_that_is_never_waited_for_is_taken_as_hot()
    {
        var run = Simulated.Run("M104 S210\nM83\nG1 X10 E1 F600\n", options: new SimulationOptions());
        Assert.True(run.Warned("cold-at-first-deposit"));
        Close.To(210, run.Print.Tools[0].Heat.MinC, 1e-9);
    }

    [Theory]
    [InlineData(M204Rule.SOrSmallerOfBoth, 500.0)]
    [InlineData(M204Rule.PrintTravelRetract, 2000.0)]
    internal void M204_P_alone_is_heard_only_by_some(M204Rule rule, double accel)
    {
        var run = Simulated.Run("M83\nM204 P2000\nG1 X100 E1 F3000\n", Simulated.With(d => d with { M204 = rule }));
        Close.To((100 / 50.0) + (50 / accel), run.Print.MotionS, 1e-9);
    }

    [Fact]
    public void Volumetric_E_gives_the_volume_itself_also_for_retractions()
    {
        var run = Simulated.Run("M83\nM200 D1.75 S1\nG1 X10 E30 F600\nG1 E-2 F600\nG1 E2\n");
        Close.To(30, run.TotalMm3, 1e-12);
        Close.To(12.472551, run.DepositedMm, 1e-7);
    }

    [Fact]
    public void Lines_between_M28_and_M29_are_not_carried_out()
    {
        var run = Simulated.Run("M83\nM28 stored.g\nG1 X10 E1 F600\nM29\nG1 X10 E2 F600\n");
        Close.To(2, run.DepositedMm, 1e-12);
        Assert.True(run.Warned("stored-lines"));
    }

    [Theory]
    [InlineData("G5 X10 Y10 I1 J1\n", "G5")]
    [InlineData("M808 L5\n", "M808")]
    [InlineData("G93\nG1 X10 F2\n", "G93")]
    public void Motion_that_is_not_simulated_is_refused_and_never_left_out(string program, string name) =>
        Assert.StartsWith(name, Simulated.Run(program).Log.FirstError?.Message, StringComparison.Ordinal);

    [Fact]
    public void An_unknown_command_is_counted_not_fatal()
    {
        var run = Simulated.Run("M7777\nM7777\nM83\nG1 X10 E1 F600\n");
        var entry = Assert.Single(run.Log.Entries, e => e.Code == "unknown-command");
        Assert.Equal(2, entry.Count);
        Close.To(1, run.DepositedMm, 1e-12);
    }

    [Fact]
    public void A_line_without_a_command_is_carried_out_or_warned_about_by_dialect()
    {
        const string program = "G1 X10 F600\nX20\n";
        var repeats = Simulated.Run(program, Simulated.With(d => d with { RepeatsMotion = true }));
        var ignores = Simulated.Run(program);
        Assert.True(repeats.Print.MotionS > ignores.Print.MotionS + 0.9);
        Assert.Contains(ignores.Log.Entries, entry => entry.Code == "no-command" && entry.ChangesResult);
    }

    [Fact]
    public void An_excluded_object_is_left_out_while_positions_are_kept()
    {
        var run = Simulated.Run("M82\nM486 S1\nM486 P1\nG1 X10 E5 F600\nM486 S0\nG1 X20 E7\n");
        Close.To(2, run.DepositedMm, 1e-12);
    }

    [Fact]
    public void Named_object_exclusion_does_the_same()
    {
        var run = Simulated.Run("M83\nEXCLUDE_OBJECT NAME=a\nEXCLUDE_OBJECT_START NAME=a\nG1 X10 E5 F600\nEXCLUDE_OBJECT_END NAME=a\nG1 X20 E2\n");
        Close.To(2, run.DepositedMm, 1e-12);
    }

    [Fact]
    public void Each_tool_has_its_own_book()
    {
        var run = Simulated.Run("M83\nM104 T0 S210\nM104 T1 S210\nM109 T0 S210\nM109 T1 S210\nG1 X10 E5 F600\nT1\nG1 X20 E3\nT0\nG1 E-1\nG1 X30 E2\n");
        Assert.Equal([0, 1], run.Print.Tools.Select(tool => tool.Tool));
        Close.To(6, run.Print.Tools[0].DepositedMm, 1e-12);
        Close.To(3, run.Print.Tools[1].DepositedMm, 1e-12);
    }

    [Fact]
    public void Waiting_for_a_person_is_never_part_of_the_total()
    {
        var run = Simulated.Run("M0\nG4 S1\n", Simulated.With(d => d with { M0 = M0Rule.Pause }));
        Close.To(1, run.Print.TotalS, 1e-12);
        Close.To(Simulated.Printer.PersonS, run.Print.WaitingForPersonS, 1e-12);
    }

    [Fact]
    public void M0_ends_the_job_where_the_dialect_says_so() =>
        Close.To(1, Simulated.Run("G4 S1\nM0\nG4 S5\n", Simulated.With(d => d with { M0 = M0Rule.End })).Print.TotalS, 1e-12);

    [Fact]
    public void The_wished_nozzle_temperature_replaces_printing_temperatures_only()
    {
        var run = Simulated.Run(
            "M109 S150\nM109 S210\nM83\nG1 X10 E1 F600\n", options: new SimulationOptions { NozzleC = 230 });
        Close.To(230, run.Print.Tools[0].Heat.MeanC, 1e-9);
        Assert.True(run.Slices.Where(slice => slice.StartS < 70).All(slice => slice.NozzleC < 151));
    }

    [Fact]
    public void Relative_E_from_a_comment_is_taken_from_the_start() =>
        Close.To(3, Simulated.Run("G90\nG1 X10 E1 F600\nG1 X20 E2\n", options: new SimulationOptions { NozzleIfUncommandedC = 210, RelativeE = true }).DepositedMm, 1e-12);

    [Fact]
    public void E_on_another_axis_counts_as_filament() =>
        Close.To(3, Simulated.Run("G92 A0\nG1 X10 A1 F600\nG1 X20 A3\n").DepositedMm, 1e-12);

    [Theory]
    [InlineData("G1 X100000 F0.000001\n")]
    [InlineData("G4 S99999999999\n")]
    public void A_job_without_end_is_refused(string program)
    {
        var run = Simulated.Run(program);
        Assert.Equal(Severity.Error, run.Log.FirstError?.Severity);
        Assert.Equal("job-too-long", run.Log.FirstError?.Code);
    }
}
