// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Uncertainty;

/// <summary>A number with its interval: median and the two ends, at the coverage the result states.</summary>
/// <param name="Low">Lower end, in the unit of the quantity.</param>
/// <param name="Median">The middle estimate, in the unit of the quantity.</param>
/// <param name="High">Upper end, in the unit of the quantity.</param>
public readonly record struct Uncertain(double Low, double Median, double High)
{
    /// <summary>The number in two digits with its interval: <c>4.8e12 (0.9e12 to 26e12)</c>, whatever the culture of the machine.</summary>
    public override string ToString() => ToString("", null);

    /// <summary>The number with its unit, and the coverage of its interval: <c>4.8e12 particles (0.9e12 to 26e12, 90 %)</c>.</summary>
    /// <param name="unit">The unit, or what is counted.</param>
    /// <param name="interval">Coverage of the interval, over 0 and below 1 [-], or null to leave it out.</param>
    public string ToString(string unit, double? interval)
    {
        // The ends are in the power of the middle where both then read well, so that the eye can compare them; else each in its own.
        var power = PowerOf(Median);
        var isShared = power != 0 && ReadsWell(Low) && ReadsWell(High);
        var covered = interval is { } share ? string.Create(CultureInfo.InvariantCulture, $", {100 * share:0.##} %") : "";
        return $"{Digits(Median, power)}{(unit.Length == 0 ? "" : " " + unit)} ({End(Low)} to {End(High)}{covered})";

        bool ReadsWell(double value) => Math.Abs(value / Math.Pow(10, power)) is >= 0.095 and < 99.5;

        string End(double value) => Digits(value, isShared ? power : PowerOf(value));
    }

    /// <summary>The power of ten to write a number with; 0 where it is written out.</summary>
    private static int PowerOf(double value)
    {
        if (value == 0 || !double.IsFinite(value))
        {
            return 0;
        }

        var power = (int)Math.Floor(Math.Log10(Math.Abs(value) * 1.005));
        return power is >= -3 and <= 4 ? 0 : power;
    }

    private static string Digits(double value, int power)
    {
        if (value == 0 || !double.IsFinite(value))
        {
            return value.ToString(CultureInfo.InvariantCulture);
        }

        var scaled = value / Math.Pow(10, power);
        var decimals = 1 - (int)Math.Floor(Math.Log10(Math.Abs(scaled) * 1.005));
        var step = Math.Pow(10, -decimals);
        var number = (Math.Round(scaled / step) * step).ToString("F" + Math.Max(0, decimals).ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return power == 0 ? number : number + "e" + power.ToString(CultureInfo.InvariantCulture);
    }
}
