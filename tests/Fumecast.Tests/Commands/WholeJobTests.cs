// SPDX-License-Identifier: MIT
using System.Text.Json;

namespace Fumecast.Tests.Commands;

/// <summary>Jobs that are shorter than they claim, longer than a series, or hotter than what was measured.</summary>
public sealed class WholeJobTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Theory]
    [InlineData(10800, true)]
    [InlineData(700, false)]
    public void A_file_that_ends_long_before_the_time_it_claims_is_warned_of(int claimedS, bool isCut)
    {
        var job = _jobs.Wall("wall.gcode", rounds: 60);
        File.WriteAllText(job, $";TIME:{claimedS}\n" + File.ReadAllText(job));
        var ended = FumecastProcess.Run("estimate", job, "--format", "csv");
        Assert.Equal(0, ended.ExitCode);
        if (isCut)
        {
            Assert.Matches("fumecast: warning: the comments claim 180 min, the commands take \\d+ min; check that the file is whole, and --printer\n", ended.Error);
            Assert.Equal(1, FumecastProcess.Run("estimate", job, "--strict").ExitCode);
        }
        else
        {
            Assert.Equal("", ended.Error);
        }
    }

    [Fact]
    public void A_pause_of_a_year_refuses_the_series_at_its_line_and_at_once()
    {
        var job = _jobs.In("year.gcode");
        File.WriteAllText(job, "; filament_type = PLA\nG28\nM109 S210\nG1 X10 E5 F1200\nG4 S31536000\nG1 X20 E5\n");
        var ended = FumecastProcess.Run(_jobs.Folder, input: null, "estimate", "year.gcode", "--series", "year.csv");
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.StartsWith("fumecast: year.gcode:5:1: G4 makes the job too long: the series would have over 1000000 rows of 10 s", ended.Error);
        Assert.Contains("such as --bin 400s", ended.Error);
        Assert.False(File.Exists(_jobs.In("year.csv")));
        Assert.Equal(0, FumecastProcess.Run(_jobs.Folder, input: null, "estimate", "year.gcode", "--series", "year.csv", "--bin", "400s").ExitCode);
    }

    [Fact]
    public void The_series_has_units_in_its_heads()
    {
        _jobs.Wall("wall.gcode", rounds: 5);
        Assert.Equal(0, FumecastProcess.Run(_jobs.Folder, input: null, "estimate", "wall.gcode", "--series", "wall.csv").ExitCode);
        var heads = File.ReadLines(_jobs.In("wall.csv")).First().Split(',');
        Assert.Equal(["time_s", "flow_mm3_per_s", "mass_rate_g_per_h", "nozzle_c", "particle_number_per_min", "particle_number_per_min_low", "particle_number_per_min_high",
            "particle_mass_ug_per_min", "particle_mass_ug_per_min_low", "particle_mass_ug_per_min_high", "tvoc_ug_per_min"], heads[..11]);
        Assert.All(heads[10..], static head => Assert.Contains("_ug_per_min", head));
    }

    [Fact]
    public void Where_the_cap_of_the_model_sets_the_upper_end_it_says_so()
    {
        var job = RepositoryRoot.Of("examples", "hose-adapter", "job.gcode");
        const string Words = "The upper end of the particles is set by the model's cap on particle rates, 1e13 a minute, and not by a measurement.";
        var hot = FumecastProcess.Run("estimate", job, "--nozzle", "480");
        var words = string.Join(' ', hot.Output.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
        Assert.Contains(Words, words);
        Assert.Contains("where the model caps it", words);
        Assert.Single(System.Text.RegularExpressions.Regex.Matches(words, "outside the range that was measured"));
        Assert.Matches(@"Highest particles: about \d+ trillion \([\d.]+e13\) a minute", words);

        using var document = JsonDocument.Parse(FumecastProcess.Run("estimate", job, "--nozzle", "480", "--format", "json").Output);
        var number = document.RootElement.GetProperty("emission")[0];
        Assert.True(number.GetProperty("high_is_capped").GetBoolean());
        Assert.EndsWith("the upper end is set by the model's cap on particle rates, 1e13 a minute, and not by a measurement", number.GetProperty("how_sure").GetString());

        using var cool = JsonDocument.Parse(FumecastProcess.Run("estimate", job, "--nozzle", "200", "--format", "json").Output);
        Assert.False(cool.RootElement.GetProperty("emission")[0].TryGetProperty("high_is_capped", out _));
    }
}
