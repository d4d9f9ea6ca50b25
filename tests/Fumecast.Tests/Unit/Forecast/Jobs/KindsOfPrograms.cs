// SPDX-License-Identifier: MIT
using System.IO.Compression;
using System.Text;
using Fumecast.Forecast;
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.Forecast.Jobs;

/// <summary>Ways of writing the same pen cup that differ in their commands; through the front door, against an independent sum.</summary>
public class KindsOfPrograms
{
    private const string Hot = "M140 S60\nM104 S215\nG28\nM190 S60\nM109 S215\nG21\nG90\n";
    private const string End = "M104 S0\nM140 S0\nM84\n";

    private static readonly EstimateOptions Pla = Printed.With("pla");

    /// <summary>Same filament as the obvious sum, a sane time, and these warnings only.</summary>
    private static JobEstimate Check(string text, double expectedMm, EstimateOptions? options = null, params string[] warnings)
    {
        var estimate = Printed.Run(text, options ?? Pla);
        Close.To(expectedMm, estimate.DepositedMm(), 1e-9);
        Assert.Equal(warnings, estimate.Warnings());
        Assert.InRange(estimate.Job.Time.MotionS, 2, 600);
        return estimate;
    }

    private static JobEstimate CheckSum(string text, EstimateOptions? options = null, params string[] warnings)
    {
        var sum = ObviousFilament.Of(text);
        Assert.True(sum.HighWaterOfAll > 10);
        var estimate = Check(text, sum.HighWaterOfAll, options, warnings);
        Assert.Equal(sum.ExtrudingMoves, estimate.Job.ExtrudingMoves);
        return estimate;
    }

    [Theory]
    [InlineData(true, false)]
    [InlineData(false, true)]
    [InlineData(false, false)]
    public void E_may_be_relative_or_absolute_with_and_without_resets(bool relative, bool resets) =>
        CheckSum(Hot + (relative ? "M83\n" : "M82\n") + "G92 E0\n" + new Wall { Relative = relative, ResetsAtLayers = resets }.Text() + End);

    [Fact]
    public void Words_need_no_blanks_between_them() => CheckSum(Hot + "M83\n" + new Wall { Relative = true, Between = "" }.Text() + End);

    [Theory]
    [InlineData("\t")]
    [InlineData("  \t ")]
    public void Tabs_separate_words(string between) => CheckSum(Hot + "M83\n" + new Wall { Relative = true, Between = between }.Text() + End);

    [Theory]
    [InlineData("\r\n")]
    [InlineData("\r")]
    [InlineData("\r\r\n")]
    [InlineData("\n\r\n")]
    public void Lines_may_end_in_any_way_and_comments_are_still_found(string end)
    {
        var text = (Hot + "; filament_type = PETG\nM83\n" + new Wall { Relative = true }.Text() + End).Replace("\n", end, StringComparison.Ordinal);
        var estimate = CheckSum(text, new EstimateOptions());
        Assert.Equal("petg", estimate.Tool(0).Material);
    }

    [Fact]
    public void Homing_may_carry_other_letters() => CheckSum(Hot.Replace("G28", "G28 W", StringComparison.Ordinal) + "M83\n" + new Wall { Relative = true }.Text());

    [Fact]
    public void Letters_may_be_lower_case_and_lines_numbered()
    {
        var plain = Hot + "M83\n" + new Wall { Relative = true }.Text() + End;
        var numbered = string.Concat(plain.TrimEnd('\n').Split('\n').Select((line, i) =>
        {
            var content = $"N{i + 1} {line.ToLowerInvariant()} ";
            return $"{content}*{content.Aggregate(0, static (sum, letter) => sum ^ letter)}\n";
        }));
        Close.To(ObviousFilament.Of(plain).HighWaterOfAll, Check(numbered, ObviousFilament.Of(plain).HighWaterOfAll).DepositedMm(), 1e-12);
    }

    [Fact]
    public void Accelerations_may_change_at_every_move()
    {
        var gentle = CheckSum(Hot + "M83\n" + new Wall { Relative = true, BeforeSide = "M204 S300\n" }.Text());
        var brisk = CheckSum(Hot + "M83\n" + new Wall { Relative = true, BeforeSide = "SET_VELOCITY_LIMIT ACCEL=3000 ACCEL_TO_DECEL=1500\n" }.Text());
        Assert.True(gentle.Job.Time.MotionS > 1.05 * brisk.Job.Time.MotionS);
    }

