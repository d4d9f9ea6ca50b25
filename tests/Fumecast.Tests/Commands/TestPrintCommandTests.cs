// SPDX-License-Identifier: MIT
using System.Text.Json;
using Fumecast.Forecast.TestPrint;
using Fumecast.Machine;
using Fumecast.Tests.Unit.Forecast;

namespace Fumecast.Tests.Commands;

public sealed class TestPrintCommandTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Fact]
    public void The_print_is_flat_for_evenness_and_known_to_estimate()
    {
        var file = _jobs.In("trial.gcode");
        var ended = InMemory.Run(
            ["testprint", "--material", "petg", "--flow", "4mm3/s", "--duration", "40min", "--phases", "background=5min,decay=10min", "--out", file]);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        var words = string.Join(' ', ended.Output.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
        foreach (var part in new[] { "needs 1", "filament", "rule of thumb", "nozzle 235 degC, bed 75 degC", "Never leave the printer unattended", "local rules", "For 5 min it waits", "waits for 10 min" })
        {
            Assert.Contains(part, words);
        }

        Assert.All(ended.Output.Split('\n'), static line => Assert.InRange(line.Length, 0, 88));
        using var seen = JsonDocument.Parse(InMemory.Run(["evenness", file, "--format", "json"]).Output);
        var flow = seen.RootElement.GetProperty("ranked")[0].GetProperty("flow");
        Assert.Equal("flat", flow.GetProperty("flow_grade").GetString());
        Assert.InRange(flow.GetProperty("cv").GetDouble(), 0, 0.005);
        Close.To(4, flow.GetProperty("mean_mm3_s").GetDouble(), 0.005);
        Close.To(2400, flow.GetProperty("print_phase_s").GetDouble(), 0.01);
        using var estimate = JsonDocument.Parse(InMemory.Real("estimate", file, "--format", "json").Output);
        Assert.Equal("petg", estimate.RootElement.GetProperty("job").GetProperty("tools")[0].GetProperty("material").GetString());
        Close.To(900, estimate.RootElement.GetProperty("job").GetProperty("time_s").GetProperty("dwell").GetDouble(), 1e-6);
    }

    [Fact]
    public void Options_reach_the_file()
    {
        var file = _jobs.In("trial.gcode");
        var ended = InMemory.Run(
            ["testprint", "--material", "pla", "--flow", "2", "--duration", "30min", "--nozzle", "205", "--bed", "0", "--fan", "40%", "--layer", "0.15",
             "--width", "0.5", "--first-layer-speed", "15", "--relative", "--phases", "decay=0s,background=0s", "--printer", "corexy-fast", "--out", file]);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        var text = File.ReadAllText(file);
        Assert.Contains("M83\n", text);
        Assert.Contains("M109 S205\n", text);
        Assert.Contains("M106 S102\n", text);
        Assert.Contains("; layer height 0.15 mm\n", text);
        Assert.Contains("G1 F900\n", text);
        Assert.DoesNotContain("M190", text);
        Assert.DoesNotContain("G4 ", text);
        Assert.DoesNotContain("For 0 s it waits", ended.Output);
    }

    [Theory]
    [InlineData("--nozzle", "300", "a nozzle at 300 degC is far from what is usual for pla")]
    [InlineData("--bed", "200", "a bed at 200 degC is far over what suits pla")]
    public void Temperatures_far_from_the_usual_need_a_word_of_their_own(string option, string value, string line)
    {
        string[] given = ["testprint", "--material", "pla", "--flow", "2", "--duration", "30min", option, value, "--out", _jobs.In("hot.gcode"), "--quiet"];
        var ended = InMemory.Run(given);
        Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
        Assert.StartsWith($"fumecast: {line}", ended.Error);
        Assert.Contains($"expected {option} ", ended.Error);
        Assert.False(File.Exists(_jobs.In("hot.gcode")));
        Assert.Contains("--beyond-range", ended.Error);
        Assert.DoesNotContain("far", InMemory.Run([.. given, "--beyond-range"]).Error);
    }

    [Fact]
    public void On_stdout_comes_the_print_and_the_words_go_to_stderr()
    {
        var ended = InMemory.Run(["testprint", "--material", "abs", "--flow", "5", "--duration", "20min", "--out", "-"]);
        Assert.Equal(0, ended.ExitCode);
        Assert.StartsWith("; test print with constant flow", ended.Output);
        Assert.EndsWith("; phase: end\n", ended.Output);
        Assert.Contains("M82\n", ended.Output);
        Assert.Contains("Never leave the printer unattended", ended.Error);
        Assert.Equal("", InMemory.Run(["testprint", "--material", "abs", "--flow", "5", "--duration", "20min", "--out", "-", "--quiet"]).Error);
    }

    [Theory]
    [InlineData("possible: up to", "--flow", "80", "--duration", "1h")]
    [InlineData("possible: up to", "--flow", "20", "--duration", "14d", "--width", "0.9", "--layer", "0.3")]
    [InlineData("possible:", "--flow", "0.5", "--duration", "2min")]
    public void What_is_impossible_is_refused_with_what_would_be_possible(string says, params string[] args)
    {
        var ended = InMemory.Run(["testprint", "--material", "pla", "--out", _jobs.In("trial.gcode"), .. args]);
        Assert.Equal((1, "", 1), (ended.ExitCode, ended.Output, ended.Error.Count(static letter => letter == '\n')));
        Assert.Contains(says, ended.Error);
        Assert.Empty(Directory.GetFiles(_jobs.Folder));
    }

    [Theory]
    [InlineData("--nozzle", "450", "expected 170 to 300 degC; set it with --nozzle")]
    [InlineData("--width", "0.1", "the layer height of a test print is 0.2 mm and its line 0.1 mm wide; expected a line of at least 1.2 layer heights: set --layer to 0.0833mm or less, or --width to 0.24mm or more")]
    [InlineData("--layer", "2mm", "the layer height of a test print is 2 mm and its line 0.45 mm wide; expected a line of at least 1.2 layer heights: set --layer to 0.375mm or less, or --width to 2.4mm or more")]
    public void What_no_printer_of_the_kind_does_is_wrong_usage_and_names_its_option(string option, string value, string says)
    {
        var ended = FumecastProcess.Run(_jobs.Folder, input: null, "testprint", "--material", "pla", "--flow", "4", "--duration", "1h", option, value, "--out", "trial.gcode");
        Assert.Equal((2, "", 1), (ended.ExitCode, ended.Output, ended.Error.Count(static letter => letter == '\n')));
        Assert.Contains(says, ended.Error);
        Assert.Empty(Directory.GetFiles(_jobs.Folder));
    }

    [Fact]
    public void A_large_number_has_its_power_of_ten_beside_it()
    {
        var ended = FumecastProcess.Run(_jobs.Folder, input: null, "testprint", "--material", "abs", "--flow", "4", "--duration", "1h", "--out", "trial.gcode");
        Assert.Equal(0, ended.ExitCode);
        Assert.Matches(@"about [\d.]+ (b|tr)illion particles\s+\([\d.]+e\d+;", ended.Output);
    }

    [Fact]
    public void A_file_that_does_not_hold_what_it_promises_is_a_mistake_of_our_own()
    {
        var plan = TestPrintPlanner.Plan(SampleRequest.Of(PrinterCatalogue.Load("desktop-default")) with { DurationS = 1200 });
        var other = _jobs.Wall("wall.gcode", rounds: 40);
        var bug = Assert.Throws<InvalidOperationException>(() => TestPrintCheck.Run(plan, other, new()));
        Assert.StartsWith("the test print did not pass its own check and was not written; ", bug.Message);
    }
}
