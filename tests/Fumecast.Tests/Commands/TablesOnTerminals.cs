// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
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

        // Both ends of a name are there, and what looks alike when cut stands whole beside it.
        Assert.Equal(2, lines.Count(static line => CutName().IsMatch(line)));
        Assert.Contains(lines, static line => line.Trim() == Left);
        Assert.Contains(lines, static line => line.Trim() == Right);
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

    [Fact]
    public void Times_in_one_column_of_evenness_have_one_form()
    {
        _jobs.Wall("short.gcode", rounds: 5);
        _jobs.Wall("long.gcode", rounds: 520);
        var ended = InMemory.Real("evenness", _jobs.Folder);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        var times = ended.Output.Split('\n').Where(static line => line.Contains(".gcode", StringComparison.Ordinal)).Select(static line => line.Split(' ')[^1]).ToList();
        Assert.Equal(2, times.Count);
        Assert.True(times.TrueForAll(static time => time == "min") || times.TrueForAll(static time => time == "h") || times.TrueForAll(static time => time.Contains(':', StringComparison.Ordinal)), string.Join(", ", times));
    }

    private void MakeJobs()
    {
        _jobs.Wall(Left, rounds: 40);
        _jobs.Wall(Right, rounds: 60, pauseS: 5);
    }

    [GeneratedRegex(@"\ba-l[\w-]*\.\.\.[\w.-]*code ")]
    private static partial Regex CutName();

    [GeneratedRegex(@"\e\[\d+m")]
    private static partial Regex Colours();
}
