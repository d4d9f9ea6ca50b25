// SPDX-License-Identifier: MIT
using Antlr4.Runtime;
using Antlr4.Runtime.Atn;
using Antlr4.Runtime.Misc;
using Fumecast.GCode.Generated;

namespace Fumecast.GCode;

/// <summary>Runs one line through the generated parser; all objects are kept from line to line.</summary>
internal sealed class LineGrammar
{
    private readonly ByteStream _bytes = new();
    private readonly GCodeLexer _lexer;
    private readonly CommonTokenStream _tokens;
    private readonly GCodeParser _parser;
    private readonly FirstSyntaxError _syntaxError = new();

    internal LineGrammar()
    {
        _lexer = new GCodeLexer(_bytes);
        _lexer.RemoveErrorListeners();
        _lexer.AddErrorListener(_syntaxError);
        _tokens = new CommonTokenStream(_lexer);
        _parser = new GCodeParser(_tokens);
        _parser.Interpreter.PredictionMode = PredictionMode.SLL;
        _parser.RemoveErrorListeners();
        _parser.AddErrorListener(_syntaxError);
    }

    /// <summary>Index of the first byte that fits nowhere, or -1 when the line is well formed [-].</summary>
    internal int ErrorAt => _syntaxError.At;

    /// <summary>Parses one line; token indices are byte indices of the span given here.</summary>
    /// <param name="buffer">Where the line is; read until the next call.</param>
    /// <param name="start">Index of its first byte.</param>
    /// <param name="length">Its length without the end mark [bytes].</param>
    internal GCodeParser.LineContext Parse(byte[] buffer, int start, int length)
    {
        _bytes.Set(buffer, start, length);
        _syntaxError.At = -1;
        _lexer.SetInputStream(_bytes);
        _tokens.SetTokenSource(_lexer);
        _parser.TokenStream = _tokens;
        return _parser.line();
    }

    /// <summary>The bytes of a line, each as one character, so that indices need no translation.</summary>
    private sealed class ByteStream : ICharStream
    {
        private byte[] _buffer = [];
        private int _start;

        public int Index { get; private set; }

        public int Size { get; private set; }

        public string SourceName => IntStreamConstants.UnknownSourceName;

        internal void Set(byte[] buffer, int start, int length)
        {
            _buffer = buffer;
            _start = start;
            Size = length;
            Index = 0;
        }

        public void Consume()
        {
            if (Index < Size)
            {
                Index++;
            }
        }

        public int LA(int i)
        {
            var at = Index + i - (i > 0 ? 1 : 0);
            return i != 0 && (uint)at < (uint)Size ? _buffer[_start + at] : IntStreamConstants.EOF;
        }

        public int Mark() => -1;

        public void Release(int marker)
        {
        }

        public void Seek(int index) => Index = Math.Min(index, Size);

        public string GetText(Interval interval) =>
            ByteText.Decode(_buffer.AsSpan(_start + interval.a, Math.Max(0, Math.Min(interval.b, Size - 1) - interval.a + 1)));
    }

    private sealed class FirstSyntaxError : IAntlrErrorListener<int>, IAntlrErrorListener<IToken>
    {
        internal int At { get; set; } = -1;

        public void SyntaxError(
            TextWriter output, IRecognizer recognizer, int offendingSymbol, int line, int charPositionInLine, string msg, RecognitionException e) =>
            At = At < 0 ? charPositionInLine : At;

        public void SyntaxError(
            TextWriter output, IRecognizer recognizer, IToken offendingSymbol, int line, int charPositionInLine, string msg, RecognitionException e) =>
            At = At < 0 ? offendingSymbol.StartIndex : At;
    }
}
