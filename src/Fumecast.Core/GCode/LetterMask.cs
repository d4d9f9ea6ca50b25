// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Sets of letters as bits, bit 0 for A.</summary>
internal static class LetterMask
{
    /// <summary>Letters that move something in G0 to G3, or say how.</summary>
    internal static readonly uint Motion = Of("ABCDEFIJKRUVWXYZ");

    private static readonly uint Axes = Of("ABCEUVWXYZ");

    /// <summary>Whether letters side by side are axes, each once: <c>G28 XY</c>.</summary>
    internal static bool AreAxes(ReadOnlySpan<byte> letters)
    {
        uint seen = 0;
        foreach (var letter in letters)
        {
            var bit = letter == (byte)'_' ? 0 : 1u << ((letter & 0xDF) - 'A');
            if ((bit & Axes) == 0 || (seen & bit) != 0)
            {
                return false;
            }

            seen |= bit;
        }

        return true;
    }

    private static uint Of(string letters)
    {
        uint mask = 0;
        foreach (var letter in letters)
        {
            mask |= 1u << (letter - 'A');
        }

        return mask;
    }
}
