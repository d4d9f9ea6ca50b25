// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Completions;
using System.Globalization;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>Options that mean the same in every command.</summary>
internal static class CommonOptions
{
    public static Argument<string[]> Jobs() => new("JOB")
    {
        Description = "G-code (.gcode, .gco, .g), the same gzipped, or a ZIP or 3MF container (JOB#entry picks one of several); "
            + "a folder stands for the jobs in it; - is stdin.",
        Arity = ArgumentArity.OneOrMore,
    };

    /// <summary>The jobs as the user named them; says so when one is to be typed, which would look like a program that hangs.</summary>
    /// <exception cref="UsageProblem">One of them can only be a mistyped option.</exception>
    public static string[] JobsOf(ParseResult parsed, Argument<string[]> jobs, Surroundings around)
    {
        var given = parsed.GetRequiredValue(jobs);
        RefuseMistyped(parsed, given);
        var fromInput = given.Count(static job => job == "-");
        if (fromInput > 1)
        {
            throw new UsageProblem("standard input can be read only once; give - once");
        }

        if (fromInput == 1 && around.InputIsTerminal)
        {
            around.Error.Write($"fumecast: reading G-code from the keyboard; end it with {(OperatingSystem.IsWindows() ? "Ctrl-Z and Enter" : "Ctrl-D")} on a line of its own, or leave with Ctrl-C\n");
        }

        return given;
    }

    /// <summary>Refuses names of files or ids that can only be mistyped options.</summary>
    /// <exception cref="UsageProblem">One of them is.</exception>
    public static void RefuseMistyped(ParseResult parsed, params IEnumerable<string> names)
    {
        foreach (var name in names)
        {
            if (UsageText.LooksLikeOption(name) && !System.IO.File.Exists(name))
            {
                throw new UsageProblem(UsageText.UnknownOption(name, parsed.CommandResult));
            }
        }
    }

    public static Option<string[]> Material()
    {
        var option = new Option<string[]>("--material")
        {
            HelpName = "ID|FILE|N=ID",
            Description = "Material, or that of tool N, whatever the job says; may be repeated. Default: from the job's comments. See: fumecast materials list.",
            Arity = ArgumentArity.OneOrMore,
        };
        option.CompletionSources.Add(KnownMaterials);
        return option;
    }

    public static Option<string[]> MaterialIfUnknown()
    {
        var option = new Option<string[]>("--material-if-unknown")
        {
            HelpName = "ID|FILE|N=ID",
            Description = "Material where the job names none that is known, or that of tool N; what the job says stays.",
            Arity = ArgumentArity.OneOrMore,
        };
        option.CompletionSources.Add(KnownMaterials);
        return option;
    }

    public static Option<string[]> NozzleIfUnknown() => new("--nozzle-if-unknown")
    {
        HelpName = "C|N=C",
        Description = "Nozzle temperature where the job states none, or that of tool N, in degC; what the job says stays.",
        Arity = ArgumentArity.OneOrMore,
    };

    public static Option<string?> Printer()
    {
        var option = new Option<string?>("--printer") { HelpName = "ID|FILE", Description = "Printer profile. Default: a middle-of-the-road one, and said so. See: fumecast printers list." };
        option.CompletionSources.Add(static _ => DataCommand.KnownIds("printers"));
        return option;
    }

    public static Option<double?> MeterInterval() => QuantityOption.Make(
        "--meter-interval", Quantity.Time, 0.1, 86400, "TIME", "Averaging time for the evenness of the flow, in s. Default: 10s.");

    public static Option<double?> AirTime() => QuantityOption.Make(
        "--air-time", Quantity.Time, 10, 86400, "TIME", "Time in which the air changes once, for the evenness, in s; or as 10min. Default: 10min.", leastBare: 60);

    public static Option<bool> Purged() => new("--purged")
    {
        Description = "The nozzle was purged just before: leave out the residue that evaporates in its first minutes.",
    };

    public static Option<double?> Diameter() => QuantityOption.Make(
        "--diameter", Quantity.Length, 0.5, 10, "MM", "Filament diameter, in mm. Default: from the job, else from the printer.");

    public static Option<string?> Format(params string[] names)
    {
        var option = new Option<string?>("--format")
        {
            HelpName = string.Join('|', names),
            Description = $"Form of the result. Default: {names[0]}.",
            CustomParser = result =>
            {
                var found = result.Tokens[0].Value;
                if (Array.IndexOf(names, found) < 0)
                {
                    result.AddError($"--format: found '{found}', expected {string.Join(", ", names)}");
                }

                return found;
            },
        };
        option.CompletionSources.Add(names);
        return option;
    }

    public static Option<string?> File(string name, string helpName, string description) =>
        new(name)
        {
            HelpName = helpName,
            Description = description,
            CustomParser = result =>
            {
                var found = result.Tokens[0].Value;
                if (string.IsNullOrWhiteSpace(found) || (found != "-" && UsageText.LooksLikeOption(found)))
                {
                    result.AddError($"{name}: found '{found}', expected the name of a file");
                }

                return found;
            },
        };

    public static Option<long> Seed() => new("--seed")
    {
        HelpName = "N",
        Description = "Seed of the draws behind the intervals. Default: 0.",
        CustomParser = result =>
        {
            var found = result.Tokens[0].Value;
            if (!long.TryParse(found, NumberStyles.None, CultureInfo.InvariantCulture, out var seed))
            {
                result.AddError($"--seed: found '{found}', expected a whole number from 0 to 9223372036854775807");
            }

            return seed;
        },
    };

    public static Option<bool> Strict() => new("--strict") { Description = "Treat warnings that change results as errors." };

    public static Option<bool> Quiet() => new("--quiet") { Description = "No progress and no warnings on stderr." };

    public static Option<bool> Sketch() => new("--sketch") { Description = "Curves in block characters within the text, also in a pipe; a terminal gets them unless --no-color is given." };

    public static Option<bool> NoColour() => new("--no-color") { Description = "Plain text, also on a terminal." };

    /// <summary>Behind "0=" and behind a comma another id begins.</summary>
    private static IEnumerable<CompletionItem> KnownMaterials(CompletionContext context)
    {
        var begun = context.WordToComplete[..(context.WordToComplete.LastIndexOfAny(['=', ',']) + 1)];
        return DataCommand.KnownIds("materials").Select(id => new CompletionItem(begun + id));
    }
}
