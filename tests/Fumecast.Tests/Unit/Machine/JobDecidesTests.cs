// SPDX-License-Identifier: MIT
using Fumecast.Machine;
using Fumecast.Motion;

namespace Fumecast.Tests.Unit.Machine;

/// <summary>Where the job itself says how it is meant, it decides, and the result says so.</summary>
public class JobDecidesTests
{
    private const string Corner = "G1 X50 F3600\nG1 X50 Y50\n";

    [Theory]
    [InlineData(nameof(G10Rule.Retract))]
    [InlineData(nameof(G10Rule.ByParameters))]
    [InlineData(nameof(G10Rule.Offsets))]
    public void G10_with_a_tool_and_a_temperature_heats_it_in_every_dialect(string ruleName)
    {
        var rule = Enum.Parse<G10Rule>(ruleName);
        var printer = Simulated.With(d => d with { G10 = rule });
        var run = Simulated.Run("M83\nG10 P0 S195 R160\nM116\nG1 X10 E1 F600\n", printer, new SimulationOptions());
        Close.To(195, run.Print.Tools[0].Heat.MeanC, 1e-9);
        Close.To(1, run.Print.Tools[0].FedMm, 1e-12);
        Assert.Contains(run.Print.Choices, choice => choice is { Setting: "G10 with P and S or R", Line: 2 });
        Assert.Contains(run.Log.Entries, entry => entry.Code == "standby-temperature");
    }

    [Fact]
    public void G10_for_another_tool_leaves_the_active_one_alone()
    {
        var run = Simulated.Run("M83\nM109 S210\nG10 P1 S240\nG1 X10 E1 F600\nG4 S30\nG1 X20 E1\n", options: new SimulationOptions());
        Close.To(210, run.Print.Tools[0].Heat.MaxC, 1e-9);
    }

    [Fact]
    public void G10_with_L_is_never_a_temperature() =>
        Close.To(2, Simulated.Run("M83\nG1 X1 E5 F600\nG10 L2 P1 S200\n").Print.Tools[0].FedMm, 1e-12);

    [Fact]
    [Published("gcode reference section 4, computed by two independent routes", "W12")]
    public void M205_X_turns_a_printer_of_deviations_to_jerk()
    {
        var printer = Fast(JunctionModel.Deviation);
        Close.To(1.7759853, Simulated.Run(Corner, printer).Print.MotionS, 1e-6);
        var run = Simulated.Run("M205 X10 Y10\n" + Corner, printer);
        Close.To(1.7683333, run.Print.MotionS, 1e-6);
        Assert.Contains(run.Print.Choices, choice => choice is { Setting: "corners by M205 X or Y", Line: 1 });
    }

    [Fact]
    [Published("gcode reference section 4, computed by two independent routes", "W12")]
    public void M205_J_turns_a_printer_of_jerk_to_a_deviation()
    {
        var run = Simulated.Run("M205 J0.013\n" + Corner, Fast(JunctionModel.PerAxisJerk));
        Close.To(1.7759853, run.Print.MotionS, 1e-6);
        Assert.Contains(run.Print.Choices, choice => choice is { Setting: "corners by M205 J", Line: 1 });
    }

    [Theory]
    [InlineData("M205 S0 T0 B20000\n")]
    [InlineData("M205 Z0.4 E5\n")]
    [InlineData("M205 X0 Y0\n")]
    public void M205_without_X_Y_or_J_above_0_leaves_the_model(string line)
    {
        var run = Simulated.Run(line + Corner, Fast(JunctionModel.Deviation));
        Close.To(1.7759853, run.Print.MotionS, 1e-6);
        Assert.DoesNotContain(run.Print.Choices, choice => choice.Setting.StartsWith("corners", StringComparison.Ordinal));
    }

