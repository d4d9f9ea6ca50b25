// SPDX-License-Identifier: MIT
using System.CommandLine;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Cli;

/// <summary><c>fumecast printers</c>: which printer profiles there are, and what one of them says.</summary>
internal sealed class PrintersCommand(Surroundings around)
{
    /// <summary>Makes the command for the parser.</summary>
    public Command Build() => new ExampleCommand(
        "printers",
        $"Shows the printer profiles, shipped ones and those in the folder printers of the one that {DataCatalogue.FolderVariable} names.",
        "fumecast printers show desktop-default")
    {
        List(), Show(),
    };

    private ExampleCommand List()
    {
        var command = new ExampleCommand("list", "Lists the printer profiles, and the file of each that is your own.", "fumecast printers list");
        command.SetAction(parsed =>
        {
            using var text = new StringWriter { NewLine = "\n" };
            foreach (var id in PrinterCatalogue.Ids)
            {
                text.WriteLine(id == PrinterCatalogue.DefaultId ? $"{id} (taken where no --printer is given)" : id);
                text.WriteLine($"  {PrinterCatalogue.Load(id).Description}");
                if (PrinterCatalogue.PathOf(id) is { } path)
                {
                    text.WriteLine($"  file: {path}");
                }
            }

            Result.Write(around.Output, text.ToString());
            return ExitCode.Done;
        });
        return command;
    }

    private ExampleCommand Show()
    {
        var id = new Argument<string>("ID") { Description = "Id of a profile, or a file." };
        id.CompletionSources.Add(static _ => PrinterCatalogue.Ids);
        var command = new ExampleCommand(
            "show", "Shows a profile as its file has it: a start for one of your own.", "fumecast printers show desktop-default > my-printer.yaml") { id };
        command.SetAction(parsed =>
        {
            var file = new DataCatalogue("printers").Find(parsed.GetRequiredValue(id));
            _ = PrinterCatalogue.Read(file);
            Result.Write(around.Output, $"# file: {file.Name}\n{file.Text.TrimEnd()}\n");
            return ExitCode.Done;
        });
        return command;
    }
}
