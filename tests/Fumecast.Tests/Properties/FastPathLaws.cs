// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using CsCheck;
using Fumecast.Machine;
using Fumecast.Motion;
using Fumecast.Tests.Referees;
using Fumecast.Tests.Unit.Machine;

namespace Fumecast.Tests.Properties;

/// <summary>The whole fast path, from text to bins, against the slow and obvious one.</summary>
public class FastPathLaws
{
    private static readonly Gen<string> Move =
        Gen.Select(Gen.Int[0, 400], Gen.Int[0, 400], Gen.Int[0, 5], Gen.Int[0, 9], Gen.Int[1, 120], (x, y, z, what, f) =>
            what switch
            {
                0 => "G1 E-0.8 F2100",
                1 => "G1 E0.8 F2100",
                2 => string.Create(CultureInfo.InvariantCulture, $"G0 X{x / 4.0} Y{y / 4.0} F{f * 100}"),
                3 => string.Create(CultureInfo.InvariantCulture, $"G1 Z{z / 5.0} F600"),
                4 => string.Create(CultureInfo.InvariantCulture, $"G1 X{x / 4.0} Y{y / 4.0} E-0.1 F{f * 60}"),
                _ => string.Create(CultureInfo.InvariantCulture, $"G1 X{x / 4.0} Y{y / 4.0} E{0.01 + (x % 17 / 20.0)} F{f * 60}"),
            });

    [Fact]
    public void Bins_and_duration_agree_with_the_obvious_way() =>
        Gen.Select(Move.List[1, 60], Gen.Int[0, 2], Gen.OneOf(Gen.Const(0.3), Gen.Const(1.0), Gen.Const(2.5))).Sample(
            (moves, model, binS) =>
            {
                var limits = new MotionLimits
                {
                    MaxFeedMmPerS = new PerAxis(200, 200, 10, 50),
                    MaxAccelMmPerS2 = new PerAxis(3000, 3000, 100, 5000),
                    PrintAccelMmPerS2 = 800,
                    TravelAccelMmPerS2 = 1200,
                    RetractAccelMmPerS2 = 2000,
                    Junction = (JunctionModel)model,
                };
                var program = new StringBuilder("G1 F1800\n").AppendJoin('\n', moves).Append('\n').ToString();
                var printer = Simulated.Printer with
                {
                    StartLimits = () =>
                    {
                        var copy = new MotionLimits();
                        copy.CopyFrom(limits);
                        return copy;
                    },
                };

                // The nozzle is hot from the start, so that nothing but motion takes time.
                var fast = Simulated.Run("M83\n" + program, printer, new SimulationOptions { NozzleIfUncommandedC = 210, BinS = binS });
                var area = Math.PI * printer.FilamentDiameterMm * printer.FilamentDiameterMm / 4;
                var (bins, totalS) = ObviousPrint.Run(program, limits, area, binS);

                Assert.Equal(totalS, fast.Print.TotalS, 1e-9 * Math.Max(1, totalS));
                Assert.Equal(bins.Sum(), fast.TotalMm3, 1e-9 * Math.Max(1, bins.Sum()));
                for (var bin = 0; bin < fast.Bins.Count; bin++)
                {
                    var start = fast.Bins[bin].StartS - 1e-7;
                    var end = start + fast.Bins[bin].DurationS;
                    var mm3 = fast.Slices.Where(slice => slice.StartS >= start && slice.StartS < end).Sum(slice => slice.DepositedMm3);

                    // Rounding of 1e-16 in a squared speed near rest is 1e-8 in the speed.
                    Assert.Equal(bin < bins.Length ? bins[bin] : 0, mm3, 1e-7);
                }
            },
            iter: 300);
}