    [Fact]
    public void Whether_jerk_counts_at_rest_too_is_the_dialects()
    {
        var printer = Fast(JunctionModel.Deviation) with { Dialect = Simulated.Printer.Dialect with { M205JerkAtRest = true } };
        var line = "M205 X10 Y10\nM204 S500\nG1 X100 F3600\n";
        var atRest = Simulated.Run(line, printer);
        var stops = Simulated.Run(line, Fast(JunctionModel.Deviation));
        Assert.True(atRest.Print.MotionS < stops.Print.MotionS - 0.01);
        Assert.Contains(atRest.Print.Choices, choice => choice.Value.Contains("at rest", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(nameof(EAcrossToolsRule.OneForAll), 100.0)]
    [InlineData(nameof(EAcrossToolsRule.PerTool), 200.0)]
    [InlineData(nameof(EAcrossToolsRule.FromZero), 200.0)]
    public void Absolute_E_of_a_second_tool_is_counted_as_the_dialect_says(string ruleName, double secondMm)
    {
        var rule = Enum.Parse<EAcrossToolsRule>(ruleName);
        var run = Simulated.Run(TwoTools + "G1 X20 E200\n", Simulated.With(d => d with { EAcrossTools = rule }));
        Close.To(100, run.Print.Tools[0].DepositedMm, 1e-9);
        Close.To(secondMm, run.Print.Tools[1].DepositedMm, 1e-9);
        var choice = Assert.Single(run.Print.Choices, choice => choice.Setting == "absolute E after a tool change");
        Assert.Equal(7, choice.Line);
    }

    [Theory]
    [InlineData(nameof(EAcrossToolsRule.OneForAll), 50.0)]
    [InlineData(nameof(EAcrossToolsRule.PerTool), 150.0)]
    [InlineData(nameof(EAcrossToolsRule.FromZero), 250.0)]
    public void Coming_back_to_a_tool_tells_all_three_readings_apart(string ruleName, double thirdMm)
    {
        var rule = Enum.Parse<EAcrossToolsRule>(ruleName);
        var run = Simulated.Run(TwoTools + "G1 X20 E200\nT0\nG1 X30 E250\n", Simulated.With(d => d with { EAcrossTools = rule }));
        Close.To(100 + thirdMm, run.Print.Tools[0].DepositedMm, 1e-9);
    }

    [Theory]
    [InlineData("G92 E0\nG1 X20 E200\n")]
    [InlineData("M83\nG1 X20 E200\n")]
    public void Where_the_file_leaves_no_doubt_nothing_is_said(string second)
    {
        foreach (var rule in Enum.GetValues<EAcrossToolsRule>())
        {
            var run = Simulated.Run(TwoTools + second, Simulated.With(d => d with { EAcrossTools = rule }));
            Close.To(200, run.Print.Tools[1].DepositedMm, 1e-9);
            Assert.DoesNotContain(run.Print.Choices, choice => choice.Setting == "absolute E after a tool change");
        }
    }

    [Fact]
    public void Restoring_a_saved_state_brings_the_speed_factor_back()
    {
        // 100 mm at 10 mm/s, then at half the speed, then at the saved one again.
        var run = Simulated.Run("M220 S100\nG1 X0 F600\nSAVE_GCODE_STATE NAME=a\nM220 S50\nG1 X100\nRESTORE_GCODE_STATE NAME=a\nG1 X200\n");
        var without = Simulated.Run("M220 S100\nG1 X0 F600\nM220 S50\nG1 X100\nM220 S100\nG1 X200\n");
        Close.To(without.Print.MotionS, run.Print.MotionS, 1e-12);
        Close.To(30, run.Print.MotionS, 0.1);
    }

    [Theory]
    [InlineData("M140 S1000001", 1)]
    [InlineData("M109 S2000", 1)]
    [InlineData("M104 S601", 1)]
    [InlineData("M190 R5000", 1)]
    [InlineData("M302 S99999", 1)]
    [InlineData("G10 P0 S700", 1)]
    [InlineData("M568 P0 S700", 1)]
    [InlineData("  M140 S9999", 3)]
    [InlineData("SET_HEATER_TEMPERATURE HEATER=extruder TARGET=1e9", 1)]
    [InlineData("SET_HEATER_TEMPERATURE HEATER=heater_bed TARGET=5000", 1)]
    [InlineData("HOT EXTRUDER=123456", 1)]
    public void A_temperature_that_no_printer_could_mean_is_an_error_with_its_place(string line, int column)
    {
        var printer = Simulated.Printer with
        {
            Macros = new Dictionary<string, MacroMeaning> { ["HOT"] = new() { NozzleC = "{EXTRUDER}" } },
        };
        var run = Simulated.Run($"M83\n{line}\nG1 X10 E1 F600\n", printer);
        Assert.Equal(("temperature-out-of-range", 2L, column), (run.Log.FirstError?.Code, run.Log.FirstError?.Line, run.Log.FirstError?.Column));
        Assert.Contains("expected at most 600 C", run.Log.FirstError?.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("M109 S-300", 1)]
    [InlineData(" M104 S-274", 2)]
    [InlineData("M190 R-5000", 1)]
    [InlineData("G10 P0 S-700", 1)]
    public void A_temperature_below_absolute_zero_is_an_error_with_its_place(string line, int column)
    {
        var run = Simulated.Run($"M83\n{line}\nG1 X10 E1 F600\n");
        Assert.Equal(("temperature-out-of-range", 2L, column), (run.Log.FirstError?.Code, run.Log.FirstError?.Line, run.Log.FirstError?.Column));
        Assert.Contains("expected 0 C to switch off, or up to 600 C", run.Log.FirstError?.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("M104 S0")]
    [InlineData("M104 S-5")]
    [InlineData("M149 K\nM104 S0")]
    public void Zero_and_a_little_below_switch_off(string line)
    {
        var run = Simulated.Run($"M83\nM109 S210\nG1 X10 E1 F600\n{line}\nM140 S0\n");
        Assert.Null(run.Log.FirstError);
        Assert.Equal(1, run.DepositedMm, 1e-9);
    }

    [Theory]
    [InlineData("M140 S500", true)]
    [InlineData("M140 S110", false)]
    public void A_bed_hotter_than_beds_get_is_said(string line, bool isSaid) => Assert.Equal(isSaid, Simulated.Run(line + "\nM83\nG1 X10 E1 F600\n").Warned("bed-above-limit"));

    [Fact]
    public void A_temperature_from_comments_has_the_same_bounds()
    {
        var run = Simulated.Run("M83\nG1 X10 E1 F600\n", options: new SimulationOptions { NozzleIfUncommandedC = 4000 });
        Assert.Equal("temperature-out-of-range", run.Log.FirstError?.Code);
    }

    [Fact]
    public void The_unit_of_the_job_counts_before_the_bounds()
    {
        var run = Simulated.Run("M149 K\nM109 S483.15\nM83\nG1 X10 E1 F600\n");
        Assert.Null(run.Log.FirstError);
        Close.To(210, run.Print.Tools[0].Heat.MeanC, 1e-9);
    }

    [Fact]
    public void A_set_point_that_a_shift_carries_too_far_is_held_and_said()
    {
        var run = Simulated.Run("M104 S590\nM83\nG1 X10 E1 F600\n", options: new SimulationOptions { NozzleShiftK = 100 });
        Close.To(600, run.Print.Tools[0].Heat.MaxC, 1e-9);
        Assert.Contains(run.Log.Entries, entry => entry is { Code: "nozzle-clipped", Line: 1, ChangesResult: true });
    }

    [Theory]
    [InlineData("G2 X0 Y0 I2000000000 J0 E1 F600")]
    [InlineData("G2 X0 Y0 I2000000000 J0 F600")]
    [InlineData("G3 X1 Y0 R-600000 E1 F600")]
    [InlineData("G2 X10 Y0 I5 J0 E4000000 F600")]
    [InlineData("G1 X4000000000 E1 F600")]
    public void An_arc_beyond_a_kilometre_is_refused_as_a_straight_move_is(string line)
    {
        var run = Simulated.Run($"M83\n{line}\n");
        Assert.Equal(("implausible-move", 2L), (run.Log.FirstError?.Code, run.Log.FirstError?.Line));
        Assert.Contains("over a kilometre", run.Log.FirstError?.Message, StringComparison.Ordinal);
    }

    private const string TwoTools = "M82\nM104 T0 S210\nM104 T1 S210\nG92 E0\nG1 X10 E100 F600\nT1\n";

    private static PrinterProfile Fast(JunctionModel model) => Simulated.Printer with
    {
        StartLimits = () => new MotionLimits
        {
            PrintAccelMmPerS2 = 1000,
            TravelAccelMmPerS2 = 1000,
            Junction = model,
            DeviationMm = 0.013,
            JerkMmPerS = new PerAxis(3, 3, 3, 3),
        },
    };
}
