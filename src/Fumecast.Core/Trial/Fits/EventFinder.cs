// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;

namespace Fumecast.Trial;

/// <summary>A change of a log that its print does not explain.</summary>
/// <param name="FromH">When it begins, on the clock of the records [h].</param>
/// <param name="ToH">When it ends or begins to fade; null when it lasts to the end of the log [h].</param>
/// <param name="Fades">Whether it ends as the air clears, rather than at once.</param>
/// <param name="Size">By how much the level changes [unit of the readings].</param>
/// <param name="Error">Standard error of the size [same].</param>
/// <param name="Deviations">How far from chance [-].</param>
internal sealed record LogEvent(double FromH, double? ToH, bool Fades, double Size, double Error, double Deviations);

/// <summary>Finds what happens in a log beside the print: steps of the level, passing ones and such as fade.</summary>
/// <remarks>The background may walk, so slow changes are no events. Source: trial methods, 9.</remarks>
internal sealed class EventFinder
{
    /// <summary>How far a background walks in an hour, over the noise of the meter [-].</summary>
    public const double UsualWalk = 0.5;

    /// <summary>Deviations from which on a change is an event: about one false one in two to seven days.</summary>
    public const double Limit = 4;

    private const int MostEvents = 8;
    private const double OnsetEveryH = 1.0 / 6, RampH = 1.0 / 3, ShortestH = 0.5, LongestH = 8;
    private const double LeastInformation = 0.3, MuchWalk = 1.0, TailWeight = 3, FadedShare = 1e-4;
    private static readonly double[] Walks = [0.5, 0.75, 1.0, 1.5];

    private readonly BoxRun _run;
    private readonly bool _hasPrint;
    private readonly ReadingNoise _noise;
    private readonly CancellationToken _cancel;

    private EventFinder(BoxRun run, bool hasPrint, ReadingNoise noise, CancellationToken cancel) => (_run, _hasPrint, _noise, _cancel) = (run, hasPrint, noise, cancel);

    /// <summary>The events of a run, in the order of time.</summary>
    /// <param name="run">The run.</param>
    /// <param name="hasPrint">Whether a job ran.</param>
    /// <param name="noise">The noise of the meter.</param>
    /// <param name="cancel">Stops the search.</param>
    public static IReadOnlyList<LogEvent> In(BoxRun run, bool hasPrint, ReadingNoise noise, CancellationToken cancel = default)
    {
        var finder = new EventFinder(run, hasPrint, noise, cancel);
        var (events, columns) = finder.Search(UsualWalk, []);

        // How far the background walks can only be asked once the largest events are out of the way: else they count as its walk.
        double[][] largest = [.. columns.Zip(events).OrderByDescending(static pair => Math.Abs(pair.Second.Deviations)).Take(2).Select(static pair => pair.First)];
        var walk = Walks.MinBy(walk => finder.Misfit(walk, largest));
        return Merged(walk < MuchWalk ? events : finder.Search(walk, []).Events);
    }

    private double Misfit(double walk, double[][] events)
    {
        var print = new PrintColumns(_run, _hasPrint, _noise, walk * _noise.Floor, null, events);
        var rest = Projection.Of([.. print.Print, .. events.Select(one => print.Filter.Of(one))]).Rest(print.Readings);
        return print.Filter.LogDeterminant + rest.Sum(static z => Math.Abs(z) <= TailWeight ? z * z : 2 * TailWeight * Math.Abs(z) - TailWeight * TailWeight);
    }

