// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>The window of bytes through which a job is read; a line that is cut by the window's end moves to its front.</summary>
internal sealed class LineBuffer
{
    /// <summary>A longer line is no G-code; real ones reach 21 kB [bytes].</summary>
    internal const int LongestLine = 1 << 20;

    private const int LeastRead = 16 * 1024;

    private readonly Stream _content;
    private long _discarded;

    internal LineBuffer(Stream content, int size)
    {
        _content = content;
        Bytes = new byte[size + 1];
        Bytes[0] = (byte)'\n';
    }

    /// <summary>The window; a line feed stands at <see cref="End"/>, so that a scan needs no other limit.</summary>
    internal byte[] Bytes { get; private set; }

    /// <summary>First byte not yet read as a line.</summary>
    internal int Start { get; set; }

    /// <summary>Behind the last byte in use.</summary>
    internal int End { get; private set; }

    /// <summary>Whether nothing follows behind <see cref="End"/>.</summary>
    internal bool IsAtEnd { get; private set; }

    /// <summary>Bytes read as lines so far [bytes].</summary>
    internal long Position => _discarded + Start;

    /// <summary>Whether the line at <see cref="Start"/> is longer than <see cref="LongestLine"/>.</summary>
    internal bool IsLineTooLong => End - Start > LongestLine;

    /// <summary>Index of the carriage return or line feed that ends the line, or <see cref="End"/> when it is not in the window.</summary>
    /// <param name="from">Where to begin.</param>
    internal int FindLineEnd(int from)
    {
        var length = Bytes.AsSpan(from, End - from).IndexOfAny((byte)'\n', (byte)'\r');
        return length < 0 ? End : from + length;
    }

    /// <summary>Gives the rest of the input up.</summary>
    internal void Abandon()
    {
        Start = End;
        IsAtEnd = true;
    }

    /// <summary>Brings more bytes behind those of the current line, or finds that there are none.</summary>
    /// <param name="line">The line being read, 1-based, for the message [-].</param>
    /// <param name="name">The input as the user knows it, for the message.</param>
    /// <exception cref="InputProblem">The input broke off or is damaged.</exception>
    internal void Fill(long line, string name)
    {
        var kept = End - Start;
        if (Start > 0)
        {
            Bytes.AsSpan(Start, kept).CopyTo(Bytes);
            _discarded += Start;
            Start = 0;
            End = kept;
        }

        if (kept >= Bytes.Length / 2)
        {
            var greater = new byte[(Bytes.Length * 2) + 1];
            Bytes.AsSpan(0, kept).CopyTo(greater);
            Bytes = greater;
        }

        var free = Bytes.AsSpan(End, Bytes.Length - 1 - End);
        var wanted = Math.Min(LeastRead, free.Length);
        var read = 0;
        try
        {
            read = _content.ReadAtLeast(free, wanted, throwOnEndOfStream: false);
        }
        catch (Exception problem) when (problem is IOException or InvalidDataException or NotSupportedException or UnauthorizedAccessException)
        {
            throw InputFindings.BrokenOff(name, line, problem);
        }

        IsAtEnd = read < wanted;
        End += read;
        Bytes[End] = (byte)'\n';
    }
}
