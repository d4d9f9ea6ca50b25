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
}
