// SPDX-License-Identifier: MIT
using Fumecast.Trial;

namespace Fumecast.Tests.Published.Trial;

/// <summary>How long to wait and to average: worked values of the air reference, computed there in closed form and by a statistics language.</summary>
public class PlanChecks
{
    private const string Source = "air reference 8.6, computed there in closed form and by a statistics language";

    [Published(Source, "W8.18: deviation 2, difference 1.5, power 0.8, memory 5 min (normal)")]
    [Fact]
    public void Readings_and_time_for_a_small_difference()
    {
        var readings = RunLength.Readings(2, 1.5, 0.8);
        Close.ToDigits(27.90713, 7, readings);
        // By Student's t the reference comes to 28.9, one more: 290 min in place of 279.
        Close.ToDigits(290, 8, RunLength.Averaging(29, 5));
    }

    [Published(Source, "W8.19: smallest difference of two runs of 20 independent readings")]
    [Fact]
    public void Smallest_difference() => Close.ToDigits(1.771878, 7, RunLength.Difference(2, 20, 0.8));

    [Published(Source, "W8.21: what a mean misses of the plateau, loss rate 0.8 per h")]
    [Theory]
    [InlineData(3.5, 5, 0.03541202)]
    [InlineData(2, 3.5, 0.1175720)]
    [InlineData(0, 3, 0.3788675)]
    public void A_mean_taken_too_early_is_low(double fromH, double toH, double printed) => Close.ToDigits(printed, 7, RunLength.Missing(0.8, fromH, toH));

    [Published(Source, "W8.22: room of 30 m3, loss rate 0.8 per h, clean air of 60 m3/h, 300 ug/h seen, deviation 1.5 ug/m3")]
    [Fact]
    public void The_wait_is_the_limit_and_not_the_noise()
    {
        var run = new BoxRun { Records = new RunRecords([0, 1.0 / 60], [0, 0], 1.0 / 60, 0), Flow = FlowSteps.Steady(1, 5), JobStartH = 0, VolumeM3 = 30 };
        var noise = new ReadingNoise(1.5, 0, 0.05);
        var (without, with) = (PlateauSize.Expected(run, noise, 0.8, 300).Height, PlateauSize.Expected(run, noise, 0.8 + 60.0 / 30, 300).Height);
        Close.ToDigits(12.50000, 7, without);
        Close.ToDigits(3.571429, 7, with);
        Close.ToDigits(8.928571, 7, without - with);
        Close.ToDigits(0.4430536, 7, RunLength.Readings(1.5, without - with, 0.8));
        Close.ToDigits(3.7, 2, RunLength.WaitH(0.8));
    }

    [Published(Source, "W8.23: the same room, to see 20 % less")]
    [Fact]
    public void A_small_effect_takes_longer()
    {
        var readings = RunLength.Readings(1.5, 2.5, 0.8);
        Close.ToDigits(5.651193, 7, readings);
        Close.ToDigits(33.90716, 7, RunLength.Averaging(readings, 3));
    }
}
