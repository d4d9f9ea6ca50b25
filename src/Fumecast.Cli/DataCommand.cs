// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Inputs;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary><c>fumecast materials</c>, <c>fumecast printers</c>: lists, shows and checks data files of a kind, and writes a start for one.</summary>
internal sealed class DataCommand(Surroundings around, DataKind kind)
{
    /// <summary>Columns where nobody watches: what most terminals have [-].</summary>
    private const int UsualWidth = 80;
    private const int NarrowestWidth = 40;

    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");

    /// <summary>Makes the command for the parser.</summary>
    public Command Build() => new ExampleCommand(
        kind.Name, $"Tells {kind.About}; checks files of your own, and writes a start for one.", $"fumecast {kind.Name} show {kind.ExampleId}")
    {
        List(), Show(), Check(), Template(),
    };

    /// <summary>Ids for completion, which must not fail whatever is wrong with the user's folder.</summary>
    /// <param name="kindName">Name of the kind.</param>
    public static IReadOnlyList<string> KnownIds(string kindName)
    {
        try
        {
            return DataKinds.All().First(kind => kind.Name == kindName).Ids;
        }
        catch (InputProblem)
        {
            return [];
        }
    }

    private ExampleCommand List()
    {
        var format = CommonOptions.Format("text", "json", "csv");
        var noColour = CommonOptions.NoColour();
        var command = new ExampleCommand(
            "list", $"Lists the {kind.Name} with their main figures, and the file of each that is your own.", $"fumecast {kind.Name} list --format csv") { format, _out, noColour };
        command.SetAction(parsed =>
        {
            using var outputs = Outputs(parsed);
            var output = outputs["--out"];
            var listing = DataListing.Of(kind);
            switch (parsed.GetValue(format) ?? "text")
            {
                case "json":
                    DataListJson.Write(output.Stream, listing);
                    break;
                case "csv":
                    Write(output, text => DataListCsv.Write(text, listing));
                    break;
                default:
                    var style = around.StyleOf(parsed.GetValue(noColour), output.IsStdout);
                    Write(output, text => DataListText.Write(text, listing, style with { Width = Width(style) }));
                    break;
            }

            outputs.Commit();
            foreach (var problem in listing.Unusable)
            {
                around.Error.Write($"fumecast: {DiagnosticText.Clean(problem.Message)}\n");
            }

            return listing.Unusable.Count == 0 ? ExitCode.Done : ExitCode.Input;
        });
        return command;
    }

    private ExampleCommand Show()
    {
        var id = Id("Id, or a file.");
        var command = new ExampleCommand("show", $"Shows all that is known of one {kind.One}, and from which file.", $"fumecast {kind.Name} show {kind.ExampleId}") { id, _out };
        command.SetAction(parsed =>
        {
            CommonOptions.RefuseMistyped(parsed, parsed.GetRequiredValue(id));
            using var outputs = Outputs(parsed, parsed.GetRequiredValue(id));
            Write(outputs["--out"], text => DataListing.Show(text, kind, parsed.GetRequiredValue(id)));
            outputs.Commit();
            return ExitCode.Done;
        });
        return command;
    }

    private ExampleCommand Check()
    {
        var files = new Argument<string[]>("FILE") { Description = $"Data files: {string.Join(" or ", DataKinds.All().Select(static known => known.Name))}.", Arity = ArgumentArity.OneOrMore };
        var command = new ExampleCommand(
            "check", "Checks data files, and says of each what is wrong and where; all missing keys at once.", $"fumecast {kind.Name} check my-{kind.One}.yaml") { files };
        command.SetAction(parsed =>
        {
            CommonOptions.RefuseMistyped(parsed, parsed.GetRequiredValue(files));
            using var text = new StringWriter { NewLine = "\n" };
            var wrong = DataCheck.Write(text, DataKinds.All(), kind, parsed.GetRequiredValue(files));
            Result.Write(around.Output, text.ToString());
            return wrong == 0 ? ExitCode.Done : ExitCode.Input;
        });
        return command;
    }

    private ExampleCommand Template()
    {
        var id = Id($"Id or file of a {kind.One} to start from. Default: plausible values.");
        id.Arity = ArgumentArity.ZeroOrOne;
        var command = new ExampleCommand(
            "template", $"Writes a start for a {kind.One} of your own, with a remark on every key.", $"fumecast {kind.Name} template --out my-{kind.One}.yaml") { id, _out };
        command.SetAction(parsed =>
        {
            var from = parsed.GetValue(id);
            CommonOptions.RefuseMistyped(parsed, from ?? "");
            using var outputs = Outputs(parsed, from);
            Write(outputs["--out"], text => DataTemplate.Write(text, kind, from));
            outputs.Commit();
            return ExitCode.Done;
        });
        return command;
    }

    private Argument<string> Id(string description)
    {
        var id = new Argument<string>("ID") { Description = description };
        id.CompletionSources.Add(_ => KnownIds(kind.Name));
        return id;
    }

    private OutputSet Outputs(ParseResult parsed, string? named = null)
    {
        var inputs = kind.OwnFiles.Select(static own => new InputFile(own, "the data file")).ToList();
        if (named is not null && kind.PathOf(named) is { } path)
        {
            inputs.Insert(0, new InputFile(path, $"the {kind.One}"));
        }

        return OutputSet.Open(around, inputs, ("--out", parsed.GetValue(_out) ?? "-"));
    }

    /// <summary>A table is read on the terminal; in a file or a pipe it fits what most terminals have.</summary>
    private int Width(TextStyle style) => style.CutsNames ? Math.Clamp(around.Width, NarrowestWidth, style.Width) : UsualWidth;

    private static void Write(Output output, Action<TextWriter> write)
    {
        using var text = new StreamWriter(output.Stream, new UTF8Encoding(false), leaveOpen: true) { NewLine = "\n" };
        write(text);
    }
}
