// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Pictures;

/// <summary>Round numbers for axes.</summary>
internal static class NiceTicks
{
    private static readonly double[] TimeStepsS =
        [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400, 172800, 432000, 864000];

    /// <summary>Multiples of 1, 2 or 5 times a power of ten from <paramref name="low"/> to at least <paramref name="high"/>.</summary>
    /// <param name="low">Lowest value.</param>
    /// <param name="high">Highest value, over <paramref name="low"/>.</param>
    /// <param name="about">How many intervals are wanted [-].</param>
    public static List<(double Value, string Label)> Linear(double low, double high, int about)
    {
        var raw = (high - low) / about;
        var power = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        var step = (raw / power) switch { <= 1 => 1, <= 2 => 2, <= 5 => 5, _ => 10 } * power;
        var ticks = new List<(double, string)>();
        var decimals = Math.Clamp(-(int)Math.Floor(Math.Log10(step) + 1e-9), 0, 12);
        var first = (long)Math.Floor((low / step) + 1e-9);
        var last = (long)Math.Ceiling((high / step) - 1e-9);
        for (var i = first; i <= last; i++)
        {
            ticks.Add((i * step, (i * step).ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture)));
        }

        return ticks;
    }

    /// <summary>Powers of ten as logarithms, with the number in words or digits; every one, or every second or third when there are many.</summary>
    /// <param name="low">Lowest decade [log10].</param>
    /// <param name="high">Highest decade [log10].</param>
    /// <param name="most">How many labels there may be [-].</param>
    /// <param name="names">How the numbers are written.</param>
    public static List<(double Value, string Label)> Decades(int low, int high, int most, DecadeNames names)
    {
        var every = Math.Max(1, (int)Math.Ceiling((high - low + 1) / (double)most));
        var ticks = new List<(double, string)>();
        for (var decade = low; decade <= high; decade++)
        {
            ticks.Add((decade, (high - decade) % every == 0 ? Power(decade, names) : ""));
        }

        return ticks;
    }

    /// <summary>Ticks of a time axis, in the unit that suits its length.</summary>
    /// <param name="durationS">Length [s].</param>
    /// <param name="most">How many intervals there may be [-].</param>
    /// <param name="unit">The unit of the labels.</param>
    public static List<(double Value, string Label)> Time(double durationS, int most, out string unit)
    {
        var step = TimeStepsS[^1];
        foreach (var candidate in TimeStepsS)
        {
            if (durationS / candidate <= most)
            {
                step = candidate;
                break;
            }
        }

        var (size, name) = step >= 3600 || durationS > 3 * 3600 ? (3600.0, "h") : step >= 60 || durationS > 180 ? (60.0, "min") : (1.0, "s");
        unit = name;
        var ticks = new List<(double, string)>();
        for (var i = 0; i * step <= durationS * (1 + 1e-9); i++)
        {
            ticks.Add((i * step, (i * step / size).ToString("0.##", CultureInfo.InvariantCulture)));
        }

        return ticks;
    }

    /// <summary>Round numbers on a logarithmic axis of ratios that spans less or more than a decade; 1 is always among them.</summary>
    /// <param name="from">Lower end, as a power of ten.</param>
    /// <param name="to">Upper end, as a power of ten.</param>
    /// <param name="most">Most labels that have room [-].</param>
    public static List<(double Value, string Label)> Ratios(double from, double to, int most)
    {
        // From the finest to the coarsest: the first that has room.
        double[][] steps = [[1, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2, 3, 4, 5, 6, 7, 8, 9], [1, 1.2, 1.5, 2, 3, 4, 6, 8], [1, 1.5, 2, 3, 5, 7], [1, 2, 5]];
        var ticks = new List<(double Value, string Label)>();
        var (first, last) = ((int)Math.Floor(from), (int)Math.Ceiling(to));
        foreach (var step in steps)
        {
            ticks.Clear();
            for (var decade = first; decade <= last; decade++)
            {
                foreach (var factor in step)
                {
                    if (decade + Math.Log10(factor) is var at && at >= from - 1e-9 && at <= to + 1e-9)
                    {
                        ticks.Add((at, (factor * Math.Pow(10, decade)).ToString("0.######", CultureInfo.InvariantCulture)));
                    }
                }
            }

            if (ticks.Count <= most)
            {
                return ticks;
            }
        }

        ticks.Clear();
        var stride = Math.Max(1, (int)Math.Ceiling((to - from) / Math.Max(1, most)));
        for (var decade = first; decade <= last; decade++)
        {
            if (decade >= from - 1e-9 && decade <= to + 1e-9)
            {
                ticks.Add((decade, decade % stride == 0 ? Power(decade, DecadeNames.Digits) : ""));
            }
        }

        return ticks;
    }

    private static string Power(int decade, DecadeNames names)
    {
        if (names == DecadeNames.Micrograms && decade is >= -6 and < 12)
        {
            var prefix = ((decade + 6) / 3) switch { 0 => "pg", 1 => "ng", 2 => "µg", 3 => "mg", 4 => "g", _ => "kg" };
            return $"{((int)Math.Pow(10, (decade + 6) % 3)).ToString(CultureInfo.InvariantCulture)} {prefix}";
        }

        if (names == DecadeNames.Counts && decade is >= 0 and < 18)
        {
            var name = (decade / 3) switch { 1 => " thousand", 2 => " million", 3 => " billion", 4 => " trillion", 5 => " quadrillion", _ => "" };
            var words = ((int)Math.Pow(10, decade % 3)).ToString(CultureInfo.InvariantCulture) + name;
            return decade < 3 ? words : $"{words}\n{Ten(decade)}";
        }

        if (decade is > -4 and < 5)
        {
            return Math.Pow(10, decade).ToString("0.###", CultureInfo.InvariantCulture);
        }

        return Ten(decade);
    }

    private static string Ten(int decade)
    {
        var power = decade.ToString(CultureInfo.InvariantCulture);
        return "10" + string.Create(power.Length, power, static (span, digits) =>
        {
            for (var i = 0; i < span.Length; i++)
            {
                span[i] = digits[i] == '-' ? '⁻' : "⁰¹²³⁴⁵⁶⁷⁸⁹"[digits[i] - '0'];
            }
        });
    }
}

/// <summary>How the powers of ten of an axis are written.</summary>
internal enum DecadeNames
{
    /// <summary>In digits.</summary>
    Digits,

    /// <summary>With thousands, millions, billions in words and, on a line of its own, as a power of ten: a billion is not the same number in every language.</summary>
    Counts,

    /// <summary>The numbers are micrograms: with the unit of mass that suits.</summary>
    Micrograms,
}
