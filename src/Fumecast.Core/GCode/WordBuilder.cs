// SPDX-License-Identifier: MIT
using Antlr4.Runtime;
using Antlr4.Runtime.Tree;
using Fumecast.GCode.Generated;

namespace Fumecast.GCode;

/// <summary>Turns the letters and numbers of a parsed line into commands, and says what is wrong with them.</summary>
internal sealed class WordBuilder(ReaderFindings findings, WordForm form, BracketComments brackets)
{
    private readonly List<GCodeCommand> _pool = [];
    private byte[] _buffer = [];
    private int _start;
    private int _length;
    private long _line;
    private GCodeCommand _command = new();
    private int _firstFlagAt;
    private IToken? _previous;
    private bool _hasUpperCase;

    /// <summary>Puts an empty command at the end of the list.</summary>
    internal GCodeCommand Rent(List<GCodeCommand> commands)
    {
        if (commands.Count == _pool.Count)
        {
            _pool.Add(new GCodeCommand());
        }

        var command = _pool[commands.Count];
        command.Clear();
        commands.Add(command);
        return command;
    }

    /// <summary>Reads a line of words.</summary>
    internal void Build(
        GCodeParser.WordsContext context, byte[] buffer, int start, int length, long line, List<GCodeCommand> commands)
    {
        Begin(buffer, start, length, line);
        if (context.Start.Type == GCodeLexer.FLAG && context.LETTERS().Length > 0)
        {
            findings.NotACommand(line, context.Start.StartIndex + 1, Range(context.Start.StartIndex, context.Stop.StopIndex + 1), mayMatter: false);
            return;
        }

        var errors = findings.ErrorCount;
        StartCommand(Rent(commands), context.Start);
        foreach (var child in context.children)
        {
            if (child is GCodeParser.TextCommandContext)
            {
                break;
            }

            var token = child is ITerminalNode leaf ? leaf.Symbol : ((ParserRuleContext)child).Start;
            if (child is GCodeParser.BracketCommentContext bracket)
            {
                brackets.Read(bracket, Bytes(token), line);
                continue;
            }

            if (StartsCommand(token))
            {
                if (_command.Kind != CommandKind.Modal)
                {
                    CheckValues();
                    StartCommand(Rent(commands), token);
                }

                ReadCommandWord(token);
            }
            else if (!ReadParameter(token))
            {
                break;
            }

            if (findings.ErrorCount != errors)
            {
                return;
            }

            _previous = token;
        }

        CheckValues();
        if (_command.Kind == CommandKind.Modal && (_command.Present | _command.Flags) == 0)
        {
            commands.RemoveAt(commands.Count - 1);
        }
        else if (_command.Kind == CommandKind.Modal && _command.Present == 0 && findings.ErrorCount == errors)
        {
            findings.NotACommand(line, context.Start.StartIndex + 1, Range(context.Start.StartIndex, context.Stop.StopIndex + 1), mayMatter: false);
            commands.RemoveAt(commands.Count - 1);
        }
    }

    /// <summary>Reads the parameters among the children of a label command.</summary>
    internal void AddParameters(
        GCodeParser.LabelCommandContext context, GCodeCommand command, byte[] buffer, int start, int length, long line)
    {
        Begin(buffer, start, length, line);
        _command = command;
        for (var i = 1; i < context.ChildCount; i++)
        {
            if (context.GetChild(i) is not ITerminalNode { Symbol: { Type: not GCodeLexer.LABEL_NAME } token } || !ReadParameter(token))
            {
                return;
            }

            _previous = token;
        }
    }

    private void Begin(byte[] buffer, int start, int length, long line)
    {
        (_buffer, _start, _length, _line) = (buffer, start, length, line);
        _previous = null;
        _hasUpperCase = false;
        _firstFlagAt = -1;
    }

    private void StartCommand(GCodeCommand command, IToken token)
    {
        _command = command;
        _firstFlagAt = -1;
        command.Kind = CommandKind.Modal;
        command.Column = token.StartIndex + 1;
    }

