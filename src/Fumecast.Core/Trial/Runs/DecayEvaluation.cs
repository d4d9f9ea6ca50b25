// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;

namespace Fumecast.Trial;

/// <summary>Reads the fall of what was put into the air otherwise than by a print.</summary>
/// <param name="spans">The times of the run.</param>
/// <param name="run">The run.</param>
/// <param name="interval">Coverage of the intervals [-].</param>
internal sealed class DecayEvaluation(TrialSpans spans, NotebookRun run, double interval)
{
    private const double HourS = 3600;
    private const int LeastRows = 8, MostRows = 6000;
    private const double MovedShare = 1.0 / 6, FlatShare = 0.02;

    /// <summary>Reads a quantity.</summary>
    /// <param name="quantity">The quantity.</param>
    public QuantityOutcome Of(LogQuantity quantity)
    {
        var (times, values, leftOut) = Readings(quantity);
        if (values.Length < 2 * LeastRows)
        {
            return Untold(quantity, "too few readings", values.Length, leftOut);
        }

        var step = LogSlice.StepOf(values);
        var (background, because) = BackgroundOf(times, values);
        var afterRange = AfterRange(quantity, times);
        var found = DecayWindows.In(times, values, background, step, afterRange);
        var (from, to) = (run.Decay!.Value.From, run.Decay.Value.To);
        int first, last;
        if (from.IsAuto && to.IsAuto)
        {
            if (found.Primary is not { } primary)
            {
                return Untold(quantity, "no stretch of the log falls by one rate, far enough to go by", values.Length, leftOut);
            }

            (first, last) = (primary.From, primary.To);
        }
        else
        {
            var fromH = from.IsAuto ? times[found.Primary?.From ?? 0] : spans.At(from, "beginning of the decay");
            first = Array.FindIndex(times, time => time >= fromH - 1e-9);
            var toH = to.IsAuto ? first < 0 ? times[^1] : times[Math.Max(first, DecayWindows.End(DecayWindows.Smoothed(values), first, background, step) - 1)] : spans.At(to, "end of the decay");
            last = Array.FindLastIndex(times, time => time <= toH + 1e-9);
            if (first < 0 || last - first + 1 < LeastRows)
            {
                return Untold(quantity, "too few readings between the stated beginning and end", values.Length, leftOut);
            }
        }

        var (rowTimes, net) = (new List<double>(), new List<double>());
        for (var i = first; i <= last; i++)
        {
            if (values[i] > background)
            {
                rowTimes.Add(times[i]);
                net.Add(values[i] - background);
            }
        }

        if (net.Count < LeastRows)
        {
            return Untold(quantity, $"the level lies at its background ({because})", values.Length, leftOut);
        }

        var line = DecayLine.Through(rowTimes.ToArray(), net.ToArray());
        if (!(line.LossPerH > 0))
        {
            return Untold(quantity, "the level does not fall", values.Length, leftOut);
        }

        var moved = Moved(rowTimes, net, line.LossPerH);
        var natural = found.Primary is { } fast ? found.NaturalBefore(fast) : null;
        return new QuantityOutcome
        {
            Quantity = quantity.Name,
            Unit = quantity.Unit,
            Background = new(background, background, background),
            Peak = values.Max(),
            LossPerH = RunEvaluation.Uncertain(line.Interval(interval)),
            Window = (rowTimes[0] * HourS, rowTimes[^1] * HourS),
            LossMovesPerH = moved,
            IsSeen = true,
            WhyNot = natural is not null ? FormattableString.Invariant($"a slower fall of {natural.Line.LossPerH:0.##} /h ended before it: perhaps the room's own") : null,
            Checks = new(background, null, CurveLoss(rowTimes, net, background), null),
            Readings = values.Length,
            LeftOut = leftOut,
            Line = line,
            Curve = new(
                [.. times.Select(static time => time * HourS)], values,
                [.. times.Select((time, i) => i >= first && i <= last ? background + Math.Exp(line.LogLevelAtStart - line.LossPerH * time) : double.NaN)], []),
        };
    }

