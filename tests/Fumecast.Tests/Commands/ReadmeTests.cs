// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;

namespace Fumecast.Tests.Commands;

/// <summary>Every command that the README shows with its output is run, in order, and its output compared. Comparing only: nobody rewrites the README but a person.</summary>
public class ReadmeTests
{
    private const string Run = "$ dotnet run -c Release --project src/Fumecast.Cli -- ";
    private const string Installed = "$ fumecast ";
    private const string Cut = "...";

    [Fact]
    public void Every_command_prints_what_the_README_shows()
    {
        // The commands write files, so they run beside a copy of the examples and not in the repository.
        var folder = Directory.CreateTempSubdirectory("fumecast-readme-").FullName;
        try
        {
            foreach (var example in Directory.GetDirectories(RepositoryRoot.Of("examples")))
            {
                var copy = Directory.CreateDirectory(Path.Combine(folder, "examples", Path.GetFileName(example)));
                foreach (var file in Directory.GetFiles(example))
                {
                    File.Copy(file, Path.Combine(copy.FullName, Path.GetFileName(file)));
                }
            }

            foreach (var room in Directory.GetFiles(RepositoryRoot.Of("examples"), "*.yaml"))
            {
                File.Copy(room, Path.Combine(folder, "examples", Path.GetFileName(room)));
            }

            var blocks = Blocks().ToList();
            Assert.NotEmpty(blocks);
            foreach (var block in blocks)
            {
                Check(folder, block);
            }
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void The_README_shows_the_main_job_and_the_tests()
    {
        var text = File.ReadAllText(RepositoryRoot.Of("README.md"));
        Assert.Contains(Run + "estimate examples/", text, StringComparison.Ordinal);
        Assert.Contains("$ dotnet test\n", text, StringComparison.Ordinal);
    }

    private static void Check(string folder, (string Command, int Line, List<string> Output) block)
    {
        var args = Regex.Matches(block.Command, "'([^']*)'|[^ ]+").Select(static word => word.Groups[1].Success ? word.Groups[1].Value : word.Value).SelectMany(arg => Expand(folder, arg)).ToArray();
        var run = FumecastProcess.Run(folder, (byte[]?)null, args);
        Assert.True(run.ExitCode == 0, string.Create(CultureInfo.InvariantCulture, $"README.md:{block.Line}: exit code {run.ExitCode}: {run.Error}"));
        var shown = run.Output.TrimEnd('\n').Split('\n');
        for (var i = 0; i < block.Output.Count; i++)
        {
            if (block.Output[i] == Cut)
            {
                return;
            }

            var where = string.Create(CultureInfo.InvariantCulture, $"README.md:{block.Line + 1 + i}: ");
            Assert.Equal(where + block.Output[i], where + (i < shown.Length ? shown[i].TrimEnd() : "(end of the output)"));
        }

        Assert.Equal(block.Output.Count, shown.Length);
    }

    /// <summary>What a shell does with <c>examples/*/job.gcode</c>.</summary>
    private static IEnumerable<string> Expand(string folder, string arg) =>
        arg.Contains('*', StringComparison.Ordinal)
            ? Directory.GetDirectories(Path.Combine(folder, "examples")).Order(StringComparer.Ordinal)
                .Select(found => arg.Replace("*", Path.GetFileName(found), StringComparison.Ordinal)).Where(found => File.Exists(Path.Combine(folder, found)))
            : [arg];

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
