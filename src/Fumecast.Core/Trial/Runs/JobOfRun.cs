// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>What a job lays down over time, as the trial needs it.</summary>
/// <param name="File">The job as it was named.</param>
/// <param name="Flow">What is laid down, from the first filament on.</param>
/// <param name="WarmUpH">From the start of the job to the first filament, by the forecast [h].</param>
/// <param name="Estimate">What the table forecasts.</param>
/// <param name="VisiblePerG">What of each gram an optical meter sees, where the material has that measured; null where not [ug/g].</param>
internal sealed record JobOfRun(string File, FlowSteps Flow, double WarmUpH, JobEstimate Estimate, Uncertain? VisiblePerG = null)
{
    private const double BinS = 10, HourS = 3600;
    private const int MostSteps = 3000;
    private const double AlikeShare = 0.02;

    /// <summary>What the forecast has to say of how far off the warm-up may be: a printer heats in 3 to 7 min, which a job does not say [h].</summary>
    private const double UsualWarmUpH = 5.0 / 60, WarmUpDeviationH = 2.0 / 60, WarmUpShare = 0.3;

    /// <summary>Mass laid down [g].</summary>
    public double MassG => this.Flow.TotalG;

    /// <summary>What is thought of the time from the start of the job to the first emission.</summary>
    public BoxPriors Priors(BoxPriors other) => WarmUpH > 1.0 / 60
        ? other with { DelayH = WarmUpH, DelayDeviationH = Math.Max(WarmUpDeviationH, WarmUpShare * WarmUpH) }
        : other with { DelayH = UsualWarmUpH, DelayDeviationH = WarmUpDeviationH };

    /// <summary>Reads a job.</summary>
    /// <param name="job">The job.</param>
    /// <param name="options">What is known of it.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">It cannot be used, or lays nothing down.</exception>
    public static JobOfRun Read(string job, EstimateOptions options, CancellationToken cancel)
    {
        var steps = new Steps();
        var estimate = PrintForecast.Estimate(job, options with { BinS = BinS }, steps, cancel: cancel);
        return steps.Flow() is { } flow
            ? new JobOfRun(job, flow.Steps, flow.WarmUpH, estimate, CalibratedFactor.VisiblePerGram(estimate, options, cancel))
            : throw new InputProblem($"{job}: the job lays no filament down, so a log cannot be read by it; is it the right file?");
    }

    /// <summary>Takes the series of a job and joins neighbours that flow alike; the longest jobs in longer steps.</summary>
    private sealed class Steps : ISeriesSink
    {
        private List<(double StartH, double EndH, double MassG)> _bins = [];
        private double _joinedH;

        public void Begin(IReadOnlyList<Agent> agents) => (_bins, _joinedH) = ([], 0);

        public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin)
        {
            var (start, hours) = (row.TimeS / HourS, row.DurationS / HourS);
            var mass = Math.Max(0, row.MassRateGPerH) * hours;
            if (_bins.Count > 0 && _bins[^1] is var last && (last.EndH - last.StartH < _joinedH || Alike(last.MassG / (last.EndH - last.StartH), mass / hours)))
            {
                _bins[^1] = (last.StartH, start + hours, last.MassG + mass);
                return;
            }

            _bins.Add((start, start + hours, mass));
            if (_bins.Count > MostSteps)
            {
                _joinedH = Math.Max(1.0 / 60, 2 * _joinedH);
                Shorten();
            }
        }

        public (FlowSteps Steps, double WarmUpH)? Flow()
        {
            var first = _bins.FindIndex(static bin => bin.MassG > 0);
            if (first < 0)
            {
                return null;
            }

            var last = _bins.FindLastIndex(static bin => bin.MassG > 0);
            var used = _bins[first..(last + 1)];
            var from = used[0].StartH;
            return (new FlowSteps([.. used.Select(bin => bin.StartH - from), used[^1].EndH - from], [.. used.Select(static bin => bin.MassG / (bin.EndH - bin.StartH)), 0]), from);
        }

        private static bool Alike(double one, double other) => Math.Abs(one - other) <= AlikeShare * Math.Max(one, other);

        private void Shorten()
        {
            List<(double StartH, double EndH, double MassG)> shorter = [];
            foreach (var bin in _bins)
            {
                if (shorter.Count > 0 && shorter[^1] is var last && last.EndH - last.StartH < _joinedH)
                {
                    shorter[^1] = (last.StartH, bin.EndH, last.MassG + bin.MassG);
                }
                else
                {
                    shorter.Add(bin);
                }
            }

            _bins = shorter;
        }
    }
}
