// SPDX-License-Identifier: MIT
using System.Text.Json;
using Fumecast.Inputs;

namespace Fumecast.Tests.Commands;

public sealed class EstimateCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string In(string name) => Path.Combine(_folder, name);

    [Fact]
    public void Writes_result_series_and_picture_together()
    {
        var ended = InMemory.Run(
            ["estimate", "a.gcode", "--format", "json", "--out", In("a.json"), "--series", In("a.csv"), "--plot", In("a.svg"), "--quiet"]);
        Assert.Equal((0, "", ""), (ended.ExitCode, ended.Output, ended.Error));
        using var document = JsonDocument.Parse(File.ReadAllText(In("a.json")));
        Assert.Equal("a.gcode", document.RootElement.GetProperty("job").GetProperty("file").GetString());
        Assert.Equal(101, File.ReadAllLines(In("a.csv")).Length);
        Assert.Contains("<svg", File.ReadAllText(In("a.svg")));
        Assert.Equal(3, Directory.GetFiles(_folder).Length);
    }

    [Fact]
    public void The_text_result_holds_the_warnings_and_stderr_stays_empty()
    {
        var ended = InMemory.Run(["estimate", "a.gcode"]);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Contains("WARNINGS\n  ! line 12: CLEAN_NOZZLE", ended.Output);
    }

    [Fact]
    public void Warnings_go_to_stderr_beside_a_result_for_programs()
    {
        var ended = InMemory.Run(["estimate", "a.gcode", "--format", "csv"]);
        Assert.Equal(
            "fumecast: warning: line 12: CLEAN_NOZZLE is not known to the profile; its time is not counted (3 times)\n"
            + "fumecast: warning: no layer marks found\n", ended.Error);
        Assert.Equal(2, ended.Output.Count(static letter => letter == '\n'));
        Assert.Equal("", InMemory.Run(["estimate", "a.gcode", "--format", "csv", "--quiet"]).Error);
    }

    [Fact]
    public void Colours_appear_on_a_terminal_only_and_can_be_turned_off()
    {
        Assert.DoesNotContain('\e', InMemory.Run(["estimate", "a.gcode"]).Output);
        Assert.Contains('\e', InMemory.Run(["estimate", "a.gcode"], terminal: true).Output);
        Assert.DoesNotContain('\e', InMemory.Run(["estimate", "a.gcode", "--no-color"], terminal: true).Output);
    }

    [Fact]
    public void An_input_problem_is_one_line_with_exit_code_1_and_nothing_is_left_behind()
    {
        var ended = InMemory.Run(
            ["estimate", "a.gcode", "--out", In("a.txt"), "--series", In("a.csv"), "--plot", In("a.png")],
            (_, _, series, _, _) =>
            {
                Unit.Report.SampleSeries.Play(series!, 100_000, 10);
                throw new InputProblem("a.gcode", 3, 7, "found 'X1,5', expected a number such as 1.5");
            });
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Equal("fumecast: a.gcode:3:7: found 'X1,5', expected a number such as 1.5\n", ended.Error);
        Assert.Empty(Directory.GetFiles(_folder));
    }

    [Fact]
    public void A_target_that_cannot_be_written_is_found_before_the_work()
    {
        var ended = InMemory.Run(["estimate", "a.gcode", "--series", In("no/a.csv")], static (_, _, _, _, _) => throw new InvalidOperationException("too late"));
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Contains("does not exist; create it first", ended.Error);
        Assert.Equal(1, ended.Error.Count(static letter => letter == '\n'));
    }

    [Fact]
    public void A_mistake_of_our_own_is_short_unless_the_trace_is_asked_for()
    {
        static Fumecast.Forecast.JobEstimate Broken() => throw new InvalidOperationException("first line\nsecond line");
        var ended = InMemory.Run(["estimate", "a.gcode"], static (_, _, _, _, _) => Broken());
        Assert.Equal((3, ""), (ended.ExitCode, ended.Output));
        Assert.Equal(
            "fumecast: this is a mistake in fumecast, not in your input: InvalidOperationException: first line (add --debug for the trace)\n", ended.Error);
        var traced = InMemory.Run(["estimate", "a.gcode", "--debug"], static (_, _, _, _, _) => Broken());
        Assert.Equal(3, traced.ExitCode);
        Assert.Contains(nameof(A_mistake_of_our_own_is_short_unless_the_trace_is_asked_for), traced.Error);
    }

    [Fact]
    public void An_interrupt_ends_with_130_and_leaves_nothing_behind()
    {
        using var source = new CancellationTokenSource();
        var ended = InMemory.Run(
            ["estimate", "a.gcode", "--out", In("a.txt"), "--series", In("a.csv")],
            (_, _, _, _, cancel) =>
            {
                source.Cancel();
                cancel.ThrowIfCancellationRequested();
                throw new InvalidOperationException("not cancelled");
            },
            cancel: source.Token);
        Assert.Equal((130, ""), (ended.ExitCode, ended.Output));
        Assert.Equal("fumecast: interrupted; nothing was written\n", ended.Error);
        Assert.Empty(Directory.GetFiles(_folder));
    }

    [Fact]
    public void The_series_can_go_to_stdout_when_the_result_does_not()
    {
        var ended = InMemory.Run(["estimate", "a.gcode", "--out", In("a.txt"), "--series", "-", "--bin", "100s"]);
        Assert.Equal(0, ended.ExitCode);
        Assert.StartsWith("time_s,", ended.Output);
        Assert.Equal(11, ended.Output.Count(static letter => letter == '\n'));
    }
}
