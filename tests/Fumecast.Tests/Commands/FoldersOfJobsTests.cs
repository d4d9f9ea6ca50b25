// SPDX-License-Identifier: MIT
namespace Fumecast.Tests.Commands;

/// <summary>What is said of a folder of jobs beside its table.</summary>
public sealed class FoldersOfJobsTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Fact]
    public void A_job_in_which_an_option_overrides_the_file_is_marked_in_its_row()
    {
        _jobs.Wall("pla.gcode", rounds: 5);
        File.WriteAllText(_jobs.In("abs.gcode"), File.ReadAllText(_jobs.In("pla.gcode")).Replace("PLA", "ABS"));
        var ended = FumecastProcess.Run("estimate", _jobs.Folder, "--material", "abs");
        Assert.Equal(0, ended.ExitCode);
        Assert.Matches("(?m)^pla.gcode +abs\\* ", ended.Output);
        Assert.Matches("(?m)^abs.gcode +abs  ", ended.Output);
        Assert.Contains("* In 1 of them an option overrides what the file states; the warnings and --format json say what.", string.Join(' ', ended.Output.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries)));
        Assert.Contains("abs is taken instead", ended.Error);

        var quiet = FumecastProcess.Run("estimate", _jobs.Folder, "--material", "abs", "--quiet");
        Assert.Equal((0, ""), (quiet.ExitCode, quiet.Error));
        Assert.Contains("* In 1 of them an option overrides what the file states; --format json says what.", string.Join(' ', quiet.Output.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries)));
    }

    [Theory]
    [InlineData("estimate")]
    [InlineData("evenness")]
    [InlineData("compare")]
    public void Folders_in_a_folder_are_said_to_be_left_out(string command)
    {
        _jobs.Wall("a.gcode", rounds: 5);
        _jobs.Wall("b.gcode", rounds: 7);
        Directory.CreateDirectory(_jobs.In("older"));
        Directory.CreateDirectory(_jobs.In(".hidden"));
        var line = $"fumecast: warning: {_jobs.Folder}: folders in it are not searched; name them too if their jobs are meant: older\n";
        var ended = FumecastProcess.Run(command, _jobs.Folder);
        Assert.Equal((0, line), (ended.ExitCode, ended.Error));
        Assert.Equal((0, ""), FumecastProcess.Run(command, _jobs.Folder, "--quiet") is var quiet ? (quiet.ExitCode, quiet.Error) : default);
    }

    [Fact]
    public void Evenness_takes_the_nozzle_temperature_that_is_given_for_jobs_that_state_none()
    {
        var job = _jobs.In("wall.gcode");
        File.WriteAllLines(job, File.ReadAllLines(_jobs.Wall("hot.gcode", rounds: 40)).Where(static line => !line.StartsWith("M10", StringComparison.Ordinal)).Append("M84"));
        Assert.Contains("nozzle-assumed", FumecastProcess.Run("evenness", job, "--format", "json").Output);
        var ended = FumecastProcess.Run("evenness", job, "--nozzle-if-unknown", "195", "--format", "json");
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.DoesNotContain("nozzle-assumed", ended.Output);
    }
}
