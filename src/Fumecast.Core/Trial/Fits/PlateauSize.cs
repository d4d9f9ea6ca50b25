// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;

namespace Fumecast.Trial;

/// <summary>How high a print would hold the level, were it to last, and how well a log shows it.</summary>
/// <param name="Height">E/(V L): for each g/h of flow, or for the flow itself where that is planned [unit of the readings].</param>
/// <param name="Error">Its standard error; for a planned run the one to be expected.</param>
/// <remarks>The loss rate is fitted beside it, with a deviation of 0.7 of its logarithm. Source: trial methods, 11.</remarks>
internal readonly record struct PlateauSize(double Height, double Error)
{
    private const double LossDeviation = 0.7;

    /// <summary>What a log shows of its print.</summary>
    /// <param name="run">The run.</param>
    /// <param name="noise">The noise of the meter.</param>
    public static PlateauSize In(BoxRun run, ReadingNoise noise)
    {
        var print = new PrintColumns(run, hasPrint: true, noise, EventFinder.UsualWalk * noise.Floor, null, []);
        var (factor, readings) = (print.LossPerH * run.VolumeM3, (double[])[.. print.Readings, 0]);
        var first = Projection.Of([Scaled(print.Print[0], factor)]).Coefficients(readings)[0];
        var projection = Beside(print, factor, first, lossIsKnown: false);
        var rest = projection.Rest(readings)[..^1];
        return new(projection.Coefficients(readings)[0], Math.Max(1, Spikes.DeviationOverMedian * rest.Select(Math.Abs).Median()) * Math.Sqrt(projection.Variance(0)));
    }

    /// <summary>What a log of a planned run would show.</summary>
    /// <param name="run">The run; its readings do not count.</param>
    /// <param name="noise">The noise of the meter.</param>
    /// <param name="lossPerH">Loss rate of the room [1/h].</param>
    /// <param name="emissionPerG">What reaches the room for each gram [unit of the readings times m3, for each g].</param>
    /// <param name="lossIsKnown">Whether the loss rate is known beforehand.</param>
    public static PlateauSize Expected(BoxRun run, ReadingNoise noise, double lossPerH, double emissionPerG, bool lossIsKnown = false)
    {
        var levels = new double[run.Records.Values.Length];
        AirResponse.Fill(run.Flow, run.JobStartH, lossPerH, null, run.Records, levels);
        for (var i = 0; i < levels.Length; i++)
        {
            levels[i] *= emissionPerG / run.VolumeM3;
        }

        var planned = run with { Records = new RunRecords(run.Records.StartsH, levels, run.Records.LengthH, run.Records.DisplayStep) };
        var print = new PrintColumns(planned, hasPrint: true, noise, EventFinder.UsualWalk * noise.Floor, lossPerH, []);
        var height = emissionPerG / (run.VolumeM3 * lossPerH);
        return new(height, Math.Sqrt(Beside(print, lossPerH * run.VolumeM3, height, lossIsKnown).Variance(0)));
    }

    /// <summary>Columns of the height and of what the loss rate does to it; the loss is held by its prior as by one more row.</summary>
    private static Projection Beside(PrintColumns print, double factor, double height, bool lossIsKnown)
    {
        double[] byHeight = [.. Scaled(print.Print[0], factor), 0];
        double[] byLoss = [.. print.Print[0].Zip(print.Print[1], (response, slope) => height * factor * (response + slope)), 1 / LossDeviation];
        return lossIsKnown ? Projection.Of([byHeight]) : Projection.Of([byHeight, byLoss]);
    }

    private static double[] Scaled(double[] column, double factor) => [.. column.Select(one => one * factor)];
}
