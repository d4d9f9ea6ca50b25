// SPDX-License-Identifier: MIT
using Antlr4.Runtime;
using Antlr4.Runtime.Tree;
using Fumecast.GCode.Generated;

namespace Fumecast.GCode;

/// <summary>Turns a parsed line into commands; the readable counterpart of <see cref="WordScanner"/>, for every kind of line.</summary>
internal sealed class LineBuilder
{
    private const int MostBrackets = 100;

    private readonly LineGrammar _grammar = new();
    private readonly WordForm _form;
    private readonly BracketComments _brackets;
    private readonly WordBuilder _words;
    private readonly ReaderFindings _findings;
    private readonly CommentClaims _claims;
    private readonly NamePool _names = new();
    private readonly List<GCodeCommand> _commands = [];
    private byte[] _buffer = [];
    private int _start;
    private int _length;
    private long _line;

    internal LineBuilder(ReaderFindings findings, CommentClaims claims)
    {
        _findings = findings;
        _claims = claims;
        _form = new WordForm(findings);
        _brackets = new BracketComments(findings, claims);
        _words = new WordBuilder(findings, _form, _brackets);
    }

    /// <summary>The commands of the line read last; empty when it has none or is wrong. The objects are used again.</summary>
    internal List<GCodeCommand> Commands => _commands;

    /// <summary>The number that the line gives itself, -1 if none [-].</summary>
    internal long LineNumber { get; private set; } = -1;

    /// <summary>Reads one line.</summary>
    /// <param name="buffer">Where the line is.</param>
    /// <param name="start">Index of its first byte.</param>
    /// <param name="length">Its length without the end mark [bytes].</param>
    /// <param name="line">Its number in the file, 1-based, for messages [-].</param>
    internal void Build(byte[] buffer, int start, int length, long line)
    {
        (_buffer, _start, _length, _line) = (buffer, start, length, line);
        _commands.Clear();
        LineNumber = -1;
        var all = buffer.AsSpan(start, length);
        var nul = all.IndexOfAny((byte)0, (byte)';');
        if (nul >= 0 && all[nul] == 0)
        {
            _findings.NulByte(line, nul + 1);
            return;
        }

        // Each bracket may look for its partner to the end of the line: a long line of them would take minutes.
        if (all.Count((byte)'(') > MostBrackets && CountBrackets(all) > MostBrackets)
        {
            _findings.BrokenLine(line, all.IndexOf((byte)'(') + 1, all[all.IndexOf((byte)'(')..]);
            return;
        }

        var tree = _grammar.Parse(buffer, start, length);
        if (_grammar.ErrorAt >= 0)
        {
            _findings.BrokenLine(line, _grammar.ErrorAt + 1, all[_grammar.ErrorAt..]);
            return;
        }

        var numbered = tree.numberedLine();
        var content = numbered?.content() ?? tree.plainLine().content();
        var checksum = numbered is null ? tree.plainLine().CHECKSUM() : numbered.CHECKSUM();
        var comment = numbered is null ? tree.plainLine().COMMENT() : numbered.COMMENT();
        var errors = _findings.ErrorCount;
        LineNumber = numbered is null ? -1 : ReadLineNumber(numbered.LINE_NUMBER().Symbol);
        if (checksum is not null)
        {
            CheckSum(checksum.Symbol, numbered is not null, content.textCommand() is not null);
        }

        ReadContent(content, EndOfText(checksum, comment, numbered is not null));
        if (_findings.ErrorCount != errors)
        {
            _commands.Clear();
            return;
        }

        if (_commands.Count == 0 && comment is not null && IsEmpty(content))
        {
            _claims.ReadComment(Bytes(comment.Symbol)[1..], line);
        }

        for (var i = 0; i < _commands.Count; i++)
        {
            var command = _commands[i];
            command.Line = line;
            command.LineNumber = LineNumber;
            command.IndexInLine = i;
            command.IsOptionalBlock = tree.OPTIONAL_BLOCK() is not null;
        }
    }

    private static int CountBrackets(ReadOnlySpan<byte> line)
    {
        var comment = line.IndexOf((byte)';');
        return (comment < 0 ? line : line[..comment]).Count((byte)'(');
    }

    private static bool IsEmpty(GCodeParser.ContentContext content) => content.ChildCount == content.bracketComment().Length;

    private void ReadContent(GCodeParser.ContentContext content, int endOfText)
    {
        foreach (var bracket in content.bracketComment())
        {
            _brackets.Read(bracket, Bytes(bracket.Start), _line);
        }

        if (content.words() is { } words)
        {
            _words.Build(words, _buffer, _start, _length, _line, _commands);
            if (words.textCommand() is { } second)
            {
                AddTextCommand(second, endOfText);
            }
        }
        else if (content.textCommand() is { } text)
        {
            AddTextCommand(text, endOfText);
        }
        else if (content.labelCommand() is { } label)
        {
            AddLabelCommand(label, endOfText);
        }
        else if (content.namedCommand() is { } named)
        {
            AddNamedCommand(named, endOfText);
        }
        else if (content.flowControl() is { } flow)
        {
            _findings.NotEvaluated(_line, flow.Start.StartIndex + 1, Range(flow.Start.StartIndex, endOfText));
        }
        else if (content.noCommand() is { } other)
        {
            var first = _buffer[_start + other.Start.StartIndex];
            _findings.NotACommand(
                _line, other.Start.StartIndex + 1, Range(other.Start.StartIndex, endOfText), mayMatter: first is (>= (byte)'+' and <= (byte)'9') or (byte)'[');
        }
        else if (content.PROGRAM_MARK() is { } mark)
        {
            _findings.ProgramMark(_line, mark.Symbol.StartIndex + 1, Bytes(mark.Symbol));
        }
        else if (content.HOST_LINE() is { } host)
        {
            _findings.HostLine(_line, host.Symbol.StartIndex + 1, Bytes(host.Symbol));
        }
    }

