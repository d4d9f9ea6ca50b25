// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Tests.Commands;

/// <summary>Every command that the README shows with its output is run, and its output compared. Comparing only: nobody rewrites the README but a person.</summary>
public class ReadmeTests
{
    private const string Run = "$ dotnet run -c Release --project src/Fumecast.Cli -- ";
    private const string Installed = "$ fumecast ";
    private const string Cut = "...";

    public static TheoryData<string, int> Commands()
    {
        var data = new TheoryData<string, int>();
        foreach (var (command, line, _) in Blocks())
        {
            data.Add(command, line);
        }

        return data;
    }

    [Theory]
    [MemberData(nameof(Commands))]
    public void Every_command_prints_what_the_README_shows(string command, int line)
    {
        var expected = Blocks().Single(block => block.Line == line).Output;
        var run = FumecastProcess.Run(RepositoryRoot.Path, (byte[]?)null, command.Split(' ', StringSplitOptions.RemoveEmptyEntries));
        var shown = run.Output.TrimEnd('\n').Split('\n');
        for (var i = 0; i < expected.Count; i++)
        {
            if (expected[i] == Cut)
            {
                return;
            }

            var where = string.Create(CultureInfo.InvariantCulture, $"README.md:{line + 1 + i}: ");
            Assert.Equal(where + expected[i], where + (i < shown.Length ? shown[i].TrimEnd() : "(end of the output)"));
        }

        Assert.Equal(expected.Count, shown.Length);
    }

    [Fact]
    public void The_README_shows_the_main_job_and_the_tests()
    {
        var text = File.ReadAllText(RepositoryRoot.Of("README.md"));
        Assert.Contains(Run + "estimate examples/", text, StringComparison.Ordinal);
        Assert.Contains("$ dotnet test\n", text, StringComparison.Ordinal);
    }

    private static IEnumerable<(string Command, int Line, List<string> Output)> Blocks()
    {
        var lines = File.ReadAllLines(RepositoryRoot.Of("README.md"));
        for (var i = 0; i < lines.Length; i++)
        {
            var prefix = lines[i].StartsWith(Run, StringComparison.Ordinal) ? Run
                : lines[i].StartsWith(Installed, StringComparison.Ordinal) ? Installed : null;
            if (prefix is null)
            {
                continue;
            }

            var output = new List<string>();
            var at = i;
            while (++at < lines.Length && !lines[at].StartsWith("```", StringComparison.Ordinal))
            {
                output.Add(lines[at].TrimEnd());
            }

            if (output.Count > 0)
            {
                yield return (lines[i][prefix.Length..], i + 1, output);
            }
        }
    }
}
