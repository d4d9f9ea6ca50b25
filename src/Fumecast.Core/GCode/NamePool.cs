// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Keeps one string per name, so that a command repeated a thousand times is named once.</summary>
internal sealed class NamePool
{
    private const int LongestKept = 64;
    private const int MostKept = 1024;

    private readonly Dictionary<string, string> _names = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string>.AlternateLookup<ReadOnlySpan<char>> _bySpan;

    internal NamePool() => _bySpan = _names.GetAlternateLookup<ReadOnlySpan<char>>();

    /// <summary>The ASCII name in upper case.</summary>
    internal string Upper(ReadOnlySpan<byte> ascii)
    {
        if (ascii.Length > LongestKept)
        {
            return ByteText.Decode(ascii).ToUpperInvariant();
        }

        Span<char> upper = stackalloc char[LongestKept];
        for (var i = 0; i < ascii.Length; i++)
        {
            upper[i] = (char)(ascii[i] is >= (byte)'a' and <= (byte)'z' ? ascii[i] - 32 : ascii[i]);
        }

        upper = upper[..ascii.Length];
        if (_bySpan.TryGetValue(upper, out var known))
        {
            return known;
        }

        var name = upper.ToString();
        if (_names.Count < MostKept)
        {
            _names[name] = name;
        }

        return name;
    }
}
