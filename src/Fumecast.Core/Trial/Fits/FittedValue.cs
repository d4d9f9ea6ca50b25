// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>A value that a fit gives, with the ends of its interval.</summary>
/// <param name="Value">Where the fit is best.</param>
/// <param name="Low">Lower end; negative infinity where the log sets none.</param>
/// <param name="High">Upper end; positive infinity where the log sets none.</param>
public readonly record struct FittedValue(double Value, double Low, double High)
{
    /// <summary>Whether the log bounds the value on both sides.</summary>
    public bool IsBounded => double.IsFinite(Low) && double.IsFinite(High);

    /// <summary>The value in another unit.</summary>
    /// <param name="factor">The factor, over 0.</param>
    public FittedValue Times(double factor) => new(Value * factor, Low * factor, High * factor);
}
