// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Tests.Unit.Air;

public class MeterViewTests
{
    private static readonly MeterAir Print = new(1e5, 20, new ParticleSize(40, 1.8), 300);

    [Fact]
    public void Each_meter_sees_its_own_part_of_a_print()
    {
        double Shown(string meter) => MeterView.Shown(AirData.Meters.Load(meter).Channels[0], Print, 1);
        Assert.InRange(Shown("particle-counter"), 0.95e5, 1e5);
        Assert.InRange(Shown("optical-pm"), 0.5, 1.5);
        Assert.Equal((300.0, 300.0), (Shown("photo-ionisation"), Shown("metal-oxide")));
    }

    [Fact]
    public void Where_sizes_are_not_known_a_meter_for_particles_shows_nothing()
    {
        var without = Print with { Size = null };
        Assert.Equal(0, MeterView.Shown(AirData.Meters.Load("optical-pm").Channels[0], without, 1));
        Assert.Equal(300, MeterView.Shown(AirData.Meters.Load("metal-oxide").Channels[0], without, 1));
    }

    [Fact]
    public void A_unit_shows_what_its_response_makes_of_it()
    {
        var channel = AirData.Meters.Load("metal-oxide").Channels[0];
        Assert.Equal(600, MeterView.Shown(channel, Print, 2));
        Assert.Equal(0, MeterView.ShownOfVisible(channel, 5, 1));
        Assert.Equal(10, MeterView.ShownOfVisible(AirData.Meters.Load("optical-pm").Channels[1], 5, 2));
    }

    [Theory]
    [InlineData(4.4, 1, 4)]
    [InlineData(4.5, 1, 5)]
    [InlineData(0.4, 1, 0)]
    [InlineData(0.4, 0.1, 0.4)]
    [InlineData(-2, 1, 0)]
    [InlineData(3.3, 0, 3.3)]
    public void The_display_shows_the_nearest_of_its_steps(double level, double step, double shown) => Close.To(shown, MeterView.OnDisplay(level, step), 1e-12);

    [Fact]
    public void A_longer_print_a_lower_noise_and_a_larger_difference_are_seen_more_often()
    {
        var noise = new MeterNoise(1, 1, 180, 0);
        Assert.True(noise.ProbabilitySeen(1, 3600, 3600) > noise.ProbabilitySeen(1, 600, 600));
        Assert.True(noise.ProbabilitySeen(2, 600, 600) > noise.ProbabilitySeen(1, 600, 600));
        Assert.True((noise with { ReadingDeviation = 0.6 }).ProbabilitySeen(1, 600, 600) > noise.ProbabilitySeen(1, 600, 600));
    }

    [Fact]
    public void Drift_makes_more_time_worse()
    {
        var drifting = new MeterNoise(0.1, 0, 60, 0.5);
        Assert.True(drifting.DetectionLimit(36_000, 36_000) > drifting.DetectionLimit(3600, 3600));
        Close.To(0.5, new MeterNoise(0, 0, 60, 0.5).OfDifference(3600, 3600), 1e-12);
    }

    [Fact]
    public void Noise_is_the_larger_of_its_floor_and_its_share()
    {
        var channel = AirData.Meters.Load("optical-pm").Channels[1];
        Assert.Equal(1, MeterNoise.Of(channel, 8, static f => f.Value).ReadingDeviation);
        Assert.Equal(5, MeterNoise.Of(channel, 100, static f => f.Value).ReadingDeviation);
    }

    [Fact]
    public void Less_time_than_the_noise_hangs_together_is_as_good_as_one_reading()
    {
        var noise = new MeterNoise(2, 0, 3600, 0);
        Assert.InRange(noise.OfMean(1), 1.99, 2);
        Assert.True(double.IsFinite(new MeterNoise(2, 0, 1e15, 0).OfMean(1)));
    }
}
