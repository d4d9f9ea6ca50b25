// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>What there is to say about inputs that cannot be opened or read to their end, all texts in one place.</summary>
internal static class InputFindings
{
    internal static InputProblem BrokenOff(string name, long line, Exception cause) => new(
        name, line, 1, $"the input broke off or is damaged here ({FirstLine(cause.Message)}); copy or download the file again");

    private static string FirstLine(string message)
    {
        var end = message.AsSpan().IndexOfAny('\r', '\n');
        return (end < 0 ? message : message[..end]).TrimEnd('.', ' ');
    }
}
