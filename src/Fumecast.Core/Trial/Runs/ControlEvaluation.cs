// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;

namespace Fumecast.Trial;

/// <summary>Reads a run without a job: how a meter wanders by itself, and what happened meanwhile.</summary>
/// <param name="spans">The times of the run.</param>
/// <param name="log">Its log.</param>
/// <param name="interval">Coverage of the intervals [-].</param>
/// <param name="cancel">Stops the work.</param>
internal sealed class ControlEvaluation(TrialSpans spans, MeterLog log, double interval, CancellationToken cancel)
{
    private const double HourS = 3600, StretchH = 0.5;
    private const int LeastStretches = 4;

    /// <summary>Reads a quantity.</summary>
    /// <param name="quantity">The quantity.</param>
    public QuantityOutcome Of(LogQuantity quantity)
    {
        if (LogSlice.Of(quantity, log.IntervalS ?? 60, spans.FirstH, spans.EndH, spans.LeftOut) is not { } slice)
        {
            return new QuantityOutcome { Quantity = quantity.Name, Unit = quantity.Unit, WhyNot = "too few readings", Readings = 0, LeftOut = quantity.TimesS.Length };
        }

        var records = slice.Records;
        var floor = LogSlice.FloorOf(records);
        var quiet = new BoxRun { Records = records, Flow = FlowSteps.Steady(1, 1), JobStartH = spans.FirstH, VolumeM3 = 1 };
        var events = EventFinder.In(quiet, hasPrint: false, new ReadingNoise(floor, 0, 0.05), cancel);
        var means = records.Values.Select((value, i) => (value, Stretch: (int)((records.StartsH[i] - records.StartsH[0]) / StretchH))).GroupBy(static one => one.Stretch)
            .Where(group => group.Count() >= 0.5 * StretchH / records.LengthH).Select(static group => group.Average(static one => one.value)).ToArray();
        var batch = Math.Max(1, (int)Math.Round(StretchH / records.LengthH));
        var mean = records.Values.Length >= 2 * batch ? StretchMean.ByBatches(records.Values, batch, interval) : default;
        return new QuantityOutcome
        {
            Quantity = quantity.Name,
            Unit = quantity.Unit,
            Background = mean.Error > 0 ? new(mean.Low, mean.Mean, mean.High) : null,
            Peak = records.Values.Max(),
            Wander = means.Length >= LeastStretches ? means.StandardDeviation() : null,
            WhyNot = means.Length < LeastStretches ? "shorter than two hours: how the meter wanders cannot be told" : null,
            Events = [.. events.Select(one => new EventOutcome(one.FromH * HourS, one.ToH * HourS, one.Size, one.Error, null, "background", spans.NotedAt(one.FromH, one.ToH)))],
            Readings = slice.Readings,
            LeftOut = slice.LeftOut,
            Curve = new([.. records.StartsH.Select(start => (start + records.LengthH / 2) * HourS)], records.Values, [], []),
        };
    }
}
