// SPDX-License-Identifier: MIT
using MathNet.Numerics.LinearAlgebra;

namespace Fumecast.Trial;

/// <summary>The source of a quarter of an hour that would explain best what a fit leaves unexplained.</summary>
/// <param name="AtH">When it would begin, on the clock of the records [h].</param>
/// <param name="Deviations">How far from chance [-]; over 3.5 emission, loss and clean air are not to be trusted.</param>
/// <param name="AmountPerM3">What it would have given off, over the volume [unit of the readings].</param>
internal readonly record struct StrangeSource(double AtH, double Deviations, double AmountPerM3)
{
    /// <summary>Above this many deviations a log holds a source that the print does not explain.</summary>
    public const double Limit = 3.5;

    private const double LengthH = 0.25;
    private const double EveryH = 1.0 / 12;

    /// <summary>The strangest source of a run.</summary>
    /// <remarks>Score test: z = (c'r - x'g) / sqrt(c'c - x'J'c). Source: trial methods, 6.</remarks>
    internal static StrangeSource In(BoxRun run, BoxModel model, BestFit best)
    {
        var squares = new LeastSquares(model);
        var normal = squares.NormalMatrix(best.Values);
        for (var i = 0; i < normal.RowCount; i++)
        {
            normal[i, i] = normal[i, i] == 0 ? 1 : normal[i, i];
        }

        var (white, columns) = (new double[model.Rows], model.Parameters.Select(_ => new double[model.Rows]).ToArray());
        model.Residuals(best.Values, white);
        model.Slopes(best.Values, columns);
        var factor = normal.LU();
        var slope = model.Parameters.Select((parameter, i) => LeastSquares.Dot(columns[i], white) - parameter.Weight * (parameter.Weight == 0 ? 0 : best.Values[i] - parameter.Mean)).ToArray();

        var loss = Math.Exp(best.Values[BoxModel.LogLoss]);
        var (records, source) = (run.Records, FlowSteps.Steady(1 / LengthH, LengthH));
        var response = new double[model.Rows];
        var strangest = new StrangeSource(records.StartsH[0], 0, 0);
        for (var start = records.StartsH[0]; start < records.StartsH[^1]; start += EveryH)
        {
            AirResponse.Fill(source, start, loss, null, records, response);
            model.Whitening.Apply(response, response);
            var shared = CreateVector.Dense([.. columns.Select(column => LeastSquares.Dot(column, response))]);
            var x = factor.Solve(shared);
            var free = LeastSquares.Dot(response, response) - x * shared;
            var unexplained = LeastSquares.Dot(response, white) - x * CreateVector.Dense(slope);
            if (free > 1e-12 && Math.Abs(unexplained / Math.Sqrt(free)) > Math.Abs(strangest.Deviations))
            {
                strangest = new(start, unexplained / Math.Sqrt(free), unexplained / free);
            }
        }

        return strangest;
    }
}
