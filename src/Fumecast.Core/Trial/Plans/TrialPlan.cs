// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Air;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>The front door to plans: whether a meter will see what a filter does to a print, how long that takes, and what would help.</summary>
public static class TrialPlan
{
    private const string Counter = "particle-counter";
    private const double HourS = 3600, MonthS = 30 * 86_400;

    // Spread evenly over the level without the filter; twice as many move a probability by less than a hundredth.
    private const int Draws = 61, DrawsForHelp = 31;
    private const double Gains = 0.05;

    // Common practice, no source: what a hot end of a desktop printer melts at the most; a run that still fits a day; the smallest box.
    private const double MostFlowMm3PerS = 24, LongestPrintH = 12, SmallestM3 = 0.03;
    private static readonly double[] Factors = [1.5, 2, 3, 5, 10, 20, 50, 100];

    /// <summary>Plans a trial.</summary>
    /// <param name="job">The job that is printed in every run.</param>
    /// <param name="air">The room, the meter (the first that is named) and the filter, which is what the trial is about.</param>
    /// <param name="options">What is asked; null for the defaults.</param>
    /// <param name="progress">Told the share of the job that has been read, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">The job, the room, the meter or the filter cannot be used, or an option is out of range.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static PlanOutcome For(string job, AirOptions air, PlanOptions? options = null, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(air);
        options ??= new PlanOptions();
        if (!(options.Certainty > 0.5 && options.Certainty < 1) || !(options.RunToRun is >= 0 and <= 3))
        {
            throw new ArgumentOutOfRangeException(nameof(options), options, "the certainty is not between 0.5 and 1, or the deviation from run to run is not 0 to 3");
        }

        if (air.Filter is null || air.Meters.Count == 0)
        {
            throw new InputProblem("the filter or the meter of the trial is missing; give --filter ID and --meter ID") { IsOfOptions = true };
        }

