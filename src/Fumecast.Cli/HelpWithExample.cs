// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using Fumecast.Inputs;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>A command that shows one real example in its help.</summary>
/// <param name="name">Name of the command.</param>
/// <param name="description">What it does, in one sentence.</param>
/// <param name="example">A command line that works in the program's own folder.</param>
/// <param name="readsData">Whether it reads materials or printers, which may be the user's own.</param>
internal sealed class ExampleCommand(string name, string description, string example, bool readsData = true) : Command(name, description)
{
    /// <summary>A command line that works in the program's own folder.</summary>
    public string Example { get; } = example;

    /// <summary>Whether it reads materials or printers, which may be the user's own.</summary>
    public bool ReadsData { get; } = readsData;
}

/// <summary>The library's help, followed by an example.</summary>
/// <param name="help">The library's help.</param>
/// <param name="rootExample">The example for the program as a whole.</param>
/// <param name="width">Columns to fill [-].</param>
internal sealed class HelpWithExample(HelpAction help, string rootExample, int width) : SynchronousCommandLineAction
{
    /// <inheritdoc/>
    public override bool ClearsParseErrors => true;

    /// <inheritdoc/>
    public override int Invoke(ParseResult parseResult)
    {
        help.MaxWidth = width;
        var code = help.Invoke(parseResult);
        var example = parseResult.CommandResult.Command is ExampleCommand command ? command.Example : rootExample;
        var output = parseResult.InvocationConfiguration.Output;
        output.Write("Example:\n");
        foreach (var line in example.Split('\n').SelectMany(Lines))
        {
            output.Write($"  {line}\n");
        }

        if (parseResult.CommandResult.Command is not ExampleCommand { ReadsData: false })
        {
            var folder = Environment.GetEnvironmentVariable(DataCatalogue.FolderVariable);
            output.Write("\nYour own data:\n");
            new TextPage(output, new TextStyle(width)).Indented(
                $"The variable {DataCatalogue.FolderVariable} names a folder ({(string.IsNullOrWhiteSpace(folder) ? "not set now" : $"now {folder}")});"
                + $" files in its folders {string.Join(" and ", DataKinds.All().Select(static kind => kind.Name))} are known by their names, and take the place of shipped ones.");
        }

        return code;
    }

    /// <summary>A command line over as many lines as it needs, joined as a shell joins them; an option keeps its value.</summary>
    private IEnumerable<string> Lines(string command)
    {
        const string Indent = "  ";
        var line = "";
        foreach (var part in command.Replace(" -", "\n-", StringComparison.Ordinal).Split('\n').SelectMany(static part => part.StartsWith('-') ? [part] : part.Split(' ')))
        {
            if (line.Trim().Length > 0 && Indent.Length + line.Length + 1 + part.Length + " \\".Length > width)
            {
                yield return line + " \\";
                line = Indent;
            }

            line += line.Trim().Length == 0 ? part : " " + part;
        }

        yield return line;
    }
}
