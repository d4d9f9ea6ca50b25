// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>Reads a run with a job, quantity by quantity: a fit of the box model to its log, simple figures beside it, and what the print does not explain.</summary>
/// <param name="spans">The times of the run.</param>
/// <param name="log">Its log.</param>
/// <param name="job">What it printed.</param>
/// <param name="air">The air that the meter stood in.</param>
/// <param name="interval">Coverage of the intervals [-].</param>
/// <param name="cancel">Stops the work.</param>
internal sealed class RunEvaluation(TrialSpans spans, MeterLog log, JobOfRun job, TrialAir air, double interval, CancellationToken cancel)
{
    private const double HourS = 3600, Cm3PerM3 = 1e6;

    /// <summary>Over this much of the print's own level, an event beside it spoils what is read of the print [-].</summary>
    private const double SpoilingShare = 0.2;

    /// <summary>Above this ratio of the ends of an interval nothing is told [-].</summary>
    private const double WidestTold = 6;

    /// <summary>The usual noise of a meter for mass, against which other quantities are scaled so that what is thought beforehand fits them too [ug/m3].</summary>
    private const double UsualFloor = 0.7;

    /// <summary>Reads a quantity.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="start">When the job was started.</param>
    /// <param name="leaveOut">Spans that are left out [h].</param>
    public QuantityOutcome Of(LogQuantity quantity, RunStart start, IReadOnlyList<(double FromH, double ToH)> leaveOut)
    {
        var startH = start.AtS / HourS;
        var (fromH, toH) = spans.Around(startH, startH + job.WarmUpH + job.Flow.EndH, TrialSpans.MostBeforeH, TrialSpans.MostAfterH);
        if (LogSlice.Of(quantity, log.IntervalS ?? 60, fromH, toH, leaveOut) is not { } slice)
        {
            return Untold(quantity, "too few readings from two hours before the job to four after it");
        }

        var floor = LogSlice.FloorOf(slice.Records);
        // What is thought beforehand is of meters for mass; others, and vapours in ug/m3 too, are scaled to their noise.
        var scale = quantity.Kind.StartsWith("pm", StringComparison.Ordinal) ? 1 : UsualFloor / floor;
        var run = new BoxRun
        {
            Records = Scaled(slice.Records, scale),
            Flow = job.Flow,
            JobStartH = startH,
            StartDeviationH = start.UncertaintyS / HourS / 2,
            VolumeM3 = air.VolumeM3.Value,
            IsEnclosed = air.IsEnclosed,
        };
        var fit = BoxFit.Of(run, job.Priors(new BoxPriors { LossPerH = air.LossPerH is { } loss ? (loss.Value, Math.Max(0.01, loss.LogDeviation)) : null }), interval, cancel);
        var events = EventsOf(quantity, run, floor * scale, scale, fit, leaveOut);
        return Told(quantity, slice, run, fit, scale, events);
    }

    private QuantityOutcome Told(LogQuantity quantity, LogSlice slice, BoxRun run, BoxFit fit, double scale, IReadOnlyList<EventOutcome> events)
    {
        var volumeDeviation = air.VolumeM3.LogDeviation;
        var (printFromH, printToH) = (run.JobStartH + fit.DelayH, run.JobStartH + fit.DelayH + job.Flow.EndH);
        var meanFlow = job.MassG / job.Flow.EndH;
        var integralPerG = Uncertain(fit.IntegralPerG.Times(1 / (run.VolumeM3 * scale)));
        var spoiled = Spoiled(run, fit, events, scale);
        var whyNot = WhyNot(fit, spoiled);
        var isSeen = fit.IsSeen;
        var isTold = isSeen && spoiled is null;
        var during = Enumerable.Range(0, run.Records.Values.Length).Where(i => run.Records.StartsH[i] >= printFromH && run.Records.StartsH[i] < printToH).ToArray();
        var meanLevel = during.Length == 0 ? 0 : during.Average(i => fit.PrintLevels[i]) / scale;
        var (model, background) = Curves(fit, run, scale);
        double[] readings = [.. run.Records.Values.Select(value => value / scale)];
        var agreement = ModelAgreement.Of(readings, model);
        return new QuantityOutcome
        {
            Quantity = quantity.Name,
            Unit = quantity.Unit,
            Background = Uncertain(fit.Background.Times(1 / scale)),
            DriftPerH = fit.DriftPerH / scale,
            MeanPrint = isTold && during.Length > 0 && integralPerG is { } per ? Like(per, meanLevel) : null,
            Peak = readings.Max(),
            Plateau = isTold ? Times(integralPerG, meanFlow) : null,
            LossPerH = isTold ? Uncertain(fit.LossPerH) : null,
            Window = (run.Records.StartsH[0] * HourS, (run.Records.StartsH[^1] + run.Records.LengthH) * HourS),
            NetIntegralH = isTold ? Times(integralPerG, job.MassG) : null,
            NetIntegralHPerG = isTold ? integralPerG : null,
            Emission = isTold && Uncertain(Wider(fit.EmissionPerG, volumeDeviation, fit.T)) is { } perG && perG.Low > 0 && perG.High <= WidestTold * perG.Low ? EmissionOf(quantity, perG, 1 / scale) : null,
            Events = events,
            IsSeen = isSeen,
            IsSpoiled = spoiled is not null,
            WhyNot = whyNot,
            Agreement = new(agreement.Correlation, agreement.Slope, agreement.Intercept, agreement.NormalizedMeanSquareError, agreement.FractionalBias, agreement.FractionalVariance, agreement.IndependentReadings, agreement.IsAdequate),
            Checks = ChecksOf(run, fit, readings, printFromH, printToH),
            Readings = slice.Readings,
            LeftOut = slice.LeftOut,
            Curve = new([.. run.Records.StartsH.Select(start => (start + run.Records.LengthH / 2) * HourS)], readings, model, background),
            Fit = fit,
            FitScale = scale,
        };
    }

