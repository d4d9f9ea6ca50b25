// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>The strongest rhythm of a flow, usually that of the layers.</summary>
/// <param name="PeriodS">Period, to a cell of the series [s].</param>
/// <param name="Strength">Share of the variance that repeats from one period to the next, 0 to 1 [-].</param>
internal readonly record struct FlowRhythm(double PeriodS, double Strength)
{
    /// <summary>Autocorrelation below which a peak is no rhythm [-]; a choice of ours: less than a third of the variance repeats.</summary>
    public const double LeastCorrelation = 0.3;

    /// <summary>Coefficient of variation below which there is nothing to look for [-]; a choice of ours.</summary>
    public const double LeastCv = 0.01;

    /// <summary>Looks for the rhythm: the largest peak of the autocorrelation after its first zero crossing.</summary>
    /// <param name="flowsMm3PerS">Means over cells [mm3/s].</param>
    /// <param name="cellS">Length of a cell [s]. Rhythms shorter than two cells cannot be seen.</param>
    /// <returns>
    /// The rhythm; null with fewer than 3 cells, hardly any unevenness, or when no peak reaches <see cref="LeastCorrelation"/> and
    /// three times 1/sqrt(n), what chance alone seldom exceeds. Two whole periods must fit.
    /// </returns>
    public static FlowRhythm? Find(double[] flowsMm3PerS, double cellS)
    {
        var n = flowsMm3PerS.Length;
        if (n < 3)
        {
            return null;
        }

        var mean = flowsMm3PerS.Average();
        var variance = flowsMm3PerS.Sum(flow => (flow - mean) * (flow - mean)) / n;
        if (!(mean > 0) || Math.Sqrt(variance) < LeastCv * mean)
        {
            return null;
        }

        var correlation = Autocorrelation(flowsMm3PerS, mean);
        var crossing = Array.FindIndex(correlation, r => r <= 0);
        var least = Math.Max(LeastCorrelation, 3 / Math.Sqrt(n));
        var (best, peak) = (0, double.NegativeInfinity);
        for (var k = Math.Max(crossing, 1); crossing >= 0 && k <= n / 2 && k + 1 < n; k++)
        {
            if (correlation[k] >= correlation[k - 1] && correlation[k] >= correlation[k + 1] && correlation[k] > peak)
            {
                (best, peak) = (k, correlation[k]);
            }
        }

        // The sum at lag k has n - k terms only: scaled up, a perfect rhythm has strength 1.
        return peak >= least ? new(best * cellS, Math.Min(1, peak * n / (n - best))) : null;
    }

    /// <summary>r(k) = sum of (q_i - mean)(q_{i+k} - mean) over the sum of squares, the biased form, by Fourier transform.</summary>
    /// <param name="values">The values; not all equal.</param>
    /// <param name="mean">Their mean.</param>
    /// <returns>r for k from 0 to one more than half the number of values [-], or to the last value if that is less.</returns>
    internal static double[] Autocorrelation(double[] values, double mean)
    {
        var correlation = LagSums.Of(values, mean, Math.Min(values.Length, values.Length / 2 + 2));
        var squares = correlation[0];
        for (var k = 0; k < correlation.Length; k++)
        {
            correlation[k] /= squares;
        }

        return correlation;
    }
}