    private (List<LogEvent> Events, List<double[]> Columns) Search(double walk, List<double[]> columns)
    {
        var print = new PrintColumns(_run, _hasPrint, _noise, walk * _noise.Floor, null, columns);
        var basis = new Basis(_run.Records, print.Filter, print.LossPerH);
        List<(double[] Column, double FromH, double? ToH, bool Fades)> found = [];
        List<double[]> known = [.. print.Print];
        while (found.Count < MostEvents)
        {
            _cancel.ThrowIfCancellationRequested();
            if (basis.Best(Projection.Of([.. known]), print.Readings) is not { } best)
            {
                break;
            }

            found.Add(best);
            known.Add(print.Filter.Of(best.Column));
        }

        if (found.Count == 0)
        {
            return ([], []);
        }

        // With the events beside it the loss rate may come out otherwise; sizes are of the last fit.
        print = new PrintColumns(_run, _hasPrint, _noise, walk * _noise.Floor, null, [.. found.Select(static one => one.Column)]);
        double[][] all = [.. print.Print, .. found.Select(one => print.Filter.Of(one.Column))];
        var projection = Projection.Of(all);
        var (coefficients, scale) = (projection.Coefficients(print.Readings), ScaleOf(projection.Rest(print.Readings)));
        var events = found.Select((one, i) =>
        {
            var (size, error) = (coefficients[print.Print.Length + i], scale * Math.Sqrt(projection.Variance(print.Print.Length + i)));
            return new LogEvent(one.FromH, one.ToH, one.Fades, size, error, size / error);
        }).ToList();
        return (events, [.. found.Select(static one => one.Column)]);
    }

    private static double ScaleOf(double[] rest)
    {
        var sizes = rest.Where(static one => one != 0).Select(Math.Abs).ToArray();
        return sizes.Length == 0 ? 1 : Math.Max(1, Spikes.DeviationOverMedian * sizes.Median());
    }

    /// <summary>Neighbours of one sign that begin within an hour are one event.</summary>
    private static List<LogEvent> Merged(List<LogEvent> events)
    {
        List<LogEvent> merged = [];
        foreach (var one in events.OrderBy(static one => one.FromH))
        {
            if (merged.Count > 0 && merged[^1] is { } last && Math.Sign(last.Size) == Math.Sign(one.Size) && one.FromH - last.FromH <= 1)
            {
                var stronger = Math.Abs(one.Deviations) > Math.Abs(last.Deviations) ? one : last;
                merged[^1] = stronger with { FromH = last.FromH, ToH = last.ToH is { } a && one.ToH is { } b ? Math.Max(a, b) : null };
                continue;
            }

            merged.Add(one);
        }

        return merged;
    }

    /// <summary>The shapes that are tried: ramps up, and what clears after a time. Pairs of them are taken from their products, so nothing is whitened twice.</summary>
    private sealed class Basis
    {
        private readonly RunRecords _records;
        private readonly double _loss;
        private readonly double[] _onsetsH;
        private readonly (double[] White, int From, int To)[] _ramps, _clearings;

        public Basis(RunRecords records, WalkingBackground filter, double lossPerH)
        {
            (_records, _loss) = (records, lossPerH);
            var end = records.StartsH[^1];
            _onsetsH = [.. Enumerable.Range(0, Math.Max(1, (int)((end - records.StartsH[0]) / OnsetEveryH))).Select(i => records.StartsH[0] + i * OnsetEveryH)];
            _ramps = [.. _onsetsH.Select(onset => White(filter, Ramp(onset)))];
            _clearings = [.. _onsetsH.Select(onset => White(filter, Clearing(onset)))];
        }

