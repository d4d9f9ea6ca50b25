// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>How the date of a time is written.</summary>
internal enum DateShape
{
    None,

    /// <summary>2026-11-27, 2026/11/27, 20261127.</summary>
    YearFirst,

    /// <summary>27/11/2026 or 11/27/2026: the first two in an order of their own.</summary>
    YearLast,

    /// <summary>27.11.2026: where points stand, the day is first.</summary>
    DayFirst,

    /// <summary>27 Nov 2026: nothing to decide.</summary>
    Named,
}

/// <summary>A time as its text gives it, before anything is decided about it.</summary>
internal struct ClockReading
{
    /// <summary>The date's parts in the order of the text; for years first and named months year, month, day.</summary>
    public int A, B, C;

    public DateShape Shape;

    public bool HasClock;

    public bool HasSeconds;

    public bool IsTwelveHour;

    public bool HasZone;

    public int ZoneMinutes;

    /// <summary>Seconds of the day; beyond a day for elapsed times.</summary>
    public double SecondOfDay;
}

/// <summary>Reads the date and the time of day of a cell.</summary>
internal static class ClockText
{
    // The first three letters of months in plain letters, by number; those of several languages that differ.
    private static readonly (string Start, int Month)[] Months =
    [
        ("jan", 1), ("gen", 1), ("ene", 1), ("sty", 1), ("feb", 2), ("fev", 2), ("lut", 2), ("mar", 3), ("mrz", 3), ("maa", 3), ("mrt", 3), ("apr", 4), ("avr", 4), ("abr", 4), ("kwi", 4), ("may", 5), ("mai", 5), ("mag", 5), ("mei", 5), ("maj", 5),
        ("juin", 6), ("jun", 6), ("giu", 6), ("cze", 6), ("juil", 7), ("jul", 7), ("lug", 7), ("lip", 7), ("aug", 8), ("aou", 8), ("ago", 8), ("sie", 8), ("sep", 9), ("set", 9), ("wrz", 9), ("oct", 10), ("okt", 10), ("ott", 10), ("out", 10), ("paz", 10),
        ("nov", 11), ("lis", 11), ("dec", 12), ("dez", 12), ("dic", 12), ("gru", 12),
    ];

    private static readonly (string Name, int Minutes)[] Zones =
    [
        ("z", 0), ("utc", 0), ("gmt", 0), ("cet", 60), ("mez", 60), ("cest", 120), ("mesz", 120), ("bst", 60), ("eet", 120), ("eest", 180), ("est", -300), ("edt", -240), ("cst", -360), ("cdt", -300), ("mst", -420), ("mdt", -360), ("pst", -480), ("pdt", -420), ("jst", 540),
    ];

    /// <summary>Reads a cell.</summary>
    /// <param name="text">The cell.</param>
    /// <param name="reading">What it gives.</param>
    /// <returns>Whether all of it was understood as a date, a time of day, or both.</returns>
    public static bool TryRead(ReadOnlySpan<char> text, out ClockReading reading)
    {
        reading = default;
        text = text.Trim();
        if (text.Length is < 4 or > 48)
        {
            return false;
        }

        foreach (var c in text)
        {
            if (c > '\u02FF')
            {
                return TryReadWide(text, ref reading);
            }
        }

        return ReadParts(text, ref reading) && (reading.Shape != DateShape.None || reading.HasClock);
    }

    /// <summary>A time of day in digits alone or with points, such as 140500, 91500, 1405 or 14.05.00: only beside a date.</summary>
    /// <param name="text">The text.</param>
    /// <param name="secondOfDay">Its seconds [s].</param>
    public static bool TryDigits(ReadOnlySpan<char> text, out int secondOfDay)
    {
        var at = 0;
        secondOfDay = 0;
        if (text.Length is 7 or 8 && text[^3] == '.' && text[^6] == '.')
        {
            Span<char> plain = [.. text[..^6], .. text[^5..^3], .. text[^2..]];
            return TryDigits(plain, out secondOfDay);
        }

        if (text.Length is < 3 or > 6 || !Digits(text, ref at, out var value, out var length) || length != text.Length)
        {
            return false;
        }

        value = length <= 4 ? value * 100 : value;
        var (hour, minute, second) = (value / 10000, value / 100 % 100, value % 100);
        secondOfDay = (3600 * hour) + (60 * minute) + second;
        return hour < 24 && minute < 60 && second < 60;
    }

