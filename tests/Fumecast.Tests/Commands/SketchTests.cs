// SPDX-License-Identifier: MIT
using System.Diagnostics;
using Fumecast.Report;

namespace Fumecast.Tests.Commands;

/// <summary>Curves in block characters: a person sees them, a pipe only when it asks, a file never.</summary>
public sealed class SketchTests : IDisposable
{
    private const char Block = '█';
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    public static TheoryData<string[]> Commands => new([["estimate"], ["evenness"], ["room", "--volume", "30m3"]]);

    [Theory]
    [MemberData(nameof(Commands))]
    public void A_terminal_gets_them_in_its_width(string[] command)
    {
        var job = _jobs.Wall("wall.gcode", rounds: 40);
        foreach (var width in new[] { 72, 100 })
        {
            var ended = InMemory.OnTerminal(width, [.. command, job]);
            Assert.Equal(0, ended.ExitCode);
            var drawn = ended.Output.Split('\n').Where(static line => line.Contains(Block, StringComparison.Ordinal)).ToList();
            Assert.NotEmpty(drawn);
            Assert.All(drawn, line => Assert.InRange(ColumnWidth.Of(line), 1, width));
        }
    }

    [Theory]
    [MemberData(nameof(Commands))]
    public void A_pipe_gets_them_when_it_asks_and_the_rest_is_the_same(string[] command)
    {
        var job = _jobs.Wall("wall.gcode", rounds: 40);
        var (plain, asked) = (InMemory.Real([.. command, job]), InMemory.Real([.. command, job, "--sketch"]));
        Assert.Equal((0, 0), (plain.ExitCode, asked.ExitCode));
        Assert.DoesNotContain(Block, plain.Output);
        Assert.Contains(Block, asked.Output);
        var lines = asked.Output.Split('\n').ToHashSet();
        Assert.All(plain.Output.Split('\n'), line => Assert.Contains(line, lines));
        Assert.DoesNotContain(Block, InMemory.OnTerminal(88, [.. command, job, "--no-color"]).Output);
    }

    [Theory]
    [MemberData(nameof(Commands))]
    public void A_file_gets_none_and_asking_for_them_there_is_refused(string[] command)
    {
        var job = _jobs.Wall("wall.gcode", rounds: 40);
        var file = _jobs.In("result.txt");
        Assert.Equal(0, InMemory.OnTerminal(88, [.. command, job, "--out", file]).ExitCode);
        Assert.DoesNotContain(Block, File.ReadAllText(file));
        foreach (var other in new string[][] { ["--out", file], ["--format", "json"] })
        {
            var ended = InMemory.Real([.. command, job, "--sketch", .. other]);
            Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
            Assert.Contains($"--sketch draws within the text on stdout, found {string.Join(' ', other)}", ended.Error, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_table_of_many_estimates_has_none()
    {
        var (one, other) = (_jobs.Wall("one.gcode", rounds: 5), _jobs.Wall("other.gcode", rounds: 5));
        Assert.DoesNotContain(Block, InMemory.OnTerminal(88, "estimate", one, other).Output);
        var ended = InMemory.Real("estimate", one, other, "--sketch");
        Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
        Assert.Contains("--sketch is for one job, found 2", ended.Error, StringComparison.Ordinal);
    }

    /// <summary>The program itself on a terminal of the system.</summary>
    [Fact]
    public void The_program_draws_on_a_terminal_of_the_system()
    {
        if (!OperatingSystem.IsLinux() || !File.Exists("/usr/bin/script"))
        {
            return;
        }

        var job = _jobs.Wall("wall.gcode", rounds: 5);
        var start = new ProcessStartInfo("/usr/bin/script", ["-qec", $"{Environment.ProcessPath} {Path.Combine(AppContext.BaseDirectory, "fumecast.dll")} estimate {job}", "/dev/null"])
        {
            RedirectStandardOutput = true,
            RedirectStandardInput = true,
            StandardOutputEncoding = System.Text.Encoding.UTF8,
        };
        start.Environment["TERM"] = "xterm";
        start.Environment.Remove("NO_COLOR");
        using var process = Process.Start(start)!;
        process.StandardInput.Close();
        var screen = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.Equal(0, process.ExitCode);
        Assert.Contains("AGAINST TIME", screen);
        Assert.Contains(Block, screen);
    }
}
