// SPDX-License-Identifier: MIT
using Fumecast.Heat;

namespace Fumecast.Tests.Unit.Heat;

public class HeaterTests
{
    private static readonly HeaterModel Slow = new()
    {
        PowerW = 40,
        HeatCapacityJPerK = 20,
        LossWPerK = 0.1,
        LossFanFullWPerK = 0.15,
        DeadTimeS = 5,
    };

    private static Heater Holding(double targetC)
    {
        var heater = new Heater(Slow, 25);
        heater.StartAt(targetC);
        heater.SetTarget(targetC);
        return heater;
    }

    [Fact]
    public void Starts_off_at_ambient_and_stays_there()
    {
        var heater = new Heater(Slow, 25);
        heater.Advance(1000, 1, 0.1);
        Assert.Equal(25, heater.TemperatureC);
        Assert.Equal(25, heater.LastMeanC);
        Assert.Null(heater.TargetC);
    }

    [Theory]
    [InlineData(0.0)]
    [InlineData(-5.0)]
    [InlineData(null)]
    public void Target_of_zero_or_less_is_off(double? targetC)
    {
        var heater = Holding(200);
        heater.SetTarget(targetC);
        Assert.Null(heater.TargetC);
        heater.Advance(10, 0, 0);
        Assert.True(heater.TemperatureC < 200);
    }

    [Fact]
    public void Target_is_met_exactly_and_then_held()
    {
        var heater = new Heater(Slow, 25);
        heater.SetTarget(200);
        heater.Advance(1000, 0, 0);
        Assert.Equal(200.0, heater.TemperatureC);
        heater.Advance(1, 0.5, 0.01);
        Assert.Equal(200.0, heater.LastMeanC);
        Close.To(1001 - SecondsOf(200), heater.HeldS, 1e-12);

        static double SecondsOf(double targetC)
        {
            var fresh = new Heater(Slow, 25);
            fresh.SetTarget(targetC);
            return fresh.SecondsUntil(targetC, 0, 0);
        }
    }

    // 25 degC and 40 W: 5 s of nothing, then T = 425 - 400 e^(-(t - 5) / 200).
    [Fact]
    public void Power_shows_after_the_dead_time_only()
    {
        var heater = new Heater(Slow, 25);
        heater.SetTarget(200);
        heater.Advance(5, 0, 0);
        Assert.Equal(25, heater.TemperatureC);
        heater.Advance(10, 0, 0);
        Close.To(425 - 400 * Math.Exp(-0.05), heater.TemperatureC, 1e-12);
    }

    [Fact]
    public void Holding_block_stays_during_the_dead_time_of_a_raise()
    {
        var heater = Holding(200);
        heater.SetTarget(230);
        heater.Advance(5, 0, 0);
        Assert.Equal(200, heater.TemperatureC);
        heater.Advance(1, 0, 0);
        Assert.True(heater.TemperatureC > 200);
    }

    [Fact]
    public void Raise_while_heating_costs_no_second_dead_time()
    {
        var heater = new Heater(Slow, 25);
        heater.SetTarget(100);
        heater.Advance(15, 0, 0);
        heater.SetTarget(200);
        var beforeC = heater.TemperatureC;
        heater.Advance(0.1, 0, 0);
        Assert.True(heater.TemperatureC > beforeC);
    }

    [Fact]
    public void Switched_off_within_the_dead_time_never_heats()
    {
        var heater = new Heater(Slow, 25);
        heater.SetTarget(100);
        heater.Advance(2, 0, 0);
        heater.SetTarget(null);
        heater.Advance(100, 0, 0);
        Assert.Equal(25, heater.TemperatureC);
    }

    // 40 W against 0.25 W/K: 25 + 160 = 185 degC in the end, with a time constant of 80 s.
    [Fact]
    public void Block_sags_when_the_flow_takes_more_than_the_heater_has_and_recovers_after()
    {
        var heater = Holding(200);
        heater.Advance(80, 1, 0.1);
        Close.To(185 + 15 * Math.Exp(-1), heater.TemperatureC, 1e-12);
        Assert.Equal(0, heater.HeldS);
        heater.Advance(1000, 0, 0);
        Assert.Equal(200.0, heater.TemperatureC);
    }

    [Fact]
    public void Target_below_the_room_leaves_the_block_at_room_temperature()
    {
        var heater = new Heater(Slow, 25);
        heater.SetTarget(10);
        heater.Advance(1000, 0, 0);
        Assert.Equal(25, heater.TemperatureC);
        Assert.Equal(double.PositiveInfinity, heater.SecondsUntil(10, 0, 0));
    }

    [Fact]
    public void Level_beyond_the_target_is_never_reached()
    {
        var heater = new Heater(Slow, 25);
        heater.SetTarget(200);
        Assert.Equal(double.PositiveInfinity, heater.SecondsUntil(200.001, 0, 0));
        Assert.Equal(double.PositiveInfinity, heater.SecondsUntil(24.9, 0, 0));
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(-1)]
    [InlineData(double.PositiveInfinity)]
    public void Time_that_is_none_is_refused(double seconds)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Holding(200).Advance(seconds, 0, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => new Heater(Slow, 25).Advance(seconds, 0, 0));
    }
}
