// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>Whitens a log whose background walks at random while its errors hang together; what is sought in it goes through the same filter.</summary>
/// <remarks>A Kalman filter of two states, background and error. The first row sets the background and says nothing. Source: trial methods, 8.</remarks>
internal sealed class WalkingBackground
{
    private const double Unknown = 1e6, StillUnknown = 1e5, LeastRounding = 1e-9;

    private readonly double[] _deviation, _backgroundGain, _errorGain, _keep, _rootInverse;

    /// <summary>Sum of the logarithms of the variances of the innovations that count.</summary>
    public double LogDeterminant { get; }

    /// <summary>A filter for one log.</summary>
    /// <param name="records">The log; rows left out are gaps.</param>
    /// <param name="deviations">Standard deviation of each reading [unit of the readings]; kept.</param>
    /// <param name="memoryH">Time constant with which errors forget each other [h].</param>
    /// <param name="walkPerRootH">How far the background walks: standard deviation after one hour [unit of the readings].</param>
    public WalkingBackground(RunRecords records, double[] deviations, double memoryH, double walkPerRootH)
    {
        var rows = deviations.Length;
        (_deviation, _backgroundGain, _errorGain, _keep, _rootInverse) = (deviations, new double[rows], new double[rows], new double[rows], new double[rows]);
        var rounding = records.DisplayStep * records.DisplayStep / 12 + LeastRounding;
        var (background, both, error) = (Unknown, 0.0, 1.0);
        for (var i = 0; i < rows; i++)
        {
            if (i > 0)
            {
                var hours = records.StartsH[i] - records.StartsH[i - 1];
                var keep = _keep[i] = Math.Exp(-hours / memoryH);
                background += walkPerRootH * walkPerRootH * hours;
                both *= keep;
                error = keep * keep * error + 1 - keep * keep;
            }

            var deviation = deviations[i];
            var toBackground = background + deviation * both;
            var toError = both + deviation * error;
            var innovation = toBackground + deviation * toError + rounding;
            (_backgroundGain[i], _errorGain[i]) = (toBackground / innovation, toError / innovation);
            _rootInverse[i] = innovation >= StillUnknown ? 0 : 1 / Math.Sqrt(innovation);
            LogDeterminant += innovation >= StillUnknown ? 0 : Math.Log(innovation);
            background -= _backgroundGain[i] * toBackground;
            both -= _backgroundGain[i] * toError;
            error -= _errorGain[i] * toError;
        }
    }

    /// <summary>Number of rows.</summary>
    public int Rows => _keep.Length;

    /// <summary>Whitens one column.</summary>
    /// <param name="column">A value for each row.</param>
    public double[] Of(ReadOnlySpan<double> column) => Of(column, 0, column.Length);

    /// <summary>Whitens one column that is 0 before a row, as far as another; later rows are left 0.</summary>
    /// <param name="column">A value for each row.</param>
    /// <param name="from">First row that may differ from 0.</param>
    /// <param name="to">One past the last row asked for.</param>
    public double[] Of(ReadOnlySpan<double> column, int from, int to)
    {
        var white = new double[_keep.Length];
        var (background, error) = (0.0, 0.0);
        for (var i = from; i < to; i++)
        {
            error *= _keep[i];
            var innovation = column[i] - background - _deviation[i] * error;
            background += _backgroundGain[i] * innovation;
            error += _errorGain[i] * innovation;
            white[i] = innovation * _rootInverse[i];
        }

        return white;
    }
}
