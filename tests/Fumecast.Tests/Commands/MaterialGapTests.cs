// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Fumecast.Tests.Commands;

/// <summary>A material that nothing names is asked for, however often the job had to be read; it never becomes a result of nothing.</summary>
public sealed class MaterialGapTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Theory]
    [InlineData]
    [InlineData("--strict")]
    public void A_job_read_again_because_its_E_is_relative_still_needs_a_material(params string[] more)
    {
        var job = Write("relative.gcode", "G28\nM109 S210\nG1 F1200\n" + Lines(300));
        var ended = InMemory.Real(["estimate", job, .. more]);
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Equal($"fumecast: {job}: the file does not say what material tool 0 prints; name it with --material ID (see: fumecast materials list)\n", ended.Error);
        Assert.Equal(0, InMemory.Real("estimate", job, "--material", "pla").ExitCode);
    }

    [Theory]
    [InlineData("TPU 95A")]
    [InlineData("silk pla")]
    [InlineData("wood PLA")]
    [InlineData("PLA/PHA")]
    [InlineData("polyvinyl alcohol")]
    public void The_plain_key_takes_the_words_that_the_others_take(string words)
    {
        const string Moves = "G28\nM109 S210\nM83\nG1 X10 E1 F600\nG1 X20 E1\n";
        var plain = InMemory.Real("estimate", Write("a.gcode", $"; material {words}\n{Moves}"), "--format", "csv");
        var signed = InMemory.Real("estimate", Write("a.gcode", $"; filament_type = {words}\n{Moves}"), "--format", "csv");

        // On the command line a slash makes a path of it.
        var given = InMemory.Real("estimate", Write("a.gcode", Moves), "--format", "csv", "--material", words.Replace('/', ' '));
        Assert.Equal((0, signed.Output, given.Output), (plain.ExitCode, plain.Output, plain.Output));
    }

    [Theory]
    [InlineData("unobtainium")]
    [InlineData("purple unobtainium")]
    public void A_word_that_is_not_known_is_told_from_none(string words)
    {
        var ended = InMemory.Real("estimate", Write("a.gcode", $"; material {words}\nG28\nM109 S210\nM83\nG1 X10 E1 F600\nG1 X20 E1\n"));
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Contains($"the comments call the material of tool 0 \"{words}\", which stands for none of ours", ended.Error);
        Assert.DoesNotContain("does not say", ended.Error);
    }

    [Theory]
    [InlineData("; material: PLA")]
    [InlineData(";material:PLA")]
    [InlineData("; material = PLA")]
    public void A_material_with_a_sign_is_what_the_file_says(string comment)
    {
        const string Moves = "G28\nM109 S210\nM83\nG1 X10 E1 F600\nG1 X20 E1\n";
        var said = InMemory.Real("estimate", Write("a.gcode", $"{comment}\n{Moves}"), "--format", "csv");
        Assert.Equal((0, InMemory.Real("estimate", Write("a.gcode", Moves), "--material", "pla", "--format", "csv").Output), (said.ExitCode, said.Output));
    }

    [Fact]
    public void A_list_of_materials_is_laid_to_as_many_tools_and_otherwise_asked_about()
    {
        const string One = "; material: PLA, ABS\nG28\nM109 S210\nM83\nG1 X10 E1 F600\nG1 X20 E1\n";
        const string Words = "the comments list 2 materials (PLA, ABS), but the job prints with one tool, so which is meant is unclear; name it with --material ID";
        var job = Write("one.gcode", One);
        var unclear = InMemory.Real("estimate", job);
        Assert.Equal((1, "", $"fumecast: {job}:1:1: {Words}\n"), (unclear.ExitCode, unclear.Output, unclear.Error));
        Assert.Contains(Words, string.Join(' ', InMemory.Real("evenness", job, "--format", "csv").Output, InMemory.Real("evenness", job, "--format", "json").Output));
        Assert.Equal(0, InMemory.Real("estimate", job, "--material", "abs").ExitCode);

        var two = InMemory.Real("estimate", Write("two.gcode", One + "M109 T1 S240\nT1\nG1 X30 E1\nG1 X40 E1\n"), "--format", "json");
        Assert.Equal(0, two.ExitCode);
        Assert.Contains("\"material\": \"pla\"", two.Output);
        Assert.Contains("\"material\": \"abs\"", two.Output);
        Assert.Equal(0, InMemory.Real("estimate", Write("same.gcode", One.Replace("ABS", "pla", StringComparison.Ordinal))).ExitCode);
    }

    [Fact]
    public void A_material_for_one_of_two_tools_is_not_enough()
    {
        var job = TwoTools();
        var ended = InMemory.Real("estimate", job, "--material", "0=pla");
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Contains("what material tool 1 prints; name it with --material 1=ID", ended.Error);
        Assert.Equal(0, InMemory.Real("estimate", job, "--material", "0=pla", "--material", "1=abs").ExitCode);
    }

    [Fact]
    public void A_material_for_the_second_tool_asks_for_that_of_the_first_by_its_number()
    {
        var ended = FumecastProcess.Run(_jobs.Folder, input: null, "estimate", TwoTools(), "--material", "1=abs");
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Contains("what material tool 0 prints; name it with --material 0=ID", ended.Error);
    }

    [Fact]
    public void A_job_without_material_and_temperature_is_asked_for_the_material_which_is_enough()
    {
        var job = _jobs.In("cube.gcode");
        File.WriteAllText(job, "G28\nG1 Z0.2 F600\nG1 X50 E5 F1200\nG1 Y50 E10\n");
        var ended = FumecastProcess.Run("estimate", job);
        Assert.Equal((1, $"fumecast: {job}: the file does not say what material tool 0 prints; name it with --material ID (see: fumecast materials list)\n"), (ended.ExitCode, ended.Error));
        Assert.Equal(0, FumecastProcess.Run("estimate", job, "--material", "pla").ExitCode);
    }

    [Fact]
    public void A_material_for_a_tool_that_the_job_does_not_use_is_said_and_is_an_error_when_strict()
    {
        var job = _jobs.Wall("wall.gcode", rounds: 10);
        string[] given = ["estimate", job, "--material", "pla", "--material", "1=abs"];
        var ended = InMemory.Real([.. given, "--format", "csv"]);
        Assert.Equal((0, "fumecast: warning: the job uses no tool 1, so --material 1=abs changes nothing; tools in use: 0\n"), (ended.ExitCode, ended.Error));
        Assert.Equal(1, InMemory.Real([.. given, "--strict"]).ExitCode);
    }

    [Fact]
    public void Half_the_speed_takes_a_wall_twice_the_time()
    {
        var job = _jobs.Wall("wall.gcode", rounds: 60);
        Close.To(2, PhaseS("--speed", "50%") / PhaseS(), 0.03);

        double PhaseS(params string[] more)
        {
            using var document = System.Text.Json.JsonDocument.Parse(InMemory.Real(["estimate", job, "--format", "json", .. more]).Output);
            return document.RootElement.GetProperty("flow").GetProperty("print_phase_s").GetDouble();
        }
    }

    private string TwoTools() => Write("two.gcode", $"M83\nG28\nM109 S210\nG1 F1200\n{Lines(100)}T1\nM109 S210\n{Lines(100)}");

    private string Write(string name, string text)
    {
        File.WriteAllText(_jobs.In(name), text);
        return _jobs.In(name);
    }

    private static string Lines(int moves)
    {
        var text = new StringBuilder();
        for (var move = 0; move < moves; move++)
        {
            text.Append(CultureInfo.InvariantCulture, $"G1 X{move % 2 * 100} E2\n");
        }

        return text.ToString();
    }
}
