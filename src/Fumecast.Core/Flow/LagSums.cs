// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.CompilerServices;

namespace Fumecast.Flow;

/// <summary>Sums of products of a row of values with itself, shifted: by way of its spectrum.</summary>
/// <remarks>
/// A Fourier transform of a power of two, textbook, from memory. What it finds stays in the order in which it is found, places with their bits the other way
/// round, since the way back begins there; and the values at even and at odd places are the two parts of half as many complex ones. A library's transform sorts,
/// takes every value as a complex one, and looks for a faster library first: six times as long, and a millisecond at every start.
/// </remarks>
internal static class LagSums
{
    /// <summary>Sums of x(i) x(i + k) for k from 0 on, up to a common factor.</summary>
    /// <param name="values">The values, at least 3.</param>
    /// <param name="mean">What to take off each of them first.</param>
    /// <param name="count">How many k, at most the number of values.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static double[] Of(ReadOnlySpan<double> values, double mean, int count)
    {
        // Padded with as many zeros as the greatest k, so that the ends do not meet.
        var pairs = new Complex[BitOperations.RoundUpToPowerOf2((uint)(values.Length + count - 1)) / 2];
        for (var i = 0; i < values.Length; i++)
        {
            pairs[i / 2] += i % 2 == 0 ? values[i] - mean : new Complex(0, values[i] - mean);
        }

        var turns = Turns(pairs.Length / 2);
        Transform(pairs, turns);
        Square(pairs, turns);
        TransformBack(pairs, turns);
        var sums = new double[count];
        for (var k = 0; k < count; k++)
        {
            sums[k] = k % 2 == 0 ? pairs[k / 2].Real : pairs[k / 2].Imaginary;
        }

        return sums;
    }

    /// <summary>exp(-i pi r) for r from 0 in steps of one over the count, in the order of places with their bits the other way round.</summary>
    private static Complex[] Turns(int count)
    {
        var turns = new Complex[count];
        turns[0] = Complex.One;
        for (var known = 1; known < count; known *= 2)
        {
            var further = Turn(known);
            for (var i = 0; i < known; i++)
            {
                turns[known + i] = turns[i] * further;
            }
        }

        return turns;
    }

    private static Complex Turn(int known) => Complex.FromPolarCoordinates(1, -Math.PI / (2 * known));

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Transform(Span<Complex> points, ReadOnlySpan<Complex> turns)
    {
        for (var length = points.Length / 2; length > 0; length /= 2)
        {
            var rest = points;
            for (var block = 0; !rest.IsEmpty; block++)
            {
                var turn = turns[block];
                var first = rest[..length];
                var second = rest.Slice(length, length);
                for (var i = 0; i < first.Length; i++)
                {
                    var turned = second[i] * turn;
                    second[i] = first[i] - turned;
                    first[i] += turned;
                }

                rest = rest[(2 * length)..];
            }
        }
    }

    /// <summary>From the spectrum of pairs to that of single values, squared, and back to that of pairs.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Square(Span<Complex> points, ReadOnlySpan<Complex> turns)
    {
        var (real, imaginary) = (points[0].Real, points[0].Imaginary);
        points[0] = new Complex(real * real + imaginary * imaginary, 2 * real * imaginary);

        // Frequencies that differ in sign lie mirrored in the places from a power of two to the next.
        for (var start = 1; start < points.Length; start *= 2)
        {
            var further = Turn(start);
            for (var i = 0; i <= (start - 1) / 2; i++)
            {
                ref var one = ref points[start + i];
                ref var other = ref points[2 * start - 1 - i];
                var turn = turns[i] * further;
                var even = one + Complex.Conjugate(other);
                var odd = one - Complex.Conjugate(other);
                var turned = turn * odd;
                var sum = 0.25 * (Squared(even) + Squared(odd));
                var difference = 0.5 * (even.Real * turned.Imaginary - even.Imaginary * turned.Real);

                // i times the difference, turned back for one and on for the other.
                one = new Complex(sum + turn.Imaginary * difference, turn.Real * difference);
                other = new Complex(sum - turn.Imaginary * difference, turn.Real * difference);
            }
        }
    }

    private static double Squared(Complex number) => number.Real * number.Real + number.Imaginary * number.Imaginary;

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void TransformBack(Span<Complex> points, ReadOnlySpan<Complex> turns)
    {
        for (var length = 1; length < points.Length; length *= 2)
        {
            var rest = points;
            for (var block = 0; !rest.IsEmpty; block++)
            {
                var turn = Complex.Conjugate(turns[block]);
                var first = rest[..length];
                var second = rest.Slice(length, length);
                for (var i = 0; i < first.Length; i++)
                {
                    var difference = first[i] - second[i];
                    first[i] += second[i];
                    second[i] = difference * turn;
                }

                rest = rest[(2 * length)..];
            }
        }
    }
}
