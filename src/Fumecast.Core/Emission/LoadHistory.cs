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
/// then lose too little. Stretches go by the age of the residue and not by the clock, since that is how the start dose fades, and grow by a tenth each; temperatures go by two kelvins, mass rates by
/// a sixth of an octave above the reference rate. Memory is bounded: beyond so many cells, a stretch is kept as one.
/// </remarks>
internal sealed class LoadHistory(double referenceGPerS)
{
    private const int KelvinsPerClass = 2;
    private const int TemperatureClasses = 304;
    private const int LoadClasses = 64;
    private const double ClassesPerOctave = 6;
    private const double FirstStretch = 0.02;
    private const double Growth = 1.1;
    private const int MostCells = 4096;

    private readonly List<LoadCell> _cells = [];
    private readonly short[] _cellOf = new short[TemperatureClasses * LoadClasses];
    private int _stretch;
    private int _firstOfStretch;
    private double _endOfStretch = FirstStretch;
    private double _highestC = double.NegativeInfinity;
    private double _highestGPerS;

    // The class of the moment before, and mass rates between which it is known to hold: a logarithm for every moment would be slow.
    private int _load;
    private double _loadFromGPerS = double.PositiveInfinity;
    private double _loadToGPerS = double.NegativeInfinity;

    /// <summary>The cells in the order of age.</summary>
    public ReadOnlySpan<LoadCell> Cells => CollectionsMarshal.AsSpan(_cells);

    /// <summary>Hottest moment [degC].</summary>
    public double HighestC => _highestC;

    /// <summary>Highest mass rate of a moment [g/s].</summary>
    public double HighestGPerS => _highestGPerS;

    /// <summary>Takes a moment of a nozzle that emits; <c>doseAge</c> is the age of the residue in it at the end, at the middle of all figures [-].</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(double durationS, double extrudingS, double massG, double nozzleC, bool hasStarted, double doseAge)
    {
        var gPerS = massG / durationS;
        _highestC = Math.Max(_highestC, nozzleC);
        _highestGPerS = Math.Max(_highestGPerS, gPerS);
        if (!(gPerS >= _loadFromGPerS && gPerS <= _loadToGPerS))
        {
            Classify(gPerS);
        }

        var key = (int)Math.Clamp(nozzleC / KelvinsPerClass, 0, TemperatureClasses - 1) * LoadClasses + _load;
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
        if (doseAge >= _endOfStretch)
        {
            _stretch++;
            _endOfStretch = Math.Max(doseAge + FirstStretch, doseAge * Growth);
            _firstOfStretch = _cells.Count;
        }
    }

    private void Classify(double gPerS)
    {
        var next = gPerS > 0 ? 1 + (int)Math.Min(LoadClasses - 2, ClassesPerOctave * Math.Log2(1 + gPerS / referenceGPerS)) : 0;
        if (next != _load)
        {
            _load = next;
            (_loadFromGPerS, _loadToGPerS) = (gPerS, gPerS);
            return;
        }

        _loadFromGPerS = Math.Min(_loadFromGPerS, gPerS);
        _loadToGPerS = Math.Max(_loadToGPerS, gPerS);
    }

    private ref LoadCell Cell(int key)
    {
        // A place in the table belongs to this stretch when it points behind the cells of the stretches before.
        ref var place = ref _cellOf[key];
        if (place > _firstOfStretch && place <= _cells.Count && _cells.Count > _firstOfStretch)
        {
            return ref CollectionsMarshal.AsSpan(_cells)[place - 1];
        }

        if (_cells.Count < MostCells || _cells.Count == _firstOfStretch)
        {
            _cells.Add(new LoadCell { Stretch = _stretch });
        }

        place = (short)_cells.Count;
        return ref CollectionsMarshal.AsSpan(_cells)[^1];
    }
}
