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

    [Theory]
    [InlineData("estimate")]
    [InlineData("evenness")]
    public void A_file_that_claims_nothing_and_ends_while_it_prints_is_warned_of(string command)
    {
        var job = _jobs.Wall("wall.gcode", rounds: 60);
        Assert.Equal("", InMemory.Real(command, job, "--format", "csv").Error);
        var lines = File.ReadAllLines(job);
        const string Words = "the job ends while it prints: the nozzle stays hot, and nothing that ends a job follows; cut off? Check that the file is whole";
        foreach (var kept in new[] { 200, 201, 202, 203 })
        {
            // Before and after the lift and the mark of a layer alike.
            File.WriteAllLines(job, lines[..kept]);
            Assert.Equal($"fumecast: warning: line {kept}: {Words}\n", InMemory.Real(command, job, "--format", "csv").Error);
        }

        Assert.Equal(1, InMemory.Real("estimate", job, "--strict").ExitCode);
    }

    [Theory]
    [InlineData("M104 S0\n")]
    [InlineData("G28 X0\n")]
    [InlineData("M84\n")]
    [InlineData("END_PRINT\n")]
    [InlineData("M2\n")]
    public void A_job_that_ends_itself_in_any_way_is_whole(string end)
    {
        var job = _jobs.Wall("wall.gcode", rounds: 60);
        File.WriteAllText(job, File.ReadAllText(job).Replace("M104 S0\n", "G1 E-2 F1800\nG0 X5 Y5\n" + end, StringComparison.Ordinal));
        Assert.DoesNotContain("cut off", InMemory.Real("estimate", job, "--format", "csv").Error);
    }

    [Fact]
    public void Where_no_command_heats_the_nozzle_only_a_deposit_at_the_very_end_tells_of_a_cut()
    {
        var text = File.ReadAllText(_jobs.Wall("wall.gcode", rounds: 60)).Replace("M109 S210\n", "", StringComparison.Ordinal).Replace("M104 S0\n", "", StringComparison.Ordinal);
        File.WriteAllText(_jobs.In("wall.gcode"), text + "G0 X0 Y100\n");
        Assert.DoesNotContain("cut off", InMemory.Real("estimate", _jobs.In("wall.gcode"), "--format", "csv").Error);
        File.WriteAllText(_jobs.In("wall.gcode"), text);
        Assert.Contains("cut off?", InMemory.Real("estimate", _jobs.In("wall.gcode"), "--format", "csv").Error);
    }

    [Fact]
    public void A_piece_of_a_few_moves_is_no_print_that_was_cut_off() =>
        Assert.DoesNotContain("cut off", InMemory.Real("estimate", "--format", "csv", Write("M83\nM109 S210\nG1 X10 E1 F600\nG1 X20 E1\n")).Error);

    [Theory]
    [InlineData("petg")]
    [InlineData("asa")]
    public void That_particle_mass_and_TVOC_hardly_go_together_is_told_once_and_quietly(string material)
    {
        var job = _jobs.Wall("wall.gcode", nozzleC: 240, rounds: 60);
        var ended = InMemory.Real("estimate", job, "--material", material, "--quiet");
        var words = string.Join(' ', ended.Output.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
        Assert.Single(System.Text.RegularExpressions.Regex.Matches(words, @"The middle of the particle mass is \d+ % of the TVOC, while the study that weighed both found 1 to 5 %"));
        Assert.DoesNotContain("DING2019", InMemory.Real("estimate", job, "--material", material, "--format", "csv").Error);
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

        // In short where there is no room for a sentence.
        Assert.Equal(0, FumecastProcess.Run(_jobs.Folder, input: null, "estimate", job, "--nozzle", "480", "--plot", "hot.svg").ExitCode);
        var picture = File.ReadAllText(_jobs.In("hot.svg"));
        Assert.Matches(@"about \d+ trillion particles \([\d.]+e14; \d+ to \d+ trillion, capped\) and", picture);
        Assert.Contains("capped: the upper end of the particles is the model", picture);
        var trial = FumecastProcess.Run(_jobs.Folder, input: null, "testprint", "--material", "abs", "--flow", "12", "--nozzle", "270", "--beyond-range", "--duration", "90min", "--out", "trial.gcode");
        Assert.Equal((0, ""), (trial.ExitCode, trial.Error));
        Assert.Contains("; the upper end is the model's cap)", string.Join(' ', trial.Output.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries)));

        using var cool = JsonDocument.Parse(FumecastProcess.Run("estimate", job, "--nozzle", "200", "--format", "json").Output);
        Assert.False(cool.RootElement.GetProperty("emission")[0].TryGetProperty("high_is_capped", out _));
    }

    private string Write(string commands)
    {
        File.WriteAllText(_jobs.In("piece.gcode"), "; filament_type = PLA\n" + commands);
        return _jobs.In("piece.gcode");
    }
}
