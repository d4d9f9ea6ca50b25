// SPDX-License-Identifier: MIT
using System.Text.Json;

namespace Fumecast.Tests.Commands;

public sealed class EvennessCommandTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Fact]
    public void The_flattest_job_comes_first_with_the_keys_of_the_contract()
    {
        var rough = _jobs.Wall("rough.gcode", rounds: 40, pauseS: 60);
        var even = _jobs.Wall("even.gcode", rounds: 40);
        var ended = InMemory.Run(["evenness", rough, even, "--format", "json", "--meter-interval", "1min"]);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        using var document = JsonDocument.Parse(ended.Output);
        Assert.Equal("fumecast/evenness/1", document.RootElement.GetProperty("schema").GetString());
        var ranked = document.RootElement.GetProperty("ranked").EnumerateArray().ToArray();
        Assert.Equal([even, rough], ranked.Select(job => job.GetProperty("file").GetString()));
        Assert.Equal([1, 2], ranked.Select(job => job.GetProperty("rank").GetInt32()));
        foreach (var key in new[] { "file", "rank", "flow", "time_s" })
        {
            Assert.True(ranked[0].TryGetProperty(key, out _), key);
        }

        var flow = ranked[0].GetProperty("flow");
        foreach (var key in new[] { "interval_s", "mean_mm3_s", "median_mm3_s", "idle_share", "cv", "cv_while_extruding", "share_within_10_percent", "longest_steady_s", "allan", "grade" })
        {
            Assert.True(flow.TryGetProperty(key, out _), key);
        }

        Assert.Equal(60, flow.GetProperty("interval_s").GetDouble());
        Assert.Equal("flat", flow.GetProperty("grade").GetString());

        // A round of 240 mm at 30 mm/s takes 8 s, the pause 60 s.
        Assert.InRange(ranked[1].GetProperty("flow").GetProperty("idle_share").GetDouble(), 0.85, 0.9);
    }

    [Fact]
    public void A_folder_stands_for_its_jobs_and_a_bad_one_does_not_stop_the_others()
    {
        _jobs.Wall("a.gcode", rounds: 10);
        _jobs.Wall("b.gcode", rounds: 20);
        _jobs.Broken("c.gcode");
        var ended = InMemory.Run(["evenness", _jobs.Folder, "--format", "csv"]);
        Assert.Equal(1, ended.ExitCode);
        Assert.StartsWith($"fumecast: {_jobs.In("c.gcode")}", ended.Error);
        Assert.Equal(1, ended.Error.Count(static letter => letter == '\n'));
        var rows = ended.Output.TrimEnd('\n').Split('\n');
        Assert.Equal(3, rows.Length);
        Assert.StartsWith("rank,file,grade,interval_s,cv,", rows[0]);
        Assert.All(rows, row => Assert.Equal(rows[0].Split(',').Length, row.Split(',').Length));
    }

    [Fact]
    public void Text_and_picture_show_the_ranking()
    {
        var one = _jobs.Wall("a.gcode", rounds: 40, pauseS: 20);
        var ended = InMemory.Run(["evenness", one, _jobs.Wall("b.gcode", rounds: 40), "--plot", _jobs.In("e.png")]);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Contains("\n1   b.gcode", ended.Output);
        Assert.Contains("\n2   a.gcode", ended.Output);

        // 240 mm at 30 mm/s; over 10 s the pause at each corner is hardly seen.
        Assert.Contains("the rhythm of the layers, 8 s: invisible to a meter that", ended.Output);
        Assert.All(ended.Output.Split('\n'), static line => Assert.InRange(line.Length, 0, 88));
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], File.ReadAllBytes(_jobs.In("e.png"))[..4]);
    }

    [Fact]
    public void Without_a_job_that_can_be_used_nothing_is_written()
    {
        var ended = InMemory.Run(["evenness", _jobs.Broken("a.gcode"), _jobs.Broken("b.gcode"), "--out", _jobs.In("e.txt")]);
        Assert.Equal((1, "", 2), (ended.ExitCode, ended.Output, ended.Error.Count(static letter => letter == '\n')));
        Assert.False(File.Exists(_jobs.In("e.txt")));
    }

    [Fact]
    public void A_job_fed_by_motor_speed_is_refused_in_the_words_of_estimate()
    {
        File.WriteAllText(_jobs.In("speed.gcode"), "M109 S200\nM108 R30\nG1 X10 Y10 Z0.2 F600\nM101\nG1 X100 Y10\nM103\n");
        var ended = InMemory.Real("evenness", _jobs.In("speed.gcode"), "--material", "pla");
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Contains("the extruder runs by motor speed (M101, M108) and no filament length is given", ended.Error);
        Assert.Equal(InMemory.Real("estimate", _jobs.In("speed.gcode"), "--material", "pla").Error, ended.Error);
    }

    [Fact]
    public void An_empty_folder_is_said_to_be_so()
    {
        var ended = InMemory.Run(["evenness", _jobs.Folder]);
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.StartsWith($"fumecast: {_jobs.Folder}: the folder itself holds no G-code file", ended.Error);
    }
}
