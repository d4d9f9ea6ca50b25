// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Forecast;

/// <summary>Levels of one agent on a grid, zone by zone: at the edges, and their integral up to them.</summary>
/// <param name="cells">Number of cells.</param>
/// <param name="zones">Number of zones.</param>
internal sealed class GridLevels(int cells, int zones)
{
    private readonly double[] _perM3 = new double[(cells + 1) * zones];
    private readonly double[] _doseSPerM3 = new double[(cells + 1) * zones];

    /// <summary>Levels of a zone at the edges [unit of the agent for each m3].</summary>
    public Span<double> PerM3(int zone) => _perM3.AsSpan(zone * (cells + 1), cells + 1);

    /// <summary>Their integral from the beginning to the edges [unit of the agent s/m3].</summary>
    public Span<double> DoseSPerM3(int zone) => _doseSPerM3.AsSpan(zone * (cells + 1), cells + 1);

    /// <summary>Sets all to 0.</summary>
    public void Clear()
    {
        Array.Clear(_perM3);
        Array.Clear(_doseSPerM3);
    }

    /// <summary>Adds a multiple of others.</summary>
    public void Add(GridLevels other, double factor)
    {
        for (var i = 0; i < _perM3.Length; i++)
        {
            _perM3[i] += factor * other._perM3[i];
            _doseSPerM3[i] += factor * other._doseSPerM3[i];
        }
    }
}

/// <summary>The largest mean over any stretch of a length, on a grid: where either end of the stretch meets an edge.</summary>
/// <remarks>Within a cell the level counts as even. Outside of the run the air counts as clean.</remarks>
internal sealed class GridWindow
{
    private readonly double _lengthS;
    private readonly int[] _ahead;
    private readonly double[] _aheadPart;
    private readonly int[] _behind;
    private readonly double[] _behindPart;
    private readonly int _firstBehind;
    private readonly int _lastAhead;

    /// <summary>Looks up where stretches begin and end.</summary>
    /// <param name="grid">The grid.</param>
    /// <param name="lengthS">Length of the stretches [s], over 0.</param>
    public GridWindow(AirGrid grid, double lengthS)
    {
        _lengthS = lengthS;
        var times = grid.TimesS;
        (_ahead, _aheadPart, _behind, _behindPart) = (new int[times.Length], new double[times.Length], new int[times.Length], new double[times.Length]);
        for (var i = 0; i < times.Length; i++)
        {
            (_ahead[i], _aheadPart[i]) = Place(times[i] + lengthS);
            (_behind[i], _behindPart[i]) = Place(times[i] - lengthS);
        }

        // Stretches that begin before the run differ in their end alone, and those that end after it in their beginning: the last and the first of them hold the most.
        _firstBehind = Math.Max(0, Array.FindLastIndex(times, timeS => timeS <= lengthS));
        _lastAhead = Array.FindIndex(times, timeS => timeS + lengthS >= times[^1]);

        (int, double) Place(double timeS)
        {
            if (timeS <= 0)
            {
                return (0, 0);
            }

            if (timeS >= times[^1])
            {
                return (times.Length - 2, 1);
            }

            var cell = grid.CellOf(timeS);
            return (cell, (timeS - times[cell]) / (times[cell + 1] - times[cell]));
        }
    }

    /// <summary>The largest mean [unit of the level].</summary>
    /// <param name="dose">Integral of the level up to the edges.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public double Largest(ReadOnlySpan<double> dose)
    {
        var largest = 0.0;
        for (var i = 0; i <= _lastAhead; i++)
        {
            var a = _ahead[i];
            // A comparison, not Math.Max, which looks for what is no number: a sixth of what the air costs beside a job.
            var gain = dose[a] + _aheadPart[i] * (dose[a + 1] - dose[a]) - dose[i];
            largest = gain > largest ? gain : largest;
        }

        for (var i = _firstBehind; i < dose.Length; i++)
        {
            var b = _behind[i];
            var gain = dose[i] - dose[b] - _behindPart[i] * (dose[b + 1] - dose[b]);
            largest = gain > largest ? gain : largest;
        }

        return largest / _lengthS;
    }
}
