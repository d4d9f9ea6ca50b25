// SPDX-License-Identifier: MIT
using Fumecast.Heat;

namespace Fumecast.Tests.Unit.Heat;

public class HeaterWaitTests
{
    private static Heater At(double nowC, double? targetC, double powerW = 40)
    {
        var heater = new Heater(
            new() { PowerW = powerW, HeatCapacityJPerK = 20, LossWPerK = 0.1, LossFanFullWPerK = 0.1 }, 25);
        heater.StartAt(nowC);
        heater.SetTarget(targetC);
        return heater;
    }

    [Fact]
    public void Switched_off_heater_is_not_waited_for()
    {
        var off = At(100, null);
        Assert.Equal(0, HeaterWait.ResidencyS(off, 1, 10, whileCooling: true));
        Assert.Equal(0, HeaterWait.BandS(off, 2.5, 40, whileCooling: true));
        Assert.Equal(0, HeaterWait.SettleS(off, 1, 10));
    }

    [Fact]
    public void Hot_block_costs_the_residency_again() =>
        Assert.Equal(10, HeaterWait.ResidencyS(At(210, 210), 1, 10, whileCooling: false));

    [Fact]
    public void Hotter_block_is_waited_for_on_demand_only()
    {
        var hotter = At(230, 210);
        Assert.Equal(0, HeaterWait.ResidencyS(hotter, 1, 10, whileCooling: false));
        Assert.Equal(0, HeaterWait.BandS(hotter, 2.5, 40, whileCooling: false));
        // 200 s time constant, 205 K above the room falling to 186 K and to 187.5 K.
        Close.To(200 * Math.Log(205 / 186.0) + 10, HeaterWait.ResidencyS(hotter, 1, 10, whileCooling: true), 1e-12);
        Close.To(200 * Math.Log(205 / 187.5), HeaterWait.BandS(hotter, 2.5, 40, whileCooling: true), 1e-12);
        Close.To(200 * Math.Log(205 / 186.0) + 10, HeaterWait.SettleS(hotter, 1, 10), 1e-12);
    }

    [Fact]
    public void Low_targets_are_not_waited_for_by_the_band_rule()
    {
        Assert.Equal(0, HeaterWait.BandS(At(25, 39), 2.5, 40, whileCooling: true));
        Assert.True(HeaterWait.BandS(At(25, 41), 2.5, 40, whileCooling: true) > 0);
    }

    [Fact]
    public void Settling_also_runs_while_nobody_waits()
    {
        var heater = At(210, 210);
        Assert.Equal(10, HeaterWait.SettleS(heater, 1, 10));
        heater.Advance(4, 0, 0);
        Assert.Equal(6, HeaterWait.SettleS(heater, 1, 10));
        heater.Advance(60, 0, 0);
        Assert.Equal(0, HeaterWait.SettleS(heater, 1, 10));
    }

    [Fact]
    public void Heater_too_weak_for_its_target_is_waited_for_without_end()
    {
        var weak = At(25, 210, powerW: 10);
        Assert.Equal(double.PositiveInfinity, HeaterWait.ResidencyS(weak, 1, 10, whileCooling: false));
        Assert.Equal(double.PositiveInfinity, HeaterWait.BandS(weak, 2.5, 40, whileCooling: false));
        Assert.Equal(double.PositiveInfinity, HeaterWait.SettleS(weak, 1, 10));
    }

    [Fact]
    public void Bounds_are_waited_for_without_settling()
    {
        Close.To(-200 * Math.Log(1 - 75 / 400.0), HeaterWait.BetweenS(At(25, 200), 100, null), 1e-12);
        Close.To(200 * Math.Log(175 / 75.0), HeaterWait.BetweenS(At(200, null), null, 100), 1e-12);
        Assert.Equal(0, HeaterWait.BetweenS(At(150, 200), 100, 180));
        Assert.Equal(double.PositiveInfinity, HeaterWait.BetweenS(At(150, 200), 300, 100));
    }
}
