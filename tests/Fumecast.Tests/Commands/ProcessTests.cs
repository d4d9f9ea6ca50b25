// SPDX-License-Identifier: MIT
namespace Fumecast.Tests.Commands;

public class ProcessTests
{
    [Fact]
    public void The_built_command_tells_its_version()
    {
        var ended = FumecastProcess.Run("--version");
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Matches(@"^\d+\.\d+\.\d+\n$", ended.Output);
    }

    [Fact]
    public void The_built_command_refuses_a_wrong_option()
    {
        var ended = FumecastProcess.Run("estimate", "a.gcode", "--bin", "never");
        Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
        Assert.Equal("fumecast: --bin: found 'never', expected a time such as 10 s\n", ended.Error);
    }

    [Fact]
    public void A_reader_that_goes_away_is_no_mistake()
    {
        using var process = FumecastProcess.Start(null, "estimate", "--help");
        process.StandardInput.Close();
        process.StandardOutput.Close();
        var error = process.StandardError.ReadToEnd();
        Assert.True(process.WaitForExit(60_000));
        Assert.Equal((0, ""), (process.ExitCode, error));
    }

    [Fact]
    public void The_built_command_estimates_ranks_and_compares_real_jobs()
    {
        var knob = RepositoryRoot.Of("examples", "radio-knob", "job.gcode");
        var cup = RepositoryRoot.Of("examples", "screw-cup", "job.gcode");
        var table = FumecastProcess.Run("estimate", knob, cup, RepositoryRoot.Of("examples", "no.gcode"), "--format", "csv");
        Assert.Equal((1, 3), (table.ExitCode, table.Output.Count(static letter => letter == '\n')));
        Assert.Contains("no such file", table.Error);

        var ranked = FumecastProcess.Run("evenness", knob, cup);
        Assert.Equal(0, ranked.ExitCode);
        Assert.Contains("radio-knob/job.gcode", ranked.Output);

        var compared = FumecastProcess.Run("compare", knob, knob, "--format", "csv");
        Assert.Equal(0, compared.ExitCode);
        Assert.Contains(",1,1,1,0,1,1,1,0,", compared.Output);
    }

    [Fact]
    public void The_built_command_pipes_a_test_print_into_evenness()
    {
        var print = FumecastProcess.Run("testprint", "--material", "pla", "--flow", "3", "--duration", "20min", "--phases", "purge=40min", "--out", "-", "--quiet");
        Assert.Equal((0, ""), (print.ExitCode, print.Error));
        var ranked = FumecastProcess.Run(null, System.Text.Encoding.UTF8.GetBytes(print.Output), "evenness", "-", "--format", "csv");
        Assert.Equal((0, ""), (ranked.ExitCode, ranked.Error));
        Assert.StartsWith("1,-,flat,10,", ranked.Output.Split('\n')[1]);
    }
}
