// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>Turns errors that hang together and are rounded by a display into independent ones of unit variance; what is fitted goes through the same filter.</summary>
/// <remarks>An autoregressive error of unit variance, times its deviation, seen through rounding noise of r^2/12: a Kalman filter of one state. Source: trial methods, 3.</remarks>
internal sealed class Whitening
{
    private readonly double[] _deviation, _gain, _keep, _rootInverse;

    /// <summary>Sum of the logarithms of the variances of the innovations.</summary>
    public double LogDeterminant { get; }

    /// <summary>A filter for one log.</summary>
    /// <param name="records">The log; rows left out are gaps, over which the memory fades.</param>
    /// <param name="noise">The noise.</param>
    /// <param name="printLevels">What the print adds in each record by the model.</param>
    public Whitening(RunRecords records, ReadingNoise noise, ReadOnlySpan<double> printLevels)
        : this(records.StartsH, noise.MemoryH, records.DisplayStep, Deviations(noise, printLevels))
    {
    }

    /// <summary>A filter by the deviation of each row.</summary>
    /// <param name="startsH">When each record begins, rising [h].</param>
    /// <param name="memoryH">Time constant of the memory [h].</param>
    /// <param name="displayStep">Step of the display [unit of the readings].</param>
    /// <param name="deviations">Standard deviation of each reading [same]; kept.</param>
    public Whitening(ReadOnlySpan<double> startsH, double memoryH, double displayStep, double[] deviations)
    {
        var rows = startsH.Length;
        (_deviation, _gain, _keep, _rootInverse) = (deviations, new double[rows], new double[rows], new double[rows]);
        var rounding = displayStep * displayStep / 12;
        var variance = 1.0;
        var logDeterminant = 0.0;
        for (var i = 0; i < rows; i++)
        {
            if (i > 0)
            {
                _keep[i] = Math.Exp(-(startsH[i] - startsH[i - 1]) / memoryH);
                variance = _keep[i] * _keep[i] * variance + 1 - _keep[i] * _keep[i];
            }

            var deviation = deviations[i];
            var innovation = deviation * deviation * variance + rounding;
            _gain[i] = variance * deviation / innovation;
            _rootInverse[i] = 1 / Math.Sqrt(innovation);
            variance -= _gain[i] * deviation * variance;
            logDeterminant += Math.Log(innovation);
        }

        LogDeterminant = logDeterminant;
    }

    /// <summary>Whitens one column: residuals, or what a parameter does to them.</summary>
    /// <param name="column">A value for each row.</param>
    /// <param name="white">Receives the whitened ones; may be the same memory.</param>
    public void Apply(ReadOnlySpan<double> column, Span<double> white)
    {
        var state = 0.0;
        for (var i = 0; i < _gain.Length; i++)
        {
            state *= _keep[i];
            var innovation = column[i] - _deviation[i] * state;
            white[i] = innovation * _rootInverse[i];
            state += _gain[i] * innovation;
        }
    }

    private static double[] Deviations(ReadingNoise noise, ReadOnlySpan<double> printLevels)
    {
        var deviations = new double[printLevels.Length];
        for (var i = 0; i < deviations.Length; i++)
        {
            deviations[i] = noise.Deviation(printLevels[i]);
        }

        return deviations;
    }
}
