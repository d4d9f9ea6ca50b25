// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Lengths, volumes and masses out of one claim, by tool.</summary>
internal sealed class FilamentAmounts
{
    /// <summary>Lengths [mm].</summary>
    internal List<double?> Mm { get; } = [];

    /// <summary>Volumes [mm3].</summary>
    internal List<double?> Mm3 { get; } = [];

    /// <summary>Masses [g].</summary>
    internal List<double?> G { get; } = [];

    /// <summary>Whether volumes in mm3, written so, are all that is stated.</summary>
    internal bool IsVolumeOnly { get; private set; }

    /// <summary>Reads values such as <c>1482.1mm, 34.4mm (3.6cm3)</c>, <c>2.584m 20.0g</c> or, for a key that holds the unit, <c>34.4, 0</c>.</summary>
    /// <param name="key">The key; it gives the unit of bare numbers, mm if it has none.</param>
    /// <param name="value">The value.</param>
    /// <remarks>A number in brackets repeats the one before in another unit; it counts only if it is of another kind (length, volume, mass).</remarks>
    internal static FilamentAmounts Read(ClaimKey key, ReadOnlySpan<byte> value)
    {
        var amounts = new FilamentAmounts();
        var isInBrackets = false;
        var saysMm3 = false;
        while (true)
        {
            value = value.TrimStart(" \t,;|)"u8);
            if (value.StartsWith("("u8))
            {
                isInBrackets = true;
                value = value[1..];
            }

            if (!ClaimText.TakeNumber(ref value, out var number))
            {
                break;
            }

            var unit = ClaimText.TakeUnit(ref value);
            saysMm3 |= unit.SequenceEqual("mm3"u8);
            if (!amounts.TargetOf(key, unit, out var target, out var scale))
            {
                break;
            }

            if (!isInBrackets || target.Count == 0)
            {
                target.Add(number > 0 ? number * scale : null);
            }
        }

        amounts.IsVolumeOnly = saysMm3 && amounts.Mm.Count == 0 && amounts.G.Count == 0;
        return amounts;
    }

    private bool TargetOf(ClaimKey key, ReadOnlySpan<byte> unit, out List<double?> target, out double scale)
    {
        (target, scale) = unit switch
        {
            [] => key switch
            {
                ClaimKey.FilamentM => (Mm, 1000),
                ClaimKey.FilamentMm3 or ClaimKey.FilamentVolumeMislabelled => (Mm3, 1),
                ClaimKey.FilamentCm3 => (Mm3, 1000),
                ClaimKey.FilamentG => (G, 1.0),
                _ => (Mm, 1),
            },
            [(byte)'m', (byte)'m'] => (Mm, 1),
            [(byte)'m'] => (Mm, 1000),
            [(byte)'m', (byte)'m', (byte)'3'] or [(byte)'m', (byte)'m', (byte)'^', (byte)'3'] => (Mm3, 1),
            [(byte)'c', (byte)'m', (byte)'3'] or [(byte)'c', (byte)'m', (byte)'^', (byte)'3'] or [(byte)'c', (byte)'c'] => (Mm3, 1000),
            [(byte)'g'] => (G, 1),
            _ => (null!, 0),
        };
        return target is not null;
    }
}