    [Fact]
    public void A_spiral_prints_without_layers()
    {
        var estimate = CheckSum(Hot + "M83\n" + new Wall { Relative = true, Spiral = true, Layers = 40 }.Text() + "M104 S0\n");
        Assert.Equal(1, estimate.Job.Layers);
    }

    [Fact]
    public void M135_chooses_the_tool()
    {
        var text = Hot + "M104 S230 T1\nM135 T1\nM83\n" + new Wall { Relative = true }.Text();
        var estimate = CheckSum(text, null, "cold-at-first-deposit");
        Assert.Equal(1, Assert.Single(estimate.Job.Tools).Tool);
        Close.To(230, estimate.Tool(1).NozzleMaxC!.Value, 0.01);
    }

    [Fact]
    public void An_A_axis_may_feed_the_filament()
    {
        var text = "M135 T0\nM104 S220 T0\nM133 T0\nG162 X Y F2000\nG92 X0 Y0 Z0 A0 B0\nG130 X20 Y20\n" + Hot
            + new Wall { Axis = 'A' }.Text() + "M127 T0\nM18 A B\nM72 P1\n";
        var estimate = Check(text, ObviousFilament.Of(text, axis: 'A').HighWaterOfAll, null, "unknown-command", "unknown-command");
        Assert.Equal("feeds filament", estimate.Setting("axis A").Value);
    }

    [Fact]
    public void Motor_speed_instead_of_filament_lengths_is_refused_with_the_reason()
    {
        var text = "M104 S220\nM109 S220\nM108 R3.0\nM101\nG1 X10 Y0 Z0.3 F1200\nG1 X20 Y10\nM103\nM108 R25.1\nG1 X0 Y0\n";
        var problem = Assert.Throws<InputProblem>(() => Printed.Run(text, Pla));
        Assert.EndsWith(
            ".gcode: the extruder runs by motor speed (M101, M108) and no filament length is given, so what is melted cannot be known; export the job with E words",
            problem.Message);
    }

    [Fact]
    public void Motor_commands_beside_E_words_do_no_harm() =>
        CheckSum(Hot + "M108 S255\n" + new Wall { BeforeSide = "M101\n", AfterSide = "M103\n" }.Text());

    [Theory]
    [InlineData(";FLAVOR:some dialect (Volumetric)\n", "")]
    [InlineData("", "; use_volumetric_e = 1\n")]
    [InlineData(";Filament used: 25.6mm3\n", "")]
    public void Volumetric_E_may_be_announced_in_a_comment_only(string header, string footer)
    {
        // 0.08 mm3 per mm of path
        var text = header + Hot + "M82\n" + new Wall { EPerMm = 0.08, RetractE = 2 }.Text() + End + footer;
        var mm3 = ObviousFilament.Of(text).HighWaterOfAll;
        var expectedMm = mm3 / (Math.PI * 1.75 * 1.75 / 4);
        var estimate = Check(text, expectedMm, null);
        Close.To(mm3, estimate.Tool(0).DepositedMm3, 1e-9);
        Assert.Equal("the comments say so", estimate.Setting("E").Because);
    }

    [Fact]
    public void Volumetric_E_of_a_compressed_job_may_be_announced_at_its_end()
    {
        var text = Hot + "M82\n" + new Wall { EPerMm = 0.08, RetractE = 2 }.Text() + End + "; use_volumetric_e = 1\n";
        Close.To(ObviousFilament.Of(text).HighWaterOfAll, Printed.Run(Gzip(text), Pla).Tool(0).DepositedMm3, 1e-9);
    }

    [Fact]
    public void M200_says_that_E_is_a_volume()
    {
        var text = Hot + "M200 D1.75\nM83\n" + new Wall { Relative = true, EPerMm = 0.08, RetractE = 2 }.Text();
        Close.To(ObviousFilament.Of(text).HighWaterOfAll, Printed.Run(text, Pla).Tool(0).DepositedMm3, 1e-9);
    }