    /// <summary>What is beside the print and too large to be left in; null for nothing.</summary>
    private string? Spoiled(BoxRun run, BoxFit fit, IReadOnlyList<EventOutcome> events, double scale)
    {
        // What an unseen print adds is next to nothing; noise is no event.
        var height = Math.Max(fit.PrintLevels.Max(), 5 * LogSlice.FloorOf(run.Records)) / scale;
        if (events.FirstOrDefault(one => one.During != "background" && one.FromS < run.Records.StartsH[^1] * HourS && Math.Abs(one.Size) > SpoilingShare * height) is { } large)
        {
            return $"something else changed the level at {Clock(large.FromS)}, by more than a fifth of what the print added";
        }

        return Math.Abs(fit.Strangest.Deviations) > StrangeSource.Limit
            ? $"something else seems to have been given off, or taken out, about {Clock(fit.Strangest.AtH * HourS)}"
            : null;
    }

    private static string? WhyNot(BoxFit fit, string? spoiled)
    {
        if (!fit.IsSeen)
        {
            return "the log does not show that the print gave anything off";
        }

        if (spoiled is not null)
        {
            return $"{spoiled}; what the print added and what it gave off are withheld: put it into the notes with leave_out: true, or run again";
        }

        if (fit.EmissionPerG.Low <= 0)
        {
            return "the log sets an upper end only to what was given off";
        }

        return !fit.LossPerH.IsBounded ? "the log does not bound the loss rate on both sides: log longer after the print"
            : fit.EmissionPerG.High / fit.EmissionPerG.Low > WidestTold ? "the log bounds what was given off too widely to tell it: log longer, or print at a higher flow"
            : null;
    }

    private List<EventOutcome> EventsOf(LogQuantity quantity, BoxRun run, double floor, double scale, BoxFit fit, IReadOnlyList<(double FromH, double ToH)> leaveOut)
    {
        // The day around the print holds events too; another print of the same log is none.
        var (fromH, toH) = spans.Around(run.JobStartH, run.JobStartH + job.WarmUpH + job.Flow.EndH, TrialSpans.MostOfDayH, TrialSpans.MostOfDayH);
        if (LogSlice.Of(quantity, log.IntervalS ?? 60, fromH, toH, leaveOut) is not { } whole)
        {
            return [];
        }

        var shifted = run with { Records = Scaled(whole.Records, scale), JobStartH = run.JobStartH + fit.DelayH };
        // What the fit makes of the noise would take an event for noise; the usual figures serve, and the search scales them by what it finds.
        var noise = ReadingNoise.Usual(floor);
        var (printFromH, printToH) = (shifted.JobStartH, shifted.JobStartH + job.Flow.EndH);
        return [.. EventFinder.In(shifted, hasPrint: true, noise, cancel).Select(one => new EventOutcome(
            one.FromH * HourS, one.ToH * HourS, one.Size / scale, one.Error / scale,
            EquivalentPerMin(quantity, one.Size / scale, fit.LossPerH.Value),
            one.FromH < printFromH - 0.1 ? "background" : one.FromH <= printToH ? "print" : "after",
            spans.NotedAt(one.FromH, one.ToH)))];
    }

    private double? EquivalentPerMin(LogQuantity quantity, double size, double lossPerH) => air.VolumeM3.Value * lossPerH * Math.Abs(size) / 60 * (quantity.Unit == "per_cm3" ? Cm3PerM3 : 1);

