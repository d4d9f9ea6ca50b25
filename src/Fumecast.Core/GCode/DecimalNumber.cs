// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Runtime.CompilerServices;

namespace Fumecast.GCode;

/// <summary>Decimal numbers as G-code writes them: sign, digits, one point; no exponent, no thousands.</summary>
/// <remarks>
/// Up to 15 digits fit a double exactly, and so does the power of ten below them, so one division rounds once: the result
/// equals <see cref="double.Parse(string)"/> bit for bit. Longer numbers are handed to it.
/// </remarks>
internal static class DecimalNumber
{
    /// <summary>Most bytes, point included, that are surely exact; 15 digits and a point [-].</summary>
    internal const int ExactBytes = 16;

    private static readonly double[] PowersOfTen =
    [
        1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
    ];

    /// <summary>Joins gathered digits and the number of them behind the point.</summary>
    /// <param name="digits">All digits as one whole number, at most 15 of them [-].</param>
    /// <param name="decimals">How many of them stand behind the point, at most 15 [-].</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static double Join(ulong digits, int decimals) => (double)(long)digits / PowersOfTen[decimals];

    /// <summary>Reads a number that fills the whole span.</summary>
    /// <param name="text">The bytes of the number.</param>
    /// <param name="value">The value [-]; 0 on failure.</param>
    /// <returns>Whether the span is one number, and a finite one.</returns>
    internal static bool TryParse(ReadOnlySpan<byte> text, out double value)
    {
        value = 0;
        var at = 0;
        var isNegative = false;
        if (text.Length > 0 && text[0] is (byte)'-' or (byte)'+')
        {
            isNegative = text[0] == (byte)'-';
            at = 1;
        }

        ulong digits = 0;
        var count = 0;
        var point = -1;
        for (; at < text.Length; at++)
        {
            var digit = (uint)(text[at] - '0');
            if (digit <= 9)
            {
                digits = unchecked((digits * 10) + digit);
                count++;
            }
            else if (text[at] == (byte)'.' && point < 0)
            {
                point = count;
            }
            else
            {
                return false;
            }
        }

        if (count == 0)
        {
            return false;
        }

        if (count < ExactBytes)
        {
            value = Join(digits, point < 0 ? 0 : count - point);
            value = isNegative ? -value : value;
            return true;
        }

        value = ParseLong(text);
        return double.IsFinite(value);
    }

    /// <summary>Reads a number of any length, known to be well formed; infinite when it is too great for a double.</summary>
    [MethodImpl(MethodImplOptions.NoInlining)]
    internal static double ParseLong(ReadOnlySpan<byte> text) =>
        double.Parse(text, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);
}
