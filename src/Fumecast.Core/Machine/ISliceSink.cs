// SPDX-License-Identifier: MIT
using Fumecast.Flow;

namespace Fumecast.Machine;

/// <summary>Receives what the simulated printer does, in the order of time.</summary>
internal interface ISliceSink
{
    /// <summary>Takes a slice; slices of the active tool are contiguous and never cross a bin's edge.</summary>
    /// <param name="slice">The slice; valid during the call only.</param>
    void Slice(ref readonly PrintSlice slice);

    /// <summary>Says that a bin of the series has ended.</summary>
    /// <param name="startS">Start of the bin [s].</param>
    /// <param name="durationS">Length; the last one may be shorter [s].</param>
    void BinClosed(double startS, double durationS);
}
