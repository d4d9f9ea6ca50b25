// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.GCode;

/// <summary>The two checks a numbered line may carry behind <c>*</c>.</summary>
internal static class LineChecksum
{
    private const int CrcDigits = 5;

    /// <summary>Whether the digits behind <c>*</c> fit the bytes before it.</summary>
    /// <param name="covered">All bytes of the line before <c>*</c>.</param>
    /// <param name="digits">The decimal digits.</param>
    /// <param name="expected">What they should have been [-].</param>
    /// <remarks>
    /// Up to three digits: exclusive or of all bytes. Five digits: CRC-16; the published example leaves out the blanks before
    /// <c>*</c> although the published line has one, so both are accepted (gcode reference, L1 to L3).
    /// </remarks>
    internal static bool Matches(ReadOnlySpan<byte> covered, ReadOnlySpan<byte> digits, out int expected)
    {
        _ = int.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out var stated);
        if (digits.Length != CrcDigits)
        {
            expected = Xor(covered);
            return stated == expected && digits.Length <= 3;
        }

        expected = Crc16(covered);
        return stated == expected || stated == Crc16(covered.TrimEnd(" \t"u8));
    }

    /// <summary>Exclusive or of all bytes [-].</summary>
    internal static int Xor(ReadOnlySpan<byte> bytes)
    {
        var sum = 0;
        foreach (var value in bytes)
        {
            sum ^= value;
        }

        return sum;
    }

    /// <summary>CRC-16 with polynomial x^16 + x^12 + x^5 + 1, highest bit first, start value 0 [-].</summary>
    internal static int Crc16(ReadOnlySpan<byte> bytes)
    {
        var crc = 0;
        foreach (var value in bytes)
        {
            crc ^= value << 8;
            for (var bit = 0; bit < 8; bit++)
            {
                crc = (crc & 0x8000) != 0 ? ((crc << 1) ^ 0x1021) & 0xFFFF : crc << 1;
            }
        }

        return crc;
    }
}
