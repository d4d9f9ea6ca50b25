// SPDX-License-Identifier: MIT
namespace Fumecast.Air;

/// <summary>The largest mean over any stretch of a given length, from means over steps as they come. Before the first step and after the last the air counts as clean.</summary>
/// <remarks>
/// Between steps the moving mean is linear, so its largest value is where either end of the stretch meets the end of a step. Steps shorter than a 4096th of the stretch are
/// joined, which keeps the memory flat and can miss a maximum by no more than the share of the dose that falls into one such piece.
/// </remarks>
internal sealed class MovingMean
{
    private const int Pieces = 4096;

    private const int FirstPlaces = 64;

    // Time and dose at the ends of pieces, in a ring that grows: at most one more than fit into the stretch.
    private (double AtS, double Dose)[] _ring = new (double, double)[FirstPlaces];
    private readonly double _pieceS;
    private int _first;
    private int _count = 1;
    private double _openS;
    private double _lastS;
    private double _dose;

    /// <summary>Makes one for a length of averaging.</summary>
    /// <param name="lengthS">The averaging time [s], over 0.</param>
    public MovingMean(double lengthS)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(lengthS);
        LengthS = lengthS;
        _pieceS = lengthS / Pieces;
    }

    /// <summary>The averaging time [s].</summary>
    public double LengthS { get; }

    /// <summary>The largest mean so far, in the unit of what was added; 0 before anything was.</summary>
    public double Largest { get; private set; }

    /// <summary>When the stretch with the largest mean ends [s].</summary>
    public double LargestEndsS { get; private set; }

    /// <summary>Adds a step after the last.</summary>
    /// <param name="seconds">Its length [s], 0 or more.</param>
    /// <param name="mean">The mean over it, 0 or more.</param>
    public void Add(double seconds, double mean)
    {
        // A step longer than the stretch itself is cut, so that the ring need not care.
        var parts = Math.Ceiling(seconds / LengthS);
        for (var i = 0; i < parts; i++)
        {
            AddPart(seconds / parts, mean);
        }
    }

    private void AddPart(double seconds, double mean)
    {
        _lastS += seconds;
        _dose += seconds * mean;
        _openS += seconds;
        if (_openS < _pieceS)
        {
            Look(_lastS, _dose);
            return;
        }

        // Where the back of the stretch passes the end of a piece while the front is within this one.
        var (frontS, frontDose) = _ring[(_first + _count - 1) % _ring.Length];
        while (_count > 1 && _ring[(_first + 1) % _ring.Length].AtS + LengthS <= _lastS)
        {
            _first = (_first + 1) % _ring.Length;
            _count--;
            var (backS, backDose) = _ring[_first];
            var atS = backS + LengthS;
            if (atS >= frontS)
            {
                var front = frontDose + (_dose - frontDose) * ((atS - frontS) / (_lastS - frontS));
                Keep((front - backDose) / LengthS, atS);
            }
        }

        if (_count == _ring.Length)
        {
            Grow();
        }

        _ring[(_first + _count) % _ring.Length] = (_lastS, _dose);
        _count++;
        _openS = 0;
        Look(_lastS, _dose);
    }

    private void Grow()
    {
        var ring = new (double, double)[2 * _ring.Length];
        for (var i = 0; i < _count; i++)
        {
            ring[i] = _ring[(_first + i) % _ring.Length];
        }

        (_ring, _first) = (ring, 0);
    }

    private void Look(double atS, double frontDose)
    {
        var backS = atS - LengthS;
        if (backS <= 0)
        {
            Keep(frontDose / LengthS, atS);
            return;
        }

        var (fromS, from) = _ring[_first];
        var index = 0;
        while (index + 1 < _count && _ring[(_first + index + 1) % _ring.Length].AtS <= backS)
        {
            index++;
            (fromS, from) = _ring[(_first + index) % _ring.Length];
        }

        var (untilS, until) = index + 1 < _count ? _ring[(_first + index + 1) % _ring.Length] : (atS, frontDose);
        Keep((frontDose - (from + (until - from) * ((backS - fromS) / (untilS - fromS)))) / LengthS, atS);
    }

    private void Keep(double mean, double endsS)
    {
        if (mean > Largest)
        {
            (Largest, LargestEndsS) = (mean, endsS);
        }
    }
}
