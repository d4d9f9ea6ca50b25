// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>Reads a job command by command, as a stream: memory does not grow with the file.</summary>
/// <remarks>
/// What is wrong with the content goes to the log, never into a command: a line with an error yields none. Plain word lines
/// take <see cref="UsualLine"/> or <see cref="WordScanner"/>, all others the grammar; both give the same commands.
/// </remarks>
internal sealed class GCodeReader
{
    private const int DefaultBufferSize = 128 * 1024;
    private const int LeastBufferSize = 256;
    private const int LongestCommand = 128 * 1024;

    private readonly LineBuffer _input;
    private readonly ReaderFindings _findings;
    private readonly CommentClaims _claims;
    private readonly bool _usesGrammarOnly;
    private LineBuilder? _builder;
    private int _nextInLine;
    private bool _needsClearing;
    private long _lineNumberBefore = -1;

    /// <summary>Makes a reader at the start of a job.</summary>
    /// <param name="content">The bytes of the job; read forward only, not disposed.</param>
    /// <param name="log">Receives what is found.</param>
    /// <param name="claims">Receives the claims of comments; null when nobody asks for them.</param>
    /// <param name="name">The input as the user knows it, for messages.</param>
    public GCodeReader(Stream content, DiagnosticLog log, CommentClaims? claims = null, string name = "input")
        : this(content, log, claims, name, usesGrammarOnly: false, BufferSizeFor(content))
    {
    }

    /// <summary>Makes a reader at the start of an open job.</summary>
    /// <param name="job">The job; not disposed.</param>
    /// <param name="log">Receives what is found.</param>
    /// <param name="claims">Receives the claims of comments, and first of all those of a container's summary.</param>
    public GCodeReader(JobFile job, DiagnosticLog log, CommentClaims claims)
        : this(Required(job).Content, log, claims, job.Name)
    {
        ArgumentNullException.ThrowIfNull(claims);
        if (job.Summary is { } summary)
        {
            claims.ReadSummary(summary);
        }
    }

    internal GCodeReader(
        Stream content, DiagnosticLog log, CommentClaims? claims, string name, bool usesGrammarOnly, int bufferSize = DefaultBufferSize)
    {
        _findings = new ReaderFindings(log);
        _input = new LineBuffer(content, bufferSize, name, _findings);
        _claims = claims ?? new CommentClaims();
        _usesGrammarOnly = usesGrammarOnly;
    }

    /// <summary>The command read last; one object for the whole job.</summary>
    public GCodeCommand Command { get; } = new();

    /// <summary>Lines read so far [-].</summary>
    public long LineCount => _input.LineCount;

    /// <summary>Commands read so far [-].</summary>
    public long CommandCount { get; private set; }

    /// <summary>Bytes read so far, of the decompressed job [bytes].</summary>
    public long ByteCount => _input.Position;

    /// <summary>Marks of a new layer in the comments before <see cref="Command"/>; a greater value than after the read before means a new layer [-].</summary>
    public int LayerMarkCount => _claims.LayerMarkCount;

    /// <summary>Moves to the next command.</summary>
    /// <returns>Whether there is one.</returns>
    /// <exception cref="InputProblem">The input broke off or is damaged, such as a cut gzip file.</exception>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public bool Read()
    {
        if (_builder is not null && _nextInLine < _builder.Commands.Count)
        {
            return Take();
        }

        if (_needsClearing)
        {
            Command.Clear();
            _needsClearing = false;
        }

        var input = _input;
        while (input.BeginLine())
        {
            var start = input.Start;
            var bytes = input.Bytes;
            var stop = bytes[start] is (byte)';' or (byte)'(' || _usesGrammarOnly
                ? WordScanner.NeedsGrammar
                : UsualLine.Scan(bytes, start, Command) is var usual and not UsualLine.IsOther ? usual
                : WordScanner.Scan(bytes, start, Command);
            var end = stop >= 0 && bytes[stop] != (byte)';' ? stop : input.FindLineEnd(Math.Max(start, stop));
            if (end == input.End && !input.IsAtEnd)
            {
                if (!input.FillInLine())
                {
                    return false;
                }
            }
            else if (end - start > LineBuffer.LongestLine)
            {
                return input.AbandonLongLine();
            }
            else if (stop < 0)
            {
                input.EndLine(end);
                if (ReadOther(bytes, start, end))
                {
                    return true;
                }
            }
            else
            {
                input.EndLine(end);
                if (Command.Kind != CommandKind.None)
                {
                    return Accept();
                }

                FollowLineNumber(Command.LineNumber);
                if (end > stop)
                {
                    _claims.ReadComment(bytes.AsSpan(stop + 1, end - stop - 1), LineCount);
                }
            }
        }

        return false;
    }

    /// <summary>Reads a comment line, or a line for the grammar.</summary>
    private bool ReadOther(byte[] bytes, int start, int end)
    {
        var line = bytes.AsSpan(start, end - start);
        if (!_usesGrammarOnly && line.Length > 0)
        {
            if (line[0] == (byte)';')
            {
                _claims.ReadComment(line[1..], LineCount);
                return false;
            }

            // The whole line is one bracket comment without brackets inside.
            if (line[0] == (byte)'(' && line[^1] == (byte)')' && line[1..^1].IndexOfAny("()\0"u8) < 0)
            {
                _findings.BracketComment(LineCount, 1, line);
                _claims.ReadBracket(line[1..^1], LineCount);
                return false;
            }
        }

        if (line.Length > LongestCommand && line[0] != (byte)';')
        {
            _findings.CommandTooLong(LineCount);
            return false;
        }

        _builder ??= new LineBuilder(_findings, _claims);
        _builder.Build(bytes, start, end - start, LineCount);
        FollowLineNumber(_builder.LineNumber);
        _nextInLine = 0;
        return _builder.Commands.Count > 0 && Take();
    }

    private static JobFile Required(JobFile job)
    {
        ArgumentNullException.ThrowIfNull(job);
        return job;
    }

    /// <summary>Short inputs, such as the lines a macro stands for, do with a small buffer.</summary>
    private static int BufferSizeFor(Stream content)
    {
        ArgumentNullException.ThrowIfNull(content);
        return content.CanSeek ? (int)Math.Clamp(content.Length - content.Position + 1, LeastBufferSize, DefaultBufferSize) : DefaultBufferSize;
    }

    private bool Take()
    {
        Command.CopyFrom(_builder!.Commands[_nextInLine++]);
        _needsClearing = true;
        CommandCount++;
        FollowBookkeeping();
        return true;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private bool Accept()
    {
        CommandCount++;
        Command.Line = LineCount;
        if (Command.LineNumber >= 0)
        {
            FollowLineNumber(Command.LineNumber);
        }

        FollowBookkeeping();
        return true;
    }

    /// <summary>Commands that say something about the file itself: progress, display, and the line counter.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void FollowBookkeeping()
    {
        if (Command.Number is not (73 or 110 or 117) || Command.Letter != 'M')
        {
            return;
        }

        switch (Command.Number)
        {
            case 73:
                _claims.ReadProgress(Command);
                break;
            case 117:
                _claims.ReadDisplay(Command);
                break;
            default:
                _lineNumberBefore = -1;
                break;
        }
    }

    private void FollowLineNumber(long number)
    {
        if (number < 0)
        {
            return;
        }

        if (number <= _lineNumberBefore)
        {
            _findings.NumbersGoBack(LineCount, number, _lineNumberBefore);
        }

        _lineNumberBefore = number;
    }
}
