// SPDX-License-Identifier: MIT
using Fumecast.Air;
using Fumecast.Forecast;
using Fumecast.Samples;
using Fumecast.Trial;

namespace Fumecast.Tests.Properties;

/// <summary>What a plan promises is what trials then find: made by small steps of time, independently of what plans and reads them.</summary>
public class PlannedTrialLaws
{
    private const int Trials = 80;
    private const double LossPerH = 0.9, VolumeM3 = 30, FlowGPerH = 7.5, PrintH = 3;

    [Theory]
    [InlineData(2.2, 0.3)]
    [InlineData(4.5, 0.45)]
    [InlineData(6, 0.2)]
    [InlineData(8, 0.4)]
    [InlineData(12, 0.6)]
    [InlineData(25, 0.5)]
    public void The_promised_chance_is_the_share_of_trials_that_show_it(double plateau, double ratio)
    {
        var promised = Promised(plateau, ratio);
        var found = Enumerable.Range(0, Trials).AsParallel().Count(i => Shows(plateau, ratio, seed: 1000 + i)) / (double)Trials;
        Assert.True(Math.Abs(promised - found) <= 0.15, $"promised {promised:0.00}, found {found:0.00}");
    }

    [Fact]
    public void The_chance_rises_with_the_level_and_with_repeats_and_falls_with_what_is_left()
    {
        double[] byLevel = [Promised(2, 0.5), Promised(5, 0.5), Promised(15, 0.5), Promised(60, 0.5)];
        Assert.Equal(byLevel.Order(), byLevel);
        double[] byRatio = [Promised(10, 0.9), Promised(10, 0.7), Promised(10, 0.5), Promised(10, 0.1)];
        Assert.Equal(byRatio.Order(), byRatio);
        Assert.True(Promised(5, 0.5, pairs: 3) > Promised(5, 0.5));
        // A filter that does nothing is rarely called effective, however strong the signal.
        Assert.InRange(Promised(500, 1), 0, 0.03);
    }

    private static double Promised(double plateau, double ratio, int pairs = 1)
    {
        var meter = AirData.Meters.Load("optical-pm");
        var channel = meter.Channels.First(static one => one.Quantity == MeterQuantity.Pm25);
        var pair = new PlannedPair(Job, meter, channel, withoutPrint: 0, LossPerH);
        return PlannedPair.Probability([pair.Expected(new DrawnFall(plateau * PrintH, LossPerH), new DrawnFall(ratio * plateau * PrintH, LossPerH))], EffectTest.UsualRunToRun, pairs);
    }

    private static bool Shows(double plateau, double ratio, int seed)
    {
        var random = new Random(seed);
        var (first, second) = (Found(plateau, random), Found(ratio * plateau, random));
        return EffectTest.IsLower(first, second);
    }

    // The noise of the meter as it is shipped, and days that differ by a tenth.
    private static PlateauSize Found(double plateau, Random random)
    {
        var day = Math.Exp(EffectTest.UsualRunToRun * SimulatedRun.Normal(random));
        var simulated = new SimulatedRun
        {
            VolumeM3 = VolumeM3,
            LossPerH = LossPerH,
            EmissionPerG = day * plateau * VolumeM3 * LossPerH / FlowGPerH,
            Flow = [(PrintH, FlowGPerH)],
            AfterH = PlannedPair.AfterFor(LossPerH),
            WalkPerRootH = 0.3,
            Floor = 1,
            Share = 0.05,
            DisplayStep = 1,
        };
        var (starts, values) = simulated.Readings(random);
        var run = new BoxRun { Records = new RunRecords(starts, values, simulated.RecordH, simulated.DisplayStep), Flow = Job.Flow, JobStartH = simulated.BeforeH + simulated.DelayH, VolumeM3 = VolumeM3 };
        return PlateauSize.In(run, new ReadingNoise(simulated.Floor, simulated.Share, simulated.MemoryH));
    }

    private static JobOfRun Job { get; } = new("steady.gcode", FlowSteps.Steady(FlowGPerH, PrintH), 5.0 / 60, null!);
}
