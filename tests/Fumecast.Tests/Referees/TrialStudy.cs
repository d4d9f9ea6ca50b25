// SPDX-License-Identifier: MIT
using Fumecast.Samples;
using Fumecast.Trial;

namespace Fumecast.Tests.Referees;

/// <summary>Simulated trials by the hundred: how often the intervals hold what the logs were made from, and how often a verdict is right.</summary>
/// <remarks>Seeds are fixed. The conditions are those of trial methods, "base", unless stated.</remarks>
internal static class TrialStudy
{
    /// <summary>Shares of trials in which an interval held the truth [-].</summary>
    public sealed record Coverage(double Emission, double Loss, double Integral, double Seen, double Strange, double MedianWidth);

    /// <summary>Of pairs: shares that held the truth, and the share that was called effective [-].</summary>
    public sealed record PairCoverage(double CleanAir, double Ratio, double CalledEffective);

    /// <summary>A run drawn from the base conditions.</summary>
    public static SimulatedRun Base(Random random) => new()
    {
        VolumeM3 = 20 + 25 * random.NextDouble(),
        LossPerH = 0.3 * Math.Pow(10, random.NextDouble()),
        EmissionPerG = 15 * Math.Pow(4, random.NextDouble()),
        DelayH = (3 + 4 * random.NextDouble()) / 60,
        DriftPerH = 0.2 * random.NextDouble() - 0.1,
        Background = 2 + 4 * random.NextDouble(),
    };

    public static Coverage Runs(int trials, int from, Func<SimulatedRun, Random, SimulatedRun> change)
    {
        var held = Parallel(trials, from, random =>
        {
            var run = change(Base(random), random);
            var fit = BoxFit.Of(run.Log(random));
            return (
                Holds(fit.EmissionPerG, run.EmissionPerG), Holds(fit.LossPerH, run.LossPerH), Holds(fit.IntegralPerG, run.EmissionPerG / run.LossPerH),
                fit.IsSeen, Math.Abs(fit.Strangest.Deviations) > StrangeSource.Limit, fit.EmissionPerG.High / fit.EmissionPerG.Low);
        });
        return new(Share(held, static one => one.Item1), Share(held, static one => one.Item2), Share(held, static one => one.Item3), Share(held, static one => one.Item4), Share(held, static one => one.Item5),
            held.Select(static one => one.Item6).Order().ElementAt(trials / 2));
    }

    public static PairCoverage Pairs(int trials, int from, Func<Random, double> cleanAirM3PerH, Func<SimulatedRun, SimulatedRun>? change = null)
    {
        var held = Parallel(trials, from, random =>
        {
            var without = Base(random);
            without = change?.Invoke(without) ?? without;
            var clean = cleanAirM3PerH(random);
            var with = without with { LossPerH = without.LossPerH + clean / without.VolumeM3, DelayH = Base(random).DelayH, DriftPerH = Base(random).DriftPerH };
            var (first, second) = (without.Log(random), with.Log(random));
            var (firstFit, secondFit) = (BoxFit.Of(first), BoxFit.Of(second));
            var pair = PairFit.Of(firstFit, secondFit);
            var lower = EffectTest.IsLower(PlateauSize.In(first, ReadingNoise.Usual(without.Floor)), PlateauSize.In(second, ReadingNoise.Usual(without.Floor)));
            return (Holds(pair.CleanAirM3PerH, clean), pair.Ratio is { } ratio && Holds(ratio, without.LossPerH / with.LossPerH), lower);
        });
        return new(Share(held, static one => one.Item1), Share(held, static one => one.Item2), Share(held, static one => one.lower));
    }

    /// <summary>Logs of a day with a print of four hours: share of steps that were found, and false events for each log.</summary>
    public static (double Found, double False) Events(int trials, int from, Func<Random, (double AtH, double Deviations)?> step)
    {
        var seen = Parallel(trials, from, random =>
        {
            var (loss, plateau) = (0.3 * Math.Pow(10, random.NextDouble()), 4 + 26 * random.NextDouble());
            var happens = step(random);
            var floor = happens is { AtH: > 8 and < 12.1 } ? double.Hypot(0.7, 0.04 * plateau) : 0.7;
            var run = new SimulatedRun
            {
                LossPerH = loss,
                EmissionPerG = plateau * 30 * loss / 7.5,
                Flow = [(4, 7.5)],
                BeforeH = 8,
                AfterH = 12,
                WalkPerRootH = 0.3,
                Steps = happens is { } one ? [(one.AtH, one.AtH + 2 + 3 * random.NextDouble(), one.Deviations * floor)] : [],
            };
            var log = run.Log(random);
            var events = EventFinder.In(log with { JobStartH = log.JobStartH + run.DelayH }, hasPrint: true, ReadingNoise.Usual(LogSlice.FloorOf(log.Records)));
            var found = happens is { } at && events.Any(one => Math.Abs(one.FromH - at.AtH) < 0.6 && one.Size > 0);
            return (found, (double)events.Count(one => happens is not { } known || !(one.FromH > known.AtH - 0.6 && one.FromH < known.AtH + 6)));
        });
        return (Share(seen, static one => one.found), seen.Average(static one => one.Item2));
    }

    /// <summary>Starts found: share answered, share of the answered within 5 min, share of those wrong by half an hour.</summary>
    public static (double Answered, double Within5Min, double WrongBy30Min) Starts(int trials, int from, double plateauDeviations)
    {
        var found = Parallel(trials, from, random =>
        {
            var run = Base(random) with { BeforeH = 1 + 3 * random.NextDouble(), DelayH = 0 };
            run = run with { EmissionPerG = plateauDeviations * run.Floor * run.VolumeM3 * run.LossPerH / 7.5 };
            var log = run.Log(random);
            var start = FoundStart.In(log.Records, log.Flow, ReadingNoise.Usual(LogSlice.FloorOf(log.Records)));
            return (start.IsClear, Math.Abs(start.StartH - run.BeforeH) * 60);
        });
        var answered = found.Where(static one => one.IsClear).ToList();
        return (Share(found, static one => one.IsClear), answered.Count(static one => one.Item2 <= 5) / Math.Max(1.0, answered.Count), answered.Count(static one => one.Item2 > 30) / Math.Max(1.0, answered.Count));
    }

    private static bool Holds(FittedValue value, double truth) => value.Low <= truth && truth <= value.High;

    private static double Share<T>(List<T> all, Func<T, bool> holds) => all.Count(holds) / (double)all.Count;

    private static List<T> Parallel<T>(int trials, int from, Func<Random, T> trial) =>
        [.. Enumerable.Range(0, trials).AsParallel().AsOrdered().WithDegreeOfParallelism(2).Select(i => trial(new Random(from + i)))];
}
