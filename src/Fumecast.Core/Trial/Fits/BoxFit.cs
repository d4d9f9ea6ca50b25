// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Fumecast.Trial;

/// <summary>What a run's log tells of emission and loss, by a fit of the box model to the whole of it.</summary>
internal sealed record BoxFit
{
    /// <summary>The run.</summary>
    public required BoxRun Run { get; init; }

    /// <summary>What reached the room for each gram [unit of the readings times m3, for each g].</summary>
    public required FittedValue EmissionPerG { get; init; }

    /// <summary>Its standard error, weights held.</summary>
    public required double EmissionError { get; init; }

    /// <summary>Loss rate of the room: air change, deposition, filters [1/h].</summary>
    public required FittedValue LossPerH { get; init; }

    /// <summary>Emission for each gram over loss rate: times mass and over the volume, the time integral of what the print added [unit of the readings times m3 h, for each g].</summary>
    public required FittedValue IntegralPerG { get; init; }

    /// <summary>Its standard error, weights held.</summary>
    public required double IntegralError { get; init; }

    /// <summary>Level without the print, at the middle of the log [unit of the readings].</summary>
    public required FittedValue Background { get; init; }

    /// <summary>Drift of the background [unit of the readings for each h].</summary>
    public required double DriftPerH { get; init; }

    /// <summary>From the stated start to the first emission [h].</summary>
    public required double DelayH { get; init; }

    /// <summary>Sum of squares, priors included.</summary>
    public required double Q { get; init; }

    /// <summary>By how much a print that gives nothing off fits worse; below 8 no emission was seen.</summary>
    public required double EvidenceOfPrint { get; init; }

    /// <summary>Independent readings in the log, less the parameters.</summary>
    public required double DegreesOfFreedom { get; init; }

    /// <summary>The quantile of the intervals.</summary>
    public required double T { get; init; }

    /// <summary>What the print added in each record by the fit.</summary>
    public required double[] PrintLevels { get; init; }

    /// <summary>The largest deviation of a stretch of a quarter of an hour from the fit, as the source that would explain it, in deviations.</summary>
    public required StrangeSource Strangest { get; init; }

    /// <summary>Whether the log shows that the print gave something off.</summary>
    public bool IsSeen => EvidenceOfPrint >= LeastEvidence && EmissionPerG.Value > 0;

    internal const double LeastEvidence = 8;

    /// <summary>A value for each parameter.</summary>
    public required double[] Values { get; init; }

    /// <summary>The noise that the log shows.</summary>
    public required ReadingNoise Noise { get; init; }

    /// <summary>What was thought of the run beforehand.</summary>
    public required BoxPriors Priors { get; init; }

    /// <summary>Independent readings in the log.</summary>
    public required double IndependentReadings { get; init; }

    private const int NoiseRounds = 3;

    private static readonly double[] LossStartsPerH = [0.4, 1, 2.5];

    /// <summary>Fits the box model to a run.</summary>
    /// <param name="run">The run.</param>
    /// <param name="priors">What is thought beforehand; null for the usual.</param>
    /// <param name="interval">Coverage of the intervals [-].</param>
    /// <param name="cancel">Stops the fit.</param>
    public static BoxFit Of(BoxRun run, BoxPriors? priors = null, double interval = 0.9, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(run);
        priors ??= new BoxPriors();
        var model = new BoxModel(new RunCurve(run), priors, ReadingNoise.Unknown);
        var best = BestOfStarts(model);
        var noise = ReadingNoise.Unknown;
        for (var round = 0; round < NoiseRounds; round++)
        {
            cancel.ThrowIfCancellationRequested();
            noise = NoiseLikelihood.Best(model, best.Values, noise);
            model.WeighBy(noise, best.Values);
            best = new LeastSquares(model).Minimize(best.Values);
        }

        return Judged(run, model, best, noise, interval, priors);
    }

    /// <summary>The best fit with the weights held, from several loss rates.</summary>
    internal static BestFit BestOfStarts(BoxModel model)
    {
        var squares = new LeastSquares(model);
        BestFit? best = null;
        foreach (var loss in LossStartsPerH)
        {
            var start = squares.Start;
            start[BoxModel.LogLoss] = model.Parameters[BoxModel.LogLoss].Within(Math.Log(loss));
            var level = squares.Minimize(start, static i => i is not (BoxModel.Emission or BoxModel.Background or BoxModel.Drift));
            var fit = squares.Minimize(level.Values);
            best = best is null || fit.Q < best.Q ? fit : best;
        }

        return best!;
    }