    /// <summary>A zone such as +01:00, +0100, UTC-05:00, Z.</summary>
    /// <param name="text">The text.</param>
    /// <param name="minutes">Minutes from UTC.</param>
    public static bool TryZone(ReadOnlySpan<char> text, out int minutes)
    {
        text = text.Trim();
        minutes = 0;
        var letters = 0;
        while (letters < text.Length && char.IsAsciiLetter(text[letters]))
        {
            letters++;
        }

        var isKnown = letters == 0;
        foreach (var (name, known) in Zones)
        {
            if (text[..letters].Equals(name, StringComparison.OrdinalIgnoreCase))
            {
                (minutes, isKnown) = (known, true);
            }
        }

        var rest = text[letters..].Trim();
        if (!isKnown || (rest.IsEmpty && letters == 0))
        {
            return false;
        }

        if (rest.IsEmpty)
        {
            return true;
        }

        if (rest[0] is not ('+' or '-' or '\u2212' or '\u00b1'))
        {
            return false;
        }

        var sign = rest[0] == '+' || rest[0] == '\u00b1' ? 1 : -1;
        var at = 1;
        if (!Digits(rest, ref at, out var hours, out var length) || length is 3 or > 4)
        {
            return false;
        }

        var part = 0;
        if (length == 4)
        {
            (hours, part) = (hours / 100, hours % 100);
        }
        else if (at < rest.Length)
        {
            if (rest[at] != ':')
            {
                return false;
            }

            at++;
            if (!Digits(rest, ref at, out part, out length) || length != 2)
            {
                return false;
            }
        }

        minutes = sign * ((60 * hours) + part);
        return at == rest.Length && hours <= 14 && part < 60;
    }

