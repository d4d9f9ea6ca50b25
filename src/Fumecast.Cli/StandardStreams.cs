// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using System.Text;
using Fumecast.Inputs;
using Microsoft.Win32.SafeHandles;

namespace Fumecast.Cli;

/// <summary>The streams that the process was given, or the lack of them.</summary>
internal static partial class StandardStreams
{
    /// <summary>Standard input; null when it was closed at the start, as by <c>&lt;&amp;-</c>, or is a folder.</summary>
    public static Stream? Input() =>
        WasClosed(0) || (OperatingSystem.IsLinux() && FileNode.Of("/dev/stdin") is { Kind: FileKind.Folder }) ? null : Console.OpenStandardInput();

    /// <summary>Standard output; one that cannot be written when it was closed at the start.</summary>
    public static Stream Output() => WasClosed(1) ? new MemoryStream([], writable: false)
        : Terminal(1, !Console.IsOutputRedirected) ?? Console.OpenStandardOutput();

    /// <summary>Standard error; it takes what it can.</summary>
    public static ErrorWriter Error() => new(WasClosed(2) ? null : Terminal(2, !Console.IsErrorRedirected) ?? Console.OpenStandardError());

    /// <summary>A terminal as a plain file: the runtime's console would first switch its keys to another mode, by signs that no --no-color leaves out.</summary>
    private static FileStream? Terminal(int number, bool isTerminal) =>
        isTerminal && !OperatingSystem.IsWindows() ? new FileStream(new SafeFileHandle(number, ownsHandle: false), FileAccess.Write, bufferSize: 0) : null;

    /// <summary>Whether there was no such stream at the start.</summary>
    /// <remarks>
    /// The runtime has opened files of its own by now, and one of them has the free number: reading it would take the runtime's own signals and wait for ever.
    /// All that the runtime opens is closed for other programs, and what another program left us cannot be.
    /// </remarks>
    private static bool WasClosed(int number)
    {
        const int AskFlags = 1;
        const int CloseOnExecute = 1;
        return OperatingSystem.IsLinux() && AskSystem(number, AskFlags) is var flags && (flags < 0 || (flags & CloseOnExecute) != 0);
    }

    [LibraryImport("libc", EntryPoint = "fcntl")]
    private static partial int AskSystem(int descriptor, int question);
}

/// <summary>Writes diagnostics as far as they can be written: a full disk behind stderr must not hide how the command ended.</summary>
/// <param name="stream">Where to write, or null for nowhere.</param>
internal sealed class ErrorWriter(Stream? stream) : TextWriter
{
    /// <summary>Whether something could not be said.</summary>
    public bool HasFailed { get; private set; }

    public override Encoding Encoding { get; } = new UTF8Encoding(false);

    public override void Write(char value) => Write([value]);

    public override void Write(string? value) => Write(value.AsSpan());

    public override void Write(char[] buffer, int index, int count) => Write(buffer.AsSpan(index, count));

    public override void Write(ReadOnlySpan<char> buffer)
    {
        if (buffer.IsEmpty)
        {
            return;
        }

        var bytes = new byte[Encoding.GetMaxByteCount(buffer.Length)];
        var count = Encoding.GetBytes(buffer, bytes);
        try
        {
            if (stream is null)
            {
                HasFailed = true;
                return;
            }

            stream.Write(bytes, 0, count);
            stream.Flush();
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            HasFailed |= trouble is not IOException problem || !Result.IsClosedPipe(problem);
        }
    }
}
