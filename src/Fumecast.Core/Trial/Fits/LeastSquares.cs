// SPDX-License-Identifier: MIT
using MathNet.Numerics.LinearAlgebra;

namespace Fumecast.Trial;

/// <summary>Where a model fits best.</summary>
/// <param name="Values">A value for each parameter.</param>
/// <param name="Q">Sum of the squares of the whitened differences, and of what the priors cost.</param>
internal sealed record BestFit(double[] Values, double Q);

/// <summary>Fits a model by weighted least squares with priors and bounds: steps of Levenberg and Marquardt.</summary>
/// <param name="model">The model, with its weights held.</param>
internal sealed class LeastSquares(IFitModel model)
{
    private const int MostSteps = 80;
    private const int MostTries = 12;
    private const double Settled = 1e-11;

    private readonly double[] _white = new double[model.Rows];
    private readonly double[] _tried = new double[model.Parameters.Count];
    private readonly double[][] _columns = [.. model.Parameters.Select(_ => new double[model.Rows])];

    /// <summary>The model's parameters as they begin.</summary>
    public double[] Start => [.. model.Parameters.Select(static parameter => parameter.Start)];

    /// <summary>Sum of squares at given values, priors included.</summary>
    public double QAt(ReadOnlySpan<double> values)
    {
        model.Residuals(values, _white);
        var sum = 0.0;
        foreach (var one in _white)
        {
            sum += one * one;
        }

        for (var i = 0; i < values.Length; i++)
        {
            sum += model.Parameters[i].Cost(values[i]);
        }

        return double.IsNaN(sum) ? double.PositiveInfinity : sum;
    }

    /// <summary>Fits those parameters that are not held.</summary>
    /// <param name="start">Where to begin.</param>
    /// <param name="isHeld">Which parameters stay as they are.</param>
    public BestFit Minimize(ReadOnlySpan<double> start, Func<int, bool>? isHeld = null)
    {
        var values = start.ToArray();
        for (var i = 0; i < values.Length; i++)
        {
            values[i] = model.Parameters[i].Within(values[i]);
        }

        var q = QAt(values);
        var damping = 1e-3;
        for (var step = 0; step < MostSteps; step++)
        {
            var (normal, slope) = NormalEquations(values);
            // A parameter at its bound that wants to go further stays there.
            int[] free = [.. Enumerable.Range(0, values.Length).Where(i => isHeld?.Invoke(i) != true && normal[i, i] > 0
                && !(values[i] <= model.Parameters[i].Least && slope[i] < 0) && !(values[i] >= model.Parameters[i].Most && slope[i] > 0))];
            if (free.Length == 0)
            {
                break;
            }

            var before = q;
            var improved = false;
            for (var attempt = 0; attempt < MostTries && !improved; attempt++)
            {
                var move = Solve(normal, slope, free, damping);
                values.CopyTo(_tried, 0);
                for (var i = 0; i < free.Length; i++)
                {
                    _tried[free[i]] = model.Parameters[free[i]].Within(values[free[i]] + move[i]);
                }

                var tried = QAt(_tried);
                if (tried < q)
                {
                    q = tried;
                    _tried.CopyTo(values, 0);
                    damping = Math.Max(damping / 8, 1e-12);
                    improved = true;
                }
                else
                {
                    damping *= 6;
                }
            }

            if (!improved || before - q < Settled * (1 + q))
            {
                break;
            }
        }

        return new BestFit(values, q);
    }

    /// <summary>The normal matrix J'J + P0 at given values: the inverse of their covariance.</summary>
    public Matrix<double> NormalMatrix(ReadOnlySpan<double> values) => NormalEquations(values.ToArray()).Normal;

    /// <summary>Covariance of the parameters at given values; rows and columns of those that the log does not touch are infinite on the diagonal.</summary>
    public Matrix<double> Covariance(ReadOnlySpan<double> values)
    {
        var normal = NormalMatrix(values);
        for (var i = 0; i < normal.RowCount; i++)
        {
            if (normal[i, i] == 0)
            {
                normal[i, i] = double.Epsilon * 1e20;
            }
        }

        return normal.Inverse();
    }

