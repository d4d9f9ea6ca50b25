// SPDX-License-Identifier: MIT
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text;

namespace Fumecast.Inputs;

/// <summary>Reads numbers with units, such as <c>10s</c>, <c>4 mm3/s</c>, <c>60%</c> or <c>1h30m</c>, in data files and on the command line.</summary>
/// <remarks>Decimal points only, whatever the culture. The value is the nearest double of the written decimal, converted with one rounding.</remarks>
internal static class QuantityText
{
    private const double SecondsOfDay = 86_400;

    /// <summary>Reads one quantity.</summary>
    /// <param name="text">The text, such as <c>1.24 g/cm3</c>.</param>
    /// <param name="quantity">What is expected.</param>
    /// <param name="bareUnit">Unit of a number without one; null when a unit is required. Plain numbers and shares never need one.</param>
    /// <param name="value">The value in <see cref="Quantity.HeldUnit"/>, finite.</param>
    /// <param name="problem">What was found, what was expected and how to mend it, when the answer is false.</param>
    /// <returns>Whether the text is such a quantity.</returns>
    public static bool TryParse(
        string text, Quantity quantity, string? bareUnit, out double value, [NotNullWhen(false)] out string? problem)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(quantity);
        value = 0;
        var rest = text.AsSpan().Trim();
        if (rest.IsEmpty)
        {
            problem = $"found nothing, expected {Expected(quantity)}";
            return false;
        }

        var parts = 0;
        do
        {
            var length = NumberLength(rest);
            if (length == 0 || !double.TryParse(rest[..length], NumberStyles.Float, CultureInfo.InvariantCulture, out var number))
            {
                problem = $"found '{Shorten(text)}', expected {Expected(quantity)}";
                return false;
            }

            rest = rest[length..].TrimStart();
            var symbol = Symbol(quantity == Quantity.Time ? NextWord(ref rest) : Whole(ref rest));
            if (symbol.Length == 0 && !quantity.IsDimensionless)
            {
                if (bareUnit is null || parts > 0)
                {
                    problem = $"found '{Shorten(text)}' without a unit, expected {Expected(quantity)}";
                    return false;
                }

                symbol = Symbol(bareUnit);
            }

            if (!quantity.TryUnit(symbol, out var unit))
            {
                problem = WrongUnit(text, symbol, quantity);
                return false;
            }

            value += unit.ToHeld(number);
            parts++;
        }
        while (!rest.IsEmpty);

        if (!double.IsFinite(value))
        {
            problem = $"found '{Shorten(text)}', which is too large to be {quantity.Name}";
            return false;
        }

        problem = null;
        return true;
    }

    /// <summary>Reads one quantity or says why not.</summary>
    /// <param name="text">The text.</param>
    /// <param name="quantity">What is expected.</param>
    /// <param name="bareUnit">Unit of a number without one; null when a unit is required.</param>
    /// <param name="name">What the text belongs to, such as <c>--bin</c>; starts the message.</param>
    /// <returns>The value in <see cref="Quantity.HeldUnit"/>, finite.</returns>
    /// <exception cref="InputProblem">The text is not such a quantity.</exception>
    public static double Parse(string text, Quantity quantity, string? bareUnit, string name) =>
        TryParse(text, quantity, bareUnit, out var value, out var problem) ? value : throw new InputProblem($"{name}: {problem}");

    /// <summary>Writes a value with the held unit of its quantity, for messages.</summary>
    /// <param name="value">The value in <see cref="Quantity.HeldUnit"/>.</param>
    /// <param name="quantity">What it is.</param>
    public static string Show(double value, Quantity quantity)
    {
        ArgumentNullException.ThrowIfNull(quantity);
        if (quantity == Quantity.Time && Math.Abs(value) >= 1e6 && value % SecondsOfDay == 0)
        {
            // Nobody reads weeks in seconds.
            return $"{(value / SecondsOfDay).ToString("G15", CultureInfo.InvariantCulture)} d";
        }

        var plain = value == 0 || Math.Abs(value) is >= 1e-3 and < 1e6 || !double.IsFinite(value);
        var number = value.ToString(plain ? "G15" : "0.##############e0", CultureInfo.InvariantCulture);
        return quantity.IsDimensionless ? number : $"{number} {quantity.HeldUnit}";
    }

    private static string Expected(Quantity quantity) => $"{quantity.Name} such as {quantity.Example}";

    private static string WrongUnit(string text, string symbol, Quantity quantity)
    {
        if (symbol.StartsWith(',') || symbol.StartsWith('.'))
        {
            return $"found '{Shorten(text)}', expected {Expected(quantity)}; write numbers with a decimal point and no other separators";
        }

        if (quantity == Quantity.TemperatureStep && symbol is "degC" or "C")
        {
            return $"found '{Shorten(text)}', expected {Expected(quantity)}; degC is for readings, K for differences";
        }

        var also = Quantity.OfUnit(symbol) is { } other && other != quantity ? $" ('{symbol}' belongs to {other.Name})" : "";
        var units = string.Join(", ", quantity.Units);
        return units.Length == 0
            ? $"found '{Shorten(text)}'{also}, expected {Expected(quantity)}, without a unit"
            : $"found '{Shorten(text)}'{also}, expected {quantity.Name} in {units}, such as {quantity.Example}";
    }

    /// <summary>Length of the number at the start; an 'e' counts only when digits follow, so that units may begin with it.</summary>
    private static int NumberLength(ReadOnlySpan<char> text)
    {
        var i = text[0] is '+' or '-' ? 1 : 0;
        var digits = 0;
        while (i < text.Length && (char.IsAsciiDigit(text[i]) || text[i] == '.'))
        {
            digits += text[i] == '.' ? 0 : 1;
            i++;
        }

        if (digits == 0)
        {
            return 0;
        }

        if (i < text.Length && text[i] is 'e' or 'E')
        {
            var j = i + 1;
            if (j < text.Length && text[j] is '+' or '-')
            {
                j++;
            }

            if (j < text.Length && char.IsAsciiDigit(text[j]))
            {
                while (j < text.Length && char.IsAsciiDigit(text[j]))
                {
                    j++;
                }

                return j;
            }
        }

        return i;
    }

    /// <summary>The unit up to the next number, so that times may be written as 1h30m.</summary>
    private static ReadOnlySpan<char> NextWord(ref ReadOnlySpan<char> rest)
    {
        var i = 0;
        while (i < rest.Length && !char.IsAsciiDigit(rest[i]))
        {
            i++;
        }

        var word = rest[..i];
        rest = rest[i..];
        return word;
    }

    private static ReadOnlySpan<char> Whole(ref ReadOnlySpan<char> rest)
    {
        var word = rest;
        rest = [];
        return word;
    }

    /// <summary>A unit as looked up: no blanks, brackets and carets; signs of typesetting in plain letters.</summary>
    private static string Symbol(ReadOnlySpan<char> text)
    {
        var symbol = new StringBuilder(text.Length);
        foreach (var c in text)
        {
            switch (c)
            {
                case ' ' or '\t' or '(' or ')' or '^' or '·' or '*':
                    break;
                case 'µ' or 'μ':
                    symbol.Append('u');
                    break;
                case '°':
                    symbol.Append("deg");
                    break;
                case '²':
                    symbol.Append('2');
                    break;
                case '³':
                    symbol.Append('3');
                    break;
                default:
                    symbol.Append(c);
                    break;
            }
        }

        return symbol.ToString();
    }

    private static string Shorten(string text) => text.Length <= 60 ? text : text[..57] + "...";
}