    [Theory]
    [InlineData("", 0.0332)]
    [InlineData("; use_relative_e_distances = 1\n", 0.0332)]
    [InlineData("", 0.05)]
    public void Relative_E_may_be_set_by_a_start_macro_only(string footer, double ePerMm)
    {
        // The sides of the wall are equal, so read as absolute they would feed nothing.
        var text = "PRINT_START BED=60 EXTRUDER=215\nG90\n" + new Wall { Relative = true, Layers = 12, EPerMm = ePerMm }.Text() + "PRINT_END\n" + footer;
        var estimate = Check(text, ObviousFilament.Of(text.Replace("G90\n", "", StringComparison.Ordinal), isRelative: true).HighWaterOfAll, null,
            "unmapped-macro", "unmapped-macro");
        Assert.Equal("relative from the start", estimate.Setting("E").Value);
    }

    [Theory]
    [InlineData(0.0332)]
    [InlineData(0.05)]
    public void A_G90_that_undoes_M83_is_said_where_hardly_any_filament_is_left(double ePerMm)
    {
        var wall = new Wall { Relative = true, Layers = 12, EPerMm = ePerMm }.Text();
        var estimate = Printed.Run("M104 S215\nM109 S215\nG21\nM83\n G90\n" + wall, Pla);
        Assert.True(estimate.DepositedMm() < 0.1 * ObviousFilament.Of("M83\n" + wall).HighWaterOfAll);
        var said = Assert.Single(estimate.Diagnostics, static entry => entry.Code == "relative-e-undone");
        Assert.Equal((5L, 2, true), (said.Line, said.Column, said.ChangesResult));
        Assert.Contains("although M83 in line 4 makes it relative", said.Message);
        Assert.Contains("write M83 after the G90", said.Message);
        Assert.Contains("e_mode: independent", said.Message);
    }

    [Fact]
    public void A_G90_that_undoes_M83_is_no_matter_where_E_is_absolute_or_M83_comes_again()
    {
        CheckSum("M104 S215\nM109 S215\nG21\nM83\nG91\nG1 Z5 F600\nG90\nG92 E0\n" + new Wall { Layers = 12 }.Text());
        CheckSum("M104 S215\nM109 S215\nG21\nM83\nG90\nM82\n" + new Wall { Layers = 12 }.Text());
        CheckSum("M104 S215\nM109 S215\nG21\nM83\nG90\nM83\n" + new Wall { Relative = true, Layers = 12 }.Text());
    }

    [Fact]
    public void Absolute_E_that_no_command_names_stays_absolute() => CheckSum(Hot + new Wall { Layers = 12 }.Text());

    [Theory]
    [InlineData("START_PRINT EXTRUDER_TEMP=221 BED_TEMP=55", 221)]
    [InlineData("print_start bed=70 extruder=212", 212)]
    [InlineData("PRINT_START BED=110 EXTRUDER=235 CHAMBER=40 MATERIAL=ABS", 235)]
    public void Temperatures_may_stand_in_a_macro_call_only(string macro, double nozzleC)
    {
        var text = $"M104 S0\nM140 S0\n{macro}\nG90\nM83\n" + new Wall { Relative = true }.Text() + "END_PRINT\n";
        var estimate = CheckSum(text, null, "unmapped-macro", "unmapped-macro");
        Close.To(nozzleC, estimate.Tool(0).NozzleMeanWhileExtrudingC!.Value, 0.01);
    }

    [Fact]
    public void A_filament_change_is_counted_and_said()
    {
        var wall = new Wall { Relative = true }.Text();
        var text = Hot + "M83\n" + wall + "M600\n" + wall + "M601\n" + wall;
        var estimate = CheckSum(text, null, "filament-change");
        Assert.Equal(60, estimate.Job.Time.ToolChangeS);
        Assert.Equal(600, estimate.Job.Time.WaitingForPersonS);
    }

