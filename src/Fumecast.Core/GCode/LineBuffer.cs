// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>The window of bytes through which a job is read line by line; a line that is cut by the window's end moves to its front.</summary>
/// <remarks>LF, CR, CR LF and CR CR LF each end one line.</remarks>
internal sealed class LineBuffer
{
    /// <summary>A longer line is no G-code; real ones reach 21 kB [bytes].</summary>
    internal const int LongestLine = 1 << 20;

    private const int LeastRead = 16 * 1024;

    // The line feed behind the last byte in use, and what a scan may touch behind it.
    private const int Behind = 1 + UsualLine.Reach;

    private readonly Stream _content;
    private readonly string _name;
    private readonly ReaderFindings _findings;
    private long _discarded;
    private bool _isAfterCarriageReturn;
    private long _furtherCarriageReturns;
    private Exception? _trouble;

    internal LineBuffer(Stream content, int size, string name, ReaderFindings findings)
    {
        _content = content;
        _name = name;
        _findings = findings;
        Bytes = new byte[size + Behind];
        Bytes[0] = (byte)'\n';
    }

    /// <summary>The window; a line feed stands at <see cref="End"/>, so that a scan needs no other limit.</summary>
    internal byte[] Bytes { get; private set; }

    /// <summary>First byte not yet read as a line.</summary>
    internal int Start { get; private set; }

    /// <summary>Behind the last byte in use.</summary>
    internal int End { get; private set; }

    /// <summary>Whether nothing follows behind <see cref="End"/>.</summary>
    internal bool IsAtEnd { get; private set; }

    /// <summary>Bytes read as lines so far [bytes].</summary>
    internal long Position => _discarded + Start;

    /// <summary>Lines ended so far [-].</summary>
    internal long LineCount { get; private set; }

    /// <summary>Comes to the next line.</summary>
    /// <returns>Whether there is one, with at least one byte, its end mark included, in the window.</returns>
    /// <exception cref="InputProblem">The input broke off or is damaged.</exception>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal bool BeginLine()
    {
        while (Start == End || _isAfterCarriageReturn)
        {
            if (Start < End)
            {
                SkipLineFeed(Bytes[Start]);
            }
            else if (!IsAtEnd)
            {
                Fill();
            }
            else
            {
                LineCount += _furtherCarriageReturns;
                _furtherCarriageReturns = 0;
                return false;
            }
        }

        return true;
    }

    /// <summary>Goes behind the end mark of the current line.</summary>
    /// <param name="end">Index of the mark, or <see cref="End"/> at the end of the input.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal void EndLine(int end)
    {
        LineCount++;
        var bytes = Bytes;
        if (end == End)
        {
            Start = end;
        }
        else if (bytes[end] == (byte)'\n')
        {
            Start = end + 1;
        }
        else if (bytes[end + 1] == (byte)'\n' && end + 1 < End)
        {
            Start = end + 2;
        }
        else
        {
            Start = end + 1;
            _isAfterCarriageReturn = true;
        }
    }

    /// <summary>Index of the carriage return or line feed that ends the line, or <see cref="End"/> when it is not in the window.</summary>
    /// <param name="from">Where to begin.</param>
    internal int FindLineEnd(int from)
    {
        var length = Bytes.AsSpan(from, End - from).IndexOfAny((byte)'\n', (byte)'\r');
        return length < 0 ? End : from + length;
    }

    /// <summary>Brings more of the current line into the window.</summary>
    /// <returns>Whether to go on; false when the line is too long, and nothing more is read.</returns>
    /// <exception cref="InputProblem">The input broke off or is damaged.</exception>
    internal bool FillInLine()
    {
        if (End - Start > LongestLine)
        {
            return AbandonLongLine();
        }

        Fill();
        return true;
    }

    /// <summary>Says that the line is too long and gives the rest of the input up.</summary>
    internal bool AbandonLongLine()
    {
        _findings.LineTooLong(LineCount + 1);
        Start = End;
        IsAtEnd = true;
        return false;
    }

    private void SkipLineFeed(byte next)
    {
        if (next == (byte)'\r')
        {
            _furtherCarriageReturns++;
            Start++;
            return;
        }

        _isAfterCarriageReturn = false;
        if (next == (byte)'\n')
        {
            Start++;
        }
        else
        {
            LineCount += _furtherCarriageReturns;
        }

        _furtherCarriageReturns = 0;
    }

    private void Fill()
    {
        var isFirst = Position == 0 && End == 0;
        var kept = End - Start;
        if (Start > 0)
        {
            Bytes.AsSpan(Start, kept).CopyTo(Bytes);
            _discarded += Start;
            Start = 0;
            End = kept;
        }

        if (kept >= (Bytes.Length - Behind) / 2)
        {
            var greater = new byte[(2 * (Bytes.Length - Behind)) + Behind];
            Bytes.AsSpan(0, kept).CopyTo(greater);
            Bytes = greater;
        }

        var free = Bytes.AsSpan(End, Bytes.Length - Behind - End);
        var wanted = Math.Min(LeastRead, free.Length);
        var read = 0;
        if (_trouble is null)
        {
            read = ReadUpTo(wanted, free);
            IsAtEnd = read < wanted && _trouble is null;
        }

        if (read == 0 && _trouble is not null)
        {
            throw InputFindings.BrokenOff(_name, LineCount + 1, _trouble);
        }

        End += read;
        Bytes[End] = (byte)'\n';
        if (isFirst && Bytes.AsSpan(0, End).StartsWith("\uFEFF"u8))
        {
            _findings.ByteOrderMark();
            Start = 3;
        }
    }

    /// <summary>Reads until enough is there; what came before trouble is kept, so that the line named is that of the break.</summary>
    private int ReadUpTo(int wanted, Span<byte> free)
    {
        var read = 0;
        try
        {
            while (read < wanted && _content.Read(free[read..]) is > 0 and var count)
            {
                read += count;
            }
        }
        catch (Exception problem) when (problem is IOException or InvalidDataException or NotSupportedException or UnauthorizedAccessException)
        {
            _trouble = problem;
        }

        return read;
    }
}
