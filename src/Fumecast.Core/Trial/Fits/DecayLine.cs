// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Trial;

/// <summary>A straight line through the logarithms of a falling level, with a free intercept.</summary>
/// <param name="LossPerH">Loss rate: the falling slope [1/h].</param>
/// <param name="Error">Its standard error, the memory of the errors counted [1/h].</param>
/// <param name="PlainError">Its standard error as if the errors were independent [1/h].</param>
/// <param name="LogLevelAtStart">Logarithm of the level at time 0.</param>
/// <param name="Rows">Readings on the line.</param>
/// <param name="IndependentRows">How many of them count.</param>
/// <remarks>Source: air reference, 4.1 and 8.4.</remarks>
internal readonly record struct DecayLine(double LossPerH, double Error, double PlainError, double LogLevelAtStart, int Rows, double IndependentRows)
{
    /// <summary>The line through readings.</summary>
    /// <param name="timesH">When each was read [h].</param>
    /// <param name="netLevels">Levels over the background, all over 0.</param>
    public static DecayLine Through(ReadOnlySpan<double> timesH, ReadOnlySpan<double> netLevels)
    {
        var count = timesH.Length;
        var (meanTime, meanLog) = (0.0, 0.0);
        var logs = new double[count];
        for (var i = 0; i < count; i++)
        {
            logs[i] = Math.Log(netLevels[i]);
            meanTime += timesH[i] / count;
            meanLog += logs[i] / count;
        }

        var (square, product) = (0.0, 0.0);
        for (var i = 0; i < count; i++)
        {
            square += (timesH[i] - meanTime) * (timesH[i] - meanTime);
            product += (timesH[i] - meanTime) * (logs[i] - meanLog);
        }

        var slope = product / square;
        var rest = new double[count];
        var sum = 0.0;
        for (var i = 0; i < count; i++)
        {
            rest[i] = logs[i] - meanLog - slope * (timesH[i] - meanTime);
            sum += rest[i] * rest[i];
        }

        var neighbour = 0.0;
        for (var i = 1; i < count; i++)
        {
            neighbour += rest[i] * rest[i - 1];
        }

        var memory = sum > 0 ? Math.Clamp(neighbour / sum, 0, 0.99) : 0;
        var plain = count > 2 ? Math.Sqrt(sum / (count - 2) / square) : double.PositiveInfinity;
        return new(-slope, plain * Math.Sqrt((1 + memory) / (1 - memory)), plain, meanLog - slope * meanTime, count, count * (1 - memory) / (1 + memory));
    }

    /// <summary>The loss rate with its interval.</summary>
    /// <param name="interval">Coverage [-].</param>
    /// <param name="counted">Whether the memory of the errors counts.</param>
    public FittedValue Interval(double interval, bool counted = true)
    {
        var t = StudentT.InvCDF(0, 1, Math.Max(1, (counted ? IndependentRows : Rows) - 2), (1 + interval) / 2);
        var half = t * (counted ? Error : PlainError);
        return new(LossPerH, LossPerH - half, LossPerH + half);
    }
}
