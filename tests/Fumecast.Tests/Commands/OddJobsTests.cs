// SPDX-License-Identifier: MIT
using System.Text.Json;

namespace Fumecast.Tests.Commands;

/// <summary>Jobs with commands that vendors and families write each in their way, through the whole command.</summary>
public sealed class OddJobsTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-odd-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_vendor_command_that_repeats_a_letter_is_no_reason_to_refuse_a_job()
    {
        var run = Estimate("M83\nM109 S210\nM970.3 Q0 A7 B30 C90 Q0\nG1 X10 E5 F600\n", "--strict");
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
    }

    [Fact]
    public void Choices_that_mattered_stand_under_the_settings_with_their_lines()
    {
        var run = Estimate(
            "M82\nM205 X8 Y8\nG10 P0 S195 R160\nM104 T1 S210\nM116\nG92 E0\nG1 X10 E10 E20 F600\nT1\nG1 X20 E30\n");
        Assert.Equal(0, run.ExitCode);
        using var document = JsonDocument.Parse(run.Output);
        var settings = document.RootElement.GetProperty("settings_resolved").EnumerateArray()
            .Select(entry => (Name: entry.GetProperty("setting").GetString(), Line: entry.TryGetProperty("line", out var line) && line.ValueKind == JsonValueKind.Number ? line.GetInt64() : 0)).ToList();
        Assert.Contains(("corners by M205 X or Y", 2), settings);
        Assert.Contains(("G10 with P and S or R", 3), settings);
        Assert.Contains(("a letter twice in a command", 7), settings);
        Assert.Contains(("absolute E after a tool change", 9), settings);
        Close.To(20, Tool(document, 0).GetProperty("deposited_mm").GetDouble(), 1e-9);
        Close.To(10, Tool(document, 1).GetProperty("deposited_mm").GetDouble(), 1e-9);
    }

    [Fact]
    public void A_setting_of_the_printer_profile_decides_how_E_goes_on_after_a_tool_change()
    {
        var shipped = File.ReadAllText(Path.Combine(RepositoryRoot.Path, "src/Fumecast.Core/Data/printers/desktop-default.yaml"));
        var printer = Path.Combine(_folder, "mine.yaml");
        File.WriteAllText(printer, shipped.Replace("family: numbered-commands", "family: numbered-commands\n  e_across_tools: per-tool", StringComparison.Ordinal));
        var run = Estimate("M82\nM104 S210\nM104 T1 S210\nM116\nG1 X10 E10 F600\nT1\nG1 X20 E30\n", "--printer", printer);
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        using var document = JsonDocument.Parse(run.Output);
        Close.To(30, Tool(document, 1).GetProperty("deposited_mm").GetDouble(), 1e-9);
    }

    [Theory]
    [InlineData("M83\nM109 S2000\nG1 X10 E5 F600\n", 2, 1, "M109 asks for 2000 C; expected at most 600 C")]
    [InlineData("M83\nM140 S1000001\nG1 X10 E5 F600\n", 2, 1, "M140 asks for 1000001 C; expected at most 600 C")]
    [InlineData("M83\n M141 S2000\nG1 X10 E5 F600\n", 2, 2, "M141 asks for 2000 C; expected at most 600 C")]
    [InlineData("M83\nM191 S-400\nG1 X10 E5 F600\n", 2, 1, "M191 asks for -400 C; expected 0 C to switch off, or up to 600 C")]
    [InlineData("M83\nM109 S210\nG2 X0 Y0 I640000000 J0 E1 F600\n", 3, 1, "G2 moves over a kilometre at once")]
    public void An_impossible_number_is_one_line_with_its_place_and_leaves_with_1(string job, int line, int column, string message)
    {
        var run = Estimate(job);
        Assert.Equal(1, run.ExitCode);
        Assert.Equal("", run.Output);
        Assert.Single(run.Error.TrimEnd('\n').Split('\n'));
        Assert.Contains($".gcode:{line}:{column}: ", run.Error, StringComparison.Ordinal);
        Assert.Contains(message, run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("M104 S-5", "M104 asks for -5 C, which is taken as off")]
    [InlineData("M109 S-10", "M109 asks for -10 C, which is taken as off")]
    [InlineData("M140 R-1", "M140 asks for -1 C, which is taken as off")]
    [InlineData("M141 S-20", "M141 asks for -20 C, which is taken as off")]
    [InlineData("SET_HEATER_TEMPERATURE HEATER=extruder TARGET=-5", "SET_HEATER_TEMPERATURE asks for -5 C, which is taken as off")]
    public void A_set_point_below_0_that_is_taken_as_off_is_told_with_its_line(string command, string message)
    {
        var run = Estimate($"M83\nM109 S210\nG1 X10 E5 F600\n{command}\n");
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        Assert.Contains(("temperature-below-zero", "warning", 4, message + "; write 0 if that is meant, else correct the number"), Findings(run));
    }

    // From -273 down some firmware means off, and in other units 0 lies below 0 C.
    [Theory]
    [InlineData("M104 S0")]
    [InlineData("M140 S-273.1")]
    [InlineData("M149 F\nM104 S0")]
    public void The_usual_ways_to_switch_off_are_not_told(string command) =>
        Assert.DoesNotContain(Findings(Estimate($"M83\nM109 S210\nG1 X10 E5 F600\n{command}\n")), static finding => finding.Code == "temperature-below-zero");

    [Theory]
    [InlineData("M141 S60", "chamber-heated", "note")]
    [InlineData("M191 S60", "chamber", "warning")]
    [InlineData("M141 S250", "chamber-above-limit", "warning")]
    public void A_chamber_is_told_of_since_it_is_not_modelled(string command, string code, string severity) =>
        Assert.Contains(Findings(Estimate($"M83\n{command}\nM109 S210\nG1 X10 E5 F600\n")), finding => (finding.Code, finding.Severity, finding.Line) == (code, severity, 2));

    [Theory]
    [InlineData("M141 S0")]
    [InlineData("M191 S0")]
    public void A_chamber_that_is_switched_off_is_not(string command) =>
        Assert.DoesNotContain(Findings(Estimate($"M83\n{command}\nM109 S210\nG1 X10 E5 F600\n")), static finding => finding.Code.StartsWith("chamber", StringComparison.Ordinal));

    [Theory]
    [InlineData("M82\nG91\nG90\nM109 S210\nG1 X10 E5 F600\nG1 X20 E9\n", null, 0)]
    [InlineData("M82\nG91\nG1 Z5 F600\nG90\nM109 S210\nG1 X10 E5\n", null, 0)]
    [InlineData("M82\nG91\nM109 S210\nG1 X10 E5 F600\nG90\nG1 X20 E9\n", "relative", 2)]
    [InlineData("M83\nG90\nM109 S210\nG1 X10 E5 F600\n", "absolute", 2)]
    public void E_after_G90_or_G91_is_listed_only_where_it_was_used_so(string job, string? value, int line)
    {
        using var document = JsonDocument.Parse(Estimate(job).Output);
        var listed = document.RootElement.GetProperty("settings_resolved").EnumerateArray().Where(static entry => entry.GetProperty("setting").GetString() == "E after G90 or G91").ToList();
        if (value is null)
        {
            Assert.Empty(listed);
        }
        else
        {
            Assert.Equal((value, line), (listed.Single().GetProperty("value").GetString(), listed.Single().GetProperty("line").GetInt32()));
        }
    }

    private static List<(string Code, string Severity, int Line, string Message)> Findings(InMemory.Ended run)
    {
        using var document = JsonDocument.Parse(run.Output);
        return [.. document.RootElement.GetProperty("diagnostics").EnumerateArray().Select(static entry => (
            entry.GetProperty("code").GetString()!, entry.GetProperty("severity").GetString()!,
            entry.TryGetProperty("line", out var line) && line.ValueKind == JsonValueKind.Number ? line.GetInt32() : 0, entry.GetProperty("message").GetString()!))];
    }

    private InMemory.Ended Estimate(string job, params string[] more)
    {
        var path = Path.Combine(_folder, "job.gcode");
        File.WriteAllText(path, job);
        return InMemory.Real(["estimate", path, "--material", "pla", "--format", "json", "--quiet", .. more]);
    }

    private static JsonElement Tool(JsonDocument document, int index) => document.RootElement.GetProperty("job").GetProperty("tools")[index];
}
