// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text;

namespace Fumecast.Tests.Commands;

public sealed class CompletionCommandTests : IDisposable
{
    private const string Bash = "/bin/bash";
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-completion-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("bash")]
    [InlineData("zsh")]
    [InlineData("fish")]
    [InlineData("pwsh")]
    public void Each_shell_has_a_script_that_asks_the_program_itself(string shell)
    {
        var ended = FumecastProcess.Run("completion", shell);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Contains("[suggest:", ended.Output);
        Assert.Contains("# Completion of fumecast for ", ended.Output);
        Assert.DoesNotContain('\r', ended.Output);
    }

    [Theory]
    [InlineData("found 'csh', expected bash, zsh, fish, pwsh (see fumecast completion --help)", "csh")]
    [InlineData("the SHELL is missing (see fumecast completion --help)")]
    public void Another_shell_is_refused(string message, params string[] shell)
    {
        var ended = FumecastProcess.Run(["completion", .. shell]);
        Assert.Equal((2, "", $"fumecast: {message}\n"), (ended.ExitCode, ended.Output, ended.Error));
    }

    [Theory]
    [InlineData("fumecast ", "calibrate compare completion estimate evenness explain filters guidelines log materials meters notebooks plan printers room rooms testprint trial")]
    [InlineData("fumecast est", "estimate")]
    [InlineData("fumecast estimate --mat", "--material --material-if-unknown")]
    [InlineData("fumecast estimate a.gcode --material pla-", "pla-carbon-fibre pla-metal pla-wood")]
    [InlineData("fumecast estimate a.gcode --material 0=pla-", "pla-carbon-fibre pla-metal pla-wood")]
    [InlineData("fumecast estimate a.gcode --material-if-unknown 0=pla-", "pla-carbon-fibre pla-metal pla-wood")]
    [InlineData("fumecast estimate a.gcode --printer ", "attic bed-slinger-slow corexy-fast desktop-default large-format")]
    [InlineData("fumecast printers show a", "attic")]
    [InlineData("fumecast materials ", "check list show template")]
    [InlineData("fumecast estimate 'my job.gcode' --format ", "csv json text")]
    [InlineData("./fumecast materials template pet", "petg")]
    [InlineData("fumecast explain start", "start-dose")]
    [InlineData("fumecast completion p", "pwsh")]
    [InlineData("fumecast estimate ", "")]
    public void Bash_completes_commands_options_and_ids(string typed, string offered)
    {
        if (!OperatingSystem.IsWindows() && File.Exists(Bash))
        {
            Assert.Equal(offered, Complete(typed));
        }
    }

    [System.Runtime.Versioning.UnsupportedOSPlatform("windows")]
    private string Complete(string typed)
    {
        // The program under the name that people type, and a printer of the user's own.
        File.WriteAllText(Path.Combine(_folder, "fumecast"), $"#!{Bash}\nexec dotnet '{Path.Combine(AppContext.BaseDirectory, "fumecast.dll")}' \"$@\"\n");
        File.SetUnixFileMode(Path.Combine(_folder, "fumecast"), UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        Directory.CreateDirectory(Path.Combine(_folder, "printers"));
        File.WriteAllText(Path.Combine(_folder, "printers", "attic.yaml"), "schema: fumecast/printer/1\n");
        File.WriteAllText(Path.Combine(_folder, "ask.bash"), """
            PATH=$PWD:$PATH
            source <(fumecast completion bash) || exit 1
            complete -p fumecast >/dev/null || exit 2
            COMP_LINE=$1 COMP_POINT=${#1}
            eval "COMP_WORDS=($1)"
            [[ $1 == *' ' ]] && COMP_WORDS+=("")
            COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
            _fumecast_complete
            printf '%s' "${COMPREPLY[*]}"
            """.ReplaceLineEndings("\n"));
        var start = new ProcessStartInfo(Bash)
        {
            WorkingDirectory = _folder,
            RedirectStandardOutput = true,
            StandardOutputEncoding = Encoding.UTF8,
        };
        start.ArgumentList.Add("--norc");
        start.ArgumentList.Add("ask.bash");
        start.ArgumentList.Add(typed);
        start.Environment["FUMECAST_DATA"] = _folder;
        using var bash = Process.Start(start)!;
        var output = bash.StandardOutput.ReadToEnd();
        bash.WaitForExit();
        Assert.Equal(0, bash.ExitCode);
        return output;
    }
}
