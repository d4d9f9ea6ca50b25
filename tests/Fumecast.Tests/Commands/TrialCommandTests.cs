// SPDX-License-Identifier: MIT
using System.Text.Json;
using System.Text.RegularExpressions;
using Fumecast.Samples;

namespace Fumecast.Tests.Commands;

/// <summary>The trial of the repair café, whose logs were made from known figures, and what goes wrong with notebooks.</summary>
public sealed class TrialCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-trial-").FullName;

    public TrialCommandTests()
    {
        foreach (var (name, text) in FilterTrial.Files())
        {
            File.WriteAllText(Path.Combine(_folder, name), text);
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static string Example => RepositoryRoot.Of("examples", "filter-trial", "notebook.yaml");

    private string Notebook(string text)
    {
        var path = Path.Combine(_folder, "own.yaml");
        File.WriteAllText(path, "schema: fumecast/notebook/1\n" + text);
        return path;
    }

    private static JsonElement Json(params string[] args)
    {
        var ended = FumecastProcess.Run([.. args, "--format", "json"]);
        Assert.True(ended.ExitCode == 0, ended.Error);
        return JsonDocument.Parse(ended.Output).RootElement.Clone();
    }

    private static (double Low, double Median, double High) Of(JsonElement value) =>
        (value.GetProperty("low").GetDouble(), value.GetProperty("median").GetDouble(), value.GetProperty("high").GetDouble());

    private static void Holds(double truth, JsonElement value, double widest)
    {
        var (low, _, high) = Of(value);
        Assert.InRange(truth, low, high);
        Assert.InRange(high / low, 1, widest);
    }

    [Fact]
    public void The_files_of_the_example_are_those_that_the_samples_make()
    {
        foreach (var (name, text) in FilterTrial.Files())
        {
            Assert.Equal(text, File.ReadAllText(RepositoryRoot.Of("examples", "filter-trial", name)));
        }
    }

    [Fact]
    public void What_the_logs_were_made_from_lies_in_the_intervals()
    {
        var trial = Json("trial", Example);
        Assert.Equal("fumecast/trial/1", trial.GetProperty("schema").GetString());
        var runs = trial.GetProperty("runs");
        Assert.True(runs[0].GetProperty("control").GetBoolean());
        var plain = runs[1].GetProperty("quantities")[0];
        Holds(FilterTrial.EmissionPerG, plain.GetProperty("emission").GetProperty("per_g"), 2);
        Holds(FilterTrial.LossPerH, plain.GetProperty("loss_per_h"), 2);
        Holds(FilterTrial.LossPerH + FilterTrial.CleanAirM3PerH / FilterTrial.VolumeM3, runs[2].GetProperty("quantities")[0].GetProperty("loss_per_h"), 3);
        Assert.Equal("found", runs[2].GetProperty("start").GetProperty("because").GetString());

        var pair = trial.GetProperty("pairs")[0];
        Holds(FilterTrial.CleanAirM3PerH, pair.GetProperty("clean_air_m3_per_h"), 3);
        Holds(FilterTrial.LossPerH / (FilterTrial.LossPerH + FilterTrial.CleanAirM3PerH / FilterTrial.VolumeM3), pair.GetProperty("ratio"), 1.5);
        Assert.Equal("less", pair.GetProperty("effect").GetString());
        Assert.True(pair.GetProperty("agree").GetBoolean());
        Assert.Contains("less of what the print adds", pair.GetProperty("verdict").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public void The_text_begins_with_the_verdict_and_says_what_it_rests_on()
    {
        var ended = FumecastProcess.Run("trial", Example);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.StartsWith("PM2.5 was lower with 'hepa-and-carbon'", ended.Output, StringComparison.Ordinal);
        var words = Regex.Replace(ended.Output, @"\s+", " ");
        foreach (var expected in new[] { "One run each", "window: shut (the notebook; no reading shows it)", "differences under", "as stated", "found from the log", "adequate by ASTM D5157", "No result here is an all-clear" })
        {
            Assert.Contains(expected, words, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void What_is_not_left_out_is_found_and_spoils_the_run()
    {
        var own = Notebook("""
            room: room.yaml
            runs:
              - {name: no filter, log: no-filter.csv, job: wall.gcode, start: 2026-11-20 14:15}
            notes:
              - {run: no filter, from: 2026-11-20 19:00, to: 2026-11-20 22:00, what: the reading circle met}
            """);
        var quantity = Json("trial", own).GetProperty("runs")[0].GetProperty("quantities")[0];
        var happened = Assert.Single(quantity.GetProperty("events").EnumerateArray());
        Assert.Equal(("after", "the reading circle met"), (happened.GetProperty("during").GetString(), happened.GetProperty("noted").GetString()));
        Assert.InRange(happened.GetProperty("size").GetDouble(), 3.5, 6.5);
        Assert.StartsWith("2026-11-20T19:", happened.GetProperty("from").GetString(), StringComparison.Ordinal);
        Assert.StartsWith("2026-11-20T19:", quantity.GetProperty("simple_figures").GetProperty("shift_at").GetString(), StringComparison.Ordinal);
        Assert.False(quantity.TryGetProperty("emission", out _));
        Assert.Contains("leave_out: true", quantity.GetProperty("why_not").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_start_on_the_wrong_hour_is_noticed_and_the_right_one_named()
    {
        var own = Notebook("room: room.yaml\nruns:\n  - {name: no filter, log: no-filter.csv, job: wall.gcode, start: 2026-11-20 15:15}\n");
        var ended = FumecastProcess.Run("trial", own, "--format", "json");
        Assert.Equal(0, ended.ExitCode);
        Assert.Contains("the stated start does not fit the log", ended.Error, StringComparison.Ordinal);
        Assert.Contains("summer or winter time", ended.Error, StringComparison.Ordinal);
        var better = JsonDocument.Parse(ended.Output).RootElement.GetProperty("runs")[0].GetProperty("start").GetProperty("fits_better_at").GetString()!;
        Assert.InRange(DateTime.Parse(better, System.Globalization.CultureInfo.InvariantCulture), new DateTime(2026, 11, 20, 14, 5, 0), new DateTime(2026, 11, 20, 14, 25, 0));
    }

    [Fact]
    public void A_start_on_another_day_is_refused_with_the_span_of_the_log()
    {
        var own = Notebook("room: room.yaml\nruns:\n  - {name: no filter, log: no-filter.csv, job: wall.gcode, start: 2026-11-21 14:15}\n");
        var ended = FumecastProcess.Run("trial", own);
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Contains("own.yaml:4:", ended.Error, StringComparison.Ordinal);
        Assert.Contains("h outside of its log, which goes from 2026-11-20T13:00:00", ended.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_decays_and_a_volume_give_the_clean_air_of_a_filter()
    {
        Decay("slow.csv", 0.8);
        Decay("fast.csv", 3.2);
        var own = Notebook("""
            runs:
              - {name: alone, log: slow.csv, decay: {from: auto, to: auto}, volume: 30 m3, background: 0 ug/m3}
              - {name: cleaner, log: fast.csv, decay: {from: 5 min, to: 60 min}, volume: 30 m3, background: 0 ug/m3, filter: the cleaner}
            """);
        var trial = Json("trial", own);
        Close.To(0.8, Of(trial.GetProperty("runs")[0].GetProperty("quantities")[0].GetProperty("loss_per_h")).Median, 0.03);
        Close.To(72, Of(trial.GetProperty("pairs")[0].GetProperty("clean_air_m3_per_h")).Median, 0.03);
        Assert.Contains("nebuliser", string.Concat(trial.GetProperty("cautions").EnumerateArray().Select(static one => one.GetString())), StringComparison.Ordinal);

        void Decay(string name, double perH) => File.WriteAllLines(Path.Combine(_folder, name), ["Time (min),PM2.5 (ug/m3)", .. Enumerable.Range(0, 150).Select(minute =>
            FormattableString.Invariant($"{minute},{Math.Round(400 * Math.Exp(-perH * minute / 60) * (1 + 0.01 * Math.Sin(1.7 * minute)), 1):0.0}"))]);
    }

    [Theory]
    [InlineData("runs: []\n", "own.yaml:2:7: runs: found")]
    [InlineData("runs:\n  - {name: a, log: no-filter.csv, job: wall.gcode, start: 2026-11-20 14:15}\n", "room: found no room")]
    [InlineData("room: room.yaml\nruns:\n  - {name: a, log: no-filter.csv, job: wall.gcode}\n", "found no start beside a job")]
    [InlineData("room: room.yaml\nruns:\n  - {name: a, log: no-filter.csv, job: wall.gcode, start: yesterday}\n", "found 'yesterday', expected a date and time")]
    [InlineData("room: room.yaml\nruns:\n  - {name: a, log: no-filter.csv}\n  - {name: a, log: quiet-day.csv}\n", "found a second run named 'a'")]
    [InlineData("room: room.yaml\nruns:\n  - {name: a, log: no-filter.csv}\npairs: [[a, b]]\n", "found 'b', which is no run of this notebook")]
    [InlineData("room: room.yaml\nmeter_in: attic\nruns:\n  - {name: a, log: no-filter.csv}\n", "found 'attic', expected a zone of the room: room")]
    [InlineData("room: room.yaml\nruns:\n  - {name: a, log: no-filter.csv, jobb: job.gcode}\n", "unknown key 'jobb'")]
    [InlineData("room: room.yaml\nruns:\n  - {name: a, log: nowhere.csv}\n", "nowhere.csv")]
    [InlineData("columns: {pm99: x}\nruns:\n  - {name: a, log: no-filter.csv}\n", "found 'pm99', expected one of time, pm1")]
    public void A_wrong_notebook_gets_one_clear_line(string text, string expected)
    {
        var ended = FumecastProcess.Run("trial", Notebook(text));
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Contains(expected, ended.Error, StringComparison.Ordinal);
        Assert.Single(ended.Error.TrimEnd('\n').Split('\n'));
    }
}
