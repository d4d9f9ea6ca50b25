// SPDX-License-Identifier: MIT
using System.Text.Json;

namespace Fumecast.Tests.Commands;

public sealed class RoomCommandTests : IDisposable
{
    private readonly TrialJobs _jobs = new();
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-room-").FullName;

    public void Dispose()
    {
        _jobs.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    [Fact]
    public void A_volume_alone_is_enough_and_gives_the_keys_of_the_contract()
    {
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 40), "--volume", "30m3", "--level", "styrene=30ug/m3", "--format", "json");
        Assert.Equal(0, ended.ExitCode);
        using var document = JsonDocument.Parse(ended.Output);
        var root = document.RootElement;
        Assert.Equal("fumecast/air/1", root.GetProperty("schema").GetString());
        foreach (var key in new[] { "room", "interval", "duration_s", "zones", "clear_after", "remedies", "needed", "balance", "settings_resolved", "diagnostics", "sources", "cautions" })
        {
            Assert.True(root.TryGetProperty(key, out _), key);
        }

        var zone = root.GetProperty("zones")[0];
        Assert.Equal(("room", 30), (zone.GetProperty("zone").GetString(), zone.GetProperty("volume_m3").GetDouble()));
        var number = zone.GetProperty("agents")[0];
        Assert.Equal(("particle_number", "per_cm3"), (number.GetProperty("agent").GetString(), number.GetProperty("unit").GetString()));
        foreach (var key in new[] { "peak", "peak_at_s", "mean_15min", "mean_1h", "mean_8h", "mean_24h", "mean_print", "end_of_print", "time_integral_h" })
        {
            Assert.True(number.TryGetProperty(key, out _), key);
        }

        // What was assumed is said.
        Assert.Contains(root.GetProperty("settings_resolved").EnumerateArray(), static s =>
            s.GetProperty("setting").GetString()!.StartsWith("air changes", StringComparison.Ordinal) && s.GetProperty("because").GetString()!.StartsWith("assumed", StringComparison.Ordinal));
    }

    [Fact]
    public void The_text_says_it_in_plain_words_first_and_never_safe()
    {
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 40), "--volume", "30m3", "--enclosure", "0.12m3", "--leak", "0.5m3/h", "--filter", "thin-carbon", "--remedies");
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Contains("will raise the number of particles by up to", ended.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Contains("without the box", ended.Output, StringComparison.Ordinal);
        Assert.Contains("no proof of", ended.Output, StringComparison.Ordinal);
        Assert.Contains("Carbon takes up vapours; it is no particle filter.", ended.Output, StringComparison.Ordinal);
        Assert.DoesNotContain(" is safe", ended.Output, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void The_series_has_a_row_for_each_time_and_three_columns_for_each_level()
    {
        var file = Path.Combine(_folder, "levels.csv");
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 40), "--room", "bedroom-leaky-box", "--series", file);
        Assert.Equal(0, ended.ExitCode);
        var rows = File.ReadAllLines(file);
        Assert.StartsWith("time_s,box_particle_number,box_particle_number_low,box_particle_number_high,", rows[0], StringComparison.Ordinal);
        Assert.True(rows.Length > 50);
        Assert.All(rows, row => Assert.Equal(rows[0].Split(',').Length, row.Split(',').Length));
        var last = Array.ConvertAll(rows[^1].Split(','), static cell => double.Parse(cell, System.Globalization.CultureInfo.InvariantCulture));
        Assert.True(last[0] >= 86_400);
        Assert.All(last, static number => Assert.True(number >= 0));
    }

    [Theory]
    [InlineData(2, "the room is missing", "room", "JOB")]
    [InlineData(2, "--room describes the whole room", "room", "JOB", "--room", "office", "--volume", "30m3")]
    [InlineData(1, "found no filter 'hepaa'; did you mean 'hepa'?", "room", "JOB", "--room", "office", "--filter", "hepaa")]
    [InlineData(2, "--leak is that of a box", "room", "JOB", "--volume", "30m3", "--leak", "1m3/h")]
    [InlineData(2, "--volume: found '-3m3'", "room", "JOB", "--volume", "-3m3")]
    [InlineData(2, "--volume: found '30'", "room", "JOB", "--volume", "30")]
    [InlineData(2, "--level: found 'styrene'", "room", "JOB", "--volume", "30m3", "--level", "styrene")]
    [InlineData(1, "did you mean 'office'", "room", "JOB", "--room", "ofice")]
    [InlineData(2, "name a job", "room", "--room", "office")]
    public void What_is_wrong_is_said_in_one_line(int code, string says, params string[] args)
    {
        var job = _jobs.Wall("wall.gcode", rounds: 2);
        var ended = InMemory.Real([.. args.Select(a => a == "JOB" ? job : a)]);
        Assert.Equal((code, ""), (ended.ExitCode, ended.Output));
        Assert.Contains(says, ended.Error, StringComparison.Ordinal);
        Assert.Single(ended.Error.TrimEnd('\n').Split('\n'));
    }

    [Fact]
    public void The_same_seed_gives_the_same_numbers()
    {
        var job = _jobs.Wall("wall.gcode", rounds: 10);
        string[] args = ["room", job, "--volume", "25 to 35 m3", "--format", "json", "--seed", "5"];
        Assert.Equal(InMemory.Real(args).Output, InMemory.Real(args).Output);
    }
}
