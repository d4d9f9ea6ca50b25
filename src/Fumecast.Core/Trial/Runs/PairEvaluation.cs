// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;
using MathNet.Numerics.Distributions;
using MathNet.Numerics.Statistics;

namespace Fumecast.Trial;

/// <summary>Holds runs against each other, quantity by quantity.</summary>
/// <param name="notebook">The notebook.</param>
/// <param name="interval">Coverage of the intervals [-].</param>
internal sealed class PairEvaluation(Notebook notebook, double interval)
{
    private const double HalfRatio = 0.5;

    /// <summary>The pairs of a notebook: those it names, else every run with a filter against the first without.</summary>
    /// <param name="runs">The runs as they were read.</param>
    public IEnumerable<PairOutcome> Of(IReadOnlyList<RunOutcome> runs)
    {
        foreach (var (basis, run) in Named(runs))
        {
            foreach (var quantity in basis.Quantities)
            {
                if (run.Quantities.FirstOrDefault(other => other.Quantity == quantity.Quantity && other.Unit == quantity.Unit) is { } other)
                {
                    yield return basis.IsDecay ? Decays(basis, run, quantity, other) : Prints(basis, run, quantity, other);
                }
            }
        }

        foreach (var repeated in Repeats(runs))
        {
            yield return repeated;
        }
    }

    private IEnumerable<(RunOutcome Base, RunOutcome Run)> Named(IReadOnlyList<RunOutcome> runs)
    {
        RunOutcome Find(string name) => runs.First(run => run.Name == name);
        if (notebook.Pairs.Count > 0)
        {
            return notebook.Pairs.Select(pair => (Find(pair.Base), Find(pair.Run))).Where(static pair => pair.Item1.IsDecay == pair.Item2.IsDecay && !pair.Item1.IsControl && !pair.Item2.IsControl);
        }

        return runs.Where(static run => run.Filter is not null && !run.IsControl)
            .Select(run => (Base: runs.FirstOrDefault(other => other.Filter is null && !other.IsControl && other.IsDecay == run.IsDecay), Run: run))
            .Where(static pair => pair.Base is not null).Select(static pair => (pair.Base!, pair.Run));
    }

    private PairOutcome Prints(RunOutcome basis, RunOutcome run, QuantityOutcome first, QuantityOutcome second)
    {
        var outcome = new PairOutcome { Base = basis.Name, Run = run.Name, Quantity = first.Quantity, Filter = run.Filter, Effect = PairEffect.CannotTell };
        if (first.Fit is not { } without || second.Fit is not { } with)
        {
            return outcome with { WhyNot = "one of the two logs could not be fitted" };
        }

        if (!first.IsSeen)
        {
            return outcome with { WhyNot = $"the log of '{basis.Name}' does not show the print, so there is nothing to hold the other against" };
        }

        if (first.IsSpoiled || second.IsSpoiled)
        {
            return outcome with { WhyNot = $"something beside the print spoils the log of '{(first.IsSpoiled ? basis : run).Name}'" };
        }

        // Both logs in one unit: either was scaled by its own noise.
        var rescaled = Rescaled(with, first.FitScale / second.FitScale);
        var pair = PairFit.Of(without, rescaled, notebook.EmissionDeviation, interval);
        var ratio = pair.Ratio;
        var days = notebook.RunToRun;
        var withDays = Fieller.Ratio(
            rescaled.IntegralPerG.Value, double.Hypot(rescaled.IntegralError, days * rescaled.IntegralPerG.Value),
            without.IntegralPerG.Value, double.Hypot(without.IntegralError, days * without.IntegralPerG.Value), without.T);
        var (height, otherHeight) = (PlateauSize.In(without.Run with { JobStartH = without.Run.JobStartH + without.DelayH }, Floor(without)), PlateauSize.In(rescaled.Run with { JobStartH = rescaled.Run.JobStartH + rescaled.DelayH }, Floor(rescaled)));
        if (!second.IsSeen)
        {
            // A print that cannot be told from nothing has no loss rate of its own; the heights say how low it lies at least.
            (ratio, withDays) = (Fieller.Ratio(otherHeight.Height, otherHeight.Error, height.Height, height.Error, without.T), Fieller.Ratio(
                otherHeight.Height, double.Hypot(otherHeight.Error, days * otherHeight.Height), height.Height, double.Hypot(height.Error, days * height.Height), without.T));
        }

        var effect = EffectOf(height, otherHeight, days, withDays);
        var cleanAir = RunEvaluation.Wider(pair.CleanAirM3PerH, notebook.Room is null ? 0 : TrialAir.Of(notebook).VolumeM3.LogDeviation, without.T);
        var mayBeNone = !(cleanAir.Low > 0);
        string? whyNot = ratio is null ? "the base is not known well enough for a ratio"
            : !second.IsSeen ? $"the log of '{run.Name}' lies at its background: the ratio is an upper end only"
            : pair.EmissionDiffers ? "different amounts for each gram reached the room, so clean air follows from the loss rates alone: the prints differed, or the filter stands in the box and takes it out before"
            : null;
        return outcome with
        {
            Ratio = Bounded(ratio),
            RatioWithDays = Bounded(withDays),
            PlateauRatio = Bounded(Fieller.Ratio(otherHeight.Height, otherHeight.Error, height.Height, height.Error, without.T)),
            CleanAirM3PerH = second.IsSeen && !pair.EmissionDiffers && cleanAir.High is > 0 and < double.PositiveInfinity ? new(Math.Max(0, cleanAir.Low), Math.Max(0, cleanAir.Value), cleanAir.High) : null,
            CleanAirMayBeNone = mayBeNone,
            CleanAirByLossM3PerH = second.IsSeen ? RunEvaluation.Uncertain(pair.ByLossDifferenceM3PerH) : null,
            Agree = second.IsSeen ? !pair.EmissionDiffers : null,
            Effect = effect,
            WhyNot = whyNot,
        };
    }

