// SPDX-License-Identifier: MIT
using Fumecast.Machine;
using Fumecast.Tests.Unit.Machine;

namespace Fumecast.Tests.Published;

/// <summary>Whole small programs against values computed apart from this project's code, by closed form and by numerical integration.</summary>
public class ProgramsTests
{
    private const string SmallProgram =
        "G21\nG90\nM83\nG92 E0\nG1 X50 Y0 E1.6924 F3600\nG1 X50 Y50 E1.6924\nG1 E-0.8 F2100\nG0 X0 Y50 F9000\nG1 E0.8 F2100\nG4 P500\n";

    [Fact, Published("gcode reference, W19: computed by two independent routes", "section 4.9")]
    public void A_whole_small_program()
    {
        var run = Simulated.Run(SmallProgram);
        Close.ToDigits(2.9437253, 8, run.Print.TotalS);
        Close.ToDigits(8.1413981, 8, run.TotalMm3);
        var bins = run.Bins.Select(bin => run.Slices.Where(s => s.StartS >= bin.StartS && s.StartS < bin.StartS + bin.DurationS).Sum(s => s.DepositedMm3)).ToArray();
        Close.ToDigits(4.1482940, 8, bins[0]);
        Close.ToDigits(3.9931041, 8, bins[1]);
        Assert.Equal(0, bins[2]);
        var depositingS = run.Slices.Sum(slice => slice.ExtrudingS);
        Close.ToDigits(0.3574997, 7, 1 - (depositingS / run.Print.TotalS));
    }

    [Theory, Published("gcode reference, W18: computed by two independent routes", "section 4.8")]
    [InlineData("G1 X50 F3600\nG1 X100\n", 1.7866667)]
    [InlineData("G1 X50 F3600\nG4 P0\nG1 X100\n", 1.9066667)]
    public void A_pause_is_a_barrier(string program, double seconds) =>
        Close.ToDigits(seconds, 8, Simulated.Run("M204 T500\n" + program).Print.MotionS);

    [Theory, Published("gcode reference, V4: book-keeping by hand", "section 3.4")]
    [InlineData("+10 -2 +2 +5 -2 +2.2 +3 -3", 18.2, 15.2, 43.776130)]
    public void The_high_water_rule(string feeds, double depositedMm, double fedMm, double mm3)
    {
        var program = "M83\nG1 F600\n" + string.Concat(feeds.Split(' ').Select((feed, i) => $"G1 X{(i + 1) * 10} E{feed.TrimStart('+')}\n"));
        var run = Simulated.Run(program);
        Close.To(depositedMm, run.DepositedMm, 1e-12);
        Close.To(fedMm, run.Print.Tools[0].FedMm, 1e-12);
        Close.ToDigits(mm3, 8, run.TotalMm3);
    }

    [Fact, Published("gcode reference, V5: computed by two independent routes", "section 3.4")]
    public void A_refill_that_ends_inside_a_move()
    {
        // A deficit of 0.3 mm, then 20 mm with E1.0 at 50 mm/s, a = 1000, rest to rest: 0.7 mm is new.
        var run = Simulated.Run("M204 P1000 R1e3\n".Replace("1e3", "1000", StringComparison.Ordinal) + "M83\nG1 X10 E1 F3000\nG4 P0\nG1 E-0.3 F600\nG4 P0\nG1 X30 E1 F3000\nG4 P0\n");
        Close.ToDigits(1.6836973 + (2.4052819 * 1), 7, run.TotalMm3);
    }

    [Theory, Published("gcode reference, V1 to V3: area of a circle, by hand", "section 3")]
    [InlineData("G1 X10 E12.5 F600", 1.75, 30.066023)]
    [InlineData("G1 X10 E12.5 F600", 2.85, 79.742457)]
    [InlineData("M221 S95\nG1 X10 E12.5 F600", 1.75, 28.562722)]
    [InlineData("G20\nG1 X10 E0.5 F20", 1.75, 30.547080)]
    public void Length_to_volume(string program, double diameterMm, double mm3)
    {
        var run = Simulated.Run("M83\n" + program, options: new SimulationOptions { NozzleIfUncommandedC = 210, FilamentDiameterMm = [diameterMm] });
        Close.ToDigits(mm3, 8, run.TotalMm3);
    }

    [Theory, Published("gcode reference, H8 with H7: closed form, by hand", "section 6.4")]
    [InlineData("M190 S60\nG28\nM109 S210\n", 262.2405)]
    [InlineData("M190 S60\nM104 S210\nG28\nM109 S210\n", 242.2405)]
    [InlineData("M104 S210\nM140 S60\nM190 S60\nM109 S210\n", 141.13114)]
    public void Heating_overlaps_what_comes_between(string program, double seconds) =>
        Close.ToDigits(seconds, 6, Simulated.Run(program).Print.TotalS);

    [Theory, Published("gcode reference, V6: arc length, by hand", "section 3.5")]
    [InlineData("G3 X10 Y10 I0 J10 F600", 15.707963)]
    [InlineData("G2 X10 Y10 I0 J10 F600", 47.123890)]
    [InlineData("G2 I5 F600", 31.415927)]
    [InlineData("G2 X10 Y0 R10 F600", 10.471976)]
    [InlineData("G2 X10 Y0 R-10 F600", 52.359878)]
    public void Length_of_arcs(string program, double lengthMm)
    {
        // At 10 mm/s in pieces of about 0.01 mm the time shows the length: ramps add v/a each way.
        var printer = Simulated.With(d => d with { ArcSegmentMm = 0.01 }) with
        {
            StartLimits = () => new Fumecast.Motion.MotionLimits { TravelAccelMmPerS2 = 1e6, DeviationMm = 1 },
        };
        var run = Simulated.Run(program, printer);
        Close.To(lengthMm, (run.Print.MotionS - (10 / 1e6)) * 10, 2e-6);
    }
}
