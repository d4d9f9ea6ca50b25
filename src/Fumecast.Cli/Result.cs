// SPDX-License-Identifier: MIT
using System.Text;

namespace Fumecast.Cli;

/// <summary>Hands a finished result to stdout. A reader that has gone away is no mistake.</summary>
internal static class Result
{
    /// <summary>Writes a text.</summary>
    public static void Write(Stream output, string text) => Write(output, Encoding.UTF8.GetBytes(text));

    /// <summary>Writes bytes.</summary>
    public static void Write(Stream output, ReadOnlySpan<byte> bytes)
    {
        try
        {
            output.Write(bytes);
            output.Flush();
        }
        catch (IOException trouble) when (IsClosedPipe(trouble))
        {
            // The pipe was closed, as by head -1: its reader has seen enough.
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
