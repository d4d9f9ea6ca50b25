// SPDX-License-Identifier: MIT
using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.Optimization;

namespace Fumecast.Trial;

/// <summary>Finds the noise of a meter in the differences of its readings from a model, by restricted maximum likelihood.</summary>
/// <remarks>The level and what the parameters do to it are held. Source: trial methods, 4.</remarks>
internal sealed class NoiseLikelihood
{
    private const double UsualShare = 0.04, ShareDeviation = 0.04;
    private const double UsualMemoryH = 0.05, LogMemoryDeviation = 0.8;
    private const double LeastMemoryH = 0.05 / 60, MostMemoryH = 40.0 / 60;
    private const double Refused = 1e12;

    private readonly RunRecords _records;
    private readonly double[] _printLevels, _differences, _white;
    private readonly double[][] _columns, _whiteColumns;
    private readonly double[] _priorWeights;

    /// <summary>The likelihood about given values of a model.</summary>
    public NoiseLikelihood(BoxModel model, RunRecords records, ReadOnlySpan<double> values)
    {
        _records = records;
        _printLevels = model.PrintLevels(values);
        (_differences, _white) = (new double[model.Rows], new double[model.Rows]);
        model.Differences(values, _differences);
        _columns = [.. model.Parameters.Select(_ => new double[model.Rows])];
        _whiteColumns = [.. model.Parameters.Select(_ => new double[model.Rows])];
        model.LevelSlopes(values, _columns);
        _priorWeights = [.. model.Parameters.Select(static parameter => parameter.Weight)];
    }

    /// <summary>The likeliest noise about given values of a model.</summary>
    public static ReadingNoise Best(BoxModel model, ReadOnlySpan<double> values, ReadingNoise start)
    {
        var likelihood = new NoiseLikelihood(model, model.Records, values);
        var objective = ObjectiveFunction.Value(at => likelihood.At(NoiseAt(at)));
        var steps = CreateVector.Dense([0.3, 0.03, 0.4]);
        var found = NelderMeadSimplex.Minimum(objective, CreateVector.Dense([Math.Log(start.Floor), start.Share, Math.Log(start.MemoryH)]), steps, 1e-7, 2000);
        return NoiseAt(found.MinimizingPoint);
    }

    /// <summary>Twice the negative logarithm of the restricted likelihood, with the priors on share and memory.</summary>
    public double At(ReadingNoise noise)
    {
        if (!(noise.Share >= 0) || !(noise.MemoryH is >= LeastMemoryH and <= MostMemoryH) || !double.IsFinite(noise.Floor) || noise.Floor <= 0)
        {
            return Refused;
        }

        var whitening = new Whitening(_records, noise, _printLevels);
        whitening.Apply(_differences, _white);
        var sum = 0.0;
        foreach (var one in _white)
        {
            sum += one * one;
        }

        var count = _columns.Length;
        for (var i = 0; i < count; i++)
        {
            whitening.Apply(_columns[i], _whiteColumns[i]);
        }

        var normal = Matrix<double>.Build.Dense(count, count, (i, j) => LeastSquares.Dot(_whiteColumns[i], _whiteColumns[j]) + (i == j ? _priorWeights[i] : 0));
        var determinant = LogDeterminant(normal);
        var byShare = (noise.Share - UsualShare) / ShareDeviation;
        var byMemory = Math.Log(noise.MemoryH / UsualMemoryH) / LogMemoryDeviation;
        var all = whitening.LogDeterminant + sum + determinant + byShare * byShare + byMemory * byMemory;
        return double.IsFinite(all) ? all : Refused;
    }

    private static ReadingNoise NoiseAt(Vector<double> at) => new(Math.Exp(at[0]), at[1], Math.Exp(at[2]));

    private static double LogDeterminant(Matrix<double> normal)
    {
        // A parameter that the log does not touch, such as the loss of what was not emitted, says nothing of the noise.
        int[] touched = [.. Enumerable.Range(0, normal.RowCount).Where(i => normal[i, i] > 0)];
        var part = Matrix<double>.Build.Dense(touched.Length, touched.Length, (i, j) => normal[touched[i], touched[j]]);
        return part.LU().Determinant is > 0 and var determinant ? Math.Log(determinant) : double.NaN;
    }
}
