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
                    Assert.Equal(bin < bins.Length ? bins[bin] : 0, mm3, 1e-8);
                }
            },
            iter: 300);

    [Fact]
    public void A_second_core_changes_nothing()
    {
        // Over twice the moves after which the second core is used, with everything that travels between the moves, and barriers after it.
        var program = new StringBuilder("M83\nM109 S210\nG1 F3000\n");
        for (var i = 0; i < 70_000; i++)
        {
            var line = (i % 1000) switch
            {
                100 => string.Create(CultureInfo.InvariantCulture, $"M106 S{i % 255}\n"),
                200 => string.Create(CultureInfo.InvariantCulture, $"M104 S{200 + (i / 1000 % 20)}\n"),
                300 => string.Create(CultureInfo.InvariantCulture, $"M205 X{5 + (i / 1000 % 5)} J0.0{1 + (i / 1000 % 5)}\n"),
                400 => string.Create(CultureInfo.InvariantCulture, $"M220 S{80 + (i / 1000 % 40)}\n"),
                500 => "G1 E-0.8 F2100\nG0 X50 Y50 F9000\nG1 E0.8 F2100\nG1 F3000\n",
                _ => string.Create(CultureInfo.InvariantCulture, $"M204 P{500 + (i % 7 * 100)}\n"),
            };
            program.Append(line).Append(CultureInfo.InvariantCulture, $"G1 X{50 + (i * 7 % 41)} Y{50 + (i * 11 % 37)} E{0.01 + (i % 13 / 100.0)}\n");
            if (i == 65_000)
            {
                program.Append("G4 P500\n");
            }
        }

        program.Append("M109 R190\nG1 X0 Y0 E1\n");
        var options = new SimulationOptions { BinS = 3 };
        var alone = Simulated.Run(program.ToString(), options: options with { MayUseSecondCore = false });
        var shared = Simulated.Run(program.ToString(), options: options with { MayUseSecondCore = true });

        Assert.Equal(alone.Print.TotalS, shared.Print.TotalS);
        Assert.Equal(alone.Slices, shared.Slices);
        Assert.Equal(alone.Print.Evenness.Result() with { Allan = [] }, shared.Print.Evenness.Result() with { Allan = [] });
        Assert.Equal(alone.Log.Entries, shared.Log.Entries);
    }

    [Fact]
    public void Trouble_on_the_second_core_reaches_the_caller()
    {
        var program = "M83\nM109 S210\nG1 F3000\n" + string.Concat(Enumerable.Range(0, 100_000).Select(i => i % 2 == 0 ? "G1 X9 E0.1\n" : "G1 X0 E0.1\n"));
        var sink = new FailingSink(afterSlices: 15_000);
        var log = new Fumecast.GCode.DiagnosticLog();
        using var interpreter = new Interpreter(Simulated.Printer, new SimulationOptions(), sink, log);
        using var stream = new MemoryStream(Encoding.UTF8.GetBytes(program));
        var reader = new Fumecast.GCode.GCodeReader(stream, log);
        var trouble = Assert.Throws<IOException>(() =>
        {
            while (reader.Read())
            {
                interpreter.Execute(reader.Command);
            }

            interpreter.Finish();
        });
        Assert.Equal("the disk is full", trouble.Message);
    }

    private sealed class FailingSink(int afterSlices) : ISliceSink
    {
        private int _slices;

        public void Slice(ref readonly Fumecast.Flow.PrintSlice slice)
        {
            if (++_slices > afterSlices)
            {
                throw new IOException("the disk is full");
            }
        }

        public void BinClosed(double startS, double durationS)
        {
        }
    }
}
