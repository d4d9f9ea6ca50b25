// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Fumecast.GCode;

/// <summary>Reads the plain bulk of a job, lines of upper-case letters with numbers, in one pass over the bytes.</summary>
/// <remarks>
/// It gives up on everything else, and the grammar in <see cref="LineGrammar"/> then reads the line: both must
/// yield the same command for every line that this one accepts. The usual lines never come here: <see cref="UsualLine"/> is quicker for them.
/// </remarks>
internal static class WordScanner
{
    /// <summary>What <see cref="Scan"/> returns for a line that needs the grammar.</summary>
    internal const int NeedsGrammar = -1;

    private const int LongestCommandNumber = 6;
    private const uint LetterT = 1u << ('T' - 'A');
    private const uint CommandLetters = (1u << ('G' - 'A')) | (1u << ('M' - 'A')) | LetterT;

    /// <summary>Commands whose argument is a text, by number; GCodeLexer.g4 holds the same list.</summary>
    private static readonly bool[] TakesText = ListTextCommands();

    /// <summary>Reads one line up to its comment or its end.</summary>
    /// <param name="bytes">The buffer; a line feed must stand behind the last byte in use, so that the scan stops there.</param>
    /// <param name="start">Index of the first byte of the line.</param>
    /// <param name="command">Receives the command; unchanged meaning only if the result is not <see cref="NeedsGrammar"/>.</param>
    /// <returns>Index of the line feed, carriage return or semicolon that ended the scan, or <see cref="NeedsGrammar"/>.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    internal static int Scan(byte[] bytes, int start, GCodeCommand command)
    {
        ref var origin = ref MemoryMarshal.GetArrayDataReference(bytes);
        ref var values = ref MemoryMarshal.GetArrayDataReference(command.RawValues);
        var at = start;
        uint next = Unsafe.Add(ref origin, at);
        while (next is ' ' or '\t')
        {
            next = Unsafe.Add(ref origin, ++at);
        }

        long lineNumber = -1;
        if (next == 'N')
        {
            var first = at + 1;
            lineNumber = 0;
            uint digit;
            while ((digit = (next = Unsafe.Add(ref origin, ++at)) - '0') <= 9)
            {
                lineNumber = (lineNumber * 10) + digit;
            }

            if ((uint)(at - first - 1) >= DecimalNumber.ExactBytes - 1 || next == '.')
            {
                return NeedsGrammar;
            }

            while (next is ' ' or '\t')
            {
                next = Unsafe.Add(ref origin, ++at);
            }
        }

        command.LineNumber = lineNumber;
        command.Column = at - start + 1;
        if (next is 'G' or 'M' or 'T')
        {
            var letter = next;
            var first = at + 1;
            uint number = 0;
            uint digit;
            while ((digit = (next = Unsafe.Add(ref origin, ++at)) - '0') <= 9)
            {
                number = (number * 10) + digit;
            }

            // One unsigned comparison refuses no digit and too many.
            if ((uint)(at - first - 1) >= LongestCommandNumber || next == '.' || (letter == 'M' && number < TakesText.Length && TakesText[number]))
            {
                return NeedsGrammar;
            }

            command.Kind = CommandKind.Word;
            command.Letter = (char)letter;
            command.Number = (int)number;
        }
        else if (next is ';' or '\n' or '\r')
        {
            command.Kind = CommandKind.None;
            return at;
        }
        else if (next - 'A' <= 25 && next is not ('O' or 'N'))
        {
            command.Kind = CommandKind.Modal;
            command.Letter = '\0';
            command.Number = 0;
        }
        else
        {
            return NeedsGrammar;
        }

        uint present = 0;
        while (true)
        {
            while (next is ' ' or '\t')
            {
                next = Unsafe.Add(ref origin, ++at);
            }

            var index = next - 'A';
            if (index > 25)
            {
                break;
            }

            var bit = 1u << (int)index;
            if ((present & bit) != 0 || (bit & CommandLetters) != 0 && (bit != LetterT || command.Kind == CommandKind.Modal))
            {
                return NeedsGrammar;
            }

            present |= bit;
            next = Unsafe.Add(ref origin, ++at);
            var isNegative = next == '-';
            if (isNegative || next == '+')
            {
                next = Unsafe.Add(ref origin, ++at);
            }

            var first = at;
            ulong digits = 0;
            uint digit;
            while ((digit = next - '0') <= 9)
            {
                digits = (digits * 10) + digit;
                next = Unsafe.Add(ref origin, ++at);
            }

            var decimals = 0;
            var length = at - first;
            if (next == '.')
            {
                var point = at;
                while ((digit = (next = Unsafe.Add(ref origin, ++at)) - '0') <= 9)
                {
                    digits = (digits * 10) + digit;
                }

                decimals = at - point - 1;
                length += decimals;
            }

            // One unsigned comparison refuses no digit and too many.
            if ((uint)(length - 1) >= DecimalNumber.ExactBytes - 1)
            {
                return NeedsGrammar;
            }

            var value = DecimalNumber.Join(digits, decimals);
            Unsafe.Add(ref values, index) = isNegative ? -value : value;
        }

        command.Present = present;
        if (next is ';' or '\n' or '\r')
        {
            return at;
        }

        return next == '*' && lineNumber >= 0 ? ScanChecksum(bytes, start, at) : NeedsGrammar;
    }

    /// <summary>Accepts a right checksum; what is wrong with another one is said elsewhere.</summary>
    private static int ScanChecksum(byte[] bytes, int start, int star)
    {
        var stated = 0;
        var at = star + 1;
        while (bytes[at] is >= (byte)'0' and <= (byte)'9' && at < star + 4)
        {
            stated = (stated * 10) + bytes[at++] - '0';
        }

        if (at == star + 1 || stated != LineChecksum.Xor(bytes.AsSpan(start, star - start)))
        {
            return NeedsGrammar;
        }

        while (bytes[at] is (byte)' ' or (byte)'\t')
        {
            at++;
        }

        return bytes[at] is (byte)';' or (byte)'\n' or (byte)'\r' ? at : NeedsGrammar;
    }

    private static bool[] ListTextCommands()
    {
        var takesText = new bool[BitOperations.RoundUpToPowerOf2(929)];
        foreach (var number in (ReadOnlySpan<int>)[0, 1, 16, 23, 28, 30, 32, 36, 98, 115, 117, 118, 486, 550, 587, 928])
        {
            takesText[number] = true;
        }

        takesText.AsSpan(810, 10).Fill(true);
        return takesText;
    }
}
