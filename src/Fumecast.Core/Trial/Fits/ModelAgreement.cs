// SPDX-License-Identifier: MIT
using MathNet.Numerics;
using MathNet.Numerics.Statistics;

namespace Fumecast.Trial;

/// <summary>How a model agrees with what was read.</summary>
/// <param name="Correlation">Pearson's r [-].</param>
/// <param name="Slope">Of the line of the model's values over the readings [-].</param>
/// <param name="Intercept">Of that line [unit of the readings].</param>
/// <param name="NormalizedMeanSquareError">[-].</param>
/// <param name="FractionalBias">[-].</param>
/// <param name="FractionalVariance">Fractional bias of the variances [-].</param>
/// <param name="MeanRead">Mean of the readings.</param>
/// <param name="IndependentReadings">How many of the readings count, since neighbours hang together.</param>
/// <remarks>Measures of ASTM D5157; its thresholds are recalled, not read. Source: air reference, 8.1.</remarks>
internal readonly record struct ModelAgreement(
    double Correlation, double Slope, double Intercept, double NormalizedMeanSquareError, double FractionalBias, double FractionalVariance, double MeanRead, double IndependentReadings)
{
    /// <summary>Compares readings with a model.</summary>
    /// <param name="read">The readings.</param>
    /// <param name="model">What the model says for each.</param>
    public static ModelAgreement Of(double[] read, double[] model)
    {
        var (intercept, slope) = Fit.Line(read, model);
        var (meanRead, meanModel) = (read.Mean(), model.Mean());
        var (varianceRead, varianceModel) = (read.Variance(), model.Variance());
        var square = read.Zip(model, static (a, b) => (b - a) * (b - a)).Average();
        var neighbour = Math.Clamp(StretchMean.Correlation([.. read.Zip(model, static (a, b) => a - b)], 1), 0, 0.999);
        return new(
            MathNet.Numerics.Statistics.Correlation.Pearson(read, model), slope, intercept, square / (meanRead * meanModel), 2 * (meanModel - meanRead) / (meanModel + meanRead),
            2 * (varianceModel - varianceRead) / (varianceModel + varianceRead), meanRead, StretchMean.Independent(read.Length, neighbour));
    }

    /// <summary>Whether all measures keep to the thresholds.</summary>
    public bool IsAdequate => Correlation >= 0.9 && Slope is >= 0.75 and <= 1.25 && Math.Abs(Intercept) <= 0.25 * Math.Abs(MeanRead)
        && NormalizedMeanSquareError <= 0.25 && Math.Abs(FractionalBias) <= 0.25 && Math.Abs(FractionalVariance) <= 0.5;
}
