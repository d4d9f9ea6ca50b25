// SPDX-License-Identifier: MIT
namespace Fumecast.Tests;

/// <summary>Comparison of numbers; relative, since an absolute tolerance hides in small numbers.</summary>
internal static class Close
{
    /// <summary>Asserts that a value agrees with the expected one to a relative tolerance of at most 25 %; 0 must be met exactly.</summary>
    public static void To(double expected, double actual, double relative)
    {
        if (relative is not (>= 0 and <= 0.25))
        {
            throw new ArgumentOutOfRangeException(nameof(relative), relative, "expected 0 to 0.25");
        }

        if (!(Math.Abs(actual - expected) <= relative * Math.Abs(expected)))
        {
            Assert.Fail(FormattableString.Invariant(
                $"expected {expected:R}, got {actual:R}: off by {(actual - expected) / expected:G3}, allowed {relative:G3}"));
        }
    }

    /// <summary>Asserts agreement to a number of printed significant digits: half a unit of the last one.</summary>
    public static void ToDigits(double printed, int digits, double actual)
    {
        var unit = Math.Pow(10, Math.Floor(Math.Log10(Math.Abs(printed))) + 1 - digits);
        To(printed, actual, 0.5000001 * unit / Math.Abs(printed));
    }
}
