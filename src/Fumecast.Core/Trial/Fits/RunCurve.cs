// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>What a run's air does with what is given off, and how that answers to loss rate, delay and enclosure. Kept for the last values asked for.</summary>
/// <param name="run">The run.</param>
internal sealed class RunCurve(BoxRun run)
{
    private const double Nudge = 1e-5;

    private readonly double[] _less = new double[run.Records.StartsH.Length], _more = new double[run.Records.StartsH.Length];
    private (double LogLoss, double Delay, double LogMixing)? _at, _slopesAt;

    /// <summary>The run.</summary>
    public BoxRun Run => run;

    /// <summary>Mean response over each record, divided by the volume [1/m3 times h and g/h].</summary>
    public double[] Response { get; } = new double[run.Records.StartsH.Length];

    /// <summary>Its derivative by the logarithm of the loss rate.</summary>
    public double[] ByLogLoss { get; } = new double[run.Records.StartsH.Length];

    /// <summary>Its derivative by the delay [1/h].</summary>
    public double[] ByDelay { get; } = new double[run.Records.StartsH.Length];

    /// <summary>Its derivative by the logarithm of the exchange of the enclosure.</summary>
    public double[] ByLogMixing { get; } = new double[run.Records.StartsH.Length];

    /// <summary>Fills <see cref="Response"/>.</summary>
    /// <param name="logLoss">Logarithm of the loss rate [ln 1/h].</param>
    /// <param name="delayH">From the start of the job to the first emission [h].</param>
    /// <param name="logMixing">Logarithm of what the enclosure loses beyond the room [ln 1/h]; of no effect without one.</param>
    public void Follow(double logLoss, double delayH, double logMixing)
    {
        if (_at != (logLoss, delayH, logMixing))
        {
            Fill(logLoss, delayH, logMixing, Response);
            _at = (logLoss, delayH, logMixing);
        }
    }

    /// <summary>Fills the response and its derivatives.</summary>
    /// <param name="logLoss">As in <see cref="Follow"/>.</param>
    /// <param name="delayH">As in <see cref="Follow"/>.</param>
    /// <param name="logMixing">As in <see cref="Follow"/>.</param>
    public void FollowWithSlopes(double logLoss, double delayH, double logMixing)
    {
        Follow(logLoss, delayH, logMixing);
        if (_slopesAt == (logLoss, delayH, logMixing))
        {
            return;
        }

        Difference(ByLogLoss, nudge => (logLoss + nudge, delayH, logMixing));
        Difference(ByDelay, nudge => (logLoss, delayH + nudge, logMixing));
        if (run.IsEnclosed)
        {
            Difference(ByLogMixing, nudge => (logLoss, delayH, logMixing + nudge));
        }

        _slopesAt = (logLoss, delayH, logMixing);
    }

    private void Difference(double[] slope, Func<double, (double LogLoss, double Delay, double LogMixing)> nudged)
    {
        var (more, less) = (nudged(Nudge), nudged(-Nudge));
        Fill(more.LogLoss, more.Delay, more.LogMixing, _more);
        Fill(less.LogLoss, less.Delay, less.LogMixing, _less);
        for (var i = 0; i < slope.Length; i++)
        {
            slope[i] = (_more[i] - _less[i]) / (2 * Nudge);
        }
    }

    private void Fill(double logLoss, double delayH, double logMixing, double[] response)
    {
        var loss = Math.Exp(logLoss);
        AirResponse.Fill(run.Flow, run.JobStartH + delayH, loss, run.IsEnclosed ? loss + Math.Exp(logMixing) : null, run.Records, response);
        for (var i = 0; i < response.Length; i++)
        {
            response[i] /= run.VolumeM3;
        }
    }
}
