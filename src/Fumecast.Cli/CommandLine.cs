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

        var root = Root(around, forecast, cancel);
        var parsed = root.Parse(args, new ParserConfiguration { EnablePosixBundling = false, ResponseFileTokenReplacer = null });
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

    private static RootCommand Root(Surroundings around, ForecastJob? forecast, CancellationToken cancel)
    {
        var root = new RootCommand("Forecasts what a desktop material-extrusion print gives off, from its G-code.")
        {
            new EstimateCommand(around, forecast, cancel).Build(),
            new EvennessCommand(around, cancel).Build(),
            new CompareCommand(around, cancel).Build(),
            new RoomCommand(around, cancel).Build(),
            new LogCommand(around, cancel).Build(),
            new TrialCommand(around, cancel).Build(),
            new CalibrateCommand(around, cancel).Build(),
            new TestPrintCommand(around, cancel).Build(),
            new Option<bool>(DebugName) { Description = "Show the trace of a mistake in fumecast itself.", Recursive = true },
        };
        foreach (var kind in DataKinds.All())
        {
            root.Add(new DataCommand(around, kind).Build());
        }

        root.Add(new ExplainCommand(around).Build());
        root.Add(new CompletionCommand(around).Build());
        foreach (var option in root.Options)
        {
            if (option is HelpOption help)
            {
                help.Aliases.Clear();
                help.Aliases.Add("-h");
                help.Action = new HelpWithExample((HelpAction)help.Action!, "fumecast estimate examples/lamp-clip/job.gcode");
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
