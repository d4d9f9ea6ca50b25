// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Machine;

/// <summary>Says that a series has too many bins to be written.</summary>
internal static class SeriesLength
{
    /// <summary>What is wrong, and what would help.</summary>
    /// <param name="mostRows">Most rows allowed [-].</param>
    /// <param name="binS">Length of a bin [s].</param>
    public static string TooLong(long mostRows, double binS) => string.Create(CultureInfo.InvariantCulture,
        $"the series would have over {mostRows} rows of {binS:0.###} s, since the job lasts over {mostRows * binS / 86400:0.#} days; check its pauses (G4), or give longer bins, such as --bin {Math.Min(86400, Math.Ceiling(binS * 40)):0}s");
}
