// SPDX-License-Identifier: MIT
using System.CommandLine;

namespace Fumecast.Cli;

/// <summary><c>fumecast completion</c>: prints a script that lets a shell complete commands, options and ids by asking this very program.</summary>
/// <remarks>The scripts ask with the directive <c>[suggest:POSITION]</c> of the command-line library.</remarks>
internal sealed class CompletionCommand(Surroundings around)
{
    private static readonly string[] Shells = ["bash", "zsh", "fish", "pwsh"];

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        var shell = new Argument<string>("SHELL")
        {
            HelpName = string.Join('|', Shells),
            Description = "The shell that shall complete.",
        };
        shell.CompletionSources.Add(Shells);
        var command = new ExampleCommand(
            "completion", "Prints a script that completes commands, options and ids in a shell.",
            "source <(fumecast completion bash)             for this session; in ~/.bashrc for all\n"
            + "fumecast completion zsh > DIR/_fumecast        DIR being in $fpath\n"
            + "fumecast completion fish > ~/.config/fish/completions/fumecast.fish\n"
            + "fumecast completion pwsh | Out-String | Invoke-Expression      in $PROFILE",
            readsData: false) { shell };
        command.SetAction(parsed =>
        {
            var name = parsed.GetRequiredValue(shell);
            if (!Shells.Contains(name))
            {
                throw new UsageProblem($"found '{name}', expected {string.Join(", ", Shells)} (see fumecast completion --help)");
            }

            Result.Write(around.Output, Script(name));
            return ExitCode.Done;
        });
        return command;
    }

    private static string Script(string shell)
    {
        using var stream = typeof(CompletionCommand).Assembly.GetManifestResourceStream($"completion/fumecast.{shell}")
            ?? throw new InvalidOperationException($"the script for {shell} is missing from the program");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd().ReplaceLineEndings("\n");
    }
}
