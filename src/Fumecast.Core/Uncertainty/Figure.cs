// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Uncertainty;

/// <summary>How a figure is known.</summary>
public enum FigureKnown
{
    /// <summary>Read in the source itself, or in its abstract.</summary>
    Read,

    /// <summary>Calculated from figures that were read; <see cref="FigureOrigin.Where"/> says how.</summary>
    Derived,

    /// <summary>Recalled, not looked up: to be verified.</summary>
    Memory,

    /// <summary>A judgement of this project for want of a published figure.</summary>
    Assumed,
}

/// <summary>Where a figure comes from and how good it is.</summary>
/// <param name="Sources">Ids of the sources, at least one.</param>
/// <param name="Where">Place in the source, or how it was derived.</param>
/// <param name="Known">How it is known.</param>
/// <param name="Grade">A: several studies agree. B: one good study, or several that disagree. C: derived, by analogy or judgement. D: no source for this material at all.</param>
/// <param name="Why">Why the grade is no better; always there for C and D.</param>
public sealed record FigureOrigin(IReadOnlyList<string> Sources, string Where, FigureKnown Known, string Grade, string? Why);

/// <summary>A figure of a material with its spread and its origin.</summary>
public sealed record Figure
{
    /// <summary>Standard deviations from the middle to the ends of <see cref="Range"/>: it is read as the middle 95 %.</summary>
    public const double RangeEndZ = 1.959963984540054;

    /// <summary>What it is; the numbers below are in its <see cref="Quantity.HeldUnit"/>.</summary>
    public required Quantity Quantity { get; init; }

    /// <summary>The value; the median of what is thought possible.</summary>
    public required double Value { get; init; }

    /// <summary>Geometric standard deviation, at least 1 [-]; null when the spread is given as a range, or not at all.</summary>
    public double? Gsd { get; init; }

    /// <summary>The middle 95 % of what is thought possible; null when the spread is given otherwise, or not at all.</summary>
    public (double Low, double High)? Range { get; init; }

    /// <summary>Nozzle temperature it belongs to [degC]; null when it belongs to none.</summary>
    public double? AtC { get; init; }

    /// <summary>True nozzle temperatures it holds for [degC]; null for all.</summary>
    public (double Low, double High)? ValidC { get; init; }

    /// <summary>Where it comes from.</summary>
    public required FigureOrigin Origin { get; init; }

    /// <summary>The value at a number of standard deviations from the middle.</summary>
    /// <param name="z">Standard normal deviate [-]; 0 gives exactly <see cref="Value"/>.</param>
    /// <returns>
    /// Lognormal for <see cref="Gsd"/>. For <see cref="Range"/> normal on each side of the value, with its own deviation, such that the ends
    /// lie at 2.5 % and 97.5 %; not below 0 when the range is not. A <see cref="Quantity.Share"/> whose range lies within 0 to 1 never leaves it.
    /// </returns>
    public double At(double z)
    {
        if (Gsd is { } gsd)
        {
            return Value * Math.Exp(z * Math.Log(gsd));
        }

        if (Range is not { } range)
        {
            return Value;
        }

        var value = Value + z * DeviationBelowOrAbove(z, range);
        if (range.Low >= 0)
        {
            value = Math.Max(0, value);
        }

        return Quantity == Quantity.Share && range.High <= 1 ? Math.Min(1, value) : value;
    }

    /// <summary>The number of standard deviations at which <see cref="At"/> gives a value: its inverse.</summary>
    /// <param name="value">A value that is not held at 0 or 1.</param>
    /// <returns>Infinite where the figure never comes to the value; positive infinity too for an exact figure at or above its value.</returns>
    public double ZOf(double value)
    {
        if (double.IsNaN(value))
        {
            return double.NaN;
        }

        if (Gsd is > 1 and var gsd)
        {
            return value > 0 ? Math.Log(value / Value) / Math.Log(gsd) : double.NegativeInfinity;
        }

        var off = value - Value;
        if (Range is { } range && DeviationBelowOrAbove(off, range) is > 0 and var deviation)
        {
            return value <= 0 && range.Low >= 0 ? double.NegativeInfinity : off / deviation;
        }

        return off < 0 ? double.NegativeInfinity : double.PositiveInfinity;
    }

    /// <summary>Standard deviation of the logarithm; for a range, half the way from one deviation below the value to one above; 0 for an exact figure [-].</summary>
    public double LogDeviation => Gsd is { } gsd ? Math.Log(gsd)
        : Range is null ? 0
        : At(-1) > 0 ? Math.Log(At(1) / At(-1)) / 2
        : Math.Log(At(1) / Value);

    private double DeviationBelowOrAbove(double z, (double Low, double High) range) =>
        (z < 0 ? Value - range.Low : range.High - Value) / RangeEndZ;
}