    /// <summary>Intervals and doubts about a best fit.</summary>
    internal static BoxFit Judged(BoxRun run, BoxModel model, BestFit best, ReadingNoise noise, double interval, BoxPriors? priors = null)
    {
        var squares = new LeastSquares(model);
        var (independent, freedom) = Freedom(run.Records, noise, model.Parameters.Count);
        var t = StudentT.InvCDF(0, 1, freedom, (1 + interval) / 2);
        var covariance = squares.Covariance(best.Values);
        var (emission, loss) = (best.Values[BoxModel.Emission], Math.Exp(best.Values[BoxModel.LogLoss]));
        var (emissionError, backgroundError) = (Math.Sqrt(covariance[BoxModel.Emission, BoxModel.Emission]), Math.Sqrt(covariance[BoxModel.Background, BoxModel.Background]));

        var integral = emission / loss;
        var relative = emission == 0 ? double.PositiveInfinity : covariance[BoxModel.Emission, BoxModel.Emission] / (emission * emission)
            - 2 * covariance[BoxModel.Emission, BoxModel.LogLoss] / emission + covariance[BoxModel.LogLoss, BoxModel.LogLoss];
        var integralError = Math.Abs(integral) * Math.Sqrt(Math.Max(relative, 0));

        var none = (double[])best.Values.Clone();
        none[BoxModel.Emission] = 0;
        var withoutPrint = squares.Minimize(none, static i => i is not (BoxModel.Background or BoxModel.Drift));

        return new BoxFit
        {
            Run = run,
            EmissionPerG = Profiled(squares, best, BoxModel.Emission, t),
            EmissionError = emissionError,
            LossPerH = Exponential(Profiled(squares, best, BoxModel.LogLoss, t)),
            IntegralPerG = IntegralOf(model, best, integral, integralError, t),
            IntegralError = integralError,
            Background = new(best.Values[BoxModel.Background], best.Values[BoxModel.Background] - t * backgroundError, best.Values[BoxModel.Background] + t * backgroundError),
            DriftPerH = best.Values[BoxModel.Drift],
            DelayH = best.Values[BoxModel.Delay],
            Q = best.Q,
            EvidenceOfPrint = withoutPrint.Q - best.Q,
            DegreesOfFreedom = freedom,
            T = t,
            PrintLevels = model.PrintLevels(best.Values),
            Strangest = StrangeSource.In(run, model, best),
            Values = best.Values,
            Noise = noise,
            Priors = priors ?? new BoxPriors(),
            IndependentReadings = independent,
        };
    }

    /// <summary>Independent readings in a log whose errors hang together, and what is left of them for a fit.</summary>
    internal static (double Independent, double Freedom) Freedom(RunRecords records, ReadingNoise noise, int parameters)
    {
        var neighbour = Math.Exp(-records.LengthH / noise.MemoryH);
        var (own, rounding) = (noise.Floor * noise.Floor, records.DisplayStep * records.DisplayStep / 12);
        var independent = records.Values.Length / (1 + 2 * neighbour / (1 - neighbour) * own / (own + rounding));
        return (independent, Math.Max(4, independent - parameters));
    }

    private static FittedValue Profiled(LeastSquares squares, BestFit best, int index, double t) =>
        new(best.Values[index], squares.ProfileEnd(best, index, t, -1, double.NegativeInfinity), squares.ProfileEnd(best, index, t, 1, double.PositiveInfinity));

    private static FittedValue IntegralOf(BoxModel model, BestFit best, double integral, double error, double t)
    {
        // Far from 0 its logarithm is as good as normal; near it the profile shows what is open.
        const double several = 4;
        if (integral > several * error)
        {
            return new(integral, integral * Math.Exp(-t * error / integral), integral * Math.Exp(t * error / integral));
        }

        var values = (double[])best.Values.Clone();
        values[BoxModel.Emission] = integral;
        return Profiled(new LeastSquares(model.ByIntegral()), best with { Values = values }, BoxModel.Emission, t);
    }

    private static FittedValue Exponential(FittedValue log) => new(Math.Exp(log.Value), Math.Exp(log.Low), Math.Exp(log.High));
}
