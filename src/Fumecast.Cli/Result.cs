// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>Hands a finished result to stdout. A reader that has gone away is no mistake.</summary>
internal static class Result
{
    /// <summary>Writes a text.</summary>
    public static void Write(Stream output, string text) => Write(output, Encoding.UTF8.GetBytes(text));

    /// <summary>Writes bytes.</summary>
    /// <exception cref="InputProblem">They cannot be written, such as on a full disk.</exception>
    public static void Write(Stream output, ReadOnlySpan<byte> bytes)
    {
        if (bytes.IsEmpty)
        {
            return;
        }

        try
        {
            Require(output).Write(bytes);
            output.Flush();
        }
        catch (IOException trouble) when (IsClosedPipe(trouble))
        {
            // The pipe was closed, as by head -1: its reader has seen enough.
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            throw GuardedStream.Unwritable("stdout", trouble);
        }
    }

    /// <summary>Makes sure that there is a stdout, before any work is done for it.</summary>
    /// <exception cref="InputProblem">It was closed at the start.</exception>
    public static Stream Require(Stream output) =>
        output.CanWrite ? output : throw new InputProblem("stdout is closed, so the result has nowhere to go; open it, or name a file with --out where there is such an option");

    /// <summary>Makes sure that there is a stdout for the words beside a file that <c>--out</c> names.</summary>
    /// <exception cref="InputProblem">It was closed at the start.</exception>
    public static void RequireForWords(Stream output)
    {
        if (!output.CanWrite)
        {
            throw new InputProblem("stdout is closed, so the description of the print has nowhere to go; open it, or send it away with >/dev/null");
        }
    }

    /// <summary>Whether a write failed because nobody reads any more; a full disk, say, is another matter.</summary>
    public static bool IsClosedPipe(IOException trouble)
    {
        const int BrokenPipeUnix = 32;
        const int BrokenPipeWindows = unchecked((int)0x8007006D);
        const int ClosingPipeWindows = unchecked((int)0x800700E8);
        return trouble.HResult is BrokenPipeUnix or BrokenPipeWindows or ClosingPipeWindows;
    }
}
