// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text;
using System.Text.RegularExpressions;
using Fumecast.Cli;
using Fumecast.Report;

namespace Fumecast.Tests.Commands;

/// <summary>Tables as a person at a terminal sees them, and as a pipe gets them.</summary>
public sealed partial class TablesOnTerminals : IDisposable
{
    private const string Left = "a-lamp-clip-with-a-spring-for-thick-shelves-and-a-long-name-left-hand.gcode";
    private const string Right = "a-lamp-clip-with-a-spring-for-thick-shelves-and-a-long-name-right-hand.gcode";

    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Theory]
    [InlineData("estimate")]
    [InlineData("evenness")]
    [InlineData("compare")]
    public void A_table_fits_a_terminal_of_80_columns_and_names_are_cut_in_their_middle(string command)
    {
        MakeJobs();
        var ended = InMemory.OnTerminal(80, command, _jobs.Folder);
        Assert.Equal(0, ended.ExitCode);
        var lines = Colours().Replace(ended.Output, "").Split('\n');
        Assert.All(lines, line => Assert.True(ColumnWidth.Of(line) <= 80 || line.Contains(Left, StringComparison.Ordinal) || line.Contains(Right, StringComparison.Ordinal), line));

        // What tells two names apart stays.
        var table = lines.TakeWhile(static line => !line.StartsWith("FLOW AGAINST TIME", StringComparison.Ordinal));
        var cut = table.Select(static line => CutName().Match(line)).Where(static match => match.Success).Select(static match => match.Value).ToList();
        Assert.Equal(2, cut.Count);
        Assert.Equal(2, cut.Distinct().Count());
    }

    [Theory]
    [InlineData("estimate")]
    [InlineData("evenness")]
    [InlineData("compare")]
    public void A_pipe_gets_every_name_whole(string command)
    {
        MakeJobs();
        var ended = InMemory.Real(command, _jobs.Folder);
        Assert.Equal(0, ended.ExitCode);
        Assert.Contains(Left, ended.Output, StringComparison.Ordinal);
        Assert.Contains(Right, ended.Output, StringComparison.Ordinal);
        Assert.DoesNotMatch(CutName(), ended.Output);
        Assert.DoesNotContain("\e[", ended.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("estimate")]
    [InlineData("evenness")]
    [InlineData("compare")]
    public void Heads_of_columns_are_parted_by_blanks_and_stand_over_their_cells(string command)
    {
        MakeJobs();
        var lines = InMemory.Real(command, _jobs.Folder, "--material", "petg").Output.Split('\n');
        var head = lines.First(static line => line.Contains("JOB ", StringComparison.Ordinal) || line.Contains("VARIANT ", StringComparison.Ordinal));
        var row = lines.First(static line => line.Contains(Left, StringComparison.Ordinal) && line.Contains("  ", StringComparison.Ordinal) && line.Length > Left.Length + 20);
        foreach (var name in command == "estimate" ? new[] { "material", "mass", "time", "particles", "TVOC", "even?" } : command == "evenness" ? ["grade", "wanders", "varies", "idle", "near", "steady"] : ["time", "filament", "particles", "ratio"])
        {
            var at = head.IndexOf(name, StringComparison.Ordinal);
            Assert.True(at > 0 && head[at - 1] == ' ' && row[at - 1] == ' ' && row[at] != ' ', $"{name}\n{head}\n{row}");
        }
    }

    [Fact]
    public void Times_in_one_column_of_evenness_have_one_form()
    {
        _jobs.Wall("short.gcode", rounds: 5);
        _jobs.Wall("long.gcode", rounds: 520);
        var ended = InMemory.Real("evenness", _jobs.Folder);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        var rows = ended.Output.Split('\n').Where(static line => line.Contains(".gcode", StringComparison.Ordinal)).ToList();
        var times = rows.ConvertAll(static line => line.Split(' ')[^1]);
        Assert.Equal(2, times.Count);

        // Nor do those beside each other differ: steady, rhythm and time.
        Assert.All(rows, static row => Assert.True(!row.Split(' ')[^1].Contains(':', StringComparison.Ordinal) || !TimeWithUnit().IsMatch(row), row));
        Assert.True(times.TrueForAll(static time => time == "min") || times.TrueForAll(static time => time == "h") || times.TrueForAll(static time => time.Contains(':', StringComparison.Ordinal)), string.Join(", ", times));
    }

    [Theory]
    [InlineData(80)]
    [InlineData(72)]
    public void What_is_given_off_fits_a_terminal_whatever_the_numbers(int width)
    {
        foreach (var job in Directory.GetDirectories(RepositoryRoot.Of("examples")).Select(static folder => Path.Combine(folder, "job.gcode")))
        {
            foreach (var nozzle in new[] { "190", "260", "480" })
            {
                var ended = InMemory.OnTerminal(width, "estimate", job, "--nozzle", nozzle, "--no-color");
                Assert.Equal(0, ended.ExitCode);
                var table = ended.Output.Split('\n').SkipWhile(static line => !line.StartsWith("GIVEN OFF", StringComparison.Ordinal)).TakeWhile(static line => line.Length > 0).ToList();
                Assert.InRange(table.Count, 4, 12);
                Assert.All(table, line => Assert.True(line.Length <= width, line));
            }
        }
    }

    [Fact]
    public void A_bad_job_does_not_cut_the_table_where_both_go_to_one_terminal()
    {
        MakeJobs();
        var bad = _jobs.Broken("a-lamp-clip-with-a-spring-for-thick-shelves-and-b.gcode");
        using var screen = new MemoryStream();
        using var error = new StreamWriter(screen, leaveOpen: true) { AutoFlush = true };
        var around = new Surroundings { Input = Stream.Null, Output = screen, Error = error, OutputIsTerminal = true, ErrorIsTerminal = true, Width = 80 };
        Assert.Equal(1, CommandLine.Run(["estimate", _jobs.In(Left), bad, _jobs.In(Right)], around));
        var lines = Encoding.UTF8.GetString(screen.ToArray()).Split('\n');
        var refused = Array.FindIndex(lines, static line => line.StartsWith("fumecast: ", StringComparison.Ordinal));
        Assert.True(refused > Array.FindLastIndex(lines, static line => line.StartsWith("together", StringComparison.Ordinal)));
        Assert.Contains(bad, lines[refused]);
    }

    /// <summary>The program itself on a terminal of the system.</summary>
    [Fact]
    public void Plain_text_on_a_terminal_has_no_commands_to_it()
    {
        if (!OperatingSystem.IsLinux() || !File.Exists("/usr/bin/script"))
        {
            return;
        }

        var job = _jobs.Wall("wall.gcode", rounds: 5);
        var start = new ProcessStartInfo("/usr/bin/script", ["-qec", $"{Environment.ProcessPath} {Path.Combine(AppContext.BaseDirectory, "fumecast.dll")} estimate {job} --no-color", "/dev/null"])
        {
            RedirectStandardOutput = true,
            RedirectStandardInput = true,
        };
        start.Environment["TERM"] = "xterm";
        using var process = Process.Start(start)!;
        process.StandardInput.Close();
        var screen = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.Equal(0, process.ExitCode);
        Assert.Contains("GIVEN OFF", screen);
        Assert.DoesNotContain('\e', screen);
    }

    private void MakeJobs()
    {
        _jobs.Wall(Left, rounds: 40);
        _jobs.Wall(Right, rounds: 60, pauseS: 5);
    }

    [GeneratedRegex(@"\ba-l?[\w-]*\.\.\.[\w.-]+ ")]
    private static partial Regex CutName();

    [GeneratedRegex(@"\d (s|min|h)\b")]
    private static partial Regex TimeWithUnit();

    [GeneratedRegex(@"\e\[\d+m")]
    private static partial Regex Colours();
}