    private static bool ReadParts(ReadOnlySpan<char> text, ref ClockReading reading)
    {
        var at = 0;
        while (at < text.Length)
        {
            var c = text[at];
            if (c is ' ' or ',' or 'T' or 't' or '_' && at > 0 && IsBetween(text, at))
            {
                at++;
            }
            else if (char.IsAsciiDigit(c))
            {
                if (!ReadNumberPart(text, ref at, ref reading))
                {
                    return false;
                }
            }
            else if (c is '+' or '-' && reading.HasClock && !reading.HasZone)
            {
                if (!TryZone(text[at..], out reading.ZoneMinutes))
                {
                    return false;
                }

                (reading.HasZone, at) = (true, text.Length);
            }
            else if (char.IsLetter(c))
            {
                if (!ReadWord(text, ref at, ref reading))
                {
                    return false;
                }
            }
            else
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>A blank or comma anywhere; the letter T between the digits of date and time.</summary>
    private static bool IsBetween(ReadOnlySpan<char> text, int at) =>
        text[at] is ' ' or ',' || (char.IsAsciiDigit(text[at - 1]) && at + 1 < text.Length && char.IsAsciiDigit(text[at + 1]));

    private static bool ReadNumberPart(ReadOnlySpan<char> text, ref int at, ref ClockReading reading)
    {
        if (!Digits(text, ref at, out var first, out var length))
        {
            return false;
        }

        var next = at < text.Length ? text[at] : '\0';
        if (reading.Shape == DateShape.None && !reading.HasClock)
        {
            if (length is 8 or 14 && next is not (':' or '-' or '/' or '.'))
            {
                return ReadCompactDate(text[(at - length)..at], ref reading);
            }

            if (next is '-' or '/' or '.' || (next == ' ' && at + 1 < text.Length && char.IsAsciiLetter(text[at + 1]) && !IsHalfOfDay(text[(at + 1)..])))
            {
                return ReadDate(text, ref at, first, length, ref reading);
            }
        }

        if (reading.HasClock)
        {
            // "14:05:33 27/11/2026": the date behind the time.
            return reading.Shape == DateShape.None && next is '-' or '/' or '.' && ReadDate(text, ref at, first, length, ref reading);
        }

        if (next == ':' || (next == '.' && reading.Shape != DateShape.None))
        {
            return ReadClock(text, ref at, first, length, next, ref reading);
        }

        if (reading.Shape != DateShape.None && length is 4 or 6)
        {
            var second = length == 6 ? first % 100 : 0;
            var (hour, minute) = length == 6 ? (first / 10000, first / 100 % 100) : (first / 100, first % 100);
            return SetClock(hour, minute, second, length == 6, ref reading);
        }

        if (next == ' ' && at + 1 < text.Length && IsHalfOfDay(text[(at + 1)..]))
        {
            return SetClock(first, 0, 0, false, ref reading);
        }

        return false;
    }

    private static bool IsHalfOfDay(ReadOnlySpan<char> text) => text.Length >= 2 && text[0] is 'A' or 'a' or 'P' or 'p' && text[1] is 'M' or 'm' or '.';

    private static bool ReadCompactDate(ReadOnlySpan<char> digits, ref ClockReading reading)
    {
        (reading.A, reading.B, reading.C) = (int.Parse(digits[..4], System.Globalization.CultureInfo.InvariantCulture), Two(digits, 4), Two(digits, 6));
        reading.Shape = DateShape.YearFirst;
        if (!IsDate(reading.A, reading.B, reading.C))
        {
            return false;
        }

        return digits.Length == 8 || SetClock(Two(digits, 8), Two(digits, 10), Two(digits, 12), true, ref reading);
    }

    private static int Two(ReadOnlySpan<char> digits, int at) => ((digits[at] - '0') * 10) + digits[at + 1] - '0';

    private static bool ReadDate(ReadOnlySpan<char> text, ref int at, int first, int length, ref ClockReading reading)
    {
        var separator = text[at];
        at++;
        if (at < text.Length && char.IsLetter(text[at]))
        {
            // 27-Nov-2026, 27. Nov 2026, 2026-Nov-27
            if (!Month(text, ref at, out var month))
            {
                return false;
            }

            SkipBetween(text, ref at);
            if (!Digits(text, ref at, out var last, out var lastLength))
            {
                return false;
            }

            (reading.A, reading.B, reading.C) = length == 4 ? (first, month, last) : (Year(last, lastLength), month, first);
            reading.Shape = DateShape.Named;
            return IsDate(reading.A, reading.B, reading.C);
        }

        if (separator == '.' && at < text.Length && text[at] == ' ')
        {
            at++;
            if (at < text.Length && char.IsLetter(text[at]))
            {
                at--;
                return ReadDate(text, ref at, first, length, ref reading);
            }
        }

        if (!Digits(text, ref at, out var second, out var secondLength) || secondLength > 2 || at >= text.Length || text[at] != separator)
        {
            return false;
        }

        at++;
        if (separator == '.' && at < text.Length && text[at] == ' ' && at + 1 < text.Length && char.IsAsciiDigit(text[at + 1]))
        {
            at++;
        }

        if (!Digits(text, ref at, out var third, out var thirdLength))
        {
            return false;
        }

        if (separator == '.' && at < text.Length && text[at] == '.')
        {
            at++;
        }

        if (length == 4)
        {
            (reading.A, reading.B, reading.C, reading.Shape) = (first, second, third, DateShape.YearFirst);
            return thirdLength <= 2 && IsDate(first, second, third);
        }

        (reading.A, reading.B, reading.C) = (first, second, Year(third, thirdLength));
        reading.Shape = separator == '.' ? DateShape.DayFirst : DateShape.YearLast;
        return length <= 2 && thirdLength is 2 or 4 && first is >= 1 and <= 31 && second is >= 1 and <= 31 && (first <= 12 || second <= 12);
    }

    private static bool ReadClock(ReadOnlySpan<char> text, ref int at, int hour, int hourLength, char separator, ref ClockReading reading)
    {
        at++;
        if (hourLength > 3 || !Digits(text, ref at, out var minute, out var length) || length > 2)
        {
            return false;
        }

        double second = 0;
        var hasSeconds = at < text.Length && text[at] == separator;
        if (hasSeconds)
        {
            at++;
            if (!Digits(text, ref at, out var whole, out length) || length > 2)
            {
                return false;
            }

            second = whole;
            if (at + 1 < text.Length && text[at] is '.' or ',' or ':' && char.IsAsciiDigit(text[at + 1]))
            {
                at++;
                var scale = 0.1;
                for (; at < text.Length && char.IsAsciiDigit(text[at]); at++)
                {
                    second += (text[at] - '0') * scale;
                    scale /= 10;
                }
            }
        }

        return SetClock(hour, minute, second, hasSeconds, ref reading);
    }

    private static bool SetClock(int hour, int minute, double second, bool hasSeconds, ref ClockReading reading)
    {
        reading.HasClock = true;
        reading.HasSeconds = hasSeconds;
        reading.SecondOfDay = (3600.0 * hour) + (60 * minute) + second;
        return hour <= (reading.Shape == DateShape.None ? 999 : 24) && minute < 60 && second < 61;
    }

    private static bool ReadWord(ReadOnlySpan<char> text, ref int at, ref ClockReading reading)
    {
        var start = at;
        if (IsHalfOfDay(text[at..]) && reading.HasClock && (text[at + 1] == '.' || at + 2 >= text.Length || !char.IsAsciiLetter(text[at + 2])))
        {
            var isAfternoon = text[at] is 'P' or 'p';
            at += 2;
            while (at < text.Length && text[at] is 'm' or 'M' or '.')
            {
                at++;
            }

            return SetHalf(isAfternoon, ref reading);
        }

        if (reading.HasClock && !reading.HasZone)
        {
            if (!TryZone(text[at..], out reading.ZoneMinutes))
            {
                return false;
            }

            (reading.HasZone, at) = (true, text.Length);
            return true;
        }

        if (reading.Shape == DateShape.None && Month(text, ref at, out var month))
        {
            // Nov 27, 2026
            SkipBetween(text, ref at);
            if (!Digits(text, ref at, out var day, out var length) || length > 2)
            {
                return false;
            }

            SkipBetween(text, ref at);
            if (!Digits(text, ref at, out var year, out length) || length is not (2 or 4))
            {
                return false;
            }

            (reading.A, reading.B, reading.C, reading.Shape) = (Year(year, length), month, day, DateShape.Named);
            return IsDate(reading.A, reading.B, reading.C);
        }

        // The name of a day: "Fri, 27 Nov 2026".
        at = start;
        while (at < text.Length && (char.IsLetter(text[at]) || text[at] == '.'))
        {
            at++;
        }

        return start == 0 && at - start is >= 2 and <= 10;
    }

    private static bool SetHalf(bool isAfternoon, ref ClockReading reading)
    {
        var hour = (int)(reading.SecondOfDay / 3600);
        if (hour is < 1 or > 12)
        {
            // "00:05 AM" and "13:05 PM" are written by some; the half says nothing new.
            return hour < 24;
        }

        reading.IsTwelveHour = true;
        reading.SecondOfDay += 3600.0 * ((hour == 12 ? -12 : 0) + (isAfternoon ? 12 : 0));
        return true;
    }

    /// <summary>East Asian signs behind year, month, day, hour, minute and second.</summary>
    private static bool TryReadWide(ReadOnlySpan<char> text, ref ClockReading reading)
    {
        Span<char> plain = stackalloc char[text.Length + 3];
        var length = 0;
        bool? isAfternoon = null;
        for (var i = 0; i < text.Length; i++)
        {
            switch (text[i])
            {
                case '年' or '月':
                    plain[length++] = '-';
                    break;
                case '日':
                    plain[length++] = ' ';
                    break;
                case '時' or '时' or '点' or '：':
                    plain[length++] = ':';
                    break;
                case '分' when i + 1 < text.Length && char.IsAsciiDigit(text[i + 1]):
                    plain[length++] = ':';
                    break;
                case '分' or '秒' or '\u200e' or '\u200f':
                    break;
                case '\u202f' or '\u2009':
                    plain[length++] = ' ';
                    break;
                case '\u2212':
                    plain[length++] = '-';
                    break;
                case '午' or '上' or '下' when i + 1 < text.Length && text[i + 1] is '前' or '後' or '后' or '午':
                    isAfternoon = text[i] == '下' || text[i + 1] is '後' or '后';
                    i++;
                    break;
                case > '\u02FF':
                    return false;
                default:
                    plain[length++] = text[i];
                    break;
            }
        }

        return ReadParts(plain[..length].Trim(), ref reading) && (reading.Shape != DateShape.None || reading.HasClock)
            && (isAfternoon is not { } half || (reading.HasClock && SetHalf(half, ref reading)));
    }

    private static bool Month(ReadOnlySpan<char> text, ref int at, out int month)
    {
        var start = at;
        while (at < text.Length && char.IsLetter(text[at]))
        {
            at++;
        }

        Span<char> word = stackalloc char[at - start];
        for (var i = start; i < at; i++)
        {
            word[i - start] = text[i] switch { 'é' or 'û' or 'É' => text[i] == 'û' ? 'u' : 'e', 'ä' => 'a', 'ź' => 'z', _ => char.ToLowerInvariant(text[i]) };
        }

        foreach (var (name, number) in Months)
        {
            if (word.StartsWith(name))
            {
                month = number;
                return true;
            }
        }

        month = 0;
        at = start;
        return false;
    }

    private static void SkipBetween(ReadOnlySpan<char> text, ref int at)
    {
        while (at < text.Length && text[at] is ' ' or '-' or '.' or ',' or '/')
        {
            at++;
        }
    }

    private static int Year(int value, int length) => length == 2 ? 2000 + value : value;

    private static bool IsDate(int year, int month, int day) => year is >= 1970 and <= 2199 && month is >= 1 and <= 12 && day is >= 1 and <= 31;

    private static bool Digits(ReadOnlySpan<char> text, ref int at, out int value, out int length)
    {
        var start = at;
        value = 0;
        while (at < text.Length && char.IsAsciiDigit(text[at]) && at - start < 14)
        {
            value = unchecked((value * 10) + text[at] - '0');
            at++;
        }

        length = at - start;
        return length > 0;
    }
}
