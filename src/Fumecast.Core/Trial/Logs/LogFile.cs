// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>The text of a log, in whatever encoding it is written: its first part to look at, and all of it to read once.</summary>
/// <remarks>Only a few lines are held at a time. A line longer than <see cref="MostLineLetters"/> is refused, so that a file without line ends cannot fill the memory.</remarks>
internal sealed class LogFile : IDisposable
{
    /// <summary>Longest line that is read; a transposed log of 100,000 times has some two million [letters].</summary>
    public const int MostLineLetters = 4_000_000;

    private const int HeadBytes = 8192;
    private const int HeadLetters = 400_000;
    private readonly Stream _stream;
    private readonly bool _ownsStream;
    private readonly TextReader _text;

    private LogFile(string name, Stream stream, bool ownsStream, TextReader text)
    {
        (Name, _stream, _ownsStream, _text) = (name, stream, ownsStream, text);
        Head = ReadHead();
    }

    /// <summary>The log as the user named it.</summary>
    public string Name { get; }

    /// <summary>The first part, whole lines where there is more.</summary>
    public string Head { get; private set; }

    /// <summary>Opens a log.</summary>
    /// <param name="name">The file, or <c>-</c> for standard input.</param>
    /// <param name="stdin">What <c>-</c> stands for; it is not closed.</param>
    /// <exception cref="InputProblem">It cannot be opened, or is no text.</exception>
    public static LogFile Open(string name, Stream? stdin)
    {
        var stream = name == "-" ? stdin ?? throw new InputProblem("standard input is not available here; name a file instead of -") : OpenFile(name);
        try
        {
            var head = new byte[HeadBytes];
            var length = stream.ReadAtLeast(head, head.Length, throwOnEndOfStream: false);
            var encoding = EncodingOf(name, head.AsSpan(0, length), out var markLength);
            var bytes = new ContinuedStream(head.AsMemory(markLength, length - markLength), stream);
            return new LogFile(name, stream, name != "-", new StreamReader(bytes, encoding, detectEncodingFromByteOrderMarks: false, 1 << 16));
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            stream.Dispose();
            throw new InputProblem($"{name}: cannot be read ({SystemTrouble.Reason(trouble)}); check disk and permissions");
        }
        catch
        {
            if (name != "-")
            {
                stream.Dispose();
            }

            throw;
        }
    }

    /// <summary>Counts the lines of a file that can be read twice, or returns 0.</summary>
    /// <remarks>It is only a measure for memory: in an encoding of two bytes it may be off.</remarks>
    public long CountLines()
    {
        if (!_stream.CanSeek)
        {
            return 0;
        }

        var (place, lineFeeds, returns, last) = (_stream.Position, 0L, 0L, (byte)0);
        var block = new byte[1 << 17];
        _stream.Position = 0;
        for (int count; (count = _stream.Read(block)) > 0;)
        {
            lineFeeds += block.AsSpan(0, count).Count((byte)'\n');
            returns += lineFeeds == 0 ? block.AsSpan(0, count).Count((byte)'\r') : 0;
            last = block[count - 1];
        }

        _stream.Position = place;
        return Math.Max(lineFeeds, returns) + (last is (byte)'\n' or (byte)'\r' ? 0 : 1);
    }

    /// <summary>All of the text, from its first letter; to be called once.</summary>
    public TextReader All() => new LineGuard(Name, Head, _text);

    /// <inheritdoc/>
    public void Dispose()
    {
        _text.Dispose();
        if (_ownsStream)
        {
            _stream.Dispose();
        }
    }

