// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>What a stretch of constant rates and sources makes of the amounts in the zones, exactly.</summary>
/// <remarks>
/// <para>With A the rates and s the sources, dm/dt = A m + s gives m(h) = E m + F s with E = exp(A h) and F its integral from 0 to h; the integral of m over the step is
/// F m + G s, with G the integral of F. One zone has a closed form. For several, a series at a step so short that it needs few terms, then doubling:
/// E(2h) = E E, F(2h) = F + E F, G(2h) = G + h F + E G. All terms of the doubling are positive, so nothing cancels, whatever the span of the rates.</para>
/// <para>What leaves a zone must arrive: after each doubling the columns of E are made to sum to 1 less what the integral says was lost, and those of F likewise, so that
/// rounding does not grow with the number of doublings into a source or a sink. Source: scaling and squaring of the matrix exponential, textbook.</para>
/// </remarks>
internal sealed class ExactStep
{
    private const int Terms = 16;

    private readonly int _zones;
    private readonly double[] _scratch;
    private readonly double[] _term;
    private readonly double[] _lossPerS;

    /// <summary>Makes a step of no length.</summary>
    /// <param name="zones">Number of zones, 1 or more.</param>
    public ExactStep(int zones)
    {
        _zones = zones;
        Stay = new double[zones * zones];
        FromSource = new double[zones * zones];
        SourceIntegral = new double[zones * zones];
        _scratch = new double[zones * zones];
        _term = new double[zones * zones];
        _lossPerS = new double[zones];
    }

    /// <summary>Length it is made for [s]; NaN before the first <see cref="Make"/>.</summary>
    public double Seconds { get; private set; } = double.NaN;

    private double[] Stay { get; }

    private double[] FromSource { get; }

    private double[] SourceIntegral { get; }

    /// <summary>Makes it for rates and a length.</summary>
    /// <param name="rates">The rates in force.</param>
    /// <param name="seconds">Length [s], over 0.</param>
    public void Make(AirRates rates, double seconds)
    {
        Seconds = seconds;
        for (var i = 0; i < _zones; i++)
        {
            _lossPerS[i] = rates.VentedPerS[i] + rates.DepositedPerS[i] + rates.FilteredPerS[i];
        }

        if (_zones == 1)
        {
            var x = _lossPerS[0] * seconds;
            (Stay[0], FromSource[0], SourceIntegral[0]) = (Math.Exp(-x), seconds * Decay.Mean(x), seconds * seconds * Decay.MeanOfFilling(x));
            return;
        }

        var fastest = 0.0;
        for (var i = 0; i < _zones; i++)
        {
            fastest = Math.Max(fastest, -rates.PerS[i * _zones + i]);
        }

        var doublings = Math.Max(0, Math.ILogB(Math.Max(fastest * seconds * 4, double.Epsilon)) + 1);
        var h = Math.ScaleB(seconds, -doublings);
        Series(rates.PerS, h);
        Conserve(h);
        for (var i = 0; i < doublings; i++)
        {
            Double(h);
            h *= 2;
            Conserve(h);
        }
    }

    /// <summary>Takes the step.</summary>
    /// <param name="amounts">Amounts in the zones; changed to those at the end.</param>
    /// <param name="sourcePerS">Sources in the zones [unit for each s].</param>
    /// <param name="integralS">Integral of the amounts over the step [unit s]; added to.</param>
    /// <param name="before">Scratch for as many numbers as there are zones.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Take(Span<double> amounts, ReadOnlySpan<double> sourcePerS, Span<double> integralS, Span<double> before)
    {
        if (_zones == 1)
        {
            var amount = amounts[0];
            amounts[0] = Stay[0] * amount + FromSource[0] * sourcePerS[0];
            integralS[0] += FromSource[0] * amount + SourceIntegral[0] * sourcePerS[0];
            return;
        }

        amounts.CopyTo(before);
        for (var i = 0; i < _zones; i++)
        {
            var row = i * _zones;
            var (end, sum) = (0.0, 0.0);
            for (var j = 0; j < _zones; j++)
            {
                end += Stay[row + j] * before[j] + FromSource[row + j] * sourcePerS[j];
                sum += FromSource[row + j] * before[j] + SourceIntegral[row + j] * sourcePerS[j];
            }

            amounts[i] = end;
            integralS[i] += sum;
        }
    }

    private void Series(double[] perS, double h)
    {
        Array.Clear(Stay);
        Array.Clear(FromSource);
        Array.Clear(SourceIntegral);
        Array.Clear(_term);
        for (var i = 0; i < _zones; i++)
        {
            _term[i * _zones + i] = 1;
        }

        for (var k = 0; k <= Terms; k++)
        {
            if (k > 0)
            {
                Multiply(_term, perS, _scratch);
                for (var i = 0; i < _term.Length; i++)
                {
                    _term[i] = _scratch[i] * (h / k);
                }
            }

            for (var i = 0; i < _term.Length; i++)
            {
                Stay[i] += _term[i];
                FromSource[i] += _term[i] * (h / (k + 1));
                SourceIntegral[i] += _term[i] * (h * h / ((k + 1) * (k + 2)));
            }
        }
    }

    private void Double(double h)
    {
        Multiply(Stay, SourceIntegral, _scratch);
        for (var i = 0; i < _scratch.Length; i++)
        {
            SourceIntegral[i] += h * FromSource[i] + _scratch[i];
        }

        Multiply(Stay, FromSource, _scratch);
        for (var i = 0; i < _scratch.Length; i++)
        {
            FromSource[i] += _scratch[i];
        }

        Multiply(Stay, Stay, _scratch);
        _scratch.CopyTo(Stay, 0);
    }

    private void Conserve(double h)
    {
        MakeColumnsSumTo(FromSource, h, SourceIntegral);
        MakeColumnsSumTo(Stay, 1, FromSource);
    }

    private void MakeColumnsSumTo(double[] matrix, double whole, double[] integral)
    {
        for (var j = 0; j < _zones; j++)
        {
            var (left, lost, largest) = (0.0, 0.0, j);
            for (var i = 0; i < _zones; i++)
            {
                var at = i * _zones + j;
                left += matrix[at];
                lost += _lossPerS[i] * integral[at];
                largest = matrix[at] > matrix[largest] ? at : largest;
            }

            // Where most is lost the entries know better than what the sum leaves for them.
            if (left > whole / 2)
            {
                matrix[largest] += whole - left - lost;
            }
        }
    }

    private void Multiply(double[] left, double[] right, double[] product)
    {
        for (var i = 0; i < _zones; i++)
        {
            for (var j = 0; j < _zones; j++)
            {
                var sum = 0.0;
                for (var k = 0; k < _zones; k++)
                {
                    sum += left[i * _zones + k] * right[k * _zones + j];
                }

                product[i * _zones + j] = sum;
            }
        }
    }
}
