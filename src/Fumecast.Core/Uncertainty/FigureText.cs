// SPDX-License-Identifier: MIT
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.RegularExpressions;
using Fumecast.Inputs;

namespace Fumecast.Uncertainty;

/// <summary>Reads figures written as <c>20 m3/h</c> or <c>0.3 to 2 m3/h</c>, and writes them so.</summary>
/// <remarks>A range is the middle 95 % of what is thought possible: lognormal where both ends are over 0, on a straight scale for shares and where the lower end is 0.</remarks>
internal static partial class FigureText
{
    /// <summary>Reads a figure.</summary>
    /// <param name="text">The text.</param>
    /// <param name="quantity">What is expected.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="origin">Where it comes from.</param>
    /// <param name="figure">The figure, when the answer is true.</param>
    /// <param name="problem">What was found and what was expected, when the answer is false.</param>
    public static bool TryParse(
        string text, Quantity quantity, double min, double max, FigureOrigin origin, [NotNullWhen(true)] out Figure? figure, [NotNullWhen(false)] out string? problem)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(quantity);
        figure = null;
        if (Ends().Match(text) is not { Success: true } match)
        {
            if (!QuantityText.TryParse(text, quantity, null, out var value, out problem) || !Within(text, value, quantity, min, max, out problem))
            {
                return false;
            }

            figure = new Figure { Quantity = quantity, Value = value, Origin = origin };
            return true;
        }

        // "0.3 to 2 m3/h" has its unit once, "300 l/h to 2 m3/h" at both ends.
        var (first, second) = (match.Groups[1].Value.Trim(), match.Groups[2].Value.Trim());
        if (Bare().IsMatch(first))
        {
            first += " " + Number().Replace(second, "", 1);
        }

        if (!QuantityText.TryParse(first, quantity, null, out var low, out problem) || !QuantityText.TryParse(second, quantity, null, out var high, out problem)
            || !Within(text, low, quantity, min, max, out problem) || !Within(text, high, quantity, min, max, out problem))
        {
            return false;
        }

        if (!(low < high))
        {
            problem = $"found '{text}', expected the lower end first and the ends to differ";
            return false;
        }

        figure = Between(low, high, quantity, origin);
        return true;
    }

    /// <summary>Whether a text has two ends.</summary>
    /// <param name="text">The text.</param>
    public static bool IsRange(string text) => Ends().IsMatch(text);

    /// <summary>A figure by its middle 95 %.</summary>
    /// <param name="low">Lower end [<see cref="Quantity.HeldUnit"/>], 0 or more.</param>
    /// <param name="high">Upper end, above the lower.</param>
    /// <param name="quantity">What it is.</param>
    /// <param name="origin">Where it comes from.</param>
    public static Figure Between(double low, double high, Quantity quantity, FigureOrigin origin)
    {
        ArgumentNullException.ThrowIfNull(quantity);
        return low > 0 && quantity != Quantity.Share
            ? new Figure { Quantity = quantity, Value = Math.Sqrt(low * high), Gsd = Math.Exp(Math.Log(high / low) / (2 * Figure.RangeEndZ)), Origin = origin }
            : new Figure { Quantity = quantity, Value = (low + high) / 2, Range = (low, high), Origin = origin };
    }

    /// <summary>Writes a figure: <c>20 m3/h</c>, or <c>0.77 m3/h (0.3 to 2)</c>.</summary>
    /// <param name="figure">The figure.</param>
    public static string Show(Figure figure)
    {
        ArgumentNullException.ThrowIfNull(figure);
        var value = Digits(figure.Value, figure.Quantity);
        return figure.Gsd is null or 1 && figure.Range is null
            ? value
            : $"{value} ({Digits(figure.At(-Figure.RangeEndZ), Quantity.Number)} to {Digits(figure.At(Figure.RangeEndZ), Quantity.Number)})";
    }

    // Three digits; shares near 1 differ in what is left, which that would round away.
    private static string Digits(double value, Quantity quantity) =>
        QuantityText.Show(value is > 0.99 and < 1 ? 1 - Rounded(1 - value, "G2") : Rounded(value, "G3"), quantity);

    private static double Rounded(double value, string digits) => double.Parse(value.ToString(digits, CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static bool Within(string text, double value, Quantity quantity, double min, double max, [NotNullWhen(false)] out string? problem)
    {
        var limits = double.IsInfinity(max) ? $"at least {QuantityText.Show(min, quantity)}" : $"{QuantityText.Show(min, quantity)} to {QuantityText.Show(max, quantity)}";
        problem = value >= min && value <= max ? null : $"found '{(text.Length <= 60 ? text : text[..57] + "...")}', expected {limits}";
        return problem is null;
    }

    [GeneratedRegex(@"^(.*\S)\s+to\s+(\S.*)$", RegexOptions.CultureInvariant | RegexOptions.Singleline)]
    private static partial Regex Ends();

    [GeneratedRegex(@"^[+-]?[0-9.]+([eE][+-]?[0-9]+)?$", RegexOptions.CultureInvariant)]
    private static partial Regex Bare();

    [GeneratedRegex(@"^[+-]?[0-9.]+([eE][+-]?[0-9]+)?", RegexOptions.CultureInvariant)]
    private static partial Regex Number();
}
