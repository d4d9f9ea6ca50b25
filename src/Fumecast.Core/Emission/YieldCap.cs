// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;
using MathNet.Numerics.Distributions;

namespace Fumecast.Emission;

/// <summary>The cap on a particle rate at every point of the draws; curves are made when a yield comes near enough to meet it, which few do.</summary>
internal sealed class YieldCap
{
    private readonly double[] _logLowestYields;
    private readonly CapCurve?[] _curves;
    private readonly double _logHighestYield;
    private readonly Func<int, CapCurve?> _make;

    /// <summary>Takes the cap.</summary>
    /// <param name="logLowestYields">Logarithms of yields up to which no moment meets the cap, for each point; kept and changed.</param>
    /// <param name="highestYieldPerG">Highest yield that is looked at [1/g].</param>
    /// <param name="make">Makes the curve of a point; null when no moment meets the cap after all.</param>
    public YieldCap(double[] logLowestYields, double highestYieldPerG, Func<int, CapCurve?> make)
    {
        (_logLowestYields, _make) = (logLowestYields, make);
        _logHighestYield = Math.Log(highestYieldPerG);
        _curves = new CapCurve?[logLowestYields.Length];
    }

    /// <summary>The highest yield for which a cap is looked at: a hundredth of those beyond the interval lie above it.</summary>
    /// <param name="yield">The yield.</param>
    /// <param name="interval">Coverage of the interval, over 0 and below 1 [-].</param>
    public static double HighestOf(Figure yield, double interval) => yield.At(Normal.InvCDF(0, 1, 1 - ((1 - interval) / 200)));

    /// <summary>The curve of a point; null up to the yield at which the first moment meets the cap.</summary>
    public CapCurve? CurveAt(int point, double logYield)
    {
        if (!(logYield > _logLowestYields[point]))
        {
            return null;
        }

        if (_curves[point] is not { } curve)
        {
            _curves[point] = _make(point);
            _logLowestYields[point] = _curves[point]?.LogFirstYield ?? double.PositiveInfinity;
            return CurveAt(point, logYield);
        }

        return curve;
    }

    /// <summary>Logarithm of the yield that gives an amount; infinite for one that no yield gives up to the highest.</summary>
    public double LogYield(int point, EmissionPhase phase, double logAmount, double logYield)
    {
        if (!(logYield > _logLowestYields[point]))
        {
            return logYield;
        }

        // Beyond the highest yield even without the cap: no need to ask how far.
        return logYield > _logHighestYield && _logLowestYields[point] < _logHighestYield
            ? double.PositiveInfinity
            : CurveAt(point, logYield)?.LogYield(phase, logAmount) ?? logYield;
    }
}
