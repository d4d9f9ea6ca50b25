// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>A level that falls to a background of its own: C = b + A exp(-k t).</summary>
/// <param name="Background">Where it comes to rest [unit of the readings].</param>
/// <param name="BackgroundError">Standard error of that.</param>
/// <param name="Height">How far above it the level begins.</param>
/// <param name="HeightError">Standard error of that.</param>
/// <param name="LossPerH">Loss rate [1/h].</param>
/// <param name="Error">Standard error of the loss rate [1/h].</param>
/// <param name="RestSquare">Sum of the squares of what is left.</param>
/// <remarks>A wrong background bends the logarithm of a fall, so it is fitted, or tied to what was read before. Source: air reference, 4.1; trial methods, 12.</remarks>
internal readonly record struct DecayCurve(double Background, double BackgroundError, double Height, double HeightError, double LossPerH, double Error, double RestSquare)
{
    /// <summary>The curve through readings.</summary>
    /// <param name="timesH">When each was read, rising [h]; the first is time 0.</param>
    /// <param name="values">The readings.</param>
    /// <param name="background">What is known of the background beforehand; null for nothing.</param>
    /// <param name="noise">Standard deviation of a reading, against which the background's own weighs [unit of the readings].</param>
    public static DecayCurve Through(double[] timesH, double[] values, (double Level, double Deviation)? background = null, double noise = 1)
    {
        var model = new Model(timesH, values, background, noise);
        var squares = new LeastSquares(model);
        BestFit? best = null;
        foreach (var share in new[] { 1.0, 3, 9 })
        {
            var start = squares.Start;
            start[Model.LogLoss] = Math.Log(share / (timesH[^1] - timesH[0]));
            var fit = squares.Minimize(start);
            best = best is null || fit.Q < best.Q ? fit : best;
        }

        var covariance = squares.Covariance(best!.Values);
        var rest = new double[values.Length];
        model.Residuals(best.Values, rest);
        var restSquare = rest.Sum(static one => one * one) * noise * noise;
        var scale = Math.Sqrt(restSquare / Math.Max(1, values.Length - 3)) / noise;
        double ErrorOf(int index) => scale * Math.Sqrt(Math.Max(0, covariance[index, index]));
        var loss = Math.Exp(best.Values[Model.LogLoss]);
        return new(best.Values[Model.Background], ErrorOf(Model.Background), best.Values[Model.Height], ErrorOf(Model.Height), loss, loss * ErrorOf(Model.LogLoss), restSquare);
    }

    private sealed class Model(double[] timesH, double[] values, (double Level, double Deviation)? background, double noise) : IFitModel
    {
        public const int Background = 0, Height = 1, LogLoss = 2;

        public IReadOnlyList<FitParameter> Parameters { get; } =
        [
            new(Start: background?.Level ?? values.Min(), Mean: background?.Level ?? 0, Deviation: background?.Deviation ?? double.PositiveInfinity),
            new(Start: values.Max() - values.Min()),
            new(Start: 0, Least: Math.Log(1e-3), Most: Math.Log(1e4)),
        ];

        public int Rows => values.Length;

        public void Residuals(ReadOnlySpan<double> at, Span<double> white)
        {
            var loss = Math.Exp(at[LogLoss]);
            for (var i = 0; i < white.Length; i++)
            {
                white[i] = (values[i] - at[Background] - at[Height] * Math.Exp(-loss * (timesH[i] - timesH[0]))) / noise;
            }
        }

        public void Slopes(ReadOnlySpan<double> at, double[][] columns)
        {
            var loss = Math.Exp(at[LogLoss]);
            for (var i = 0; i < values.Length; i++)
            {
                var fallen = loss * (timesH[i] - timesH[0]);
                var kept = Math.Exp(-fallen) / noise;
                (columns[Background][i], columns[Height][i], columns[LogLoss][i]) = (1 / noise, kept, -at[Height] * fallen * kept);
            }
        }
    }
}
