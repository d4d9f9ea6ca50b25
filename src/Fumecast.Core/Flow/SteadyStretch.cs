// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>The longest time in a row during which a flow stays within a band; exact for pieces that are linear in time.</summary>
/// <remarks>Pieces come in the order of time, without gaps. Source: gcode reference, Q4.</remarks>
/// <param name="lowMm3PerS">Lower end of the band, included [mm3/s].</param>
/// <param name="highMm3PerS">Upper end of the band, included [mm3/s].</param>
internal struct SteadyStretch(double lowMm3PerS, double highMm3PerS)
{
    private double _runS;
    private double _clockS;

    /// <summary>The longest stretch so far [s].</summary>
    public double LongestS { get; private set; }

    /// <summary>End of the longest stretch, since the first piece [s].</summary>
    public double EndS { get; private set; }

    /// <summary>Adds a piece.</summary>
    /// <param name="fromMm3PerS">Flow at its start [mm3/s].</param>
    /// <param name="toMm3PerS">Flow at its end [mm3/s].</param>
    /// <param name="seconds">Length [s], over 0.</param>
    public void Add(double fromMm3PerS, double toMm3PerS, double seconds)
    {
        var change = toMm3PerS - fromMm3PerS;
        var startS = _clockS;
        _clockS += seconds;

        // Shares of the piece at which the flow enters and leaves the band; it crosses each end at most once.
        var (enter, leave) = change == 0
            ? fromMm3PerS >= lowMm3PerS && fromMm3PerS <= highMm3PerS ? (0.0, 1.0) : (1.0, 0.0)
            : Order((lowMm3PerS - fromMm3PerS) / change, (highMm3PerS - fromMm3PerS) / change);
        if (!(Math.Max(enter, 0) < Math.Min(leave, 1)))
        {
            _runS = 0;
            return;
        }

        if (enter > 0)
        {
            _runS = 0;
        }

        _runS += (Math.Min(leave, 1) - Math.Max(enter, 0)) * seconds;
        if (_runS > LongestS)
        {
            LongestS = _runS;
            EndS = startS + Math.Min(leave, 1) * seconds;
        }

        if (leave < 1)
        {
            _runS = 0;
        }
    }

    private static (double, double) Order(double a, double b) => a < b ? (a, b) : (b, a);
}
