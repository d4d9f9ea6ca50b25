// SPDX-License-Identifier: MIT
using System.CommandLine;
using Fumecast.Emission;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Cli;

/// <summary><c>fumecast materials</c>: what is known about each material, and from where; and whether data files are sound.</summary>
internal sealed class MaterialsCommand(Surroundings around)
{
    /// <summary>Makes the command for the parser.</summary>
    public Command Build() => new ExampleCommand(
        "materials", "Shows what is known about each material, and from where; checks data files.", "fumecast materials show abs")
    {
        List(), Show(), Check(),
    };

    private ExampleCommand List()
    {
        var command = new ExampleCommand("list", "Lists the materials with their main figures.", "fumecast materials list");
        command.SetAction(parsed =>
        {
            Result.Write(around.Output, Written(static text => MaterialText.WriteList(text, new MaterialCatalogue())));
            return ExitCode.Done;
        });
        return command;
    }

    private ExampleCommand Show()
    {
        var id = new Argument<string>("ID") { Description = "Id of a material, or a file." };
        id.CompletionSources.Add(static _ => new MaterialCatalogue().Ids);
        var command = new ExampleCommand("show", "Shows all figures of one material with their sources.", "fumecast materials show abs") { id };
        command.SetAction(parsed =>
        {
            var catalogue = new MaterialCatalogue();
            var material = catalogue.Load(parsed.GetRequiredValue(id));
            Result.Write(around.Output, Written(text => MaterialText.WriteOne(text, material, catalogue)));
            return ExitCode.Done;
        });
        return command;
    }

    private ExampleCommand Check()
    {
        var files = new Argument<string[]>("FILE") { Description = "Data files: materials or printers.", Arity = ArgumentArity.OneOrMore };
        var command = new ExampleCommand("check", "Checks data files, and says of each what is wrong and where.", "fumecast materials check materials/abs.yaml")
        {
            files,
        };
        command.SetAction(parsed =>
        {
            var wrong = 0;
            var readers = new Dictionary<string, Action<DataFile>> { ["fumecast/printer/1"] = static file => PrinterCatalogue.Read(file) };
            Result.Write(around.Output, Written(text => wrong = MaterialText.Check(text, parsed.GetRequiredValue(files), new MaterialCatalogue(), readers)));
            return wrong == 0 ? ExitCode.Done : ExitCode.Input;
        });
        return command;
    }

    private static string Written(Action<TextWriter> write)
    {
        using var text = new StringWriter { NewLine = "\n" };
        write(text);
        return text.ToString();
    }
}
