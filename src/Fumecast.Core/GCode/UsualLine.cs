// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Fumecast.GCode;

/// <summary>Reads the line that fills most files: <c>G</c> and one digit, then words, each behind one blank, as in <c>G1 X149.451 Y41.115 E.039</c>.</summary>
/// <remarks>
/// <para>Where the line's digits are is found for 64 bytes at once; from then on no byte is looked at in turn, and no branch depends on how long
/// a number is. Any other line, and any doubt, is left to <see cref="WordScanner"/>, which yields the same command for each line taken here.</para>
/// <para>A number of at most seven digits before and seven behind the point is one whole number over a power of ten, both exact in a double:
/// one division rounds once, as in <see cref="DecimalNumber"/>.</para>
/// </remarks>
internal static class UsualLine
{
    /// <summary>What <see cref="Scan"/> returns for another line.</summary>
    internal const int IsOther = -1;

    /// <summary>Bytes behind the last one in use that a scan may touch; what stands there does not matter.</summary>
    internal const int Reach = LongestLine + sizeof(ulong);

    private const int LongestLine = 64;
    private const int MostDigits = 7;
    private const uint CommandLetters = (1u << ('G' - 'A')) | (1u << ('M' - 'A'));

    private static ReadOnlySpan<double> PowersOfTen => [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7];

    /// <summary>Reads one line up to its comment or its end.</summary>
    /// <param name="bytes">The buffer; a line feed must stand behind the last byte in use, and <see cref="Reach"/> bytes behind that.</param>
    /// <param name="start">Index of the first byte of the line.</param>
    /// <param name="command">Receives the command; unchanged meaning only if the result is not <see cref="IsOther"/>.</param>
    /// <returns>Index of the line feed, carriage return or semicolon that ended the scan, or <see cref="IsOther"/>.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    internal static int Scan(byte[] bytes, int start, GCodeCommand command)
    {
        ref var line = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(bytes), start);
        ref var values = ref MemoryMarshal.GetArrayDataReference(command.RawValues);
        ref var powers = ref MemoryMarshal.GetReference(PowersOfTen);
        var (others, points) = OtherThanDigits(ref line);
        uint number = Unsafe.Add(ref line, 1);

        // The first byte is no digit, the second is, the third is none.
        if (line != 'G' || (others & 0b110) != 0b100 || !BitConverter.IsLittleEndian)
        {
            return IsOther;
        }

        others &= ~0b11UL;
        uint present = 0;
        var at = 2;
        uint next;
        while ((next = Unsafe.Add(ref line, at)) == ' ')
        {
            next = Unsafe.Add(ref line, at + 1);
            var letter = next - 'A';
            if (letter > 25)
            {
                at++;
                break;
            }

            var bit = 1u << (int)letter;
            if (((present | CommandLetters) & bit) != 0)
            {
                return IsOther;
            }

            present |= bit;
            others &= others - 1;
            others &= others - 1;
            var first = at + 2;
            var isNegative = Unsafe.Add(ref line, first) == '-';
            if (isNegative)
            {
                others &= others - 1;
                first++;
            }

            var point = BitOperations.TrailingZeroCount(others);
            others &= ~(others & (0 - others) & points);
            at = BitOperations.TrailingZeroCount(others);
            var wholes = point - first;
            var decimals = Math.Max(0, at - point - 1);
            if (wholes > MostDigits || decimals > MostDigits || wholes + decimals == 0 || at >= LongestLine)
            {
                return IsOther;
            }

            var scale = Unsafe.Add(ref powers, decimals);
            var text = Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref line, first));
            double digits;
            if (wholes + decimals <= MostDigits)
            {
                var beforePoint = (1UL << (8 * wholes)) - 1;
                digits = Join((text & beforePoint) | ((text >> 8) & ~beforePoint), wholes + decimals);
            }
            else
            {
                digits = (Join(text, wholes) * scale) + Join(Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref line, point + 1)), decimals);
            }

            var value = digits / scale;
            Unsafe.Add(ref values, (int)letter) = isNegative ? -value : value;
        }

        if (next is not ('\n' or '\r' or ';'))
        {
            return IsOther;
        }

        command.Kind = CommandKind.Word;
        command.Letter = 'G';
        command.Number = (int)(number - '0');
        command.LineNumber = -1;
        command.Column = 1;
        command.Present = present;
        return start + at;
    }

    /// <summary>Bit i is set when byte i of the next 64 is no digit, and when it is a point.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (ulong Others, ulong Points) OtherThanDigits(ref byte line)
    {
        // Moved up so far, the digits are the greatest signed bytes.
        var up = Vector256.Create((sbyte)(sbyte.MaxValue - '9'));
        var below = Vector256.Create((sbyte)(sbyte.MaxValue - 9));
        ref var signed = ref Unsafe.As<byte, sbyte>(ref line);
        var point = Vector256.Create((sbyte)'.');
        var first = Vector256.LoadUnsafe(ref signed);
        var second = Vector256.LoadUnsafe(ref signed, 32);
        var others = Vector256.LessThan(first + up, below).ExtractMostSignificantBits()
            | ((ulong)Vector256.LessThan(second + up, below).ExtractMostSignificantBits() << 32);
        var points = Vector256.Equals(first, point).ExtractMostSignificantBits()
            | ((ulong)Vector256.Equals(second, point).ExtractMostSignificantBits() << 32);
        return (others, points);
    }

    /// <summary>The first one to seven of eight bytes, all of them digits, as a whole number.</summary>
    /// <remarks>
    /// They are pushed to the end of eight bytes, so that zeros stand before them; then neighbours join to pairs, fours and all eight. Source: a
    /// known trick of integer parsing, from memory; the tests compare it with the slow way.
    /// </remarks>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double Join(ulong text, int count)
    {
        var digits = (text << (8 * (sizeof(ulong) - count))) & 0x0F0F_0F0F_0F0F_0F0F;
        digits = (digits * 10) + (digits >> 8);
        const ulong EveryOtherPair = 0x0000_00FF_0000_00FF;
        var firstAndThird = (digits & EveryOtherPair) * (100 + (1_000_000UL << 32));
        var secondAndFourth = ((digits >> 16) & EveryOtherPair) * (1 + (10_000UL << 32));
        return (double)(long)((firstAndThird + secondAndFourth) >> 32);
    }
}
