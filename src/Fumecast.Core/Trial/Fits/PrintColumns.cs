// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>What a whitened log says of a print whose background walks: amplitude and loss rate by plain least squares.</summary>
/// <remarks>Source: trial methods, 8.</remarks>
internal sealed class PrintColumns
{
    private static readonly double[] Losses = [.3, .45, .65, .9, 1.2, 1.6, 2.2, 3.0, 4.5, 7, 10, 15, 22, 30];
    private const int FinerLosses = 9;
    private const double LossNudge = 1e-3;

    private readonly BoxRun _run;

    /// <summary>The filter of the last round.</summary>
    public WalkingBackground Filter { get; private set; }

    /// <summary>The whitened readings.</summary>
    public double[] Readings { get; private set; }

    /// <summary>Whitened response to 1 for each gram, and its derivative by the logarithm of the loss rate; none without a print.</summary>
    public double[][] Print { get; private set; } = [];

    /// <summary>Loss rate that fits best [1/h].</summary>
    public double LossPerH { get; private set; } = 1;

    /// <summary>What the print adds in each record.</summary>
    public double[] PrintLevels { get; private set; }

    /// <summary>Whitens a log.</summary>
    /// <param name="run">The run.</param>
    /// <param name="hasPrint">Whether a job ran.</param>
    /// <param name="noise">The noise of the meter.</param>
    /// <param name="walkPerRootH">How far the background walks in an hour [unit of the readings].</param>
    /// <param name="lossPerH">Loss rate, where it is known; null to take the one that fits best.</param>
    /// <param name="others">Columns, not yet whitened, that are fitted beside the print.</param>
    public PrintColumns(BoxRun run, bool hasPrint, ReadingNoise noise, double walkPerRootH, double? lossPerH, IReadOnlyList<double[]> others)
    {
        _run = run;
        PrintLevels = new double[run.Records.Values.Length];
        // Once with the noise of the floor alone, then with that of the print's level; the reading itself never gives the weight.
        (Filter, Readings) = Whiten(noise, walkPerRootH);
        for (var round = 0; hasPrint && round < 2; round++)
        {
            LossPerH = lossPerH ?? BestLoss(others);
            var response = Response(LossPerH);
            var white = Filter.Of(response);
            var amplitude = Projection.Of([white, .. others.Select(other => Filter.Of(other))]).Coefficients(Readings)[0];
            PrintLevels = [.. response.Select(one => Math.Max(0, amplitude * one))];
            (Filter, Readings) = Whiten(noise, walkPerRootH);
        }

        if (hasPrint)
        {
            var (response, more, less) = (Response(LossPerH), Response(LossPerH * (1 + LossNudge)), Response(LossPerH * (1 - LossNudge)));
            Print = [Filter.Of(response), Filter.Of([.. more.Select((one, i) => (one - less[i]) / (2 * LossNudge))])];
        }
    }

    /// <summary>What 1 for each gram makes in each record at a loss rate.</summary>
    public double[] Response(double lossPerH)
    {
        var response = new double[_run.Records.Values.Length];
        AirResponse.Fill(_run.Flow, _run.JobStartH, lossPerH, _run.IsEnclosed ? lossPerH + BoxModel.UsualMixingPerH : null, _run.Records, response);
        for (var i = 0; i < response.Length; i++)
        {
            response[i] /= _run.VolumeM3;
        }

        return response;
    }

    private (WalkingBackground Filter, double[] Readings) Whiten(ReadingNoise noise, double walkPerRootH)
    {
        var filter = new WalkingBackground(_run.Records, [.. PrintLevels.Select(noise.Deviation)], noise.MemoryH, walkPerRootH);
        return (filter, filter.Of(_run.Records.Values));
    }

    private double BestLoss(IReadOnlyList<double[]> others)
    {
        double[][] white = [.. others.Select(other => Filter.Of(other))];
        double Rest(double loss) => Projection.Of([Filter.Of(Response(loss)), .. white]).RestSquare(Readings);
        var rest = Losses.Select(Rest).ToArray();
        var best = Array.IndexOf(rest, rest.Min());
        var (low, high) = (Losses[Math.Max(0, best - 1)], Losses[Math.Min(Losses.Length - 1, best + 1)]);
        return Enumerable.Range(0, FinerLosses).Select(i => low * Math.Pow(high / low, i / (FinerLosses - 1.0))).MinBy(Rest);
    }
}