    /// <summary>An end of a profile interval: where the best fit with one parameter held costs t^2 more.</summary>
    /// <param name="best">The best fit.</param>
    /// <param name="index">The parameter.</param>
    /// <param name="t">How far, in deviations.</param>
    /// <param name="sign">+1 for the upper end, -1 for the lower.</param>
    /// <param name="limit">How far the end is sought at most.</param>
    /// <returns>Infinite where the limit costs less.</returns>
    public double ProfileEnd(BestFit best, int index, double t, int sign, double limit)
    {
        var deviation = Math.Sqrt(Math.Max(Covariance(best.Values)[index, index], 0));
        var parameter = model.Parameters[index];
        limit = parameter.Within(limit);
        var reach = (limit - best.Values[index]) * sign;
        if (!(reach > 0))
        {
            return sign * double.PositiveInfinity;
        }

        var trial = Math.Min(reach, double.IsFinite(deviation) && deviation > 0 ? t * deviation : reach / 2);
        double inside = 0, insideCost = -t;
        var values = best.Values;
        double outside = double.NaN, outsideCost = double.NaN;
        for (var step = 0; step < 40; step++)
        {
            var held = (double[])values.Clone();
            held[index] = best.Values[index] + sign * trial;
            var fit = Minimize(held, i => i == index);
            var cost = Math.Sqrt(Math.Max(fit.Q - best.Q, 0)) - t;
            if (Math.Abs(cost) < 1e-6)
            {
                return held[index];
            }

            if (cost < 0)
            {
                if (trial >= reach)
                {
                    return sign * double.PositiveInfinity;
                }

                (inside, insideCost, values) = (trial, cost, fit.Values);
            }
            else
            {
                (outside, outsideCost) = (trial, cost);
            }

            if (double.IsNaN(outside))
            {
                trial = Math.Min(reach, trial * Math.Clamp(1.1 * t / Math.Max(t + cost, 0.1 * t), 1.2, 3));
                continue;
            }

            if (outside - inside < 1e-9 * outside)
            {
                break;
            }

            var share = -insideCost / (outsideCost - insideCost);
            trial = inside + Math.Clamp(share, 0.02, 0.98) * (outside - inside);
        }

        return best.Values[index] + sign * (inside + outside) / 2;
    }

    private (Matrix<double> Normal, double[] Slope) NormalEquations(double[] values)
    {
        var count = values.Length;
        model.Residuals(values, _white);
        model.Slopes(values, _columns);
        var normal = Matrix<double>.Build.Dense(count, count);
        var slope = new double[count];
        for (var i = 0; i < count; i++)
        {
            slope[i] = Dot(_columns[i], _white) - model.Parameters[i].Weight * (double.IsInfinity(model.Parameters[i].Deviation) ? 0 : values[i] - model.Parameters[i].Mean);
            for (var j = 0; j <= i; j++)
            {
                normal[i, j] = normal[j, i] = Dot(_columns[i], _columns[j]) + (i == j ? model.Parameters[i].Weight : 0);
            }
        }

        return (normal, slope);
    }

    private static double[] Solve(Matrix<double> normal, double[] slope, int[] free, double damping)
    {
        var part = Matrix<double>.Build.Dense(free.Length, free.Length, (i, j) => normal[free[i], free[j]] * (i == j ? 1 + damping : 1));
        return [.. part.Solve(Vector<double>.Build.Dense(free.Length, i => slope[free[i]]))];
    }

    /// <summary>Sum of the products of two columns.</summary>
    public static double Dot(double[] a, double[] b)
    {
        var sum = 0.0;
        for (var i = 0; i < a.Length; i++)
        {
            sum += a[i] * b[i];
        }

        return sum;
    }
}
