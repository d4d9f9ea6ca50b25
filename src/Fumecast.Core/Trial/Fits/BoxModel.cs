// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>The level of one run: a background that drifts, and what the air keeps of the print.</summary>
/// <remarks>
/// mu = b + d (t - middle) + (E/V) h. First parameter: the emission for each gram E, or, for a profile of what a room is given for each gram, the time integral I = E/L.
/// Source: trial methods, 2.
/// </remarks>
internal sealed class BoxModel : IFitModel
{
    public const int Emission = 0, LogLoss = 1, Delay = 2, Background = 3, Drift = 4, LogMixing = 5;

    /// <summary>Least and greatest loss rate that is thought possible [1/h].</summary>
    public const double LeastLossPerH = 0.02, MostLossPerH = 30;

    /// <summary>What an enclosure usually loses to the room beyond what the room loses, in its volumes for each h.</summary>
    public const double UsualMixingPerH = 12;

    private const double LeastDelayH = -1, MostDelayH = 1.2;

    private readonly RunCurve _curve;
    private readonly bool _byIntegral;
    private readonly double[] _level;
    private Whitening _whitening;

    /// <inheritdoc/>
    public IReadOnlyList<FitParameter> Parameters { get; }

    /// <inheritdoc/>
    public int Rows => _curve.Run.Records.Values.Length;

    /// <summary>The log it is fitted to.</summary>
    public RunRecords Records => _curve.Run.Records;

    /// <summary>The model of a run.</summary>
    /// <param name="curve">The run.</param>
    /// <param name="priors">What is thought beforehand.</param>
    /// <param name="noise">The noise, before the print's level is known.</param>
    /// <param name="byIntegral">Whether the first parameter is E/L instead of E.</param>
    public BoxModel(RunCurve curve, BoxPriors priors, ReadingNoise noise, bool byIntegral = false)
    {
        (_curve, _byIntegral, _level) = (curve, byIntegral, new double[curve.Run.Records.Values.Length]);
        _whitening = new Whitening(curve.Run.Records, noise, _level);
        Parameters = ParametersOf(curve.Run, priors);
    }

    private BoxModel(BoxModel other, bool byIntegral)
    {
        (_curve, _byIntegral, _level, _whitening, Parameters) = (other._curve, byIntegral, new double[other.Rows], other._whitening, other.Parameters);
    }

    /// <summary>The same model with the same weights, its first parameter being E/L.</summary>
    public BoxModel ByIntegral() => new(this, byIntegral: true);

    /// <summary>The filter that gives the weights.</summary>
    public Whitening Whitening => _whitening;

    /// <summary>Sets the weights by the noise and the print's level at given values; they are held until set again.</summary>
    public void WeighBy(ReadingNoise noise, ReadOnlySpan<double> values) => _whitening = WhiteningAt(noise, values);

    /// <summary>The filter for a noise, with the print's level at given values.</summary>
    public Whitening WhiteningAt(ReadingNoise noise, ReadOnlySpan<double> values) => new(_curve.Run.Records, noise, PrintLevels(values));

    /// <summary>What the print adds in each record.</summary>
    public double[] PrintLevels(ReadOnlySpan<double> values)
    {
        _curve.Follow(values[LogLoss], values[Delay], MixingOf(values));
        var emission = EmissionOf(values);
        return [.. _curve.Response.Select(response => emission * response)];
    }

    /// <summary>Differences of the readings from the model, as they are.</summary>
    public void Differences(ReadOnlySpan<double> values, Span<double> differences)
    {
        _curve.Follow(values[LogLoss], values[Delay], MixingOf(values));
        var emission = EmissionOf(values);
        var records = _curve.Run.Records;
        for (var i = 0; i < differences.Length; i++)
        {
            differences[i] = records.Values[i] - values[Background] - values[Drift] * (records.StartsH[i] + records.LengthH / 2 - records.MiddleH) - emission * _curve.Response[i];
        }
    }

    /// <summary>What each parameter does to the level in each record.</summary>
    public void LevelSlopes(ReadOnlySpan<double> values, double[][] columns)
    {
        _curve.FollowWithSlopes(values[LogLoss], values[Delay], MixingOf(values));
        var emission = EmissionOf(values);
        var records = _curve.Run.Records;
        var loss = Math.Exp(values[LogLoss]);
        for (var i = 0; i < Rows; i++)
        {
            columns[Emission][i] = _byIntegral ? loss * _curve.Response[i] : _curve.Response[i];
            columns[LogLoss][i] = emission * (_curve.ByLogLoss[i] + (_byIntegral ? _curve.Response[i] : 0));
            columns[Delay][i] = emission * _curve.ByDelay[i];
            columns[Background][i] = 1;
            columns[Drift][i] = records.StartsH[i] + records.LengthH / 2 - records.MiddleH;
            if (_curve.Run.IsEnclosed)
            {
                columns[LogMixing][i] = emission * _curve.ByLogMixing[i];
            }
        }
    }

    /// <inheritdoc/>
    public void Residuals(ReadOnlySpan<double> values, Span<double> white)
    {
        Differences(values, white);
        _whitening.Apply(white, white);
    }

    /// <inheritdoc/>
    public void Slopes(ReadOnlySpan<double> values, double[][] columns)
    {
        LevelSlopes(values, columns);
        foreach (var column in columns)
        {
            _whitening.Apply(column, column);
        }
    }

    private double EmissionOf(ReadOnlySpan<double> values) => _byIntegral ? values[Emission] * Math.Exp(values[LogLoss]) : values[Emission];

    private double MixingOf(ReadOnlySpan<double> values) => _curve.Run.IsEnclosed ? values[LogMixing] : 0;

    /// <summary>The parameters of one run, in their order.</summary>
    public static List<FitParameter> ParametersOf(BoxRun run, BoxPriors priors)
    {
        var records = run.Records;
        var before = records.Values.Where((_, i) => records.StartsH[i] + records.LengthH <= run.JobStartH).ToArray();
        List<FitParameter> parameters =
        [
            new(Start: 0),
            new(Start: 0, Mean: priors.LossPerH is { } loss ? Math.Log(loss.PerH) : 0, Deviation: priors.LossPerH?.LogDeviation ?? double.PositiveInfinity,
                Least: Math.Log(LeastLossPerH), Most: Math.Log(MostLossPerH)),
            new(Start: priors.DelayH, Mean: priors.DelayH, Deviation: double.Hypot(priors.DelayDeviationH, run.StartDeviationH), Least: LeastDelayH, Most: MostDelayH),
            new(Start: before.Length > 0 ? before.Average() : records.Values.Min()),
            new(Start: 0, Mean: 0, Deviation: priors.DriftDeviationPerH),
        ];
        if (run.IsEnclosed)
        {
            // Give or take a factor of e.
            parameters.Add(new(Start: Math.Log(UsualMixingPerH), Mean: Math.Log(UsualMixingPerH), Deviation: 1));
        }

        return parameters;
    }
}
