// SPDX-License-Identifier: MIT
using System.CommandLine;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>An option whose value is a list of numbers with units, such as <c>220,230,240</c>.</summary>
internal static class QuantityListOption
{
    /// <summary>Makes such an option.</summary>
    /// <param name="name">Its name, with dashes.</param>
    /// <param name="quantity">What each is; a bare number has this quantity's own unit.</param>
    /// <param name="low">Lowest value allowed.</param>
    /// <param name="high">Highest value allowed.</param>
    /// <param name="helpName">What the help calls the value.</param>
    /// <param name="description">What it does.</param>
    public static Option<double[]?> Make(string name, Quantity quantity, double low, double high, string helpName, string description) =>
        new(name)
        {
            HelpName = helpName,
            Description = description,
            Arity = ArgumentArity.ExactlyOne,
            CustomParser = result =>
            {
                var values = new List<double>();
                foreach (var part in (result.Tokens.Count > 0 ? result.Tokens[0].Value : "").Split(','))
                {
                    if (!QuantityText.TryParse(part, quantity, quantity.HeldUnit, out var value, out var problem))
                    {
                        result.AddError($"{name}: {problem}; separate several with commas");
                        return null;
                    }

                    if (!(value >= low && value <= high))
                    {
                        result.AddError(QuantityOption.OutOfRange(name, part.Trim(), quantity, value, low, high));
                        return null;
                    }

                    if (values.Contains(value))
                    {
                        result.AddError($"{name}: found '{part.Trim()}' twice; give each value once");
                        return null;
                    }

                    values.Add(value);
                }

                return [.. values];
            },
        };
}
