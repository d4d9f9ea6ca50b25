// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Tests.Referees;

/// <summary>Coagulation in its plainest form: particles in many sections of size, every pair of which meets; what they make is shared out between the two sections next to it.</summary>
/// <remarks>Fixed sections that keep number and mass (Kumar and Ramkrishna 1996); small steps of the classical fourth order. No moment and no lognormal assumption.</remarks>
internal sealed class SectionalAerosol
{
    private readonly double[] _massUg;
    private readonly double[,] _kernel;
    private readonly (int Low, double Share)[,] _product;

    public SectionalAerosol(double fromNm, double toNm, double massRatio, double densityGPerCm3)
    {
        var count = (int)Math.Ceiling(3 * Math.Log(toNm / fromNm) / Math.Log(massRatio)) + 1;
        Nm = [.. Enumerable.Range(0, count).Select(i => fromNm * Math.Pow(massRatio, i / 3.0))];
        _massUg = [.. Nm.Select(d => new ParticleSize(d, 1).MeanMassUg(densityGPerCm3))];
        PerM3 = new double[count];
        _kernel = new double[count, count];
        _product = new (int, double)[count, count];
        for (var i = 0; i < count; i++)
        {
            for (var j = 0; j < count; j++)
            {
                _kernel[i, j] = BrownianKernel.M3PerS(Nm[i], Nm[j], densityGPerCm3);
                var together = _massUg[i] + _massUg[j];
                var low = Math.Min(Array.FindLastIndex(_massUg, m => m <= together), count - 2);
                _product[i, j] = (low, (_massUg[low + 1] - together) / (_massUg[low + 1] - _massUg[low]));
            }
        }
    }

    public double[] Nm { get; }

    public double[] PerM3 { get; private set; }

    public double NumberPerM3 => PerM3.Sum();

    public double MassUgPerM3 => PerM3.Zip(_massUg, static (n, m) => n * m).Sum();

    /// <summary>Fills it with a lognormal distribution.</summary>
    public void Fill(double numberPerM3, ParticleSize size)
    {
        var width = Math.Log(size.Gsd);
        var shape = Nm.Select(d => Math.Exp(-0.5 * Math.Pow(Math.Log(d / size.CmdNm) / width, 2))).ToArray();
        PerM3 = [.. shape.Select(s => numberPerM3 * s / shape.Sum())];
    }

    public void Advance(double seconds)
    {
        var doneS = 0.0;
        while (doneS < seconds)
        {
            // A hundredth of the particles at a step.
            var rate = Change(PerM3);
            var stepS = Math.Min(seconds - doneS, 0.02 * NumberPerM3 / Math.Max(-rate.Sum(), double.Epsilon));
            var k2 = Change(Plus(rate, stepS / 2));
            var k3 = Change(Plus(k2, stepS / 2));
            var k4 = Change(Plus(k3, stepS));
            for (var i = 0; i < PerM3.Length; i++)
            {
                PerM3[i] += stepS / 6 * (rate[i] + 2 * k2[i] + 2 * k3[i] + k4[i]);
            }

            doneS += stepS;
        }
    }

    private double[] Plus(double[] rate, double seconds) => [.. PerM3.Zip(rate, (n, r) => n + seconds * r)];

    private double[] Change(double[] n)
    {
        var change = new double[n.Length];
        for (var i = 0; i < n.Length; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var met = _kernel[i, j] * n[i] * n[j] * (i == j ? 0.5 : 1);
                change[i] -= met;
                change[j] -= met;
                var (low, share) = _product[i, j];
                change[low] += share * met;
                change[low + 1] += (1 - share) * met;
            }
        }

        return change;
    }
}
