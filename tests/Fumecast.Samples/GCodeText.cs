// SPDX-License-Identifier: MIT
using System.Text;

namespace Fumecast.Samples;

/// <summary>Writes words and lines of G-code as bytes, without allocating: big files must not be limited by their writer.</summary>
public sealed class GCodeText(Stream output, bool crlf = false)
{
    private const int Room = 512;
    private static readonly double[] Scales = [1, 10, 100, 1e3, 1e4, 1e5, 1e6];
    private readonly byte[] _buffer = new byte[1 << 16];
    private int _used;
    private long _flushed;

    /// <summary>Bytes written so far [-].</summary>
    public long Bytes => _flushed + _used;

    /// <summary>Ends the line.</summary>
    public GCodeText End()
    {
        if (crlf)
        {
            _buffer[_used++] = (byte)'\r';
        }

        _buffer[_used++] = (byte)'\n';
        if (_used > _buffer.Length - Room)
        {
            Flush();
        }

        return this;
    }

    /// <summary>A whole line of text.</summary>
    public GCodeText Line(string text) => Text(text).End();

    /// <summary>Text as it is, in UTF-8; at most 150 characters.</summary>
    public GCodeText Text(string text)
    {
        _used += Encoding.UTF8.GetBytes(text, _buffer.AsSpan(_used));
        return this;
    }

    /// <summary>A word with a value of fixed decimals, trailing zeros left out: <c> X10.25</c>, with its leading blank.</summary>
    /// <param name="letter">The letter.</param>
    /// <param name="value">The value.</param>
    /// <param name="decimals">Most decimals, 0 to 6 [-].</param>
    /// <param name="leadingZero">Whether to write 0.5 instead of .5.</param>
    public GCodeText Word(char letter, double value, int decimals, bool leadingZero = true)
    {
        _buffer[_used++] = (byte)' ';
        _buffer[_used++] = (byte)letter;
        return Number(value, decimals, leadingZero);
    }

    /// <summary>A number of fixed decimals, trailing zeros left out.</summary>
    /// <param name="value">The value.</param>
    /// <param name="decimals">Most decimals, 0 to 6 [-].</param>
    /// <param name="leadingZero">Whether to write 0.5 instead of .5.</param>
    public GCodeText Number(double value, int decimals, bool leadingZero = true)
    {
        var scaled = (long)Math.Round(value * Scales[decimals]);
        if (scaled < 0)
        {
            _buffer[_used++] = (byte)'-';
            scaled = -scaled;
        }

        while (decimals > 0 && scaled % 10 == 0)
        {
            scaled /= 10;
            decimals--;
        }

        Span<byte> digits = stackalloc byte[24];
        var count = 0;
        for (var rest = scaled; rest > 0 || count < decimals; rest /= 10)
        {
            digits[count++] = (byte)('0' + rest % 10);
        }

        if (count == decimals && (leadingZero || decimals == 0))
        {
            digits[count++] = (byte)'0';
        }

        while (count > 0)
        {
            if (count == decimals)
            {
                _buffer[_used++] = (byte)'.';
            }

            _buffer[_used++] = digits[--count];
        }

        return this;
    }

    /// <summary>Hands what is buffered to the output; call it at the end.</summary>
    public void Flush()
    {
        output.Write(_buffer, 0, _used);
        _flushed += _used;
        _used = 0;
    }
}
