// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>What there is to say about inputs that cannot be opened or read to their end, all texts in one place.</summary>
internal static class InputFindings
{
    internal const string CopyAgain = "copy or export the file again";

    internal static InputProblem BrokenOff(string name, long line, Exception cause) => new(
        name, line, 1, $"the input breaks off or is damaged here ({Reason(cause)}); {CopyAgain}");

    internal static InputProblem Unreadable(string name, Exception cause) => new(
        $"{name}: cannot be read ({Reason(cause)})");

    internal static InputProblem Shortened(string name) => new(
        $"{name}: became shorter while it was read; wait until the program that writes it is done, or copy it again");

    internal static InputProblem Empty(string name) => new($"{name}: is empty; expected G-code");

    /// <summary>One line, without the full stop; what the compression library says is replaced by what it means.</summary>
    private static string Reason(Exception cause)
    {
        if (cause is InvalidDataException)
        {
            return "the compressed data is damaged or of an unknown kind";
        }

        var end = cause.Message.AsSpan().IndexOfAny('\r', '\n');
        return (end < 0 ? cause.Message : cause.Message[..end]).TrimEnd('.', ' ');
    }
}
