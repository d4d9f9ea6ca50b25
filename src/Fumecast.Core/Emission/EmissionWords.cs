// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>Says in words how sure an emission is.</summary>
internal static class EmissionWords
{
    /// <summary>How wide an interval is, in plain words.</summary>
    /// <param name="value">The interval.</param>
    /// <param name="interval">Its coverage, over 0 and below 1 [-].</param>
    /// <returns>One sentence part such as <c>within a factor of 20 either way (90 % interval)</c>; never a verdict on safety.</returns>
    public static string HowSure(Uncertain value, double interval)
    {
        var coverage = string.Create(CultureInfo.InvariantCulture, $"({interval * 100:0.##} % interval)");
        if (!(value.Median > 0))
        {
            return "nothing is given off in this model; that is no proof of absence";
        }

        var up = value.High / value.Median;
        var down = value.Low > 0 ? value.Median / value.Low : double.PositiveInfinity;
        if (double.IsInfinity(down) || down > 1e4)
        {
            return string.Create(CultureInfo.InvariantCulture, $"from next to nothing up to {Rounded(up)} times the value {coverage}");
        }

        var either = Math.Max(up, down);
        if (either < 1.2)
        {
            return string.Create(CultureInfo.InvariantCulture, $"within {Math.Ceiling((either - 1) * 100):0} % either way {coverage}");
        }

        return Math.Min(up, down) * 2 >= either
            ? string.Create(CultureInfo.InvariantCulture, $"within a factor of {Rounded(either)} either way {coverage}")
            : string.Create(CultureInfo.InvariantCulture, $"up to {Rounded(up)} times as much, or {Rounded(down)} times less {coverage}");
    }

    /// <summary>Cautions that belong to any emission figure.</summary>
    public static IReadOnlyList<string> Cautions { get; } =
    [
        "The figures are published ones for other spools and printers.",
        "Particles below 3 nm, in one study 9 to 48 % of all, are in no ordinary measurement and in none of these figures.",
        "What the bed, the printed part and other hot parts give off is not counted, nor what parts go on giving off after the print.",
        "Slopes with temperature are one range for all materials; a set temperature may differ from the true one by 15 K, a factor of 2.7 in particle number.",
    ];

    /// <summary>Up to a number that a reader does not take for precise: one digit, two between 10 and 20.</summary>
    private static double Rounded(double factor)
    {
        if (factor < 2)
        {
            return Math.Ceiling(factor * 10 - 1e-9) / 10;
        }

        var unit = Math.Pow(10, Math.Floor(Math.Log10(factor)));
        var step = factor / unit < 2 ? unit / 10 : unit;
        return Math.Ceiling(factor / step - 1e-9) * step;
    }
}
