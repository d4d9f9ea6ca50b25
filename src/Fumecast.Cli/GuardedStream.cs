// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>A stream to the outside: trouble in writing names the output. A pipe whose reader has gone away is left to the caller.</summary>
internal sealed class GuardedStream(Stream inner, string name) : Stream
{
    public override bool CanRead => inner.CanRead;

    public override bool CanSeek => inner.CanSeek;

    public override bool CanWrite => inner.CanWrite;

    public override long Length => inner.Length;

    public override long Position
    {
        get => inner.Position;
        set => Guarded(inner, value, static (stream, at) => stream.Position = at);
    }

    /// <summary>The line for an output that cannot be written.</summary>
    public static InputProblem Unwritable(string name, Exception trouble) =>
        new($"{name}: {(name == "stdout" ? "cannot be written" : "cannot write this file")}: {SystemTrouble.Reason(trouble)}; {(IsFull(trouble) ? "make room, or choose another place" : "choose another place")}");

    public override int Read(byte[] buffer, int offset, int count) => inner.Read(buffer, offset, count);

    public override int Read(Span<byte> buffer) => inner.Read(buffer);

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        try
        {
            inner.Write(buffer);
        }
        catch (Exception trouble) when (IsOurs(trouble))
        {
            throw Unwritable(name, trouble);
        }
    }

    public override void Flush() => Guarded(inner, 0, static (stream, _) => stream.Flush());

    public override long Seek(long offset, SeekOrigin origin) => inner.Seek(offset, origin);

    public override void SetLength(long value) => Guarded(inner, value, static (stream, length) => stream.SetLength(length));

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            Guarded(inner, 0, static (stream, _) => stream.Dispose());
        }

        base.Dispose(disposing);
    }

    private void Guarded(Stream stream, long value, Action<Stream, long> act)
    {
        try
        {
            act(stream, value);
        }
        catch (Exception trouble) when (IsOurs(trouble))
        {
            throw Unwritable(name, trouble);
        }
    }

    private static bool IsFull(Exception trouble)
    {
        const int NoSpaceUnix = 28;
        const int OverQuotaLinux = 122;
        const int NoSpaceWindows = unchecked((int)0x80070070);
        return trouble is IOException && trouble.HResult is NoSpaceUnix or OverQuotaLinux or NoSpaceWindows;
    }

    private static bool IsOurs(Exception trouble) =>
        trouble is UnauthorizedAccessException || (trouble is IOException problem && !Result.IsClosedPipe(problem));
}
