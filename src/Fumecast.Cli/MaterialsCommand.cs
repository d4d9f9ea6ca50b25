// SPDX-License-Identifier: MIT
using System.CommandLine;

namespace Fumecast.Cli;

/// <summary><c>fumecast materials</c>: what is known about each material, and from where.</summary>
internal sealed class MaterialsCommand(Surroundings around)
{
    private readonly Surroundings _around = around;

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        var list = new ExampleCommand("list", "Lists the materials.", "fumecast materials list");
        list.SetAction((ParseResult _) => { _around.Error.Write("not yet\n"); return 3; });
        var command = new ExampleCommand("materials", "Shows what is known about each material, and from where; checks data files.", "fumecast materials show abs")
        {
            list,
        };
        return command;
    }
}
