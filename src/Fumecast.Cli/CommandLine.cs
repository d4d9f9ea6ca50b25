// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using Fumecast.Inputs;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>The <c>fumecast</c> command: parses the arguments, runs one command, turns its end into an exit code.</summary>
internal static class CommandLine
{
    private const string DebugName = "--debug";

    /// <summary>Version of the program.</summary>
    public static string Version { get; } = typeof(CommandLine).Assembly.GetName().Version?.ToString(3) ?? "0";

    /// <summary>Runs one command.</summary>
    /// <param name="args">The arguments after the program's name.</param>
    /// <param name="around">What the command may touch.</param>
    /// <param name="forecast">Stands in for the forecast in tests; null is the real one.</param>
    /// <param name="cancel">Cancelled when the user ends the program.</param>
    /// <returns>A value of <see cref="ExitCode"/>.</returns>
    public static int Run(string[] args, Surroundings around, ForecastJob? forecast = null, CancellationToken cancel = default)
    {
        try
        {
            var code = Invoke(args, around, forecast, cancel);

            // What should have been said was not: a caller that looks at the code alone must not take it for all well.
            return code == ExitCode.Done && around.Error is ErrorWriter { HasFailed: true } ? ExitCode.Input : code;
        }
        catch (UsageProblem problem)
        {
            return Fail(around, problem.Message, ExitCode.Usage);
        }
        catch (InputProblem problem)
        {
            return Fail(around, problem.Message, problem.IsOfOptions ? ExitCode.Usage : ExitCode.Input);
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            // Inputs, outputs and temporary files have messages of their own; this is the terminal, or a system in trouble.
            return Fail(around, $"reading or writing failed: {trouble.Message.Split('\n')[0].TrimEnd('.')}; check disks and permissions", ExitCode.Input);
        }
        catch (OperationCanceledException) when (cancel.IsCancellationRequested)
        {
            return Fail(around, "interrupted; nothing was written", ExitCode.Interrupted);
        }
#pragma warning disable CA1031 // The last line of defence: whatever it is, the user gets one line and the code for our own mistakes.
        catch (Exception bug)
#pragma warning restore CA1031
        {
            if (Array.IndexOf(args, DebugName) >= 0)
            {
                around.Error.Write($"{bug}\n");
            }

            var first = bug.Message.AsSpan();
            var end = first.IndexOfAny('\r', '\n');
            return Fail(
                around, $"this is a mistake in fumecast, not in your input: {bug.GetType().Name}: {(end < 0 ? first : first[..end])} (add --debug for the trace)",
                ExitCode.Bug);
        }
    }

    private static int Invoke(string[] args, Surroundings around, ForecastJob? forecast, CancellationToken cancel)
    {
        if (args is ["--version"])
        {
            return WriteVersion(around);
        }

        // The one command that is asked for does, unless something is wrong with the arguments or wants to be explained.
        var asked = Commands(around, forecast, cancel).Where(command => command.Name == args.FirstOrDefault()).Take(1).ToList();
        var parsed = asked.Count > 0 ? Parse(args, Root(around, asked)) : null;
        if (parsed?.Action is null or ParseErrorAction or HelpWithExample)
        {
            parsed = Parse(args, Root(around, Commands(around, forecast, cancel)));
        }

        if (parsed.Action is null or ParseErrorAction)
        {
            throw new UsageProblem(UsageText.Explain(parsed, args));
        }

        // Help and completions are short; they go out in one piece, like every result.
        using var text = new StringWriter { NewLine = "\n" };
        var code = parsed.Invoke(new InvocationConfiguration
        {
            Output = text,
            Error = around.Error,
            EnableDefaultExceptionHandler = false,
            ProcessTerminationTimeout = null,
        });
        Result.Write(around.Output, text.ToString());
        return code;
    }

    private static ParseResult Parse(string[] args, RootCommand root) =>
        root.Parse(args, new ParserConfiguration { EnablePosixBundling = false, ResponseFileTokenReplacer = null });

    /// <summary>The commands by their names, in the order of the help; each is made when it is wanted, since all of them take longer than a small job's moves.</summary>
    private static IEnumerable<(string Name, Func<Command> Make)> Commands(Surroundings around, ForecastJob? forecast, CancellationToken cancel)
    {
        yield return ("estimate", new EstimateCommand(around, forecast, cancel).Build);
        yield return ("evenness", new EvennessCommand(around, cancel).Build);
        yield return ("compare", new CompareCommand(around, cancel).Build);
        yield return ("room", new RoomCommand(around, cancel).Build);
        yield return ("plan", new PlanCommand(around, cancel).Build);
        yield return ("log", new LogCommand(around, cancel).Build);
        yield return ("trial", new TrialCommand(around, cancel).Build);
        yield return ("calibrate", new CalibrateCommand(around, cancel).Build);
        yield return ("testprint", new TestPrintCommand(around, cancel).Build);
        foreach (var kind in DataKinds.All())
        {
            yield return (kind.Name, new DataCommand(around, kind).Build);
        }

        yield return ("notebooks", new NotebooksCommand(around).Build);
        yield return ("explain", new ExplainCommand(around).Build);
        yield return ("completion", new CompletionCommand(around).Build);
    }

    private static RootCommand Root(Surroundings around, IEnumerable<(string Name, Func<Command> Make)> commands)
    {
        var root = new RootCommand("Forecasts what a desktop material-extrusion print gives off, from its G-code.");
        foreach (var (_, make) in commands)
        {
            root.Add(make());
        }

        root.Add(new Option<bool>(DebugName) { Description = "Show the trace of a mistake in fumecast itself.", Recursive = true });
        foreach (var option in root.Options)
        {
            if (option is HelpOption help)
            {
                help.Aliases.Clear();
                help.Aliases.Add("-h");
                help.Action = new HelpWithExample((HelpAction)help.Action!, "fumecast estimate examples/lamp-clip/job.gcode", around.HelpWidth);
            }
            else if (option is VersionOption version)
            {
                version.Action = new VersionAction(around);
            }
        }

        return root;
    }

    private static int WriteVersion(Surroundings around)
    {
        Result.Write(around.Output, Version + "\n");
        return ExitCode.Done;
    }

    private static int Fail(Surroundings around, string message, int code)
    {
        around.Error.Write($"fumecast: {OneLine(message)}\n");
        return code;
    }

    /// <summary>Keeps what a file or an argument holds from breaking the line or steering the terminal.</summary>
    private static string OneLine(string message) => DiagnosticText.Clean(message);

    private sealed class VersionAction(Surroundings around) : SynchronousCommandLineAction
    {
        public override int Invoke(ParseResult parseResult) => WriteVersion(around);
    }
}
