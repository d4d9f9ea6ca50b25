// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Machine;

/// <summary>Where slices have to end: at whole seconds from an origin, and at the edges of the bins.</summary>
/// <param name="binS">Length of a bin [s], over 0.</param>
internal struct SliceGrid(double binS)
{
    private const double SliceS = 1;

    private double _origin;
    private long _second;
    private long _bin;

    /// <summary>The next edge behind the time given last [s].</summary>
    public double NextEdgeS { get; private set; } = Math.Min(SliceS, binS);

    /// <summary>Length of a bin [s].</summary>
    public readonly double BinS => binS;

    /// <summary>Start of the running bin [s].</summary>
    public readonly double BinStartS => _bin * binS;

    /// <summary>Counts the seconds from now on; <see cref="Advance"/> comes next.</summary>
    /// <param name="nowS">The time [s].</param>
    public void StartCounting(double nowS) => (_origin, _second) = (nowS, 0);

    /// <summary>Comes to a time.</summary>
    /// <param name="nowS">The time [s]; never before that of the call before.</param>
    /// <returns>Whether the running bin ended with it.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public bool Advance(double nowS)
    {
        var endsBin = nowS >= (_bin + 1) * binS;
        if (endsBin)
        {
            _bin++;
        }

        // Counted, not added up: no drift over a million seconds.
        while (_origin + ((_second + 1) * SliceS) <= nowS)
        {
            _second++;
        }

        NextEdgeS = Math.Min(_origin + ((_second + 1) * SliceS), (_bin + 1) * binS);
        return endsBin;
    }
}
