// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>What a job gives off as it depends on one yield, at every point of the other figures: in proportion to it, as far as no cap is met.</summary>
internal sealed class YieldCurves
{
    private readonly double[][] _perYield;
    private readonly YieldCap? _cap;

    /// <summary>Takes the amounts over the yield for each point, by phase, and the cap on them.</summary>
    public YieldCurves(Figure yield, double[] warmUp, double[] printing, double[] idleHot, YieldCap? cap)
    {
        Yield = yield;
        _cap = cap;
        var whole = new double[warmUp.Length];
        for (var i = 0; i < whole.Length; i++)
        {
            whole[i] = warmUp[i] + printing[i] + idleHot[i];
        }

        _perYield = [warmUp, printing, idleHot, whole];
    }

    /// <summary>The yield.</summary>
    public Figure Yield { get; }

    /// <summary>Points of the draws [-].</summary>
    public int Points => _perYield[0].Length;

    /// <summary>Amounts over the yield for each point, for yields so low that no cap is met.</summary>
    public ReadOnlySpan<double> PerYield(EmissionPhase phase) => _perYield[(int)phase];

    /// <summary>Logarithm of the yield that gives an amount, where without a cap another one would.</summary>
    /// <param name="point">The point.</param>
    /// <param name="phase">Which phase.</param>
    /// <param name="logAmount">Logarithm of the amount.</param>
    /// <param name="logYield">Logarithm of the yield that would give it without a cap.</param>
    public double LogYield(int point, EmissionPhase phase, double logAmount, double logYield) =>
        _cap is null ? logYield : _cap.LogYield(point, phase, logAmount, logYield);

    /// <summary>Amount at a yield.</summary>
    public double At(int point, EmissionPhase phase, double yield) =>
        _cap?.CurveAt(point, Math.Log(yield)) is { } curve
            ? Math.Exp(curve.LogAmount(phase, Math.Log(yield)))
            : yield * _perYield[(int)phase][point];

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
