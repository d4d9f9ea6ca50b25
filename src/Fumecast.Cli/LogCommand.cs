// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Inputs;
using Fumecast.Pictures;
using Fumecast.Report;
using Fumecast.Trial;

namespace Fumecast.Cli;

/// <summary><c>fumecast log</c>: how a meter's log is understood.</summary>
internal sealed class LogCommand(Surroundings around, CancellationToken cancel)
{
    private readonly Argument<string[]> _logs = new("LOG")
    {
        Description = "A meter's log as CSV or another text with delimiters; - is stdin.",
        Arity = ArgumentArity.OneOrMore,
    };

    private readonly Option<string[]> _columns = new("--columns")
    {
        HelpName = "NAME=HEADER,...",
        Description = $"What columns hold where the log does not say it, such as time=Zeit,pm25=PM2.5; by header or number, a unit may follow as in tvoc=VOC[ppb]. Names: {string.Join(' ', LogOptions.ColumnNames)}.",
        Arity = ArgumentArity.OneOrMore,
    };

    private readonly Option<string?> _zone = new("--zone") { HelpName = "ZONE", Description = "Zone of the clock where the log states none: +01:00, UTC, or a name of this system such as Europe/Paris." };
    private readonly Option<string?> _format = CommonOptions.Format("text", "json");
    private readonly Option<string?> _out = CommonOptions.File("--out", "FILE", "Where the result goes. Default: stdout.");
    private readonly Option<string?> _csv = CommonOptions.File("--csv", "F.csv", "Writes the readings in one clean form; for one log.");
    private readonly Option<string?> _plot = CommonOptions.File("--plot", "F.svg|F.png", "Draws the readings against time; for one log.");
    private readonly Option<bool> _strict = CommonOptions.Strict();
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();
    private readonly Option<bool> _sketch = CommonOptions.Sketch();
    private readonly Option<string?> _dateOrder = DateOrderOption();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        _columns.CompletionSources.Add(static _ => LogOptions.ColumnNames.Select(static name => new System.CommandLine.Completions.CompletionItem(name + "=")));
        _zone.CompletionSources.Add("UTC", "+00:00", "+01:00", "+02:00");
        var command = new ExampleCommand(
            "log", "Shows how a meter's log is understood: times, columns, units, gaps, and what does not count.",
            "fumecast log day1.csv --columns 'time=Zeit,pm25=Feinstaub' --date-order day-first --plot day1.svg", readsData: false)
        {
            _logs, _columns, _dateOrder, _zone, _format, _out, _csv, _plot, _strict, _quiet, _noColour, _sketch,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var files = CommonOptions.JobsOf(parsed, _logs, around);
        var (csv, plot) = (parsed.GetValue(_csv), parsed.GetValue(_plot));
        foreach (var (option, value) in new[] { (_csv.Name, csv), (_plot.Name, plot) })
        {
            if (value is not null && files.Length > 1)
            {
                throw new UsageProblem(FormattableString.Invariant($"{option} is for one log, found {files.Length}; take them one by one for it"));
            }
        }

        var options = new LogOptions
        {
            Columns = [.. (parsed.GetValue(_columns) ?? []).SelectMany(LogOptions.ParseColumns)],
            DateOrder = parsed.GetValue(_dateOrder) switch { "day-first" => DateOrder.DayFirst, "month-first" => DateOrder.MonthFirst, _ => null },
            Zone = parsed.GetValue(_zone),
            Strict = parsed.GetValue(_strict),
            Stdin = around.Input,
        };
        var (format, quiet) = (parsed.GetValue(_format) ?? "text", parsed.GetValue(_quiet));
        var sketches = around.WantsSketch(parsed.GetValue(_sketch), parsed.GetValue(_noColour), format, parsed.GetValue(_out));
        var pictureFormat = PictureName.FormatOf(plot);
        using var outputs = OutputSet.Open(around, Inputs(files), ("--out", parsed.GetValue(_out) ?? "-"), ("--csv", csv), ("--plot", plot));
        var logs = new List<MeterLog>();
        var failed = false;
        using (var progress = around.ErrorIsTerminal && !quiet ? new ProgressLine(around.Error, "reading", files.Length) : null)
        {
            for (var i = 0; i < files.Length; i++)
            {
                failed |= !TryRead(files[i], options, files.Length > 1, logs);
                progress?.Report((i + 1) / (double)files.Length);
            }
        }

        if (logs.Count == 0)
        {
            return ExitCode.Input;
        }

        if (csv is not null)
        {
            LogCsv.Write(outputs["--csv"].Stream, logs[0]);
        }

        if (plot is not null)
        {
            LogPicture.Write(outputs["--plot"].Stream, pictureFormat, logs[0]);
        }

        var toFile = !outputs["--out"].IsStdout;
        Write(outputs["--out"].Stream, logs, format, around.StyleOf(parsed.GetValue(_noColour), toTerminal: !toFile) with { Sketches = sketches });
        outputs.Commit();
        if (!quiet && (format != "text" || toFile))
        {
            foreach (var log in logs)
            {
                Findings.Write(around.Error, log.Diagnostics, logs.Count > 1 ? log.File : null);
            }
        }

        return failed ? ExitCode.Input : ExitCode.Done;
    }

    /// <summary>Reads a log; one of several that cannot be read is told and left out.</summary>
    private bool TryRead(string file, LogOptions options, bool isOneOfMany, List<MeterLog> logs)
    {
        try
        {
            logs.Add(MeterLogReader.Read(file, options, cancel));
            return true;
        }
        catch (InputProblem problem) when (isOneOfMany && !problem.IsOfOptions)
        {
            around.Error.Write($"fumecast: {DiagnosticText.Clean(problem.Message)}\n");
            return false;
        }
    }

    private static void Write(Stream output, List<MeterLog> logs, string format, TextStyle style)
    {
        if (format == "json")
        {
            LogJson.Write(output, logs);
            return;
        }

        using var text = new StreamWriter(output, new UTF8Encoding(false), 1 << 14, leaveOpen: true) { NewLine = "\n" };
        for (var i = 0; i < logs.Count; i++)
        {
            if (i > 0)
            {
                text.Write("\n\n");
            }

            LogText.Write(text, logs[i], style);
        }
    }

    private static IEnumerable<InputFile> Inputs(string[] files)
    {
        foreach (var file in files)
        {
            if (file != "-")
            {
                yield return new InputFile(file, "the log");
            }
            else if (!OperatingSystem.IsWindows() && FileNode.Of("/dev/stdin") is { Kind: FileKind.Regular })
            {
                yield return new InputFile("/dev/stdin", "the log on");
            }
        }
    }

    private static Option<string?> DateOrderOption()
    {
        var option = new Option<string?>("--date-order")
        {
            HelpName = "day-first|month-first",
            Description = "Order of day and month where nothing in the log decides it.",
            CustomParser = static result =>
            {
                var found = result.Tokens[0].Value;
                if (found is not ("day-first" or "month-first"))
                {
                    result.AddError($"--date-order: found '{found}', expected day-first or month-first");
                }

                return found;
            },
        };
        option.CompletionSources.Add("day-first", "month-first");
        return option;
    }
}