    private (double[] TimesH, double[] Values, int LeftOut) Readings(LogQuantity quantity)
    {
        var (times, values) = (new List<double>(), new List<double>());
        for (var i = 0; i < quantity.TimesS.Length; i++)
        {
            var hours = quantity.TimesS[i] / HourS;
            if (quantity.States[i] == ReadingState.Used && !spans.LeftOut.Any(span => hours >= span.FromH && hours < span.ToH) && (times.Count == 0 || hours > times[^1]))
            {
                times.Add(hours);
                values.Add(quantity.Values[i]);
            }
        }

        var leftOut = quantity.TimesS.Length - values.Count;
        if (times.Count <= MostRows)
        {
            return ([.. times], [.. values], leftOut);
        }

        // A long log in means of as many rows as need be: a fall has far fewer rates than rows.
        var each = (times.Count + MostRows - 1) / MostRows;
        return ([.. times.Chunk(each).Select(static few => few.Average())], [.. values.Chunk(each).Select(static few => few.Average())], leftOut);
    }

    /// <summary>Level without what was put into the air: as stated; or before it rose; or what the fall comes to rest at.</summary>
    private (double Level, string Because) BackgroundOf(double[] times, double[] values)
    {
        if (run.Background is { } stated)
        {
            return (stated, "stated");
        }

        var peak = Array.IndexOf(values, values.Max());
        var limit = values.Take(LeastRows).Min() + Math.Max(FlatShare * values[peak], 10 * LogSlice.StepOf(values));
        var before = values.Take(peak).TakeWhile(value => value < limit).ToArray();
        if (before.Length >= LeastRows && before.Max() < 0.1 * values[peak])
        {
            return (before.Median(), "before the rise");
        }

        // A tail that still falls is no background: what it comes to rest at lies below it.
        var tail = values[^Math.Max(LeastRows, values.Length / 10)..];
        var half = tail.Length / 2;
        if (values.Length - peak >= 3 * tail.Length && Math.Abs(tail[..half].Median() - tail[half..].Median()) <= Math.Max(FlatShare * values[peak] / 4, LogSlice.StepOf(values)))
        {
            return (tail.Median(), "what the fall comes to rest at");
        }

        return (0, "taken as 0");
    }

    /// <summary>First row after the last reading over the meter's range.</summary>
    private static int AfterRange(LogQuantity quantity, double[] times)
    {
        for (var i = quantity.TimesS.Length - 1; i >= 0; i--)
        {
            if (quantity.States[i] == ReadingState.OverRange)
            {
                var after = quantity.TimesS[i] / HourS;
                return Array.FindIndex(times, time => time > after) is >= 0 and var row ? row : times.Length;
            }
        }

        return 0;
    }

    private static (double Low, double High)? Moved(List<double> times, List<double> net, double whole)
    {
        var cut = (int)(MovedShare * times.Count);
        if (times.Count - 2 * cut < LeastRows || cut == 0)
        {
            return null;
        }

        var (early, late) = (DecayLine.Through(times.GetRange(0, times.Count - cut).ToArray(), net.GetRange(0, times.Count - cut).ToArray()), DecayLine.Through(times.GetRange(cut, times.Count - cut).ToArray(), net.GetRange(cut, times.Count - cut).ToArray()));
        double[] all = [whole, early.LossPerH, late.LossPerH];
        return (all.Min(), all.Max());
    }

    private static double? CurveLoss(List<double> times, List<double> net, double background) =>
        times.Count >= 3 * LeastRows ? DecayCurve.Through([.. times], [.. net.Select(one => one + background)]).LossPerH : null;

    private static QuantityOutcome Untold(LogQuantity quantity, string why, int readings, int leftOut) =>
        new() { Quantity = quantity.Name, Unit = quantity.Unit, WhyNot = why, Readings = readings, LeftOut = leftOut };
}
