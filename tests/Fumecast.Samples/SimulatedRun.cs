// SPDX-License-Identifier: MIT
namespace Fumecast.Samples;

/// <summary>A run as a meter would log it, made from known figures by small steps of time, independently of what evaluates it. All of it is invented.</summary>
public sealed record SimulatedRun
{
    private const double StepH = 5.0 / 3600;

    public double VolumeM3 { get; init; } = 30;

    public double LossPerH { get; init; } = 0.9;

    public double EmissionPerG { get; init; } = 30;

    public (double UntilH, double GPerH)[] Flow { get; init; } = [(3, 7.5)];

    public double BeforeH { get; init; } = 1;

    public double AfterH { get; init; } = 3;

    /// <summary>From the start of the job to the first emission.</summary>
    public double DelayH { get; init; } = 5.0 / 60;

    public double Background { get; init; } = 3;

    public double DriftPerH { get; init; }

    /// <summary>Random walk of the background in an hour.</summary>
    public double WalkPerRootH { get; init; }

    public double Floor { get; init; } = 0.7;

    public double Share { get; init; } = 0.04;

    public double MemoryH { get; init; } = 0.05;

    public double DisplayStep { get; init; } = 0.1;

    public double RecordH { get; init; } = 1.0 / 60;

    /// <summary>Loss rate of an enclosure; null without one.</summary>
    public double? BoxLossPerH { get; init; }

    /// <summary>A level added from a time on, rising and ending at once, in ug/m3.</summary>
    public (double FromH, double ToH, double Size)[] Steps { get; init; } = [];

    /// <summary>The readings: start of each record [h] and what the meter showed.</summary>
    public (double[] StartsH, double[] Values) Readings(Random random)
    {
        var rows = (int)Math.Round((BeforeH + Flow[^1].UntilH + AfterH) / RecordH);
        var (starts, values) = (new double[rows], new double[rows]);
        var (level, box, error, walk) = (0.0, 0.0, Normal(random), 0.0);
        var keep = Math.Exp(-RecordH / MemoryH);
        var inner = (int)Math.Round(RecordH / StepH);
        for (var row = 0; row < rows; row++)
        {
            var sum = 0.0;
            starts[row] = row * RecordH;
            for (var k = 0; k < inner; k++)
            {
                var time = row * RecordH + (k + 0.5) * StepH;
                var source = EmissionPerG * FlowAt(time - BeforeH - DelayH) / VolumeM3;
                if (BoxLossPerH is { } boxLoss)
                {
                    box += StepH * (source - boxLoss * box);
                    source = boxLoss * box;
                }

                level += StepH * (source - LossPerH * level);
                sum += level;
            }

            var mean = sum / inner;
            error = row == 0 ? error : keep * error + Math.Sqrt(1 - keep * keep) * Normal(random);
            walk += WalkPerRootH * Math.Sqrt(RecordH) * Normal(random);
            var middle = (row + 0.5) * RecordH;
            var reading = Background + walk + DriftPerH * (middle - rows * RecordH / 2) + mean + double.Hypot(Floor, Share * mean) * error
                + Steps.Sum(step => middle >= step.FromH && middle < step.ToH ? step.Size : 0);
            values[row] = DisplayStep > 0 ? Math.Max(0, DisplayStep * Math.Round(reading / DisplayStep)) : reading;
        }

        return (starts, values);
    }

    private double FlowAt(double hours)
    {
        if (hours < 0)
        {
            return 0;
        }

        foreach (var (until, flow) in Flow)
        {
            if (hours < until)
            {
                return flow;
            }
        }

        return 0;
    }

    public static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