        var meter = AirData.Meters.Load(air.Meters[0]);
        var hasCounter = meter.Channels.Any(static channel => channel.Quantity == MeterQuantity.Number);
        var printed = JobOfRun.Read(job, air.Jobs with { Interval = air.Interval, Seed = air.Seed }, cancel);
        var outlook = AirForecast.WithFilter(job, air with { Meters = [air.Meters[0]] }, hasCounter ? [] : [AirData.Meters.Load(Counter)], progress, cancel);
        return new Planner(printed, meter, outlook, options, air.Interval, cancel).Outcome();
    }

    private sealed class Planner(JobOfRun job, MeterKind meter, FilterOutlook outlook, PlanOptions options, double interval, CancellationToken cancel)
    {
        public PlanOutcome Outcome()
        {
            var views = outlook.Seen.Where(seen => seen.Meter.Id == meter.Id).Select(seen => new View(this, seen)).ToList();
            // Channels that show the same are told apart by nothing: PM2.5 is what most people know.
            var best = views.Where(static view => view.Planned.Without.High > 0).OrderByDescending(static view => Math.Round(view.Planned.ProbabilitySeen, 2))
                .ThenBy(static view => view.Planned.Quantity == "pm25" ? 0 : 1).FirstOrDefault();
            var logAfterS = HourS * PlannedPair.AfterFor(best?.LossPerH ?? 0);
            var jobS = outlook.Air.PrintEndS - outlook.Air.PrintStartS;
            var (runs, steps) = PlanSteps.Of(job.File, outlook.Filter.Id, meter.WarmUpS.Value, HourS * PlannedPair.BeforeH, jobS, logAfterS);
            return new PlanOutcome
            {
                Interval = interval,
                Job = job.File,
                MassG = job.MassG,
                FlowMm3PerS = FlowMm3PerS,
                PrintS = HourS * job.Flow.EndH,
                Room = outlook.Room.Id,
                Zone = outlook.Zone.Id,
                VolumeM3 = outlook.Zone.VolumeM3.Value,
                Meter = meter.Id,
                Filter = outlook.Filter.Id,
                Options = options,
                Quantities = [.. views.Select(static view => view.Planned)],
                Best = best?.Planned,
                Help = best is null ? [] : [.. Help(best).Where(help => help.ProbabilitySeen >= best.Planned.ProbabilitySeen + Gains).OrderByDescending(static help => help.ProbabilitySeen)],
                WaitS = best is { LossPerH: > 0 } ? HourS * RunLength.WaitH(best.LossPerH) : null,
                AverageS = best?.AverageS,
                BeforeS = HourS * PlannedPair.BeforeH,
                LogAfterS = logAfterS,
                Runs = runs,
                Steps = steps,
                Settings = [new("filter of the trial", outlook.Filter.Id, "--filter"), new("meter", meter.Id, "--meter"), new("meter stands in", outlook.Zone.Id, "the room around the printer and its box"), .. Assumed(), .. outlook.Air.Settings],
                Diagnostics = outlook.Air.Diagnostics,
                Sources = [.. outlook.Air.Sources, .. TrialBasis.Sources.Where(static source => source.Id == "BOXFIT"), new("CURRIE1968", "L. A. Currie: Limits for qualitative detection and quantitative determination. Analytical Chemistry 40 (1968) 586-593", null, "memory")],
                Cautions = [.. Cautions().Concat(outlook.Air.Cautions).Distinct()],
            };
        }

        private double FlowMm3PerS => job.Estimate.Job.Tools.Sum(static tool => tool.DepositedMm3) / (HourS * job.Flow.EndH);

        private IEnumerable<ResolvedSetting> Assumed()
        {
            yield return new("levels of two runs alike, day to day", string.Create(CultureInfo.InvariantCulture, $"the same to {100 * options.RunToRun:0.#} %"), "an assumption; repeats would show it");
            yield return new("how sure a difference counts as shown", "5 % of trials of a filter without effect", "trial methods of this project");
        }

        private static IEnumerable<string> Cautions()
        {
            yield return "The probability rests on the table's emission, the room and the filter as they are thought to be. The base run alone tells more of them than the forecast: plan again after it, with the material file that it gives.";
            yield return "What no reading shows must be held: windows, doors, fans, heating, people. A draught or a visitor changes more than most filters.";
            yield return "Stay out of the room while it prints, or air it well: a trial needs shut doors, and those who print need fresh air. A printer must not run where nobody would notice a fire.";
        }

        private IEnumerable<PlanHelp> Help(View view)
        {
            if (view.Planned.ProbabilitySeen >= options.Certainty)
            {
                yield break;
            }

            if (view.Planned.Pairs is > 1 and var pairs)
            {
                yield return new(PlanHelpKind.MorePairs, pairs, pairs, PlannedPair.Probability(view.Expected(DrawsForHelp), options.RunToRun, pairs));
            }

            var mostTimes = MostFlowMm3PerS / FlowMm3PerS;
            var (times, chance) = Least(view);
            if (mostTimes > Factors[0])
            {
                var higher = Math.Min(times, mostTimes);
                yield return new(PlanHelpKind.HigherFlow, higher * FlowMm3PerS, higher, higher < times ? Chance(view.Expected(DrawsForHelp, higher)) : chance);
            }

            if (outlook.Zone.VolumeM3.Value / times is > SmallestM3 and var smaller)
            {
                yield return new(PlanHelpKind.SmallerRoom, smaller, 1 / times, chance);
            }

            foreach (var seen in outlook.Seen.Where(seen => seen.Meter.Id != meter.Id && view.Planned.Quantity != "tvoc"))
            {
                yield return new(PlanHelpKind.NumberCounter, 1, 1, Chance(new View(this, seen).Expected(DrawsForHelp)));
            }

            foreach (var longer in new[] { 2.0, 4 }.Where(longer => longer * job.Flow.EndH <= LongestPrintH))
            {
                var flow = new FlowSteps([.. job.Flow.StartsH.Select(at => longer * at)], job.Flow.FlowGPerH);
                yield return new(PlanHelpKind.LongerRun, HourS * flow.EndH, longer, Chance(view.Expected(DrawsForHelp, longer, job with { Flow = flow })));
            }
        }

        /// <summary>The least of the factors on all levels that makes the difference likely to be seen; else the largest.</summary>
        private (double Times, double Chance) Least(View view)
        {
            var (times, chance) = (1.0, 0.0);
            foreach (var factor in Factors)
            {
                (times, chance) = (factor, Chance(view.Expected(DrawsForHelp, factor)));
                if (chance >= PlannedQuantity.LikelyFrom)
                {
                    break;
                }
            }

            return (times, chance);
        }

        private double Chance(IReadOnlyList<(PlateauSize Without, PlateauSize With)> expected) => PlannedPair.Probability(expected, options.RunToRun);

        /// <summary>What one quantity will show.</summary>
        private sealed class View
        {
            private readonly Planner _planner;
            private readonly MeterDraws _seen;
            private readonly int[] _byLevel;

            public View(Planner planner, MeterDraws seen)
            {
                (_planner, _seen) = (planner, seen);
                _byLevel = [.. Enumerable.Range(0, seen.AsItIs.Length).OrderBy(k => seen.AsItIs[k].IntegralH)];
                double[] losses = [.. seen.AsItIs.Where(static fall => fall.LossPerH > 0).Select(static fall => fall.LossPerH)];
                Uncertain? loss = losses.Length > 0 ? MeterDraws.IntervalOf(losses, planner.Interval) : null;
                LossPerH = loss?.Median ?? 0;
                var (without, with) = (Plateaus(seen.AsItIs), Plateaus(seen.Changed));
                double[] difference = [.. without.Zip(with, static (one, other) => one - other)];
                double[] ratio = [.. without.Zip(with).Where(static pair => pair.First > 0).Select(static pair => pair.Second / pair.First)];
                var pair = Pair(planner.Job);
                var expected = Expected(Draws);
                var middle = Middle(without, with, pair);
                var noise = MeterNoise.Of(seen.Channel, seen.WithoutPrint, static figure => figure.Value);
                Planned = new PlannedQuantity
                {
                    Quantity = seen.Channel.Quantity.ToString().ToLowerInvariant(),
                    Unit = seen.Unit,
                    Without = Of(without),
                    With = Of(with),
                    Difference = Of(difference),
                    Ratio = ratio.Length > 0 ? Of(ratio) : null,
                    LossPerH = loss,
                    Detectable = Math.Sqrt(2) * noise.DetectionLimit(HourS * PlannedPair.BeforeH, HourS * PlannedPair.BeforeH),
                    Noise = pair.Floor,
                    Resolution = seen.Channel.Resolution.Value,
                    IsResolutionLimited = noise.IsResolutionLimited,
                    ProbabilitySeen = planner.Chance(expected),
                    ProbabilityInTheMiddle = planner.Chance([middle]),
                    Pairs = PlannedPair.PairsFor(expected, planner.Options.RunToRun, planner.Options.Certainty),
                    PairsInTheMiddle = PlannedPair.PairsFor([middle], planner.Options.RunToRun, planner.Options.Certainty),
                };
                var readings = Planned.Difference.Median > 0
                    ? Math.Max(1, RunLength.Readings(double.Hypot(pair.Floor, noise.StepDeviation), Planned.Difference.Median, planner.Options.Certainty))
                    : double.PositiveInfinity;
                AverageS = RunLength.Averaging(readings, seen.Channel.AutocorrelationS.Value) is <= MonthS and var average ? average : null;

                Uncertain Of(double[] draws) => MeterDraws.IntervalOf(draws, planner.Interval);
            }

            public PlannedQuantity Planned { get; }

            /// <summary>How fast the level falls, in the middle [1/h]; 0 where nothing is shown.</summary>
            public double LossPerH { get; }

            public double? AverageS { get; }

            public IReadOnlyList<(PlateauSize Without, PlateauSize With)> Expected(int draws, double times = 1, JobOfRun? job = null)
            {
                var pair = Pair(job ?? _planner.Job);
                return [.. Enumerable.Range(0, draws).AsParallel().AsOrdered().WithCancellation(_planner.Cancel).Select(i =>
                {
                    var k = _byLevel[(int)((i + 0.5) / draws * _byLevel.Length)];
                    return pair.Expected(_seen.AsItIs[k], _seen.Changed[k], times);
                })];
            }

            private (PlateauSize Without, PlateauSize With) Middle(double[] without, double[] with, PlannedPair pair)
            {
                var hours = _planner.Job.Flow.EndH;
                var (one, other) = (MeterDraws.IntervalOf(without, 0.9).Median, MeterDraws.IntervalOf(with, 0.9).Median);
                double[] faster = [.. _seen.Changed.Where(static fall => fall.LossPerH > 0).Select(static fall => fall.LossPerH)];
                return pair.Expected(new(one * hours, LossPerH), new(other * hours, faster.Length > 0 ? MeterDraws.IntervalOf(faster, 0.9).Median : LossPerH));
            }

            private double[] Plateaus(DrawnFall[] falls) => [.. falls.Select(fall => fall.IntegralH / _planner.Job.Flow.EndH)];

            private PlannedPair Pair(JobOfRun job) => new(job, _seen.Meter, _seen.Channel, _seen.WithoutPrint, LossPerH);
        }

        private JobOfRun Job => job;

        private PlanOptions Options => options;

        private double Interval => interval;

        private CancellationToken Cancel => cancel;
    }
}
