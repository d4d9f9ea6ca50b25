// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>Two runs of one room, one with a filter: the second loses c/V more, and gave off the same for each gram, to a stated share.</summary>
/// <remarks>Parameters: clean air c, then E0, ln L0, u with E1 = E0 exp(u), then delay, background and drift of either run, then the exchange of the enclosure. Source: trial methods, 5.</remarks>
internal sealed class PairModel : IFitModel
{
    public const int CleanAir = 0, Emission = 1, LogLoss = 2, LogEmissionRatio = 3, FirstOfRun = 4, OfRun = 3, LogMixing = 10;

    private const double MostCleanAirPerVolume = 100;

    private readonly RunCurve[] _curves;
    private readonly Whitening[] _whitenings;
    private readonly bool _byRatio;

    /// <inheritdoc/>
    public IReadOnlyList<FitParameter> Parameters { get; }

    /// <inheritdoc/>
    public int Rows => _curves[0].Response.Length + _curves[1].Response.Length;

    /// <summary>The model of two runs, weighed by their own fits.</summary>
    /// <param name="curves">The run without the filter and the one with it.</param>
    /// <param name="whitenings">What gives the weights of either.</param>
    /// <param name="priors">What is thought of either beforehand.</param>
    /// <param name="emissionDeviation">Standard deviation of the logarithm of the ratio of the emissions [-].</param>
    /// <param name="byRatio">Whether the first parameter is the ratio of the time integrals for each gram instead of the clean air.</param>
    public PairModel(RunCurve[] curves, Whitening[] whitenings, BoxPriors[] priors, double emissionDeviation, bool byRatio = false)
    {
        (_curves, _whitenings, _byRatio) = (curves, whitenings, byRatio);
        var (without, with) = (BoxModel.ParametersOf(curves[0].Run, priors[0]), BoxModel.ParametersOf(curves[1].Run, priors[1]));
        var volume = curves[0].Run.VolumeM3;
        var most = MostCleanAirPerVolume * volume;
        Parameters =
        [
            byRatio ? new(Start: 1, Least: 1e-4, Most: 1e4) : new(Start: 0, Least: -most, Most: most),
            without[BoxModel.Emission],
            without[BoxModel.LogLoss],
            new(Start: 0, Mean: 0, Deviation: emissionDeviation),
            .. without.GetRange(BoxModel.Delay, OfRun),
            .. with.GetRange(BoxModel.Delay, OfRun),
            .. without.Skip(BoxModel.LogMixing),
        ];
    }

    /// <summary>Loss rate of the run with the filter [1/h].</summary>
    public double LossWithPerH(ReadOnlySpan<double> values)
    {
        var loss = Math.Exp(values[LogLoss]);
        return Math.Max(_byRatio ? loss * Math.Exp(values[LogEmissionRatio]) / values[CleanAir] : loss + values[CleanAir] / _curves[0].Run.VolumeM3, BoxModel.LeastLossPerH / 4);
    }

    /// <inheritdoc/>
    public void Residuals(ReadOnlySpan<double> values, Span<double> white)
    {
        for (int run = 0, row = 0; run < 2; row += _curves[run].Response.Length, run++)
        {
            var (emission, logLoss, mixing) = Of(run, values);
            var (curve, records) = (_curves[run], _curves[run].Run.Records);
            var own = values.Slice(FirstOfRun + OfRun * run, OfRun);
            curve.Follow(logLoss, own[0], mixing);
            var part = white.Slice(row, curve.Response.Length);
            for (var i = 0; i < part.Length; i++)
            {
                part[i] = records.Values[i] - own[1] - own[2] * (records.StartsH[i] + records.LengthH / 2 - records.MiddleH) - emission * curve.Response[i];
            }

            _whitenings[run].Apply(part, part);
        }
    }

    /// <inheritdoc/>
    public void Slopes(ReadOnlySpan<double> values, double[][] columns)
    {
        foreach (var column in columns)
        {
            Array.Clear(column);
        }

        var (loss, lossWith) = (Math.Exp(values[LogLoss]), LossWithPerH(values));
        for (int run = 0, row = 0; run < 2; row += _curves[run].Response.Length, run++)
        {
            var (emission, logLoss, mixing) = Of(run, values);
            var (curve, records) = (_curves[run], _curves[run].Run.Records);
            var first = FirstOfRun + OfRun * run;
            curve.FollowWithSlopes(logLoss, values[first], mixing);
            var share = run == 0 ? 1 : Math.Exp(values[LogEmissionRatio]);
            // How the logarithm of this run's loss answers to the loss of the first, to the first parameter, to the ratio of emissions.
            var byLogLoss = run == 0 || _byRatio ? 1 : loss / lossWith;
            var byFirst = run == 0 ? 0 : _byRatio ? -1 / values[CleanAir] : 1 / (curve.Run.VolumeM3 * lossWith);
            var byLogRatio = run == 1 && _byRatio ? 1 : 0;
            for (var i = 0; i < curve.Response.Length; i++)
            {
                var at = row + i;
                var byLoss = emission * curve.ByLogLoss[i];
                columns[CleanAir][at] = byLoss * byFirst;
                columns[Emission][at] = share * curve.Response[i];
                columns[LogLoss][at] = byLoss * byLogLoss;
                columns[LogEmissionRatio][at] = run == 0 ? 0 : emission * curve.Response[i] + byLoss * byLogRatio;
                columns[first][at] = emission * curve.ByDelay[i];
                columns[first + 1][at] = 1;
                columns[first + 2][at] = records.StartsH[i] + records.LengthH / 2 - records.MiddleH;
                if (columns.Length > LogMixing)
                {
                    columns[LogMixing][at] = emission * curve.ByLogMixing[i];
                }
            }

            foreach (var column in columns)
            {
                var part = column.AsSpan(row, curve.Response.Length);
                _whitenings[run].Apply(part, part);
            }
        }
    }

    private (double Emission, double LogLoss, double LogMixing) Of(int run, ReadOnlySpan<double> values) => (
        values[Emission] * (run == 0 ? 1 : Math.Exp(values[LogEmissionRatio])),
        run == 0 ? values[LogLoss] : Math.Log(LossWithPerH(values)),
        values.Length > LogMixing ? values[LogMixing] : 0);
}
