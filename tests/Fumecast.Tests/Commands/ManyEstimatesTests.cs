// SPDX-License-Identifier: MIT
using System.Text.Json;
using Fumecast.Forecast;
using Fumecast.Inputs;

namespace Fumecast.Tests.Commands;

public sealed class ManyEstimatesTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    private string[] Jobs(int count) => [.. Enumerable.Range(0, count).Select(i => _jobs.Wall($"{i:00}.gcode", rounds: 2 + i % 5))];

    [Fact]
    public void A_table_has_a_row_for_each_job_in_the_order_given()
    {
        var jobs = Jobs(12);
        var ended = InMemory.Run(["estimate", .. jobs, "--format", "csv"]);
        Assert.Equal((0, ""), (ended.ExitCode, DropWarnings(ended.Error)));
        var rows = ended.Output.TrimEnd('\n').Split('\n');
        Assert.StartsWith("file,printer,material,time_s,", rows[0]);
        Assert.Equal(jobs, rows[1..].Select(static row => row.Split(',')[0]));
    }

    [Fact]
    public void One_job_of_many_is_estimated_as_if_it_were_alone()
    {
        var jobs = Jobs(3);
        using var many = JsonDocument.Parse(InMemory.Real(["estimate", .. jobs, "--format", "json", "--quiet"]).Output);
        Assert.Equal("fumecast/estimates/1", many.RootElement.GetProperty("schema").GetString());
        Assert.False(many.RootElement.TryGetProperty("failed", out _));
        using var alone = JsonDocument.Parse(InMemory.Real(["estimate", jobs[1], "--format", "json", "--quiet"]).Output);
        Assert.Equal(alone.RootElement.GetRawText().Replace(" ", ""), many.RootElement.GetProperty("jobs")[1].GetRawText().Replace(" ", ""));
    }

    [Fact]
    public void A_bad_job_is_one_line_and_the_others_go_on()
    {
        var jobs = Jobs(4);
        var bad = _jobs.Broken("bad.gcode");
        var ended = InMemory.Real(["estimate", jobs[0], bad, jobs[1], "--format", "json", "--out", _jobs.In("all.json"), "--quiet"]);
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.StartsWith($"fumecast: {bad}", ended.Error);
        Assert.Equal(1, ended.Error.Count(static letter => letter == '\n'));
        using var document = JsonDocument.Parse(File.ReadAllText(_jobs.In("all.json")));
        Assert.Equal(2, document.RootElement.GetProperty("jobs").GetArrayLength());
        Assert.Equal(bad, document.RootElement.GetProperty("failed")[0].GetProperty("file").GetString());
    }

    [Fact]
    public void A_folder_gives_a_table_even_with_a_single_job()
    {
        _jobs.Wall("only.gcode", rounds: 3);
        var ended = InMemory.Real(["estimate", _jobs.Folder]);
        Assert.Equal(0, ended.ExitCode);
        Assert.StartsWith("JOB ", ended.Output);
        Assert.Contains("\nonly.gcode ", ended.Output);
        Assert.Contains("never an all-clear", ended.Output);
    }

    [Fact]
    public void A_table_ends_with_a_sum_and_with_what_was_refused()
    {
        var jobs = Jobs(3);
        var bad = _jobs.Broken("bad.gcode");
        var ended = InMemory.Real(["estimate", jobs[0], bad, jobs[1], jobs[2], "--quiet"]);
        Assert.Equal(1, ended.ExitCode);
        Assert.Matches("(?m)^JOB +material +mass +time ", ended.Output);
        Assert.Matches("(?m)^together +[0-9.]+ k?g ", ended.Output);
        Assert.Contains($"3 of 4 done; 1 refused: {bad}.", ended.Output.ReplaceLineEndings(" "));
    }

    [Fact]
    public void A_table_that_is_piped_has_whole_names()
    {
        string[] jobs = [_jobs.Wall("a-very-long-name-for-a-plain-wall-of-the-cafe-first.gcode", rounds: 2), _jobs.Wall("a-very-long-name-for-a-plain-wall-of-the-cafe-other.gcode", rounds: 2)];
        Assert.Contains("\na-very-long-name-for-a-plain-wall-of-the-cafe-first.gcode ", InMemory.Real(["estimate", .. jobs, "--quiet"]).Output);
    }

    [Fact]
    public void Materials_may_be_called_as_comments_call_them()
    {
        var job = Jobs(1)[0];
        Assert.Equal(
            InMemory.Real(["estimate", job, "--material", "pla", "--quiet"]).Output, InMemory.Real(["estimate", job, "--material", "PLA", "--quiet"]).Output);
        Assert.Equal(0, InMemory.Real(["estimate", job, "--material", "Nylon", "--quiet"]).ExitCode);
    }

    [Fact]
    public void A_wrong_material_is_said_once_and_not_for_every_job()
    {
        var ended = InMemory.Real(["estimate", .. Jobs(3), "--material", "plla"]);
        Assert.Equal((1, "", 1), (ended.ExitCode, ended.Output, ended.Error.Count(static letter => letter == '\n')));
        Assert.Contains("did you mean 'pla'?", ended.Error);
    }

    [Fact]
    public void Results_come_as_soon_as_they_are_there_and_not_all_at_the_end()
    {
        // The second half waits for the first result to arrive: were all held back, it would wait in vain.
        using var arrived = new ManualResetEventSlim();
        var expected = 0;
        foreach (var (job, inTime) in JobList.Run(Enumerable.Range(0, 400).ToArray(), job => (job, job < 200 || arrived.Wait(TimeSpan.FromSeconds(20))), default))
        {
            arrived.Set();
            Assert.Equal(expected++, job);
            Assert.True(inTime);
        }

        Assert.Equal(400, expected);
    }

    [Fact]
    public void A_mistake_of_our_own_among_many_is_told_as_itself()
    {
        var ended = InMemory.Run(["estimate", .. Jobs(3)], static (_, _, _, _, _) => throw new InvalidOperationException("odd"));
        Assert.Equal((3, ""), (ended.ExitCode, ended.Output));
        Assert.Equal("fumecast: this is a mistake in fumecast, not in your input: InvalidOperationException: odd (add --debug for the trace)\n", ended.Error);
    }

    [Fact]
    public void An_interrupt_among_many_ends_with_130_and_leaves_no_file()
    {
        using var source = new CancellationTokenSource();
        var ended = InMemory.Run(
            ["estimate", .. Jobs(6), "--format", "json", "--out", _jobs.In("all.json")],
            (_, _, _, _, cancel) =>
            {
                source.Cancel();
                cancel.ThrowIfCancellationRequested();
                throw new InvalidOperationException("not cancelled");
            },
            cancel: source.Token);
        Assert.Equal((130, "", "fumecast: interrupted; nothing was written\n"), (ended.ExitCode, ended.Output, ended.Error));
        Assert.Equal(6, Directory.GetFiles(_jobs.Folder).Length);
    }

    [Fact]
    public void The_first_trouble_in_the_order_of_the_jobs_is_the_one_that_is_told()
    {
        var trouble = Assert.Throws<InputProblem>(() => JobList.Run<int, int>([0, 1, 2, 3], job => job == 0 ? 0 : throw new InputProblem($"job {job}"), default).ToList());
        Assert.Equal("job 1", trouble.Message);
    }

    private static string DropWarnings(string error) =>
        string.Concat(error.Split('\n').Where(static line => line.Length > 0 && !line.Contains("warning", StringComparison.Ordinal)));
}