    private static PairEffect EffectOf(PlateauSize height, PlateauSize otherHeight, double days, FittedValue? ratio) =>
        EffectTest.IsLower(height, otherHeight, days) && (ratio is null || ratio.Value.High < 1) ? PairEffect.Less
        : EffectTest.IsLower(otherHeight, height, days) && height.Height > 0 && (ratio is null || ratio.Value.Low > 1) ? PairEffect.More
        : ratio is { } known && known.Low > HalfRatio ? PairEffect.NoneSeen
        : PairEffect.CannotTell;

    private PairOutcome Decays(RunOutcome basis, RunOutcome run, QuantityOutcome first, QuantityOutcome second)
    {
        var outcome = new PairOutcome { Base = basis.Name, Run = run.Name, Quantity = first.Quantity, Filter = run.Filter, Effect = PairEffect.CannotTell };
        if (first.Line is not { } without || second.Line is not { } with)
        {
            return outcome with { WhyNot = "one of the two decays could not be read" };
        }

        if ((run.VolumeM3 ?? basis.VolumeM3) is not { } volume)
        {
            return outcome with { WhyNot = "the volume is not stated: give the runs a volume, or name a room" };
        }

        var stated = notebook.Runs.First(one => one.Name == run.Name).VolumeM3 ?? notebook.Runs.First(one => one.Name == basis.Name).VolumeM3 ?? (notebook.Room is null ? null : TrialAir.Of(notebook).VolumeM3);
        // Natural loss differs from day to day.
        var days = notebook.RunToRun;
        (without, with) = (without with { Error = double.Hypot(without.Error, days * without.LossPerH) }, with with { Error = double.Hypot(with.Error, days * without.LossPerH) });
        var pair = DecayPair.Of(without, with, volume, volume * (stated?.LogDeviation ?? 0), interval);
        var cleanAir = pair.CleanAirM3PerH;
        return outcome with
        {
            CleanAirM3PerH = cleanAir.High > 0 ? new(Math.Max(0, cleanAir.Low), Math.Max(0, cleanAir.Value), cleanAir.High) : null,
            CleanAirMayBeNone = cleanAir.Low <= 0,
            Effect = cleanAir.Low > 0 ? PairEffect.Less : cleanAir.High < 0 ? PairEffect.More : PairEffect.CannotTell,
            WhyNot = cleanAir.High <= 0 ? "the level fell more slowly with the filter" : null,
        };
    }

