// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Forecast;

namespace Fumecast.Trial;

/// <summary>A run without a filter and one with it, as they are planned, and how surely they will show the difference.</summary>
/// <remarks>Source: trial methods, 11. What is not known of emission, room and filter is averaged over, by draws that are spread evenly over the level.</remarks>
internal sealed class PlannedPair
{
    /// <summary>Time to log before each print [h].</summary>
    public const double BeforeH = 1;

    private const double LongestAfterH = 4, LossesAfter = 3;
    private const double LeastRecordH = 1.0 / 60;
    private const int MostRecords = 900;
    private const int MostPairs = 20;

    /// <summary>How much wider errors are where a print is hardly seen: the loss rate is then picked from noise, which errors by the slope at the true one do not know. From simulated trials of this project.</summary>
    private const double WiderNearNoise = 3.8;

    private readonly BoxRun _run;
    private readonly ReadingNoise _noise;

    /// <summary>Plans the two runs.</summary>
    /// <param name="job">What is printed.</param>
    /// <param name="meter">The meter's kind.</param>
    /// <param name="channel">What it shows.</param>
    /// <param name="withoutPrint">What it shows without a print [its unit].</param>
    /// <param name="lossPerH">How fast the level falls, in the middle [1/h].</param>
    public PlannedPair(JobOfRun job, MeterKind meter, MeterChannel channel, double withoutPrint, double lossPerH)
    {
        AfterH = AfterFor(lossPerH);
        var hours = BeforeH + job.WarmUpH + job.Flow.EndH + AfterH;
        var recordH = new[] { meter.IntervalS.Value / 3600, LeastRecordH, hours / MostRecords }.Max();
        var memoryH = channel.AutocorrelationS.Value / 3600;

        // Readings that are joined to a longer record scatter less, as far as they forget each other.
        var joined = recordH > 1.01 * meter.IntervalS.Value / 3600 ? Math.Sqrt(2 * Decay.MeanOfFilling(recordH / memoryH)) : 1;
        Floor = Math.Max(channel.NoiseFloor.Value, channel.NoiseShare.Value * withoutPrint);
        _noise = new ReadingNoise(joined * Floor, joined * channel.NoiseShare.Value, memoryH);
        var rows = Math.Max(2, (int)Math.Round(hours / recordH));
        _run = new BoxRun
        {
            Records = new RunRecords([.. Enumerable.Range(0, rows).Select(row => row * recordH)], new double[rows], recordH, channel.Resolution.Value),
            Flow = job.Flow,
            JobStartH = BeforeH + job.WarmUpH,
            VolumeM3 = 1,
        };
    }

    /// <summary>Time to log after each print [h].</summary>
    public double AfterH { get; }

    /// <summary>Noise of one reading without a print: standard deviation.</summary>
    public double Floor { get; }

    /// <summary>Time to log after a print [h]: until a twentieth is left, but no longer than is worth it.</summary>
    /// <param name="lossPerH">How fast the level falls [1/h].</param>
    public static double AfterFor(double lossPerH) => lossPerH > 0 ? Math.Min(LongestAfterH, LossesAfter / lossPerH) : LongestAfterH;

    /// <summary>What the two runs are expected to show.</summary>
    /// <param name="without">The print without the filter, in one draw.</param>
    /// <param name="with">The print with it, in the same draw.</param>
    /// <param name="times">Levels are so many times as high [-].</param>
    public (PlateauSize Without, PlateauSize With) Expected(DrawnFall without, DrawnFall with, double times = 1)
    {
        var (first, second) = (Of(without, times), Of(with, times));
        var wider = first.Height > 0 ? double.Hypot(1, WiderNearNoise * first.Error / first.Height) : 1;
        return (first with { Error = wider * first.Error }, second with { Error = wider * second.Error });
    }

    /// <summary>Probability that pairs of such runs show the difference, over all draws [-].</summary>
    /// <param name="expected">What is expected of the two runs in each draw.</param>
    /// <param name="runToRun">What differs from run to run [-].</param>
    /// <param name="pairs">How many pairs [-].</param>
    public static double Probability(IReadOnlyList<(PlateauSize Without, PlateauSize With)> expected, double runToRun, int pairs = 1)
    {
        var root = Math.Sqrt(pairs);
        return expected.Count == 0 ? 0 : expected.Average(pair => pair.Without.Height > 0
            ? EffectTest.Power(pair.Without with { Error = pair.Without.Error / root }, pair.With with { Error = pair.With.Error / root }, runToRun / root)
            : 0);
    }

    /// <summary>Pairs that show the difference so surely; null where the most that are tried do not.</summary>
    /// <param name="expected">As in <see cref="Probability"/>.</param>
    /// <param name="runToRun">As in <see cref="Probability"/>.</param>
    /// <param name="certainty">How surely [-].</param>
    public static int? PairsFor(IReadOnlyList<(PlateauSize Without, PlateauSize With)> expected, double runToRun, double certainty) =>
        Enumerable.Range(1, MostPairs).Cast<int?>().FirstOrDefault(pairs => Probability(expected, runToRun, pairs!.Value) >= certainty);

    private PlateauSize Of(DrawnFall fall, double times)
    {
        var loss = Math.Clamp(fall.LossPerH, BoxModel.LeastLossPerH, BoxModel.MostLossPerH);
        var height = times * fall.IntegralH / _run.Flow.TotalG;
        return PlateauSize.Expected(_run, _noise, loss, height * loss);
    }
}
