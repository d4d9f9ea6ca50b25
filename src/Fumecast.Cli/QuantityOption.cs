// SPDX-License-Identifier: MIT
using System.CommandLine;
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
    public static Option<double?> Make(string name, Quantity quantity, double low, double high, string helpName, string description) =>
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
                    result.AddError(
                        $"{name}: found '{text}', expected {quantity.Name} from {QuantityText.Show(low, quantity)} to {QuantityText.Show(high, quantity)}");
                    return null;
                }

                return value;
            },
        };
}