    /// <summary>With three runs or more of two kinds the runs themselves are the sample: how they scatter holds the days.</summary>
    private IEnumerable<PairOutcome> Repeats(IReadOnlyList<RunOutcome> runs)
    {
        var prints = runs.Where(static run => !run.IsControl && !run.IsDecay).ToArray();
        var without = prints.Where(static run => run.Filter is null).ToArray();
        foreach (var with in prints.Where(static run => run.Filter is not null).GroupBy(static run => run.Filter!))
        {
            if (without.Length == 0 || without.Length + with.Count() < 3)
            {
                continue;
            }

            foreach (var quantity in without[0].Quantities)
            {
                var (first, second) = (Logs(without, quantity.Quantity), Logs(with, quantity.Quantity));
                // The strongest effect is a run that is not seen: without it the others would tell too little.
                var isMissing = with.Any(run => run.Quantities.FirstOrDefault(one => one.Quantity == quantity.Quantity) is { IsSeen: false });
                if (isMissing || first.Length == 0 || second.Length == 0 || first.Length + second.Length < 3)
                {
                    continue;
                }

                var freedom = first.Length + second.Length - 2;
                var spread = Math.Sqrt((Squares(first) + Squares(second)) / freedom);
                var difference = second.Mean() - first.Mean();
                var half = StudentT.InvCDF(0, 1, freedom, (1 + interval) / 2) * spread * Math.Sqrt(1.0 / first.Length + 1.0 / second.Length);
                var ratio = new Uncertain(Math.Exp(difference - half), Math.Exp(difference), Math.Exp(difference + half));
                yield return new PairOutcome
                {
                    Base = string.Join(", ", without.Select(static run => run.Name)),
                    Run = string.Join(", ", with.Select(static run => run.Name)),
                    Quantity = quantity.Quantity,
                    Filter = with.Key,
                    Ratio = ratio,
                    RatioWithDays = ratio,
                    Effect = ratio.High < 1 ? PairEffect.Less : ratio.Low > 1 ? PairEffect.More : ratio.Low > HalfRatio ? PairEffect.NoneSeen : PairEffect.CannotTell,
                    Runs = first.Length + second.Length,
                };
            }
        }
    }

    // A run that something else spoiled is no sample of the filter.
    private static double[] Logs(IEnumerable<RunOutcome> runs, string quantity) => [.. runs
        .Select(run => run.Quantities.FirstOrDefault(one => one.Quantity == quantity && !one.IsSpoiled)?.NetIntegralHPerG?.Median).OfType<double>().Where(static one => one > 0).Select(static one => Math.Log(one))];

    private static double Squares(double[] values) => values.Sum(value => (value - values.Average()) * (value - values.Average()));

    private static ReadingNoise Floor(BoxFit fit) => ReadingNoise.Usual(LogSlice.FloorOf(fit.Run.Records));

    private static Uncertain? Bounded(FittedValue? value) => value is { } one ? RunEvaluation.Uncertain(one) is { } told ? new(Math.Max(0, told.Low), Math.Max(0, told.Median), told.High) : null : null;

    /// <summary>A fit in another unit of its readings.</summary>
    private static BoxFit Rescaled(BoxFit fit, double factor)
    {
        if (Math.Abs(factor - 1) < 1e-12)
        {
            return fit;
        }

        var records = fit.Run.Records;
        double[] values = [.. fit.Values];
        (values[BoxModel.Emission], values[BoxModel.Background], values[BoxModel.Drift]) = (values[BoxModel.Emission] * factor, values[BoxModel.Background] * factor, values[BoxModel.Drift] * factor);
        return fit with
        {
            Run = fit.Run with { Records = new RunRecords(records.StartsH, [.. records.Values.Select(value => value * factor)], records.LengthH, records.DisplayStep * factor) },
            EmissionPerG = fit.EmissionPerG.Times(factor),
            EmissionError = fit.EmissionError * factor,
            IntegralPerG = fit.IntegralPerG.Times(factor),
            IntegralError = fit.IntegralError * factor,
            Background = fit.Background.Times(factor),
            PrintLevels = [.. fit.PrintLevels.Select(level => level * factor)],
            Noise = fit.Noise with { Floor = fit.Noise.Floor * factor },
            Priors = fit.Priors with { DriftDeviationPerH = fit.Priors.DriftDeviationPerH * factor },
            Values = values,
        };
    }
}
