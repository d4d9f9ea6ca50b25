// SPDX-License-Identifier: MIT
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>What a command may touch of the world around it; tests put memory in its place.</summary>
internal sealed record Surroundings
{
    private const int UsualWidth = 88;
    private const int NarrowestHelp = 40;
    private const int WidestHelp = 100;

    /// <summary>Where the job <c>-</c> is read from; null when there is no standard input.</summary>
    public required Stream? Input { get; init; }

    /// <summary>Takes the result and nothing else.</summary>
    public required Stream Output { get; init; }

    /// <summary>Takes diagnostics and progress.</summary>
    public required TextWriter Error { get; init; }

    /// <summary>Whether a person sees the result at once.</summary>
    public bool OutputIsTerminal { get; init; }

    /// <summary>Whether a person sees the diagnostics at once.</summary>
    public bool ErrorIsTerminal { get; init; }

    /// <summary>Whether the job <c>-</c> would be typed by a person.</summary>
    public bool InputIsTerminal { get; init; }

    /// <summary>Columns of the terminal [-].</summary>
    public int Width { get; init; } = UsualWidth;

    /// <summary>Columns that help fills [-]: what most terminals have where nobody watches.</summary>
    public int HelpWidth => OutputIsTerminal ? Math.Clamp(Width, NarrowestHelp, WidestHelp) : 80;

    /// <summary>Whether the environment asks for plain text (NO_COLOR, or a terminal that knows no colours).</summary>
    public bool WantsPlainText { get; init; }

    /// <summary>The real ones. The console's own writers are avoided: they cost start-up time.</summary>
    public static Surroundings OfProcess()
    {
        var outputIsTerminal = !Console.IsOutputRedirected;
        return new Surroundings
        {
            Input = StandardStreams.Input(),
            Output = StandardStreams.Output(),
            Error = StandardStreams.Error(),
            OutputIsTerminal = outputIsTerminal,
            ErrorIsTerminal = !Console.IsErrorRedirected,
            InputIsTerminal = !Console.IsInputRedirected,
            Width = outputIsTerminal ? TerminalWidth.OfOutput() ?? UsualWidth : UsualWidth,
            WantsPlainText = !string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR"))
                || Environment.GetEnvironmentVariable("TERM") is "dumb",
        };
    }

    /// <summary>The layout of a text result.</summary>
    /// <param name="noColour">Whether the user asked for plain text.</param>
    /// <param name="toTerminal">Whether the text goes to the terminal, and not to a file.</param>
    public TextStyle StyleOf(bool noColour, bool toTerminal) =>
        new(Math.Clamp(Width, 72, 100), Colour: toTerminal && OutputIsTerminal && !noColour && !WantsPlainText, CutsNames: toTerminal && OutputIsTerminal);

    /// <summary>Whether curves in block characters go into a result: on a terminal, and in a pipe that asks for them; never into a file.</summary>
    /// <param name="asked">Whether the user asked for them with <c>--sketch</c>.</param>
    /// <param name="noColour">Whether the user asked for plain text.</param>
    /// <param name="format">Form of the result.</param>
    /// <param name="result">Where it goes; null or <c>-</c> for stdout.</param>
    /// <exception cref="UsageProblem">They were asked for where they have no place.</exception>
    public bool WantsSketch(bool asked, bool noColour, string format, string? result)
    {
        var isTextOnStdout = format == "text" && result is (null or "-");
        if (asked && !isTextOnStdout)
        {
            throw new UsageProblem($"--sketch draws within the text on stdout, found {(format == "text" ? $"--out {result}" : $"--format {format}")}; leave it out, or draw a picture with --plot FILE");
        }

        return isTextOnStdout && (asked || (OutputIsTerminal && !noColour && !WantsPlainText));
    }
}
