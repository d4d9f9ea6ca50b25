// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>A stretch of a series: means over it, and the range of the bins within.</summary>
internal struct SeriesPoint
{
    public double StartS;
    public double EndS;
    public double FlowMm3PerS;
    public double FlowLow;
    public double FlowHigh;
    public double NozzleC;

    /// <summary>Rate of the first agent shown [unit/min].</summary>
    public Uncertain First;

    /// <summary>Rate of the second agent shown [unit/min].</summary>
    public Uncertain Second;

    /// <summary>Middle of the stretch [s].</summary>
    public readonly double MiddleS => 0.5 * (StartS + EndS);

    /// <summary>Joins this stretch with the one that follows it.</summary>
    public void Join(in SeriesPoint next)
    {
        var own = EndS - StartS;
        var other = next.EndS - next.StartS;
        var share = other / (own + other);
        FlowMm3PerS = Mix(FlowMm3PerS, next.FlowMm3PerS, share);
        NozzleC = Mix(NozzleC, next.NozzleC, share);
        First = Mix(First, next.First, share);
        Second = Mix(Second, next.Second, share);
        FlowLow = Math.Min(FlowLow, next.FlowLow);
        FlowHigh = Math.Max(FlowHigh, next.FlowHigh);
        EndS = next.EndS;
    }

    private static double Mix(double a, double b, double share) => a + (share * (b - a));

    private static Uncertain Mix(Uncertain a, Uncertain b, double share) =>
        new(Mix(a.Low, b.Low, share), Mix(a.Median, b.Median, share), Mix(a.High, b.High, share));
}

/// <summary>Keeps a series of any length in bounded memory: when it is full, neighbours are joined in pairs.</summary>
/// <param name="capacity">Most stretches that are kept [-], even.</param>
internal sealed class SeriesBuffer(int capacity)
{
    private readonly SeriesPoint[] _points = new SeriesPoint[capacity];
    private int _count;
    private long _perPoint = 1;
    private long _inLast;

    /// <summary>End of the last bin with flow, or 0 [s].</summary>
    public double LastFlowS { get; private set; }

    /// <summary>Start of the first bin with flow, or null [s].</summary>
    public double? FirstFlowS { get; private set; }

    /// <summary>The stretches in the order of time.</summary>
    public ReadOnlySpan<SeriesPoint> Points => _points.AsSpan(0, _count);

    /// <summary>Takes the next bin.</summary>
    public void Add(in SeriesPoint bin)
    {
        if (bin.FlowMm3PerS > 0)
        {
            FirstFlowS ??= bin.StartS;
            LastFlowS = bin.EndS;
        }

        if (_count > 0 && _inLast < _perPoint)
        {
            _points[_count - 1].Join(bin);
            _inLast++;
            return;
        }

        if (_count == capacity)
        {
            Halve();
        }

        _points[_count++] = bin;
        _inLast = 1;
    }

    /// <summary>The series in at most so many stretches.</summary>
    /// <param name="most">Most stretches wanted [-].</param>
    public SeriesPoint[] Reduced(int most)
    {
        var group = Math.Max(1, (_count + most - 1) / most);
        var reduced = new SeriesPoint[(_count + group - 1) / group];
        for (var i = 0; i < _count; i++)
        {
            if (i % group == 0)
            {
                reduced[i / group] = _points[i];
            }
            else
            {
                reduced[i / group].Join(_points[i]);
            }
        }

        return reduced;
    }

    private void Halve()
    {
        for (var i = 0; i < _count / 2; i++)
        {
            var joined = _points[2 * i];
            joined.Join(_points[(2 * i) + 1]);
            _points[i] = joined;
        }

        _count /= 2;
        _perPoint *= 2;
    }
}
