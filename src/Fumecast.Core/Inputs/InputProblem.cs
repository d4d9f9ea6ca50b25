// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Inputs;

/// <summary>An input that cannot be used: says where, what was found, what was expected and how to mend it, in one line.</summary>
/// <remarks>The command line turns it into exit code 1. It is never thrown for a mistake of our own.</remarks>
public sealed class InputProblem : Exception
{
    /// <summary>Makes a problem without a place in a file, such as a missing file.</summary>
    /// <param name="message">One line in plain words: what was found, what was expected, how to mend it.</param>
    public InputProblem(string message) : base(message)
    {
    }

    /// <summary>Makes a problem at a place in a file.</summary>
    /// <param name="file">The file as the user named it.</param>
    /// <param name="line">Line, 1-based [-].</param>
    /// <param name="column">Column, 1-based [-].</param>
    /// <param name="message">One line in plain words: what was found, what was expected, how to mend it.</param>
    public InputProblem(string file, long line, int column, string message)
        : base(string.Create(CultureInfo.InvariantCulture, $"{file}:{line}:{column}: {message}"))
    {
    }

    /// <summary>Whether what was asked for is wrong, and no file: the command line then speaks of wrong usage.</summary>
    internal bool IsOfOptions { get; init; }
}
