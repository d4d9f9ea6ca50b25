// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Trial;

/// <summary>The mean of a stretch of readings that hang together, and how well it is known.</summary>
/// <remarks>Source: air reference, 8.4.</remarks>
internal static class StretchMean
{
    /// <summary>Correlation of readings a number of rows apart, with the sum of squares of all below the line.</summary>
    public static double Correlation(ReadOnlySpan<double> values, int lag)
    {
        var (mean, product, square) = (Mean(values), 0.0, 0.0);
        for (var i = 0; i < values.Length; i++)
        {
            square += (values[i] - mean) * (values[i] - mean);
            product += i >= lag ? (values[i] - mean) * (values[i - lag] - mean) : 0;
        }

        return square > 0 ? product / square : 0;
    }

    /// <summary>Independent readings among neighbours that are correlated: n (1 - r) / (1 + r).</summary>
    public static double Independent(int count, double neighbour) => count * (1 - neighbour) / (1 + neighbour);

    /// <summary>The same without the approximation for long series.</summary>
    public static double IndependentExactly(int count, double neighbour)
    {
        var (sum, power) = (0.0, 1.0);
        for (var lag = 1; lag < count; lag++)
        {
            power *= neighbour;
            sum += (1 - (double)lag / count) * power;
        }

        return count / (1 + 2 * sum);
    }

    /// <summary>Variance of the mean of a run whose errors fade exponentially.</summary>
    /// <param name="deviation">Standard deviation of a reading.</param>
    /// <param name="memory">Time constant of the errors [any unit].</param>
    /// <param name="length">Length of the run [same unit].</param>
    public static double Variance(double deviation, double memory, double length) =>
        2 * deviation * deviation * memory / length * (1 - memory / length * (1 - Math.Exp(-length / memory)));

    /// <summary>Standard error of the mean by the means of batches of readings.</summary>
    /// <param name="values">The readings; those that fill no batch at the end are left out.</param>
    /// <param name="batch">Readings in a batch.</param>
    /// <param name="interval">Coverage of the interval [-].</param>
    public static (double Mean, double Error, double Low, double High) ByBatches(ReadOnlySpan<double> values, int batch, double interval)
    {
        var means = new double[values.Length / batch];
        for (var i = 0; i < means.Length; i++)
        {
            means[i] = Mean(values.Slice(i * batch, batch));
        }

        var (mean, sum) = (Mean(means), 0.0);
        foreach (var one in means)
        {
            sum += (one - mean) * (one - mean);
        }

        var error = Math.Sqrt(sum / (means.Length - 1) / means.Length);
        var t = StudentT.InvCDF(0, 1, means.Length - 1, (1 + interval) / 2);
        return (mean, error, mean - t * error, mean + t * error);
    }

    /// <summary>Standard error of the mean by covariances that fade to a lag (Bartlett's weights).</summary>
    public static double ErrorByCovariances(ReadOnlySpan<double> values, int lags)
    {
        var (mean, all) = (Mean(values), 0.0);
        for (var lag = 0; lag <= lags; lag++)
        {
            var sum = 0.0;
            for (var i = lag; i < values.Length; i++)
            {
                sum += (values[i] - mean) * (values[i - lag] - mean);
            }

            all += sum / values.Length * (lag == 0 ? 1 : 2 * (1 - lag / (lags + 1.0)));
        }

        return Math.Sqrt(all / values.Length);
    }

    private static double Mean(ReadOnlySpan<double> values)
    {
        var sum = 0.0;
        foreach (var one in values)
        {
            sum += one;
        }

        return sum / values.Length;
    }
}
