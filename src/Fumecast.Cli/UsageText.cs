// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Parsing;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>Says in one line what is wrong with a command line and what was probably meant.</summary>
internal static class UsageText
{
    /// <summary>The line for the first mistake.</summary>
    /// <param name="parsed">What the parser made of the arguments.</param>
    /// <param name="args">The arguments.</param>
    public static string Explain(ParseResult parsed, string[] args)
    {
        var command = parsed.CommandResult.Command;
        var path = PathOf(parsed.CommandResult);
        if (UnknownOption(parsed, args) is { } unknown)
        {
            return UnknownOption(unknown, parsed.CommandResult);
        }

        // Our own checks of values come first: they say more.
        foreach (var error in parsed.Errors)
        {
            if (error.Message.StartsWith("--", StringComparison.Ordinal))
            {
                return error.Message;
            }
        }

        if (parsed.UnmatchedTokens is [var extra, ..])
        {
            var names = CommandNames(command);
            return names.Count > 0
                ? $"unknown command '{extra}'{(DidYouMean(extra, names) is { Length: > 0 } near ? near : $"; expected {Or(names)}")} (see {path} --help)"
                : $"found '{extra}' where nothing more was expected; quote names that have blanks (see {path} --help)";
        }

        if (parsed.Errors.Count == 0 || CommandNames(command).Count > 0)
        {
            return $"name a command: {Or(CommandNames(command))} (see {path} --help)";
        }

        if (parsed.Errors[0].SymbolResult is CommandResult or ArgumentResult { Parent: CommandResult } && command.Arguments.Count > 0)
        {
            return $"the {command.Arguments[0].Name} is missing (see {path} --help)";
        }

        var message = parsed.Errors[0].Message.TrimEnd('.');
        return $"{char.ToLowerInvariant(message[0])}{message.AsSpan(1)} (see {path} --help)";
    }

    /// <summary>The line for an option that the command does not have.</summary>
    /// <param name="option">The option as written.</param>
    /// <param name="command">The command.</param>
    public static string UnknownOption(string option, CommandResult command) =>
        $"unknown option '{option}'{DidYouMean(option, OptionNames(command))} (see {PathOf(command)} --help)";

    /// <summary>The parser takes an option it does not know for an argument; a person would call it an unknown option.</summary>
    private static string? UnknownOption(ParseResult parsed, string[] args)
    {
        if (Array.IndexOf(args, "--") >= 0)
        {
            return null;
        }

        foreach (var child in parsed.CommandResult.Children)
        {
            if (child is ArgumentResult)
            {
                foreach (var token in child.Tokens)
                {
                    if (LooksLikeOption(token.Value))
                    {
                        return token.Value;
                    }
                }
            }
        }

        foreach (var token in parsed.UnmatchedTokens)
        {
            if (LooksLikeOption(token))
            {
                return token;
            }
        }

        return null;
    }

    /// <summary>Whether a job of this name can only be a mistyped option.</summary>
    public static bool LooksLikeOption(string token) => token.Length > 1 && token[0] == '-';

    private static string DidYouMean(string word, IReadOnlyCollection<string> known) =>
        Nearest.To(word, known) is { } near ? $"; did you mean '{near}'?" : "";

    private static List<string> OptionNames(CommandResult result)
    {
        var names = new List<string>();
        for (SymbolResult? at = result; at is not null; at = at.Parent)
        {
            if (at is CommandResult { Command: var command })
            {
                foreach (var option in command.Options)
                {
                    if (!option.Hidden && (command == result.Command || option.Recursive))
                    {
                        names.Add(option.Name);
                    }
                }
            }
        }

        return names;
    }

    private static List<string> CommandNames(Command command)
    {
        var names = new List<string>();
        foreach (var sub in command.Subcommands)
        {
            names.Add(sub.Name);
        }

        return names;
    }

    private static string Or(List<string> names) => string.Join(", ", names);

    private static string PathOf(CommandResult result)
    {
        var path = "";
        for (SymbolResult? at = result; at is not null; at = at.Parent)
        {
            if (at is CommandResult { Command: not RootCommand } command)
            {
                path = " " + command.Command.Name + path;
            }
        }

        return "fumecast" + path;
    }
}
