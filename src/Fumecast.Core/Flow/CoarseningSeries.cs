// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Flow;

/// <summary>Deposits in cells of equal length, of bounded size: when it is full, neighbours merge in pairs and the cell doubles.</summary>
/// <remarks>Starts with cells of 1 s, so up to 9 hours keep their seconds. The sum over the cells stays the sum of the deposits.</remarks>
public sealed class CoarseningSeries
{
    private readonly int _capacity;
    private double[] _volumesMm3;

    /// <summary>Makes an empty series.</summary>
    /// <param name="capacity">Greatest number of cells [-], an even number of 2 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">The capacity is odd or below 2.</exception>
    public CoarseningSeries(int capacity = 32768)
    {
        if (capacity < 2 || capacity % 2 != 0)
        {
            throw new ArgumentOutOfRangeException(nameof(capacity), capacity, "expected an even number of 2 or more");
        }

        _capacity = capacity;
        _volumesMm3 = new double[Math.Min(capacity, 1024)];
    }

    /// <summary>Length of a cell: 1 s times a power of two [s].</summary>
    public double CellS { get; private set; } = 1;

    /// <summary>Cells up to the last one with a deposit [-].</summary>
    public int Count { get; private set; }

    /// <summary>Volume in each cell [mm3]; valid until the next <see cref="Add"/>.</summary>
    public ReadOnlySpan<double> VolumesMm3 => _volumesMm3.AsSpan(0, Count);

    /// <summary>Adds a deposit. Time without deposit needs no call; it counts once a later deposit follows.</summary>
    /// <param name="startS">Start since the beginning of the series [s], 0 or more.</param>
    /// <param name="durationS">Length [s], at most 1; the stretch must not cross a whole second.</param>
    /// <param name="volumeMm3">Volume [mm3]; 0 changes nothing.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(double startS, double durationS, double volumeMm3)
    {
        var middleS = Math.Max(0, startS + 0.5 * durationS);
        if (!(volumeMm3 > 0) || !double.IsFinite(middleS))
        {
            return;
        }

        while (middleS >= CellS * _capacity)
        {
            MergePairs();
        }

        var cell = (int)(middleS / CellS);
        if (cell >= _volumesMm3.Length)
        {
            Array.Resize(ref _volumesMm3, (int)Math.Min(_capacity, Math.Max(cell + 1L, 2L * _volumesMm3.Length)));
        }

        _volumesMm3[cell] += volumeMm3;
        Count = Math.Max(Count, cell + 1);
    }

    /// <summary>Mean flow in each whole cell up to a time; a last partial cell is left out.</summary>
    /// <param name="endS">End since the beginning of the series [s].</param>
    /// <returns>Flows [mm3/s].</returns>
    public double[] MeansMm3PerS(double endS)
    {
        var whole = (int)Math.Clamp(Math.Floor(endS / CellS + 1e-9), 0, _capacity);
        var means = new double[whole];
        for (var i = 0; i < Math.Min(whole, Count); i++)
        {
            means[i] = _volumesMm3[i] / CellS;
        }

        return means;
    }

    private void MergePairs()
    {
        var half = (Count + 1) / 2;
        for (var i = 0; i < half; i++)
        {
            var second = 2 * i + 1 < Count ? _volumesMm3[2 * i + 1] : 0;
            _volumesMm3[i] = _volumesMm3[2 * i] + second;
        }

        Array.Clear(_volumesMm3, half, Count - half);
        Count = half;
        CellS *= 2;
    }
}
