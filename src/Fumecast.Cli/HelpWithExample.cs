// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace Fumecast.Cli;

/// <summary>A command that shows one real example in its help.</summary>
/// <param name="name">Name of the command.</param>
/// <param name="description">What it does, in one sentence.</param>
/// <param name="example">A command line that works in the program's own folder.</param>
internal sealed class ExampleCommand(string name, string description, string example) : Command(name, description)
{
    /// <summary>A command line that works in the program's own folder.</summary>
    public string Example { get; } = example;
}

/// <summary>The library's help, followed by an example.</summary>
/// <param name="help">The library's help.</param>
/// <param name="rootExample">The example for the program as a whole.</param>
internal sealed class HelpWithExample(HelpAction help, string rootExample) : SynchronousCommandLineAction
{
    /// <inheritdoc/>
    public override bool ClearsParseErrors => true;

    /// <inheritdoc/>
    public override int Invoke(ParseResult parseResult)
    {
        var code = help.Invoke(parseResult);
        var example = parseResult.CommandResult.Command is ExampleCommand command ? command.Example : rootExample;
        var output = parseResult.InvocationConfiguration.Output;
        output.Write("Example:\n");
        foreach (var line in example.Split('\n'))
        {
            output.Write($"  {line}\n");
        }

        return code;
    }
}
