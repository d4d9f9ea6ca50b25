// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.Json;
using Fumecast.Trial;

namespace Fumecast.Tests.Commands;

public sealed class PlanCommandTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    private string[] Plan(params string[] more) => ["plan", _jobs.Wall("wall.gcode", rounds: 200), "--room", "bedroom", "--meter", "optical-pm", "--filter", "hepa", .. more];

    [Fact]
    public void The_text_says_first_whether_the_meter_can_see_it_and_what_would_help()
    {
        var ended = FumecastProcess.Run(_jobs.Folder, input: null, Plan("--start", "2026-11-28 10:00"));
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.StartsWith("No, probably not: one run without and one with hepa would show the difference", ended.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Contains("WHAT WOULD HELP", ended.Output, StringComparison.Ordinal);
        Assert.Contains("a counter of particles", ended.Output, StringComparison.Ordinal);
        Assert.Contains("Currie's limit", ended.Output, StringComparison.Ordinal);

        // The meter warms up for five minutes, then the background takes an hour.
        Assert.Contains("[ ] 2026-11-28 10:00 ", ended.Output, StringComparison.Ordinal);
        Assert.Contains("[ ] 2026-11-28 11:05    Base: start wall.gcode without the filter", ended.Output, StringComparison.Ordinal);
        Assert.Contains("TO BE HELD", ended.Output, StringComparison.Ordinal);
        Assert.DoesNotContain(" is safe", ended.Output, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void The_JSON_has_the_keys_of_the_contract()
    {
        var ended = InMemory.Real(Plan("--format", "json"));
        Assert.Equal(0, ended.ExitCode);
        using var document = JsonDocument.Parse(ended.Output);
        var root = document.RootElement;
        Assert.Equal("fumecast/plan/1", root.GetProperty("schema").GetString());
        foreach (var key in new[] { "quantities", "wait_s", "log_after_s", "runs", "steps", "verdict", "help", "settings_resolved", "diagnostics", "sources", "cautions" })
        {
            Assert.True(root.TryGetProperty(key, out _), key);
        }

        var quantity = root.GetProperty("quantities").EnumerateArray().First(static one => one.GetProperty("quantity").GetString() == "pm25");
        Assert.Equal("ug_per_m3", quantity.GetProperty("unit").GetString());
        var (without, with, difference) = (Median("without"), Median("with"), Median("difference"));
        Assert.True(without > with && with > 0 && difference > 0 && difference < without);
        Assert.InRange(quantity.GetProperty("probability_seen").GetDouble(), 0, 1);
        Assert.True(quantity.GetProperty("detectable").GetDouble() > 1);
        Assert.Equal(["background", "base", "air out", "background", "remedy", "air out", "background", "base"], root.GetProperty("runs").EnumerateArray().Select(static run => run.GetProperty("what").GetString()!));

        // Without a start times count from switching on the meter.
        var steps = root.GetProperty("steps");
        Assert.Equal("+0:00", steps[0].GetProperty("at").GetString());
        Assert.False(steps[0].TryGetProperty("clock", out _));

        // The wait is that to 95 % of the plateau, by the middle of the loss rate.
        Assert.Equal(Math.Log(20) * 3600 / quantity.GetProperty("loss_per_h").GetProperty("median").GetDouble(), root.GetProperty("wait_s").GetDouble(), 1e-6);

        double Median(string key) => quantity.GetProperty(key).GetProperty("median").GetDouble();
    }

    [Fact]
    public void A_counter_of_particles_sees_what_an_optical_meter_does_not()
    {
        static double Seen(string output)
        {
            using var document = JsonDocument.Parse(output);
            return document.RootElement.GetProperty("quantities").EnumerateArray().Max(static one => one.GetProperty("probability_seen").GetDouble());
        }

        var optical = Seen(InMemory.Real(Plan("--format", "json")).Output);
        var counter = Seen(InMemory.Real("plan", _jobs.Wall("wall.gcode", rounds: 200), "--room", "bedroom", "--meter", "particle-counter", "--filter", "hepa", "--format", "json").Output);
        Assert.True(counter > optical + 0.2, string.Create(CultureInfo.InvariantCulture, $"{counter} {optical}"));
    }

    [Fact]
    public void The_notebook_can_be_read_and_says_what_is_to_be_filled_in()
    {
        var file = _jobs.In("trial.yaml");
        var ended = InMemory.Real("plan", _jobs.Wall("wall.gcode", rounds: 40), "--volume", "25 to 35 m3", "--enclosure", "0.12m3", "--meter", "optical-pm", "--filter", "hepa", "--start", "2026-11-28 10:00", "--notebook-out", file, "--quiet");
        Assert.Equal(0, ended.ExitCode);
        var notebook = NotebookFile.Load(file);
        Assert.Equal(["base", "remedy", "base again"], notebook.Runs.Select(static run => run.Name));
        Assert.Equal([null, "hepa", null], notebook.Runs.Select(static run => run.Filter));
        Assert.All(notebook.Runs, run => Assert.True(File.Exists(run.Job), run.Job));
        Assert.Equal(new DateTime(2026, 11, 28, 11, 5, 0), notebook.Runs[0].Start!.Value.Date);
        Assert.Equal([("base", "remedy"), ("base again", "remedy")], notebook.Pairs);

        // The room of the options lies beside it.
        Assert.Equal(["box", "room"], notebook.Room!.Zones.Select(static zone => zone.Id));
        Assert.Equal(Math.Sqrt(25.0 * 35), notebook.Room.Zones[1].VolumeM3.Value, 1e-9);
        Assert.NotNull(notebook.Room.Box);

        var check = InMemory.Real("notebooks", "check", file);
        Assert.Equal(0, check.ExitCode);
        Assert.Contains("good, a notebook with 3 runs; but 7 places are still marked FILL IN", check.Output, StringComparison.Ordinal);
        Assert.Contains("not there yet:", check.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void The_template_of_notebooks_is_sound()
    {
        var file = _jobs.In("start.yaml");
        Assert.Equal(0, InMemory.Real("notebooks", "template", "--out", file).ExitCode);
        Assert.Equal(3, NotebookFile.Load(file).Runs.Count);
        File.WriteAllText(file, File.ReadAllText(file).Replace("runs:", "rums:", StringComparison.Ordinal));
        var check = InMemory.Real("notebooks", "check", file);
        Assert.Equal(1, check.ExitCode);
        Assert.Contains("start.yaml:", check.Output, StringComparison.Ordinal);
        Assert.Contains("runs", check.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--filter", "--meter is missing", "--filter", "hepa", "--room", "bedroom")]
    [InlineData("--meter", "--filter is missing", "--meter", "optical-pm", "--room", "bedroom")]
    [InlineData("room", "the room is missing", "--meter", "optical-pm", "--filter", "hepa")]
    [InlineData("start", "--start: found 'tomorrow'", "--meter", "optical-pm", "--filter", "hepa", "--room", "bedroom", "--start", "tomorrow")]
    [InlineData("certainty", "--certainty", "--meter", "optical-pm", "--filter", "hepa", "--room", "bedroom", "--certainty", "1.5")]
    [InlineData("both", "--room describes the whole room", "--meter", "optical-pm", "--filter", "hepa", "--room", "bedroom", "--volume", "30m3")]
    public void Wrong_usage_is_one_line_and_2(string _, string message, params string[] options)
    {
        var file = _jobs.In("none.yaml");
        var ended = InMemory.Real(["plan", _jobs.Wall("wall.gcode", rounds: 4), .. options, "--notebook-out", file]);
        Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
        Assert.Contains(message, ended.Error, StringComparison.Ordinal);
        Assert.Single(ended.Error.TrimEnd('\n').Split('\n'));
        Assert.False(File.Exists(file));
    }

    [Fact]
    public void A_wrong_file_is_one_line_and_1_and_nothing_is_written()
    {
        var (file, job) = (_jobs.In("none.yaml"), _jobs.Broken("broken.gcode.gz"));
        var ended = InMemory.Real("plan", job, "--room", "bedroom", "--meter", "optical-pm", "--filter", "hepa", "--notebook-out", file);
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Contains("broken.gcode.gz", ended.Error, StringComparison.Ordinal);
        ended = InMemory.Real("plan", _jobs.Wall("wall.gcode", rounds: 4), "--room", "bedroom", "--meter", "no-such-meter", "--filter", "hepa", "--notebook-out", file);
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.False(File.Exists(file));
    }
}
