// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;
using MathNet.Numerics;
using MathNet.Numerics.Distributions;

namespace Fumecast.Emission;

/// <summary>One amount over all draws: its yield in closed form, all else point by point.</summary>
/// <remarks>
/// At a point the amount grows with the yield alone, so the share of draws below an amount is the mean over the points of the probability of the
/// yield that gives it. The yield is by far the widest figure: a few hundred points then tell the ends of an interval to a percent, which would take
/// a hundred times as many plain draws.
/// </remarks>
internal sealed class DrawnAmount
{
    /// <summary>Nearer than this to what was asked for, in standard deviations, a quantile is found [-].</summary>
    private const double Tolerance = 1e-8;

    private const int SecantSteps = 12;
    private const int MostSteps = 90;

    private readonly YieldCurves _curves;
    private readonly EmissionPhase _phase;
    private readonly double[]? _rest;

    // Logarithms, of the amount over the yield with its factor and of the factor alone: the loops below add instead of multiply.
    private readonly double[] _logPerYield;
    private readonly double[] _logFactor;
    private readonly double _logMiddleYield;
    private readonly double _logDeviation;
    private readonly double _start;
    private readonly double _spread;

    /// <summary>An amount as a sum over materials: the yield that makes most of the width is put in in closed form, those of the others are drawn.</summary>
    /// <param name="parts">Its parts, at least one.</param>
    /// <param name="middle">What a part gives at the middle of all figures.</param>
    /// <param name="draws">The draws, by material.</param>
    /// <param name="phase">Which phase.</param>
    public static DrawnAmount Of(
        IEnumerable<AgentPart> parts, Func<AgentPart, double> middle, IReadOnlyDictionary<string, MaterialDraws> draws, EmissionPhase phase)
    {
        var byMaterial = parts.GroupBy(static part => part.Tool.Material.Id).OrderByDescending(group => group.Sum(middle) * Width(draws, group.Key)).Select(static group => group.First()).ToList();
        var leading = draws[byMaterial[0].Tool.Material.Id];
        double[]? rest = null;
        foreach (var part in byMaterial.Skip(1))
        {
            var material = draws[part.Tool.Material.Id];
            rest ??= new double[material.Figures.Points];
            material.Curves.AddTo(rest, phase, material.Yields(part), material.Factor(part));
        }

        return new DrawnAmount(leading.Curves, phase, leading.Factor(byMaterial[0]), rest);
    }

    /// <summary>Takes an amount apart.</summary>
    /// <param name="curves">How the part with the widest yield depends on it.</param>
    /// <param name="phase">Which phase of it.</param>
    /// <param name="factor">Factor of that part for each point; null for 1.</param>
    /// <param name="rest">What other yields add, drawn, for each point; null for nothing.</param>
    private DrawnAmount(YieldCurves curves, EmissionPhase phase, double[]? factor, double[]? rest)
    {
        (_curves, _phase, _rest) = (curves, phase, rest);
        var yield = curves.Yield;
        _logMiddleYield = Math.Log(yield.Value);
        _logDeviation = yield.Gsd is > 1 and var gsd ? Math.Log(gsd) : 0;
        var perYield = curves.PerYield(phase);
        _logPerYield = new double[perYield.Length];
        _logFactor = new double[perYield.Length];
        double sum = 0, squares = 0;
        var positive = 0;
        for (var i = 0; i < _logPerYield.Length; i++)
        {
            _logFactor[i] = factor is null ? 0 : Math.Log(factor[i]);
            _logPerYield[i] = Math.Log(perYield[i]) + _logFactor[i];
            var logMiddle = rest is null ? _logPerYield[i] + _logMiddleYield : Math.Log(Math.Exp(_logPerYield[i] + _logMiddleYield) + rest[i]);
            if (double.IsFinite(logMiddle))
            {
                positive++;
                sum += logMiddle;
                squares += logMiddle * logMiddle;
            }
        }

        ShareOfNothing = 1 - (positive / (double)_logPerYield.Length);
        _start = positive > 0 ? sum / positive : 0;
        var variance = positive > 0 ? Math.Max(0, (squares / positive) - (_start * _start)) : 0;
        _spread = Math.Max(1e-6, Math.Sqrt(variance + (yield.LogDeviation * yield.LogDeviation)));
    }

    /// <summary>Share of the draws that give off nothing at all [-].</summary>
    private double ShareOfNothing { get; }

    /// <summary>The median with the ends between which a share of the draws lies.</summary>
    /// <param name="interval">The share, over 0 and below 1 [-].</param>
    public Uncertain Interval(double interval)
    {
        var median = Quantile(0.5);
        return new Uncertain(Math.Min(Quantile((1 - interval) / 2), median), median, Math.Max(Quantile((1 + interval) / 2), median));
    }

    /// <summary>The amount below which a share of the draws lies.</summary>
    /// <param name="share">The share, over 0 and below 1 [-].</param>
    public double Quantile(double share)
    {
        if (share <= ShareOfNothing)
        {
            return 0;
        }

        // In logarithms and standard deviations the distribution is nearly a straight line: a secant finds the place in three or four steps.
        // Halving takes over where it is not: at the cap, or for a yield without a spread, where it jumps.
        var target = Normal.InvCDF(0, 1, share);
        var (at, low, high) = (_start + (target * _spread), double.NegativeInfinity, double.PositiveInfinity);
        double lastAt = at - _spread, lastOff = -1, stride = 4 * _spread;
        for (var step = 0; step < MostSteps; step++)
        {
            var off = Normal.InvCDF(0, 1, ShareBelow(at)) - target;
            if (Math.Abs(off) < Tolerance)
            {
                break;
            }

            (low, high) = off < 0 ? (at, high) : (low, at);
            if (high - low < Tolerance)
            {
                return Math.Exp(high);
            }

            var next = at - (off * (at - lastAt) / (off - lastOff));
            (lastAt, lastOff) = (at, off);
            at = step < SecantSteps && next > low && next < high && Math.Abs(next - at) < 20 * _spread
                ? next
                : Halved(low, high);
        }

        return Math.Exp(at);

        // With one end open, ever farther.
        double Halved(double from, double to)
        {
            if (double.IsFinite(from) && double.IsFinite(to))
            {
                return (from + to) / 2;
            }

            stride *= 2;
            return double.IsInfinity(from) ? to - stride : from + stride;
        }
    }

    /// <summary>Share of the draws up to an amount [-].</summary>
    private double ShareBelow(double logAmount)
    {
        var sum = 0.0;
        for (var i = 0; i < _logPerYield.Length; i++)
        {
            var part = _rest is null ? logAmount : LogLess(logAmount, _rest[i]);
            var logYield = _curves.LogYield(i, _phase, part - _logFactor[i], part - _logPerYield[i]);
            var z = _logDeviation > 0 ? (logYield - _logMiddleYield) / _logDeviation : _curves.Yield.ZOf(Math.Exp(logYield));

            // Twice the probability of the yield, without the check and the shift of a distribution of its own. What the others add may be more already.
            sum += double.IsNaN(z) ? 0 : SpecialFunctions.Erfc(-z / Constants.Sqrt2);
        }

        return sum / (2 * _logPerYield.Length);
    }

    private static double Width(IReadOnlyDictionary<string, MaterialDraws> draws, string materialId) => draws[materialId].Curves.Yield.LogDeviation;

    private static double LogLess(double logAmount, double rest) => rest > 0 ? logAmount + Math.Log(1 - (rest * Math.Exp(-logAmount))) : logAmount;
}
