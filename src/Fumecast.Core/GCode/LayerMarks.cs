// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Counts the marks of a new layer; a file that marks each layer in two ways is counted by the way seen first.</summary>
internal sealed class LayerMarks
{
    private ClaimKey _style;
    private bool _isByCommand;
    private double _lastObjectZ = double.NaN;
    private double _lastNumber = double.NaN;

    /// <summary>Marks so far [-].</summary>
    internal int Count { get; private set; }

    /// <summary>Reads a mark in a comment.</summary>
    /// <param name="key">Its spelling.</param>
    /// <param name="rest">What stands behind the spelling.</param>
    internal void Read(ClaimKey key, ReadOnlySpan<byte> rest)
    {
        if (_isByCommand || (_style != ClaimKey.None && _style != key) || !IsMark(key, rest))
        {
            return;
        }

        _style = key;
        Count++;
    }

    /// <summary>Reads the layer number of a progress command.</summary>
    internal void ReadNumber(double number)
    {
        if (_style == ClaimKey.None && number != _lastNumber)
        {
            _isByCommand = true;
            _lastNumber = number;
            Count++;
        }
    }

    private bool IsMark(ClaimKey key, ReadOnlySpan<byte> rest)
    {
        switch (key)
        {
            // "LAYER:0", "layer 1, Z = 0.480", "LAYER 0.35": a number must follow, and no other words do.
            case ClaimKey.LayerNumbered or ClaimKey.LayerSlice or ClaimKey.LayerOfTotal:
                return ClaimText.TakeNumber(ref rest, out _);
            case ClaimKey.LayerChange or ClaimKey.ChangeLayer:
                return rest.Trim(" \t"u8).IsEmpty;
            case ClaimKey.LayerObject:
                // Each object of a layer has one; only a new height is a new layer.
                var at = rest.IndexOf("z="u8);
                rest = at < 0 ? default : rest[(at + 2)..];
                var isNew = ClaimText.TakeNumber(ref rest, out var z) && z != _lastObjectZ;
                _lastObjectZ = z;
                return isNew;
            default:
                return true;
        }
    }
}