    private bool StartsCommand(IToken token)
    {
        if (token.Type == GCodeLexer.TOOL_BY_SIGN)
        {
            return true;
        }

        if (token.Type is not (GCodeLexer.WORD or GCodeLexer.FLAG))
        {
            return false;
        }

        // After a G or M command, T is a parameter (M104 T1 S200), and so is a bare M (M620 M).
        return _command.Kind == CommandKind.Modal
            ? LetterOf(token) is 'G' or 'M' or 'T'
            : LetterOf(token) is 'G' or 'M' && token.Type == GCodeLexer.WORD;
    }

    private void ReadCommandWord(IToken token)
    {
        var bytes = Bytes(token);
        _command.Kind = CommandKind.Word;
        _command.Letter = LetterOf(token);
        _command.Column = token.StartIndex + 1;
        if (token.Type == GCodeLexer.WORD)
        {
            _hasUpperCase |= bytes[0] < (byte)'a';
            form.SetNumber(_command, bytes, token.StartIndex, _line);
        }
        else if (_command.Letter == 'T')
        {
            NoteForm(_command, bytes[..1], token.StartIndex, _line);
            _command.Number = -1;
            _command.Text = bytes.Length > 1 ? ByteText.Decode(bytes[1..]) : "";
        }
        else
        {
            findings.MissingCommandNumber(_line, token.StartIndex + 1, bytes);
        }
    }

    /// <summary>Reads one piece behind a command.</summary>
    /// <returns>Whether to go on; false when the rest of the line is text.</returns>
    private bool ReadParameter(IToken token)
    {
        var bytes = Bytes(token);
        switch (token.Type)
        {
            case GCodeLexer.WORD:
                AddWord(token, bytes);
                return true;
            case GCodeLexer.FLAG when LetterOf(token) == 'O' && _previous is { Type: GCodeLexer.WORD } && _previous.StopIndex + 1 == token.StartIndex
                && LetterOf(_previous) != _command.Letter:
                // S2O: the letter was meant to be a zero.
                if (!Matters)
                {
                    findings.WordNotRead(_line, _previous.StartIndex + 1, Range(_previous.StartIndex, token.StopIndex + 1));
                    return true;
                }

                findings.MalformedNumber(_line, _previous.StartIndex + 1, Range(_previous.StartIndex, token.StopIndex + 1));
                return true;
            case GCodeLexer.FLAG:
                AddFlag(LetterOf(token), token.StartIndex);
                NoteForm(_command, bytes, token.StartIndex, _line);
                return true;
            case GCodeLexer.LETTERS when !IsMotion && LetterMask.AreAxes(bytes):
                for (var i = 0; i < bytes.Length; i++)
                {
                    AddFlag((char)(bytes[i] & 0xDF), token.StartIndex + i);
                }

                return true;
            case GCodeLexer.LIST_WORD when _command.Letter == 'M':
                findings.ValueList(_line, token.StartIndex + 1, bytes);
                AddValue(LetterOf(token), token, bytes[..bytes.IndexOf((byte)':')]);
                return true;
            case GCodeLexer.QUOTED_WORD when !IsMotion:
                AddFlag(LetterOf(token), token.StartIndex);
                _command.Text = ByteText.Decode(bytes[(bytes.IndexOf((byte)'"') + 1)..^1]);
                return true;
            case GCodeLexer.LIST_WORD or GCodeLexer.COMPUTED_WORD when !Matters:
                findings.WordNotRead(_line, token.StartIndex + 1, bytes);
                return true;
            case GCodeLexer.LIST_WORD or GCodeLexer.COMPUTED_WORD:
                findings.ComputedValue(_line, token.StartIndex + 1, bytes);
                return true;
            default:
                return ReadBroken(token, bytes);
        }
    }

    private bool IsMotion => _command.Kind == CommandKind.Modal || (_command.Letter == 'G' && _command.Number is >= 0 and <= 3 && _command.SubNumber == 0);

