// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Emission;

/// <summary>What a job gives off as it depends on one yield, at every point of the other figures: in proportion to it, as far as no cap is met.</summary>
internal sealed class YieldCurves
{
    private readonly double[][] perYield;
    private readonly CapCurve?[] curves;

    /// <summary>Takes the amounts over the yield for each point, by phase, and the curves of those points that meet the cap.</summary>
    public YieldCurves(Figure yield, double[] warmUp, double[] printing, double[] idleHot, CapCurve?[] curves)
    {
        Yield = yield;
        var whole = new double[warmUp.Length];
        for (var i = 0; i < whole.Length; i++)
        {
            whole[i] = warmUp[i] + printing[i] + idleHot[i];
        }

        perYield = [warmUp, printing, idleHot, whole];
        this.curves = curves;
    }

    /// <summary>The highest yield for which the cap is looked at: a hundredth of those beyond the interval lie above it.</summary>
    /// <param name="yield">The yield.</param>
    /// <param name="interval">Coverage of the interval, over 0 and below 1 [-].</param>
    public static double HighestOf(Figure yield, double interval) => yield.At(Normal.InvCDF(0, 1, 1 - ((1 - interval) / 200)));

    /// <summary>The yield.</summary>
    public Figure Yield { get; }

    /// <summary>Points of the draws [-].</summary>
    public int Points => perYield[0].Length;

    /// <summary>Amounts over the yield for each point, for yields so low that no cap is met.</summary>
    public ReadOnlySpan<double> PerYield(EmissionPhase phase) => perYield[(int)phase];

    /// <summary>The curve of a point; null where the cap is not met.</summary>
    public CapCurve? CapOf(int point) => curves.Length > 0 ? curves[point] : null;

    /// <summary>Amount at a yield.</summary>
    public double At(int point, EmissionPhase phase, double yield) =>
        CapOf(point) is { } curve && yield > 0 && Math.Log(yield) is var log && log > curve.LogFirstYield
            ? Math.Exp(curve.LogAmount(phase, log))
            : yield * perYield[(int)phase][point];

    /// <summary>Adds the amounts at given yields to sums.</summary>
    /// <param name="sums">One for each draw; draw i belongs to point i modulo <see cref="Points"/>.</param>
    /// <param name="phase">Which phase.</param>
    /// <param name="yields">The yield of each draw.</param>
    /// <param name="factor">A factor for each point; null for 1.</param>
    public void AddTo(double[] sums, EmissionPhase phase, double[] yields, double[]? factor)
    {
        for (var first = 0; first < sums.Length; first += Points)
        {
            for (var point = 0; point < Points; point++)
            {
                sums[first + point] += (factor is null ? 1 : factor[point]) * At(point, phase, yields[first + point]);
            }
        }
    }
}
