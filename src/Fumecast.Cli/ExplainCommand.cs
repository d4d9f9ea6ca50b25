// SPDX-License-Identifier: MIT
using System.CommandLine;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary><c>fumecast explain</c>: what the words of the results mean.</summary>
internal sealed class ExplainCommand(Surroundings around)
{
    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        var term = new Argument<string[]>("TERM")
        {
            // Else help would list every term in place of the name.
            HelpName = "TERM",
            Description = "A word that a result uses; several words are one term. Without it all terms are listed.",
            Arity = ArgumentArity.ZeroOrMore,
        };
        term.CompletionSources.Add(static _ => Explanations.All.Select(static known => known.Term.Replace(' ', '-')).Where(static known => !known.Contains('\'', StringComparison.Ordinal)));
        var noColour = CommonOptions.NoColour();
        var command = new ExampleCommand("explain", "Explains the words of the results.", "fumecast explain start dose", readsData: false) { term, noColour };
        command.SetAction(parsed =>
        {
            var words = string.Join(' ', parsed.GetValue(term) ?? []);
            using var text = new StringWriter { NewLine = "\n" };
            var style = around.StyleOf(parsed.GetValue(noColour), toTerminal: true);
            if (words.Trim().Length == 0)
            {
                Explanations.WriteList(text, style);
            }
            else
            {
                Explanations.WriteOne(text, Explanations.Find(words) ?? throw Unknown(words), style);
            }

            Result.Write(around.Output, text.ToString());
            return ExitCode.Done;
        });
        return command;
    }

    private static UsageProblem Unknown(string words)
    {
        var near = Explanations.Near(words);
        return new UsageProblem($"no term '{words}'{(near.Count == 0 ? "" : $"; did you mean {string.Join(", ", near.Select(static term => $"'{term}'"))}?")} (all terms: fumecast explain)");
    }
}
