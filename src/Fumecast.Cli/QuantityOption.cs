// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Globalization;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>An option whose value is a number with a unit, within a range.</summary>
internal static class QuantityOption
{
    /// <summary>Makes such an option.</summary>
    /// <param name="name">Its name, with dashes.</param>
    /// <param name="quantity">What it is; a bare number has this quantity's own unit.</param>
    /// <param name="low">Lowest value allowed.</param>
    /// <param name="high">Highest value allowed.</param>
    /// <param name="helpName">What the help calls the value.</param>
    /// <param name="description">What it does.</param>
    /// <param name="leastBare">Lowest value that may stand without a unit: below it another unit is more likely meant.</param>
    public static Option<double?> Make(
        string name, Quantity quantity, double low, double high, string helpName, string description, double leastBare = double.NegativeInfinity) =>
        new(name)
        {
            HelpName = helpName,
            Description = description,
            CustomParser = result =>
            {
                // One value only: the arity is checked by the library, yet after this is called.
                var text = result.Tokens.Count > 0 ? result.Tokens[0].Value : "";
                if (!QuantityText.TryParse(text, quantity, quantity.HeldUnit, out var value, out var problem))
                {
                    result.AddError($"{name}: {problem}");
                    return null;
                }

                if (!(value >= low && value <= high))
                {
                    result.AddError(OutOfRange(name, text, quantity, value, low, high));
                    return null;
                }

                if (BareProblem(text, value, quantity, leastBare) is { } bare)
                {
                    result.AddError($"{name}: {bare}");
                    return null;
                }

                return value;
            },
        };

    /// <summary>What is wrong with a time without a unit that is so short that minutes are more likely meant; null when nothing is.</summary>
    /// <param name="text">As it was written.</param>
    /// <param name="value">What it comes to.</param>
    /// <param name="quantity">What it is.</param>
    /// <param name="leastBare">Lowest value that may stand without a unit.</param>
    internal static string? BareProblem(string text, double value, Quantity quantity, double leastBare)
    {
        var bare = text.Trim();
        return value < leastBare && IsBare(text)
            ? $"found '{text}' without a unit, which would be {QuantityText.Show(value, quantity)}; write {bare}min, or {bare}s if seconds are meant"
            : null;
    }

    /// <summary>What is wrong with a value outside its range, and what was probably meant when its unit was left out.</summary>
    internal static string OutOfRange(string name, string text, Quantity quantity, double value, double low, double high)
    {
        var meant = "";
        if (quantity == Quantity.Share && IsBare(text) && value > 1 && value > high && value / 100 >= low && value / 100 <= high)
        {
            meant = string.Create(CultureInfo.InvariantCulture, $"; for a percentage write {value:0.####} % or {value / 100:0.######}");
        }
        else if (quantity == Quantity.Time && value > 0 && value < low && IsBare(text))
        {
            var bare = text.Trim();
            meant = $"; a bare number is in seconds, so write {bare}h or {bare}min";
        }

        return $"{name}: found '{text}', expected {quantity.Name} from {QuantityText.Show(low, quantity)} to {QuantityText.Show(high, quantity)}{meant}";
    }

    private static bool IsBare(string text) => text.TrimEnd() is [.., >= '0' and <= '9'];
}
