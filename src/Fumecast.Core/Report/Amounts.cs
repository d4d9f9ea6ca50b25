// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>Puts quantities into words, with as many digits as they deserve.</summary>
internal static class Amounts
{
    private static readonly (double Size, string Name)[] CountScales =
        [(1, ""), (1e3, "thousand"), (1e6, "million"), (1e9, "billion"), (1e12, "trillion"), (1e15, "quadrillion")];

    private static readonly (double Size, string Name)[] MassScales = [(1e-3, "ng"), (1, "ug"), (1e3, "mg"), (1e6, "g")];

    /// <summary>The middle estimate in words: <c>3.5 trillion</c>, <c>18 mg</c>.</summary>
    /// <param name="value">The number [<paramref name="unit"/>].</param>
    /// <param name="unit"><c>1</c> for counts, <c>ug</c> for masses.</param>
    public static string Middle(Uncertain value, string unit) => Scaled(value.Median, unit, MiddleDigits(value));

    /// <summary>The interval in words, <c>0.2 to 60 trillion</c>, or null when it has no width.</summary>
    /// <param name="value">The number [<paramref name="unit"/>].</param>
    /// <param name="unit"><c>1</c> for counts, <c>ug</c> for masses.</param>
    public static string? Range(Uncertain value, string unit)
    {
        if (!(value.High > value.Low))
        {
            return null;
        }

        var digits = EndDigits(value);
        var scale = ScaleOf(value.Median, unit, MiddleDigits(value));
        var low = value.Low / scale.Size;
        var high = value.High / scale.Size;
        return low >= 0.1 && high < 1000
            ? Join($"{Significant(low, digits)} to {Significant(high, digits)}", scale.Name)
            : $"{Scaled(value.Low, unit, digits)} to {Scaled(value.High, unit, digits)}";
    }

    /// <summary>The interval of a count in powers of ten, <c>2e11 to 6e13</c>, or null when it has no width.</summary>
    /// <param name="value">The number [-].</param>
    public static string? PowerRange(Uncertain value)
    {
        var digits = EndDigits(value);
        return value.High > value.Low ? $"{Power(value.Low, digits)} to {Power(value.High, digits)}" : null;
    }

    // A single digit does not do for an end so near the middle that it may come out on its other side.
    private static int EndDigits(Uncertain value) =>
        Spread(value) >= 3 && value.High > 1.5 * value.Median && value.Median > 1.5 * value.Low ? 1 : MiddleDigits(value);

    /// <summary>A middle value whose interval is not known, such as a sum, with two digits.</summary>
    /// <param name="value">The value [<paramref name="unit"/>].</param>
    /// <param name="unit"><c>1</c> for counts, <c>ug</c> for masses.</param>
    public static string Rough(double value, string unit) => Scaled(value, unit, 2);

    /// <summary>A number with its power of ten, <c>4.8e12</c>: the names of large numbers mean different things in different languages.</summary>
    /// <param name="value">The number [-]; below a thousand it is written out.</param>
    /// <param name="digits">Significant digits [-].</param>
    public static string Power(double value, int digits)
    {
        if (!(Math.Abs(value) >= 999.5) || !double.IsFinite(value))
        {
            return Significant(value, digits);
        }

        var format = digits > 1 ? "0." + new string('0', digits - 1) + "e0" : "0e0";
        return value.ToString(format, CultureInfo.InvariantCulture);
    }

    /// <summary>The middle estimate of a count with its power of ten, in the digits of <see cref="Middle"/>; null where the number is written out.</summary>
    /// <param name="value">The number [-].</param>
    public static string? MiddlePower(Uncertain value) => value.Median >= 999.5 ? Power(value.Median, MiddleDigits(value)) : null;