    private MeasuredEmission EmissionOf(LogQuantity quantity, Uncertain perG, double factor)
    {
        var (unit, toUnit) = quantity.Unit switch { "per_cm3" => ("1", Cm3PerM3), "ppb" => ("ppb_m3", 1.0), _ => ("ug", 1.0) };
        var own = Times(perG, factor * toUnit)!.Value;
        var agent = (quantity.Kind, quantity.Unit) switch { ("number", _) when quantity.CutFromUm is null or < 0.1 => Agent.ParticleNumber, ("tvoc", "ug_per_m3") => Agent.Tvoc, ("formaldehyde", _) => job.Estimate.Emission.FirstOrDefault(static one => one.Agent.Id == "formaldehyde")?.Agent, _ => null };
        var forecast = job.Estimate.Emission.FirstOrDefault(one => agent is not null && one.Agent == agent)?.PerGram ?? (quantity.Unit == "ug_per_m3" && quantity.Kind.StartsWith("pm", StringComparison.Ordinal) ? job.VisiblePerG : null);
        return new MeasuredEmission(Times(own, job.MassG)!.Value, own, unit, forecast is { Median: > 0, Low: > 0 } table ? Over(own, table) : null);
    }

    private CrossChecks ChecksOf(BoxRun run, BoxFit fit, double[] readings, double printFromH, double printToH)
    {
        var starts = run.Records.StartsH;
        var before = readings.Where((_, i) => starts[i] + run.Records.LengthH <= printFromH).ToArray();
        double? background = before.Length >= 5 ? before.Average() : null;
        var lastThird = readings.Where((_, i) => starts[i] >= printToH - job.Flow.EndH / 3 && starts[i] < printToH).ToArray();
        var (times, net) = (new List<double>(), new List<double>());
        for (var i = 0; background is not null && i < starts.Length && (starts[i] < printToH + 0.05 || readings[i] - background > 5 * LogSlice.FloorOf(run.Records) * readings[i] / Math.Max(1e-12, run.Records.Values[i])); i++)
        {
            if (starts[i] >= printToH + 0.05)
            {
                times.Add(starts[i]);
                net.Add(readings[i] - background.Value);
            }
        }

        double? decay = times.Count >= 8 && net.TrueForAll(static one => one > 0) ? DecayLine.Through(times.ToArray(), net.ToArray()).LossPerH : null;
        double[] netAll = [.. readings.Select(one => one - (background ?? 0))];
        double? balance = background is null ? null : MassBalance.Emitted(run.VolumeM3, fit.LossPerH.Value, starts, netAll);
        double? plateau = background is { } level && lastThird.Length > 0 ? lastThird.Average() - level : null;
        return new(background, plateau, decay, balance) { ShiftAtS = CumulativeSum.ShiftAtH(run with { JobStartH = run.JobStartH + fit.DelayH }, ReadingNoise.Usual(LogSlice.FloorOf(run.Records))) * HourS };
    }

    private static (double[] Model, double[] Background) Curves(BoxFit fit, BoxRun run, double scale)
    {
        var records = run.Records;
        double[] background = [.. records.StartsH.Select(start => (fit.Background.Value + fit.DriftPerH * (start + records.LengthH / 2 - records.MiddleH)) / scale)];
        return ([.. background.Select((level, i) => level + fit.PrintLevels[i] / scale)], background);
    }

    private string Clock(double seconds) => log.Time.Show(Math.Round(seconds / 60) * 60);

    private static QuantityOutcome Untold(LogQuantity quantity, string why) => new() { Quantity = quantity.Name, Unit = quantity.Unit, WhyNot = why, Readings = 0, LeftOut = quantity.TimesS.Length };

    private static RunRecords Scaled(RunRecords records, double scale) =>
        scale == 1 ? records : new RunRecords(records.StartsH, [.. records.Values.Select(value => value * scale)], records.LengthH, records.DisplayStep * scale);

    /// <summary>An interval with what is not known of the volume added, on the scale of logarithms.</summary>
    internal static FittedValue Wider(FittedValue value, double logDeviation, double t) => logDeviation <= 0 || value.Value <= 0 ? value : new(
        value.Value,
        value.Low > 0 ? value.Value * Math.Exp(-double.Hypot(Math.Log(value.Value / value.Low), t * logDeviation)) : value.Low,
        double.IsFinite(value.High) ? value.Value * Math.Exp(double.Hypot(Math.Log(value.High / value.Value), t * logDeviation)) : value.High);

    /// <summary>A value with its ends; null where an end is open.</summary>
    internal static Uncertain? Uncertain(FittedValue value) => value.IsBounded && double.IsFinite(value.Value) ? new(value.Low, value.Value, value.High) : null;

    internal static Uncertain? Times(Uncertain? value, double factor) => value is { } one ? new(one.Low * factor, one.Median * factor, one.High * factor) : null;

    private static Uncertain Like(Uncertain shape, double middle) => shape.Median > 0 ? new(middle * shape.Low / shape.Median, middle, middle * shape.High / shape.Median) : new(middle, middle, middle);

    private static Uncertain Over(Uncertain measured, Uncertain table)
    {
        var ratio = measured.Median / table.Median;
        return new(
            ratio * Math.Exp(-double.Hypot(Math.Log(measured.Median / measured.Low), Math.Log(table.High / table.Median))), ratio,
            ratio * Math.Exp(double.Hypot(Math.Log(measured.High / measured.Median), Math.Log(table.Median / table.Low))));
    }
}
