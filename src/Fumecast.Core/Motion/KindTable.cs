// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Motion;

/// <summary>One value for each kind of move, looked up without a branch.</summary>
/// <param name="print">For moves that print or wipe.</param>
/// <param name="travel">For travel.</param>
/// <param name="filament">For moves of filament alone.</param>
internal struct KindTable(double print, double travel, double filament)
{
    private Values _values = Fill(print, travel, filament);

    public readonly double this[MoveKind kind] => _values[(int)kind & (Values.Size - 1)];

    private static Values Fill(double print, double travel, double filament)
    {
        Values values = default;
        values[(int)MoveKind.Print] = print;
        values[(int)MoveKind.Travel] = travel;
        values[(int)MoveKind.Retract] = filament;
        values[(int)MoveKind.Feed] = filament;
        values[(int)MoveKind.Wipe] = print;
        return values;
    }

    // A power of two, so that the index can be masked.
    [InlineArray(Size)]
    private struct Values
    {
        public const int Size = 8;

        private double _first;
    }
}