    /// <summary>A number with a given count of significant digits, never with an exponent below 1e21.</summary>
    public static string Significant(double value, int digits)
    {
        if (value == 0 || !double.IsFinite(value))
        {
            return value == 0 ? "0" : value.ToString(CultureInfo.InvariantCulture);
        }

        var decimals = digits - 1 - (int)Math.Floor(Math.Log10(Math.Abs(value)));
        var unit = Math.Pow(10, -decimals);
        var rounded = Math.Round(value / unit, MidpointRounding.AwayFromZero) * unit;
        if (Math.Abs(rounded) >= Math.Pow(10, digits - decimals))
        {
            decimals--; // Rounding up gained a digit: 9.96 is 10, not 10.0.
        }

        return rounded.ToString("F" + Math.Clamp(decimals, 0, 15).ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
    }

    /// <summary>A duration as a person says it: <c>3 h 05 min</c>, <c>12 min</c>, <c>45 s</c>.</summary>
    /// <param name="seconds">Duration [s].</param>
    public static string Duration(double seconds)
    {
        if (seconds < 119.5)
        {
            return Invariant($"{seconds:0} s");
        }

        var minutes = (long)Math.Round(seconds / 60);
        return minutes < 60 ? Invariant($"{minutes} min") : Invariant($"{minutes / 60} h {minutes % 60:00} min");
    }

    /// <summary>A duration in the form of the one that it stands beside: minutes beside minutes, <c>under 1 min</c> and not <c>25 s</c>.</summary>
    /// <param name="seconds">Duration [s].</param>
    /// <param name="besideS">The one that gives the form [s].</param>
    public static string DurationBeside(double seconds, double besideS)
    {
        if (besideS < 119.5 || seconds >= 119.5 || seconds <= 0)
        {
            return besideS < 119.5 && seconds < 119.5 ? Invariant($"{seconds:0} s") : seconds <= 0 ? "0 min" : Duration(seconds);
        }

        return seconds < 30 ? "under 1 min" : Invariant($"{Math.Round(seconds / 60, MidpointRounding.AwayFromZero):0} min");
    }

    /// <summary>Durations that stand in one column, in one form: seconds where all are short, else minutes, else <c>1:06 h</c>; <c>0:01:44</c> where short and long ones meet.</summary>
    /// <param name="seconds">The durations [s]; what is not known becomes a dash.</param>
    public static string[] InOneForm(IReadOnlyList<double?> seconds)
    {
        var (least, most) = (seconds.Min() ?? 0, seconds.Max() ?? 0);
        Func<double, string> form = most < 119.5 ? static s => Invariant($"{s:0} s")
            : least < 59.5 ? static s => Invariant($"{(long)Math.Round(s) / 3600}:{(long)Math.Round(s) / 60 % 60:00}:{(long)Math.Round(s) % 60:00}")
            : most < 3570 ? static s => Invariant($"{Math.Round(s / 60):0} min")
            : static s => Invariant($"{(long)Math.Round(s / 60) / 60}:{(long)Math.Round(s / 60) % 60:00} h");
        return [.. seconds.Select(one => one is { } known ? form(known) : "-")];
    }

    /// <summary>A share as per cent: <c>7 %</c>, <c>under 1 %</c>.</summary>
    /// <param name="share">Share [-], 0 to 1.</param>
    public static string Percent(double share) => share switch
    {
        <= 0 => "0 %",
        < 0.005 => "under 1 %",
        _ => Invariant($"{100 * share:0} %"),
    };

    /// <summary>Formats without regard to the culture of the machine.</summary>
    public static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    /// <summary>Digits of the middle estimate: two while its interval is wider than 10 %, more where the number is surer.</summary>
    private static int MiddleDigits(Uncertain value) => Spread(value) switch
    {
        >= 1.1 => 2,
        >= 1.01 => 3,
        _ => 4,
    };

    /// <summary>Factor from the middle of the interval to its ends [-].</summary>
    private static double Spread(Uncertain value) =>
        value.Low > 0 ? Math.Sqrt(value.High / value.Low) : value.High > value.Low ? double.PositiveInfinity : 1;

    private static string Scaled(double value, string unit, int digits)
    {
        var scale = ScaleOf(value, unit, digits);
        return Join(Significant(value / scale.Size, digits), scale.Name);
    }

    private static (double Size, string Name) ScaleOf(double value, string unit, int digits)
    {
        var scales = unit == "1" ? CountScales : MassScales;
        if (value == 0)
        {
            return unit == "1" ? CountScales[0] : MassScales[1];
        }

        // The rounded number decides: 999.6 billion is 1.0 trillion.
        var rounded = value * (1 + (0.5 * Math.Pow(10, -digits)));
        var at = scales.Length - 1;
        while (at > 0 && rounded < scales[at].Size)
        {
            at--;
        }

        return scales[at];
    }

    private static string Join(string number, string name) => name.Length == 0 ? number : $"{number} {name}";
}