    private bool Matters => WordsThatMatter.Of(_command.Letter, _command.Number);

    private void AddWord(IToken token, ReadOnlySpan<byte> bytes)
    {
        // 1.2e-05 in an upper-case line: the generator meant an exponent, the printer reads a second E.
        var isGlued = _previous is not null && _previous.StopIndex + 1 == token.StartIndex && _previous.Type == GCodeLexer.WORD;
        var isRepeatedE = LetterOf(token) == 'E' && _command.Mentions('E');
        if (isGlued && Matters && ((bytes[0] == (byte)'e' && _hasUpperCase) || isRepeatedE))
        {
            findings.Exponent(_line, _previous!.StartIndex + 1, Range(_previous.StartIndex, token.StopIndex + 1));
            return;
        }

        AddValue(LetterOf(token), token, bytes);
    }

    private void AddValue(char letter, IToken token, ReadOnlySpan<byte> bytes)
    {
        var bit = 1u << (letter - 'A');
        NoteForm(_command, bytes, token.StartIndex, _line);
        if (!DecimalNumber.TryParse(bytes[1..].TrimStart(" \t"u8), out var value))
        {
            if (Matters)
            {
                findings.MalformedNumber(_line, token.StartIndex + 1, bytes);
            }
            else
            {
                findings.WordNotRead(_line, token.StartIndex + 1, bytes);
            }

            return;
        }

        if (((_command.Present | _command.Flags) & bit) != 0)
        {
            _command.Repeat(letter, value, token.StartIndex + 1);
            return;
        }

        _command.RawValues[letter - 'A'] = value;
        _command.Present |= bit;
    }

    private void AddFlag(char letter, int at)
    {
        var bit = 1u << (letter - 'A');
        if (_firstFlagAt < 0 && (bit & LetterMask.Motion) != 0)
        {
            _firstFlagAt = at;
        }

        if (((_command.Present | _command.Flags) & bit) != 0)
        {
            _command.Repeat(letter, null, at + 1);
            return;
        }

        _command.Flags |= bit;
    }

    private bool ReadBroken(IToken token, ReadOnlySpan<byte> bytes)
    {
        var isGlued = _previous is not null && _previous.StopIndex + 1 == token.StartIndex
            && _previous.Type is not (GCodeLexer.QUOTED_WORD or GCodeLexer.LETTERS);
        var from = isGlued ? _previous!.StartIndex : token.StartIndex;
        var found = Range(from, token.StopIndex + 1);
        if (!Matters)
        {
            findings.TextAfterCommand(_line, from + 1, found);
            return false;
        }

        if (isGlued && token.Type == GCodeLexer.COMMA)
        {
            findings.DecimalComma(_line, from + 1, found);
        }
        else if (isGlued)
        {
            findings.MalformedNumber(_line, from + 1, found);
        }
        else if (IsMotion)
        {
            findings.BrokenLine(_line, from + 1, found);
        }
        else
        {
            findings.TextAfterCommand(_line, from + 1, found);
            return false;
        }

        return true;
    }

    /// <summary>A move needs its numbers: G1 X would else go to some place or other.</summary>
    private void CheckValues()
    {
        if (IsMotion && _firstFlagAt >= 0 && (_command.Kind == CommandKind.Word || _command.Present != 0))
        {
            findings.MissingValue(_line, _firstFlagAt + 1, Range(_firstFlagAt, _firstFlagAt + 1));
        }
    }

    private void NoteForm(GCodeCommand command, ReadOnlySpan<byte> word, int at, long line)
    {
        _hasUpperCase |= word[0] < (byte)'a';
        form.Note(command, word, at, line);
    }

    private char LetterOf(IToken token) => (char)(_buffer[_start + token.StartIndex] & 0xDF);

    private ReadOnlySpan<byte> Bytes(IToken token) => Range(token.StartIndex, token.StopIndex + 1);

    private ReadOnlySpan<byte> Range(int from, int to) => _buffer.AsSpan(_start + from, Math.Min(to, _length) - from);
}