    [Fact]
    public void An_excluded_object_is_not_printed()
    {
        var kept = Hot + "M83\nEXCLUDE_OBJECT_DEFINE NAME=cup CENTER=110,110 POLYGON=[[100,100],[120,100]]\nEXCLUDE_OBJECT_START NAME=cup\n"
            + new Wall { Relative = true }.Text() + "EXCLUDE_OBJECT_END NAME=cup\n";
        var dropped = "EXCLUDE_OBJECT NAME=lid\nEXCLUDE_OBJECT_START NAME=lid\n" + new Wall { Relative = true }.Text() + "EXCLUDE_OBJECT_END NAME=lid\n";
        var estimate = Check(kept + dropped, ObviousFilament.Of(kept).HighWaterOfAll, null, "object-excluded");
        Assert.Equal(ObviousFilament.Of(kept).ExtrudingMoves, estimate.Job.ExtrudingMoves);
        CheckSum(kept.Replace("EXCLUDE_OBJECT_START NAME=cup", "M486 S0\nM486 Acup", StringComparison.Ordinal)
            .Replace("EXCLUDE_OBJECT_END NAME=cup", "M486 S-1", StringComparison.Ordinal));
    }

    [Fact]
    public void Four_filaments_on_one_nozzle_in_one_container_have_a_book_and_a_material_each()
    {
        var text = new StringBuilder("; filament_type = PLA;PETG;ABS;PLA\n; filament_diameter = 1.75,1.75,1.75,1.75\n; filament_density: 1.24,1.27,1.05,1.3\n" + Hot + "M83\n");
        for (var tool = 0; tool < 4; tool++)
        {
            text.Append(System.Globalization.CultureInfo.InvariantCulture, $"M620 S{tool}A\nM400\nT{tool}\nM109 S{220 + tool}\nM621 S{tool}A\n; CP TOOLCHANGE START\n")
                .Append(new Wall { Relative = true, Layers = 2 + tool }.Text());
        }

        text.Append("M620 S255\nT255\nM621 S255\n" + End);
        var estimate = Printed.Run(Container(("Metadata/plate_1.gcode", text.ToString()), ("Metadata/plate_1.json", "{}")));
        var expected = ObviousFilament.Of(text.ToString());
        Assert.Equal(["unknown-command", "unknown-command", "tool-number"], estimate.Warnings());
        Assert.Equal(["pla", "petg", "abs", "pla"], estimate.Job.Tools.Select(static tool => tool.Material));
        double[] density = [1.24, 1.27, 1.05, 1.3];
        foreach (var tool in estimate.Job.Tools)
        {
            Close.To(expected.HighWater[tool.Tool], tool.DepositedMm, 1e-9);
            Close.To(density[tool.Tool], tool.DepositedG / tool.DepositedMm3 * 1000, 1e-9);
            Close.To(220 + tool.Tool, tool.NozzleMeanWhileExtrudingC!.Value, 0.02);
        }
    }

    [Fact]
    public void The_summary_of_a_container_names_the_materials()
    {
        var text = Hot + "M83\n" + new Wall { Relative = true }.Text() + "T1\n" + new Wall { Relative = true }.Text();
        var estimate = Printed.Run(Container(
            ("Metadata/plate_1.gcode", text),
            ("Metadata/slice_info.config", "<config><plate><metadata key=\"index\" value=\"1\"/><filament id=\"1\" type=\"ABS\" used_m=\"0.01\" used_g=\"0.03\" />"
                + "<filament id=\"2\" type=\"TPU\" used_m=\"0.01\" used_g=\"0.03\" /></plate></config>")));
        Assert.Equal(["abs", "tpu"], estimate.Job.Tools.Select(static tool => tool.Material));
        Assert.Equal(20, estimate.Job.Claims.FilamentMm!.Value, 9);
    }

    [Fact]
    public void Headers_of_machine_tools_are_understood()
    {
        var text = "%\n(pen cup)\n(tool: (nozzle) 0.4)\nG21\nG90\nG17\nG40\nG49\nG61\nG64 P0.01\nG80\nG94\nM5\nM104 S210\nM109 S210\nG28\nG92 X0 Y0 Z0 E0\n"
            + new Wall().Text() + "M30\n%\n";
        CheckSum(text, null, "nested-brackets");
    }

    [Fact]
    public void Second_commands_of_a_line_are_said_to_be_left_out()
    {
        var text = Hot + new Wall().Text();
        Check("G21 G90 G17\n" + text, ObviousFilament.Of(text).HighWaterOfAll, null, "second-command");
    }