        /// <summary>The shape that explains most of what is left; null when none reaches the limit.</summary>
        public (double[] Column, double FromH, double? ToH, bool Fades)? Best(Projection known, double[] readings)
        {
            var rest = known.Rest(readings);
            var scale = ScaleOf(rest);
            var (rampProducts, clearingProducts) = (Products(_ramps, rest), Products(_clearings, rest));
            var (rampFree, clearingFree) = (Free(known, _ramps), Free(known, _clearings));
            (int From, int To, bool Fades) best = (-1, -1, false);
            var most = Limit;
            for (var from = 0; from < _ramps.Length; from++)
            {
                var own = rampFree.Square(from, _ramps[from], rampFree, from, _ramps[from]);
                Try(from, -1, false, rampProducts[from], own);
                for (var to = from + 1; to < _ramps.Length; to++)
                {
                    var lasts = _onsetsH[to] - _onsetsH[from];
                    if (lasts < ShortestH - 1e-9)
                    {
                        continue;
                    }

                    if (lasts > LongestH + 1e-9)
                    {
                        break;
                    }

                    Try(from, to, false, rampProducts[from] - rampProducts[to],
                        own - 2 * rampFree.Square(from, _ramps[from], rampFree, to, _ramps[to]) + rampFree.Square(to, _ramps[to], rampFree, to, _ramps[to]));
                    Try(from, to, true, rampProducts[from] - clearingProducts[to],
                        own - 2 * rampFree.Square(from, _ramps[from], clearingFree, to, _clearings[to]) + clearingFree.Square(to, _clearings[to], clearingFree, to, _clearings[to]));
                }
            }

            if (best.From < 0)
            {
                return null;
            }

            var column = Ramp(_onsetsH[best.From]);
            if (best.To >= 0)
            {
                var end = best.Fades ? Clearing(_onsetsH[best.To]) : Ramp(_onsetsH[best.To]);
                for (var i = 0; i < column.Length; i++)
                {
                    column[i] -= end[i];
                }
            }

            return (column, _onsetsH[best.From] + RampH / 2, best.To < 0 ? null : _onsetsH[best.To] + (best.Fades ? 0 : RampH / 2), best.Fades);

            void Try(int from, int to, bool fades, double product, double square)
            {
                if (square >= LeastInformation && Math.Abs(product) / Math.Sqrt(square) / scale is var deviations && deviations >= most)
                {
                    (best, most) = ((from, to, fades), deviations);
                }
            }
        }

        private static double[] Products((double[] White, int From, int To)[] shapes, double[] rest) =>
            [.. shapes.Select(shape => Dot(shape.White, rest, shape.From, shape.To))];

        private static Shadow Free(Projection known, (double[] White, int From, int To)[] shapes) => new([.. shapes.Select(shape => known.Shares(shape.White))]);

        private static double Dot(double[] a, double[] b, int from, int to)
        {
            var sum = 0.0;
            for (var i = from; i < to; i++)
            {
                sum += a[i] * b[i];
            }

            return sum;
        }

        private double[] Ramp(double onsetH) => [.. _records.StartsH.Select(start => Math.Clamp((start + _records.LengthH / 2 - onsetH) / RampH, 0, 1))];

        private double[] Clearing(double onsetH) => [.. _records.StartsH.Select(start => 1 - Math.Exp(-_loss * Math.Max(0, start + _records.LengthH / 2 - onsetH)))];

        private static (double[] White, int From, int To) White(WalkingBackground filter, double[] shape)
        {
            var from = Array.FindIndex(shape, static one => one != 0);
            if (from < 0)
            {
                return (new double[shape.Length], 0, 0);
            }

            var white = filter.Of(shape, from, shape.Length);
            var most = white.Max(Math.Abs);
            return (white, from, Array.FindLastIndex(white, one => Math.Abs(one) > FadedShare * most) + 1);
        }

        /// <summary>What the known columns explain of each shape, so that products are of what they do not.</summary>
        private sealed class Shadow(double[][] shares)
        {
            public double Square(int mine, (double[] White, int From, int To) own, Shadow others, int theirs, (double[] White, int From, int To) other) =>
                Dot(own.White, other.White, Math.Max(own.From, other.From), Math.Min(own.To, other.To)) - Explained(shares[mine], others.At(theirs));

            private double[] At(int index) => shares[index];

            private static double Explained(double[] mine, double[] theirs)
            {
                var sum = 0.0;
                for (var i = 0; i < mine.Length; i++)
                {
                    sum += mine[i] * theirs[i];
                }

                return sum;
            }
        }
    }
}
