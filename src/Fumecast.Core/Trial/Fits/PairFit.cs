// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Trial;

/// <summary>What two runs of one room tell of a filter: clean air, by one fit to both logs with the emission for each gram shared; and the ratio of the time integrals.</summary>
internal sealed record PairFit
{
    /// <summary>What the filter delivers [m3/h]; below 0 where the run with it lost less.</summary>
    public required FittedValue CleanAirM3PerH { get; init; }

    /// <summary>Its standard error, weights held [m3/h].</summary>
    public required double CleanAirError { get; init; }

    /// <summary>Difference of the two loss rates of the separate fits, times the volume [m3/h]: needs no equal emission, and is wide.</summary>
    public required FittedValue ByLossDifferenceM3PerH { get; init; }

    /// <summary>Time integral for each gram with the filter over that without, by the separate fits; null where there is none to give.</summary>
    public required FittedValue? Ratio { get; init; }

    /// <summary>How badly the base of the ratio is known; from 1 on there is no ratio [-].</summary>
    public required double RatioSpread { get; init; }

    /// <summary>The ratio by the fit to both logs.</summary>
    public required FittedValue SharedRatio { get; init; }

    /// <summary>Logarithm of the ratio of the emissions for each gram [-], and how much was allowed for.</summary>
    public required double LogEmissionRatio { get; init; }

    /// <summary>Standard deviation that was allowed for it [-].</summary>
    public required double EmissionDeviation { get; init; }

    /// <summary>Sum of squares, priors included.</summary>
    public required double Q { get; init; }

    /// <summary>Whether the emissions differ by more than is allowed for: then clean air is not to be taken from the shared fit.</summary>
    public bool EmissionDiffers => Math.Abs(LogEmissionRatio) > 2 * EmissionDeviation;

    /// <summary>A value for each parameter.</summary>
    public required double[] Values { get; init; }

    /// <summary>Fits two runs.</summary>
    /// <param name="without">The run without the filter.</param>
    /// <param name="with">The run with it.</param>
    /// <param name="emissionDeviation">By how much the emission for each gram may differ from run to run: standard deviation of the logarithm [-].</param>
    /// <param name="interval">Coverage of the intervals [-].</param>
    public static PairFit Of(BoxFit without, BoxFit with, double emissionDeviation = 0.10, double interval = 0.9)
    {
        ArgumentNullException.ThrowIfNull(without);
        ArgumentNullException.ThrowIfNull(with);
        RunCurve[] curves = [new(without.Run), new(with.Run)];
        Whitening[] whitenings = [new(without.Run.Records, without.Noise, without.PrintLevels), new(with.Run.Records, with.Noise, with.PrintLevels)];
        var freedom = Math.Max(4, without.IndependentReadings + with.IndependentReadings - (FirstShared(without) ? 11 : 10));
        return Of(curves, whitenings, [without.Priors, with.Priors], without, with, emissionDeviation, StudentT.InvCDF(0, 1, freedom, (1 + interval) / 2));
    }

    /// <summary>Fits two runs with given weights and quantile.</summary>
    internal static PairFit Of(RunCurve[] curves, Whitening[] whitenings, BoxPriors[] priors, BoxFit without, BoxFit with, double emissionDeviation, double t)
    {
        var model = new PairModel(curves, whitenings, priors, emissionDeviation);
        var squares = new LeastSquares(model);
        var volume = curves[0].Run.VolumeM3;
        var (loss, ownLossWith) = (without.LossPerH.Value, with.LossPerH.Value);
        var byIntegrals = with.IntegralPerG.Value > 0 ? loss * without.IntegralPerG.Value / with.IntegralPerG.Value : ownLossWith;
        BestFit? best = null;
        foreach (var lossWith in new[] { ownLossWith, Math.Clamp(byIntegrals, BoxModel.LeastLossPerH, BoxModel.MostLossPerH) })
        {
            double[] start =
            [
                volume * (lossWith - loss), without.EmissionPerG.Value, Math.Log(loss), 0,
                .. without.Values.AsSpan(BoxModel.Delay, PairModel.OfRun), .. with.Values.AsSpan(BoxModel.Delay, PairModel.OfRun), .. without.Values.AsSpan(BoxModel.LogMixing..),
            ];
            var fit = squares.Minimize(start);
            best = best is null || fit.Q < best.Q ? fit : best;
        }

        var cleanAirError = Math.Sqrt(Math.Max(0, squares.Covariance(best!.Values)[PairModel.CleanAir, PairModel.CleanAir]));
        var ratioModel = new PairModel(curves, whitenings, priors, emissionDeviation, byRatio: true);
        var ratioValues = (double[])best.Values.Clone();
        ratioValues[PairModel.CleanAir] = Math.Exp(best.Values[PairModel.LogEmissionRatio]) * Math.Exp(best.Values[PairModel.LogLoss]) / model.LossWithPerH(best.Values);
        var ratioSquares = new LeastSquares(ratioModel);

        return new PairFit
        {
            CleanAirM3PerH = Ends(squares, best, PairModel.CleanAir, t),
            CleanAirError = cleanAirError,
            ByLossDifferenceM3PerH = Difference(with.LossPerH, without.LossPerH).Times(volume),
            Ratio = Fieller.Ratio(with.IntegralPerG.Value, with.IntegralError, without.IntegralPerG.Value, without.IntegralError, t),
            RatioSpread = Fieller.Spread(without.IntegralPerG.Value, without.IntegralError, t),
            SharedRatio = Ends(ratioSquares, best with { Values = ratioValues }, PairModel.CleanAir, t),
            LogEmissionRatio = best.Values[PairModel.LogEmissionRatio],
            EmissionDeviation = emissionDeviation,
            Q = best.Q,
            Values = best.Values,
        };
    }

    private static bool FirstShared(BoxFit without) => without.Run.IsEnclosed;

    private static FittedValue Ends(LeastSquares squares, BestFit best, int index, double t) =>
        new(best.Values[index], squares.ProfileEnd(best, index, t, -1, double.NegativeInfinity), squares.ProfileEnd(best, index, t, 1, double.PositiveInfinity));

    /// <summary>The difference of two independent values, each end by the ends that make it.</summary>
    private static FittedValue Difference(FittedValue one, FittedValue other) => new(
        one.Value - other.Value,
        one.Value - other.Value - double.Hypot(one.Value - one.Low, other.High - other.Value),
        one.Value - other.Value + double.Hypot(one.High - one.Value, other.Value - other.Low));
}