    private static FileStream OpenFile(string path)
    {
        if (path.Length == 0)
        {
            throw new InputProblem("the log has no name; name a CSV file, or - for standard input");
        }

        try
        {
            return new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, bufferSize: 0, FileOptions.SequentialScan);
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new InputProblem(path.Contains('\uFFFD', StringComparison.Ordinal)
                ? $"{path}: cannot be opened, since its name is not UTF-8 (shown with \uFFFD for what is not); rename it"
                : $"{path}: found no such file; check the path");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException or ArgumentException)
        {
            throw new InputProblem($"{path}: cannot be read ({(Directory.Exists(path) ? "it is a folder" : SystemTrouble.Reason(e))}); name a log that may be read");
        }
    }

    /// <summary>By its mark, else by where zero bytes lie, else UTF-8 where that holds, else one byte for each letter.</summary>
    private static Encoding EncodingOf(string name, ReadOnlySpan<byte> head, out int markLength)
    {
        markLength = 0;
        if (head.IsEmpty)
        {
            throw new InputProblem($"{name}: is empty; expected a table with times and readings");
        }

        switch (head)
        {
            case [0xEF, 0xBB, 0xBF, ..]:
                markLength = 3;
                return Encoding.UTF8;
            case [0xFF, 0xFE, ..]:
                markLength = 2;
                return Encoding.Unicode;
            case [0xFE, 0xFF, ..]:
                markLength = 2;
                return Encoding.BigEndianUnicode;
            case [0x50, 0x4B, 0x03, 0x04, ..] or [0xD0, 0xCF, 0x11, 0xE0, ..]:
                throw new InputProblem($"{name}: is a workbook or an archive, no text; save or unpack it as CSV");
            case [0x1F, 0x8B, ..]:
                throw new InputProblem($"{name}: is compressed; unpack it first");
            case [0x25, 0x50, 0x44, 0x46, ..]:
                throw new InputProblem($"{name}: is a PDF document; a log is needed as CSV");
        }

        var (even, odd, control) = (0, 0, 0);
        for (var i = 0; i < head.Length; i++)
        {
            if (head[i] == 0)
            {
                (even, odd) = i % 2 == 0 ? (even + 1, odd) : (even, odd + 1);
            }

            control += head[i] is (> 0 and < 9) or (> 13 and < 32) or 127 ? 1 : 0;
        }

        if (odd > head.Length * 2 / 5 && even < head.Length / 20)
        {
            return Encoding.Unicode;
        }

        if (even > head.Length * 2 / 5 && odd < head.Length / 20)
        {
            return Encoding.BigEndianUnicode;
        }

        // A logger that loses its power leaves zero bytes behind, so some of them are no sign.
        if (control > Math.Max(2, head.Length / 20) || even + odd > head.Length / 2)
        {
            throw new InputProblem(string.Create(CultureInfo.InvariantCulture, $"{name}: is no text ({control + even + odd} of the first {head.Length} bytes are control characters); expected a table as CSV"));
        }

        // A letter may be cut at the end of what was read.
        for (var cut = 0; cut <= 3 && cut < head.Length; cut++)
        {
            if (System.Text.Unicode.Utf8.IsValid(head[..^cut]))
            {
                return Encoding.UTF8;
            }
        }

        return Encoding.Latin1;
    }

    private string ReadHead()
    {
        var head = new StringBuilder();
        var block = new char[1 << 15];
        var hasLineEnd = false;
        while (head.Length < HeadLetters || (!hasLineEnd && head.Length <= MostLineLetters))
        {
            var count = _text.Read(block, 0, block.Length);
            if (count == 0)
            {
                break;
            }

            hasLineEnd |= block.AsSpan(0, count).IndexOfAny('\r', '\n') >= 0;
            head.Append(block, 0, count);
        }

        return hasLineEnd || head.Length <= MostLineLetters ? head.ToString() : throw TooLong(Name, isFirst: true);
    }

    private static InputProblem TooLong(string name, bool isFirst) => new(string.Create(CultureInfo.InvariantCulture,
        $"{name}: a line is longer than {MostLineLetters} letters{(isFirst ? ", and it is the first" : "")}; is it a log with line ends?"));

    /// <summary>Bytes that were read already, and the rest of their stream.</summary>
    private sealed class ContinuedStream(ReadOnlyMemory<byte> first, Stream rest) : GCode.ForwardStream
    {
        private ReadOnlyMemory<byte> _first = first;

        public override int Read(Span<byte> buffer)
        {
            if (_first.IsEmpty)
            {
                return rest.Read(buffer);
            }

            var count = Math.Min(buffer.Length, _first.Length);
            _first.Span[..count].CopyTo(buffer);
            _first = _first[count..];
            return count;
        }
    }

    /// <summary>Gives the head once more, then the rest; refuses lines without end.</summary>
    private sealed class LineGuard(string name, string head, TextReader rest) : TextReader
    {
        private int _at;
        private int _lineLetters;

        public override int Read(char[] buffer, int index, int count) => Read(buffer.AsSpan(index, count));

        public override int Read(Span<char> buffer)
        {
            int count;
            if (_at < head.Length)
            {
                count = Math.Min(buffer.Length, head.Length - _at);
                head.AsSpan(_at, count).CopyTo(buffer);
                _at += count;
            }
            else
            {
                count = rest.Read(buffer);
            }

            Watch(buffer[..count]);
            return count;
        }

        public override int ReadBlock(Span<char> buffer) => ReadFull(buffer);

        public override int ReadBlock(char[] buffer, int index, int count) => ReadFull(buffer.AsSpan(index, count));

        private int ReadFull(Span<char> buffer)
        {
            var total = 0;
            while (total < buffer.Length)
            {
                var count = Read(buffer[total..]);
                if (count == 0)
                {
                    break;
                }

                total += count;
            }

            return total;
        }

        private void Watch(ReadOnlySpan<char> letters)
        {
            var lastEnd = letters.LastIndexOfAny('\r', '\n');
            if (lastEnd < 0)
            {
                _lineLetters += letters.Length;
            }
            else
            {
                _lineLetters = letters.Length - lastEnd - 1;
            }

            if (_lineLetters > MostLineLetters)
            {
                throw TooLong(name, isFirst: false);
            }
        }
    }
}