    [Fact]
    public void Inches_are_read()
    {
        const double Inch = 25.4;
        var text = "G20\nG90\nM83\nM104 S210\nM109 S210\nG1 X0 Y0 Z0.01 F60\nG1 X1 Y0 E0.05 F60\nG1 X1 Y1 E0.05\n";
        var estimate = Check(text, 0.1 * Inch);
        Assert.Equal(2, estimate.Job.ExtrudingMoves);
    }

    [Theory]
    [InlineData("G29.1 Z-0.02\n")]
    [InlineData("G91.1\n")]
    [InlineData("G92.1\n")]
    public void Numbers_behind_the_point_are_not_taken_for_the_plain_command(string line)
    {
        var without = CheckSum(Hot + "M83\n" + new Wall { Relative = true }.Text());
        var with = CheckSum(Hot + "M83\n" + line + new Wall { Relative = true }.Text());
        Close.To(without.Job.Time.TotalS, with.Job.Time.TotalS, 1e-12);
    }

    [Theory]
    [InlineData("G5 X10 Y10 E1", "G5")]
    [InlineData("G90.1", "G90.1")]
    [InlineData("G93", "G93")]
    [InlineData("M98 P\"part.g\"", "M98")]
    public void What_cannot_be_simulated_stops_the_estimate_and_is_named(string line, string name)
    {
        var problem = Assert.Throws<InputProblem>(() => Printed.Run(Hot + "G1 X1 F600\n" + line + "\n" + new Wall().Text(), Pla));
        Assert.Contains($":9:1: {name} ", problem.Message);
    }

    [Fact]
    public void Lines_of_twenty_kilobytes_are_read()
    {
        var text = "; outline = " + string.Join(',', Enumerable.Range(0, 4000).Select(static i => $"[{i}]")) + "\n"
            + "EXCLUDE_OBJECT_DEFINE NAME=cup POLYGON=[" + string.Join(',', Enumerable.Range(0, 2000).Select(static i => $"[{i},{i}]")) + "]\n"
            + Hot + new Wall().Text();
        Assert.True(text.Split('\n').Take(2).All(static line => line.Length > 20_000));
        CheckSum(text);
    }

    [Fact]
    public void A_nozzle_temperature_of_a_compressed_job_may_stand_at_its_end()
    {
        var text = "M83\n" + new Wall { Relative = true }.Text() + "; filament_type = ABS\n; temperature = 243\n";
        foreach (var content in new[] { Encoding.UTF8.GetBytes(text), Gzip(text) })
        {
            var estimate = Printed.Run(content);
            Close.To(243, estimate.Tool(0).NozzleMeanWhileExtrudingC!.Value, 0.01);
            Assert.Equal("abs", estimate.Tool(0).Material);
        }
    }

    [Fact]
    public void A_material_named_deep_inside_a_long_header_is_found()
    {
        var thumbnail = string.Concat(Enumerable.Repeat("; " + new string('A', 76) + "\n", 5000));
        var text = "; thumbnail begin 900x900 380000\n" + thumbnail + "; thumbnail end\n; filament_type = ASA\n" + Hot + "M83\n"
            + new Wall { Relative = true, Layers = 2500 }.Text();
        var estimate = Printed.Run(text);
        Assert.Equal("asa", estimate.Tool(0).Material);
        Close.To(ObviousFilament.Of(text).HighWaterOfAll, estimate.DepositedMm(), 1e-9);
    }

    [Fact]
    public void A_gross_difference_from_the_claimed_filament_is_said()
    {
        var text = "; filament used [mm] = 5000\n" + Hot + new Wall().Text();
        CheckSum(text, null, "claim-differs");
    }

    private static byte[] Gzip(string text)
    {
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Fastest))
        {
            gzip.Write(Encoding.UTF8.GetBytes(text));
        }

        return packed.ToArray();
    }

    private static byte[] Container(params (string Name, string Text)[] entries)
    {
        using var packed = new MemoryStream();
        using (var archive = new ZipArchive(packed, ZipArchiveMode.Create))
        {
            foreach (var (name, text) in entries)
            {
                using var entry = archive.CreateEntry(name).Open();
                entry.Write(Encoding.UTF8.GetBytes(text));
            }
        }

        return packed.ToArray();
    }
}
