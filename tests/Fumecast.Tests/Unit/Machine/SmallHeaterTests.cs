// SPDX-License-Identifier: MIT
using Fumecast.Heat;
using Fumecast.Machine;

namespace Fumecast.Tests.Unit.Machine;

/// <summary>Flow beyond what the profile's heater can melt: the nozzle does not sink without bounds, nor in silence.</summary>
public class SmallHeaterTests
{
    /// <summary>1.8 J/(g K) at 1.24 g/cm3.</summary>
    private const double HeatJPerKMm3 = 1.8e-3 * 1.24;

    private static readonly SimulationOptions Options = new() { BinS = 1, FilamentHeatJPerKMm3 = [HeatJPerKMm3] };

    [Fact]
    public void At_195_mm3_per_s_a_heater_of_40_W_is_taken_to_hold_the_set_point_and_the_finding_names_the_cure()
    {
        var run = Simulated.Run(AtFlow(195, 60), options: Options);
        var heat = run.Print.Tools[0].Heat;

        Assert.True(heat.MinC >= Simulated.Printer.ColdLimitC, $"sank to {heat.MinC} C");
        Close.To(210, run.Slices.Last(slice => slice.DepositedMm3 > 0).NozzleC, 1e-9);
        Assert.InRange(heat.HeaterTooSmallFromS!.Value, 60, 200);

        // By hand: (0.0664 W/K of loss + 195 mm3/s of 1.8 J/(g K) at 1.24 g/cm3) over 185 K.
        Close.To((0.0664 + (195 * HeatJPerKMm3)) * 185, heat.NeededHeaterW, 1e-3);
        var finding = Assert.Single(run.Log.Entries, entry => entry.Code == "heater-too-small");
        Assert.True(finding.ChangesResult);
        Assert.Contains("about 93 W", finding.Message, StringComparison.Ordinal);
        Assert.Contains("has 40 W", finding.Message, StringComparison.Ordinal);
        Assert.Contains("(nozzle: power)", finding.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void With_the_power_that_the_finding_asks_for_nothing_is_found()
    {
        var printer = Simulated.Printer with { Nozzle = Simulated.HotEnd with { PowerW = 94 } };
        var run = Simulated.Run(AtFlow(195, 60), printer, Options);
        Close.To(210, run.Print.Tools[0].Heat.MinC, 1e-9);
        Assert.DoesNotContain(run.Log.Entries, entry => entry.Code == "heater-too-small");
    }

    [Fact]
    public void A_nozzle_that_sags_but_stays_hot_enough_is_simulated_as_it_is()
    {
        // 75 mm3/s: 40 W hold 40 / (0.0664 + 0.1674) K = 171 K over 25 degC.
        var run = Simulated.Run(AtFlow(75, 600), options: Options);
        Assert.InRange(run.Print.Tools[0].Heat.MinC, 190, 200);
        Assert.Null(run.Print.Tools[0].Heat.HeaterTooSmallFromS);
        Assert.DoesNotContain(run.Log.Entries, entry => entry.Code == "heater-too-small");

        // Not in silence: fifteen kelvins are a factor of nearly three in particles.
        var finding = Assert.Single(run.Log.Entries, entry => entry.Code == "nozzle-sinks");
        Assert.True(finding.ChangesResult);
        Assert.Contains("has 40 W", finding.Message, StringComparison.Ordinal);
        Close.To(210 - run.Print.Tools[0].Heat.MinC, run.Print.Tools[0].Heat.SankK, 0.05);
    }

    [Fact]
    public void A_flow_that_the_heater_melts_is_no_finding()
    {
        var run = Simulated.Run(AtFlow(20, 600), options: Options);
        Assert.DoesNotContain(run.Log.Entries, entry => entry.Code is "heater-too-small" or "nozzle-sinks");
    }

    [Fact]
    public void A_heater_known_by_rates_alone_has_no_watts_to_compare_the_flow_with()
    {
        var printer = Simulated.Printer with { Nozzle = HeaterModel.FromRate(2.2, 277, 0) };
        var run = Simulated.Run(AtFlow(195, 60), printer, Options);
        Close.To(210, run.Print.Tools[0].Heat.MinC, 1e-9);
        Assert.DoesNotContain(run.Log.Entries, entry => entry.Code == "heater-too-small");
    }

    private static string AtFlow(double mm3PerS, double seconds)
    {
        const double areaMm2 = Math.PI * 1.75 * 1.75 / 4;
        return FormattableString.Invariant($"M83\nM109 S210\nG1 X{100 * seconds:0.###} E{mm3PerS * seconds / areaMm2:0.######} F6000\n");
    }
}
