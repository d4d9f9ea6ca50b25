// SPDX-License-Identifier: MIT
using MathNet.Numerics.LinearAlgebra;

namespace Fumecast.Trial;

/// <summary>Least squares on a few whitened columns: coefficients, what is left, what a further column would add.</summary>
internal sealed class Projection
{
    private readonly double[][] _columns;
    private readonly Matrix<double>? _inverse;
    private readonly Lazy<Matrix<double>>? _root;

    /// <summary>A matrix whose square, transposed by itself, is the given one: by its eigenvectors, so that a column without effect does no harm.</summary>
    private static Matrix<double> RootOf(Matrix<double> inverse)
    {
        var parts = inverse.Evd(Symmetricity.Symmetric);
        return Matrix<double>.Build.DenseOfDiagonalVector(parts.EigenValues.Map(static value => Math.Sqrt(Math.Max(0, value.Real)))) * parts.EigenVectors.Transpose();
    }

    /// <summary>The inverse of products of columns, without what no column moves; by eigenvectors, since the library's own way may fail to converge where columns hardly touch each other.</summary>
    private static Matrix<double> InverseOf(Matrix<double> products)
    {
        var parts = products.Evd(Symmetricity.Symmetric);
        var least = products.RowCount * 2.2e-16 * parts.EigenValues.Max(static value => Math.Abs(value.Real));
        return parts.EigenVectors * Matrix<double>.Build.DenseOfDiagonalVector(parts.EigenValues.Map(value => value.Real > least ? 1 / value.Real : 0)) * parts.EigenVectors.Transpose();
    }

    private Projection(double[][] columns)
    {
        _columns = columns;
        if (columns.Length > 0)
        {
            _inverse = Matrix<double>.Build.Dense(columns.Length, columns.Length, (i, j) => LeastSquares.Dot(columns[i], columns[j]));
            _inverse = InverseOf(_inverse);
            _root = new(() => RootOf(_inverse));
        }
    }

    /// <summary>A projection on columns; none leaves everything as it is.</summary>
    public static Projection Of(double[][] columns) => new(columns);

    /// <summary>Components of a column along an orthonormal basis of the columns: the product of two columns' components is what both have in common with them.</summary>
    public double[] Shares(double[] column)
    {
        if (_columns.Length == 0)
        {
            return [];
        }

        var products = Vector<double>.Build.Dense(_columns.Length, i => LeastSquares.Dot(_columns[i], column));
        return [.. _root!.Value * products];
    }

    /// <summary>Coefficients of the columns that fit best.</summary>
    public double[] Coefficients(double[] column)
    {
        var coefficients = new double[_columns.Length];
        for (var i = 0; i < coefficients.Length; i++)
        {
            for (var j = 0; j < coefficients.Length; j++)
            {
                coefficients[i] += _inverse![i, j] * LeastSquares.Dot(_columns[j], column);
            }
        }

        return coefficients;
    }

    /// <summary>Variance of a coefficient, the rows being of unit variance.</summary>
    public double Variance(int index) => _inverse![index, index];

    /// <summary>What the columns do not explain of another.</summary>
    public double[] Rest(double[] column)
    {
        var coefficients = Coefficients(column);
        var rest = (double[])column.Clone();
        for (var k = 0; k < coefficients.Length; k++)
        {
            var (coefficient, own) = (coefficients[k], _columns[k]);
            for (var i = 0; i < rest.Length; i++)
            {
                rest[i] -= coefficient * own[i];
            }
        }

        return rest;
    }

    /// <summary>Sum of the squares of what the columns do not explain of another.</summary>
    public double RestSquare(double[] column)
    {
        var rest = Rest(column);
        return LeastSquares.Dot(rest, rest);
    }
}
