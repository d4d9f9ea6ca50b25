// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary><c>fumecast notebooks</c>: checks notebooks of trials, and writes a start for one.</summary>
internal sealed class NotebooksCommand(Surroundings around)
{
    /// <summary>Makes the command for the parser.</summary>
    public Command Build() => new ExampleCommand("notebooks", "Checks notebooks of trials, and writes a start for one.", "fumecast notebooks check trial.yaml") { Check(), Template() };

    private ExampleCommand Check()
    {
        var files = new Argument<string[]>("FILE") { Description = "Notebooks.", Arity = ArgumentArity.OneOrMore };
        var command = new ExampleCommand("check", "Checks notebooks, and says of each what is wrong and where, and what is still to be filled in.", "fumecast notebooks check trial.yaml") { files };
        command.SetAction(parsed =>
        {
            CommonOptions.RefuseMistyped(parsed, parsed.GetRequiredValue(files));
            using var text = new StringWriter { NewLine = "\n" };
            var wrong = NotebookCheck.Write(text, parsed.GetRequiredValue(files));
            Result.Write(around.Output, text.ToString());
            return wrong == 0 ? ExitCode.Done : ExitCode.Input;
        });
        return command;
    }

    private ExampleCommand Template()
    {
        var output = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");
        var command = new ExampleCommand("template", "Writes a start for a notebook, with a remark on every key.", "fumecast notebooks template --out trial.yaml") { output };
        command.SetAction(parsed =>
        {
            using var outputs = OutputSet.Open(around, [], ("--out", parsed.GetValue(output) ?? "-"));
            using (var text = new StreamWriter(outputs["--out"].Stream, new UTF8Encoding(false), leaveOpen: true) { NewLine = "\n" })
            {
                text.Write(NotebookCheck.Template);
            }

            outputs.Commit();
            return ExitCode.Done;
        });
        return command;
    }
}