    private void AddTextCommand(GCodeParser.TextCommandContext context, int endOfText)
    {
        var symbol = context.TEXT_COMMAND().Symbol;
        var command = NewCommand(symbol.StartIndex, 'M');
        _form.SetNumber(command, Bytes(symbol), symbol.StartIndex, _line);
        var text = Range(symbol.StopIndex + 1, endOfText).Trim(" \t"u8);
        command.Text = ByteText.Decode(text);
        if (command.Number is 0 or 1)
        {
            ReadPauseLength(text, command);
        }
    }

    /// <summary>M0 S5 and M1 P500 wait so long; the message may follow.</summary>
    private static void ReadPauseLength(ReadOnlySpan<byte> text, GCodeCommand command)
    {
        while (text.Length > 1 && (text[0] & 0xDF) is 'S' or 'P')
        {
            var end = text.IndexOfAny(" \t"u8);
            var word = end < 0 ? text : text[..end];
            var bit = 1u << ((word[0] & 0xDF) - 'A');
            if ((command.Present & bit) != 0 || !DecimalNumber.TryParse(word[1..], out var value))
            {
                return;
            }

            command.RawValues[(word[0] & 0xDF) - 'A'] = value;
            command.Present |= bit;
            text = text[word.Length..].TrimStart(" \t"u8);
        }
    }

    private void AddLabelCommand(GCodeParser.LabelCommandContext context, int endOfText)
    {
        var symbol = context.LABEL_COMMAND().Symbol;
        var command = NewCommand(symbol.StartIndex, 'M');
        _form.SetNumber(command, Bytes(symbol), symbol.StartIndex, _line);
        _words.AddParameters(context, command, _buffer, _start, _length, _line);
        if (context.LABEL_NAME() is { } name)
        {
            var text = Range(name.Symbol.StopIndex + 1, endOfText).Trim(" \t"u8);
            command.Text = ByteText.Decode(Unquote(text));
            command.Flags |= 1;
        }
    }

    private void AddNamedCommand(GCodeParser.NamedCommandContext context, int endOfText)
    {
        var name = context.NAME().Symbol;
        var arguments = context.ARGUMENT();
        var bare = context.BARE();
        if (bare.Length > 0 && IsPlainText(name, bare))
        {
            _findings.NotACommand(_line, name.StartIndex + 1, Range(name.StartIndex, endOfText), mayMatter: false);
            return;
        }

        var command = NewCommand(name.StartIndex, '\0');
        command.Kind = CommandKind.Named;
        command.Name = _names.Upper(Bytes(name));
        if (arguments.Length > 0)
        {
            var pairs = new KeyValuePair<string, string>[arguments.Length];
            for (var i = 0; i < pairs.Length; i++)
            {
                var piece = Bytes(arguments[i].Symbol);
                var equals = piece.IndexOf((byte)'=');
                pairs[i] = new(_names.Upper(piece[..equals]), ByteText.Decode(Unquote(piece[(equals + 1)..])));
            }

            command.Arguments = pairs;
        }

        if (bare.Length > 0)
        {
            command.Text = ByteText.Decode(Range(name.StopIndex + 1, endOfText).Trim(" \t"u8));
        }
    }

    /// <summary>A summary line without its semicolon: words in lower case, or something glued to the first of them.</summary>
    private bool IsPlainText(IToken name, ITerminalNode[] bare) =>
        bare[0].Symbol.StartIndex == name.StopIndex + 1 || Bytes(name).IndexOfAnyInRange((byte)'a', (byte)'z') >= 0;

    private static ReadOnlySpan<byte> Unquote(ReadOnlySpan<byte> text) =>
        text.Length >= 2 && text[0] == (byte)'"' && text[^1] == (byte)'"' ? text[1..^1] : text;

    private GCodeCommand NewCommand(int at, char letter)
    {
        var command = _words.Rent(_commands);
        command.Kind = CommandKind.Word;
        command.Letter = letter;
        command.Column = at + 1;
        return command;
    }

    private long ReadLineNumber(IToken symbol)
    {
        var digits = Bytes(symbol)[1..].TrimStart(" \t"u8);
        var number = DecimalNumber.TryParse(digits, out var value) && value < 1e15 ? (long)value : -1;
        if (number < 0)
        {
            _findings.MalformedNumber(_line, symbol.StartIndex + 1, Bytes(symbol));
            return -1;
        }

        return number;
    }

    private void CheckSum(IToken symbol, bool isNumbered, bool isText)
    {
        if (!isNumbered)
        {
            if (!isText)
            {
                _findings.ChecksumWithoutNumber(_line, symbol.StartIndex + 1, Bytes(symbol));
            }

            return;
        }

        var digits = Bytes(symbol)[1..].Trim(" \t"u8);
        var covered = _buffer.AsSpan(_start, symbol.StartIndex);
        if (!LineChecksum.Matches(covered, digits, out var expected))
        {
            _findings.WrongChecksum(_line, symbol.StartIndex + 1, Bytes(symbol), expected);
        }
    }

    private int EndOfText(ITerminalNode? checksum, ITerminalNode? comment, bool isNumbered) =>
        checksum is not null && isNumbered ? checksum.Symbol.StartIndex : comment?.Symbol.StartIndex ?? _length;

    private ReadOnlySpan<byte> Bytes(IToken token) => Range(token.StartIndex, token.StopIndex + 1);

    private ReadOnlySpan<byte> Range(int from, int to) => from < to ? _buffer.AsSpan(_start + from, to - from) : default;
}
