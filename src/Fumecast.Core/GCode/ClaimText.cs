// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Reads the values that comments hold: numbers with units, durations, lists.</summary>
internal static class ClaimText
{
    /// <summary>Takes a number off the front of a text.</summary>
    /// <param name="text">The text; what follows the number remains.</param>
    /// <param name="value">The number [-].</param>
    /// <returns>Whether there was one.</returns>
    internal static bool TakeNumber(ref ReadOnlySpan<byte> text, out double value)
    {
        var trimmed = text.TrimStart(" \t"u8);
        var length = trimmed.Length > 0 && trimmed[0] is (byte)'-' or (byte)'+' ? 1 : 0;
        while (length < trimmed.Length && trimmed[length] is (>= (byte)'0' and <= (byte)'9') or (byte)'.')
        {
            length++;
        }

        if (!DecimalNumber.TryParse(trimmed[..length], out value))
        {
            return false;
        }

        text = trimmed[length..];
        return true;
    }

    /// <summary>Takes a word of letters off the front of a text, with <c>^</c> and digits behind them: a unit.</summary>
    internal static ReadOnlySpan<byte> TakeUnit(ref ReadOnlySpan<byte> text)
    {
        var trimmed = text.TrimStart(" \t["u8);
        var length = 0;
        while (length < trimmed.Length && (char.IsAsciiLetter((char)trimmed[length]) || (length > 0 && trimmed[length] is (byte)'^' or (byte)'3')))
        {
            length++;
        }

        text = trimmed[length..];
        return trimmed[..length];
    }

    /// <summary>Takes one entry off a list whose entries stand between commas, semicolons or bars; quotes protect them.</summary>
    internal static bool TakeEntry(ref ReadOnlySpan<byte> list, out ReadOnlySpan<byte> entry)
    {
        if (list.IsEmpty)
        {
            entry = default;
            return false;
        }

        var isQuoted = false;
        var at = 0;
        for (; at < list.Length && (isQuoted || list[at] is not ((byte)',' or (byte)';' or (byte)'|')); at++)
        {
            isQuoted ^= list[at] == (byte)'"';
        }

        entry = list[..at].Trim(" \t\""u8);
        list = at < list.Length ? list[(at + 1)..] : default;
        return true;
    }

    /// <summary>A duration such as <c>806s</c>, <c>1d 2h 3m 4s</c>, <c>1 hour 9 minutes</c>, <c>1.62 minutes</c>, <c>h:mm</c> or plain seconds.</summary>
    /// <returns>The duration, null when it is none [s].</returns>
    internal static double? Duration(ReadOnlySpan<byte> text)
    {
        text = text.Trim(" \t"u8);
        if (text.IndexOf((byte)':') >= 0)
        {
            return ClockDuration(text);
        }

        double? sum = null;
        while (TakeNumber(ref text, out var value))
        {
            var unit = TakeUnit(ref text);
            double? seconds = unit.IsEmpty ? (sum is null ? 1 : null) : SecondsOf((char)(unit[0] | 0x20));
            if (seconds is null || value < 0)
            {
                return null;
            }

            sum = (sum ?? 0) + (value * seconds.Value);
        }

        return sum;
    }

    /// <summary>Hours and minutes, or hours, minutes and seconds.</summary>
    private static double? ClockDuration(ReadOnlySpan<byte> text)
    {
        var sum = 0.0;
        var unitS = 3600.0;
        while (TakeNumber(ref text, out var value) && value >= 0 && unitS >= 1)
        {
            sum += value * unitS;
            unitS /= 60;
            if (text.IsEmpty || text[0] != (byte)':')
            {
                return unitS < 60 || text.IsEmpty ? sum : null;
            }

            text = text[1..];
        }

        return null;
    }

    private static double? SecondsOf(char unit) => unit switch
    {
        'd' => 86400,
        'h' => 3600,
        'm' => 60,
        's' => 1,
        _ => null,
    };
}
