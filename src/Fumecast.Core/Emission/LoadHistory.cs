// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Fumecast.Emission;

/// <summary>Moments of a job that are alike for the particle rate: the nozzle's age, its temperature and the mass rate are nearly the same.</summary>
internal struct LoadCell
{
    /// <summary>Stretch of the nozzle's age, from 0 [-].</summary>
    public int Stretch;

    /// <summary>Time with deposit [s].</summary>
    public double PrintingS;

    /// <summary>Time without deposit, after the first one [s].</summary>
    public double IdleS;

    /// <summary>Time before the first deposit [s].</summary>
    public double WarmS;

    /// <summary>Deposited mass [g].</summary>
    public double MassG;

    /// <summary>Time times temperature [s degC].</summary>
    public double TimeTimesC;

    public readonly double TimeS => PrintingS + IdleS + WarmS;
}

/// <summary>Which particle rates a job went through, so that a cap on the rate of each moment can be put on every draw.</summary>
/// <remarks>
/// Totals of temperature alone would average the rate over moments of full and of no flow, and over the start dose; a draw near the cap would
/// then lose too little. Stretches of age grow by a tenth each, since the start dose fades with age; temperatures go by two kelvins, mass rates by
/// a sixth of an octave above the reference rate. Memory is bounded: beyond so many cells, a stretch is kept as one.
/// </remarks>
internal sealed class LoadHistory(double referenceGPerS)
{
    private const int KelvinsPerClass = 2;
    private const int TemperatureClasses = 304;
    private const int LoadClasses = 64;
    private const double ClassesPerOctave = 6;
    private const double FirstStretchS = 10;
    private const double Growth = 1.1;
    private const int MostCells = 4096;

    private readonly List<LoadCell> cells = [];
    private readonly short[] cellOf = new short[TemperatureClasses * LoadClasses];
    private int stretch;
    private int firstOfStretch;
    private double ageS;
    private double endOfStretchS = FirstStretchS;
    private double highestC = double.NegativeInfinity;
    private double highestGPerS;

    // The class of the moment before, and mass rates between which it is known to hold: a logarithm for every moment would be slow.
    private int load;
    private double loadFromGPerS = double.PositiveInfinity;
    private double loadToGPerS = double.NegativeInfinity;

    /// <summary>The cells in the order of age.</summary>
    public ReadOnlySpan<LoadCell> Cells => CollectionsMarshal.AsSpan(cells);

    /// <summary>Hottest moment [degC].</summary>
    public double HighestC => highestC;

    /// <summary>Highest mass rate of a moment [g/s].</summary>
    public double HighestGPerS => highestGPerS;

    /// <summary>Takes a moment of a nozzle that emits.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(double durationS, double extrudingS, double massG, double nozzleC, bool hasStarted)
    {
        var gPerS = massG / durationS;
        highestC = Math.Max(highestC, nozzleC);
        highestGPerS = Math.Max(highestGPerS, gPerS);
        if (!(gPerS >= loadFromGPerS && gPerS <= loadToGPerS))
        {
            Classify(gPerS);
        }

        var key = (int)Math.Clamp(nozzleC / KelvinsPerClass, 0, TemperatureClasses - 1) * LoadClasses + load;
        ref var cell = ref Cell(key);
        if (hasStarted)
        {
            cell.PrintingS += extrudingS;
            cell.IdleS += durationS - extrudingS;
        }
        else
        {
            cell.WarmS += durationS;
        }

        cell.MassG += massG;
        cell.TimeTimesC += durationS * nozzleC;
        ageS += durationS;
        if (ageS >= endOfStretchS)
        {
            stretch++;
            endOfStretchS = Math.Max(ageS + FirstStretchS, ageS * Growth);
            firstOfStretch = cells.Count;
        }
    }

    private void Classify(double gPerS)
    {
        var next = gPerS > 0 ? 1 + (int)Math.Min(LoadClasses - 2, ClassesPerOctave * Math.Log2(1 + gPerS / referenceGPerS)) : 0;
        if (next != load)
        {
            load = next;
            (loadFromGPerS, loadToGPerS) = (gPerS, gPerS);
            return;
        }

        loadFromGPerS = Math.Min(loadFromGPerS, gPerS);
        loadToGPerS = Math.Max(loadToGPerS, gPerS);
    }

    private ref LoadCell Cell(int key)
    {
        // A place in the table belongs to this stretch when it points behind the cells of the stretches before.
        ref var place = ref cellOf[key];
        if (place > firstOfStretch && place <= cells.Count && cells.Count > firstOfStretch)
        {
            return ref CollectionsMarshal.AsSpan(cells)[place - 1];
        }

        if (cells.Count < MostCells || cells.Count == firstOfStretch)
        {
            cells.Add(new LoadCell { Stretch = stretch });
        }

        place = (short)cells.Count;
        return ref CollectionsMarshal.AsSpan(cells)[^1];
    }
}
