// SPDX-License-Identifier: MIT
using Fumecast.Motion;
using static Fumecast.Tests.Referees.MotionRun;

namespace Fumecast.Tests.Published.Motion;

[Published("gcode reference sections 3.4, 5 and 8.2, computed by two independent routes", "FL1 to FL3, V5, exact variance of W3")]
public class Worked_flow
{
    // Bead of 0.45 x 0.2 mm: (w - h) h + pi (h / 2)^2.
    private static readonly double BeadMm2 = (0.25 * 0.2) + (Math.PI * 0.01);

    private static readonly TimedMove Hundred = Trapezoid.Plan(100, 0, 0, 60, 500);

    [Fact]
    public void Volume_in_bins_is_the_exact_integral()
    {
        double[] halves = [2.1493805, 2.4424778, 2.4424778, 1.1072566];
        for (var i = 0; i < halves.Length; i++)
        {
            Close.ToDigits(halves[i], 8, BeadMm2 * Trapezoid.PathBetween(Hundred, 0.5 * i, 0.5 * (i + 1)));
        }

        Close.ToDigits(4.2987609, 8, BeadMm2 * Trapezoid.PathBetween(Hundred, 0, 0.5) / 0.5);
        Close.ToDigits(2.2145132, 8, BeadMm2 * Trapezoid.PathBetween(Hundred, 1.5, 2) / 0.5);
        Close.ToDigits(4.5918583, 8, BeadMm2 * Trapezoid.PathBetween(Hundred, 0, 1));
        Close.ToDigits(3.5497344, 8, BeadMm2 * Trapezoid.PathBetween(Hundred, 1, 2));
        Close.ToDigits(0.81415927, 8, BeadMm2 * Trapezoid.PathBetween(Hundred, 0, 10) / 10);
        Close.ToDigits(8.1415927, 8, BeadMm2 * Trapezoid.PathBetween(Hundred, 0, 10));
    }

    [Theory]
    [InlineData(nameof(JunctionModel.PerAxisJerk), 0.8141593, 16.7)]
    [InlineData(nameof(JunctionModel.Deviation), 0.4561093, 9.3)]
    [InlineData(nameof(JunctionModel.SquareCorner), 0.4070796, 8.3)]
    public void Flow_at_a_corner(string modelName, double flow, double percentOfCruise)
    {
        var model = Enum.Parse<JunctionModel>(modelName);
        var run = Of(
            l =>
            {
                Accelerate(l, 1000);
                l.Junction = model;
                l.JerkMmPerS = new(10, 10, 10, 10);
                l.DeviationMm = 0.013;
                l.SquareCornerMmPerS = 5;
            },
            [Move(50, 0), Move(0, 50)]);
        Close.ToDigits(flow, 7, BeadMm2 * run.Moves[1].StartMmPerS);
        Close.ToDigits(percentOfCruise, percentOfCruise > 10 ? 3 : 2, 100 * run.Moves[1].StartMmPerS / run.Moves[1].PeakMmPerS);
        Close.ToDigits(4.8849556, 8, BeadMm2 * run.Moves[1].PeakMmPerS);
    }

    [Fact]
    public void Hop_without_flow()
    {
        var run = Of(
            l =>
            {
                (l.TravelAccelMmPerS2, l.RetractAccelMmPerS2) = (1000, 1250);
                l.StopBetweenFilamentAndNozzleMoves = true;
            },
            [Move(0, 0, e: -0.8, speed: 35), Move(20, 0, speed: 150), Move(0, 0, e: 0.8, speed: 35)]);
        Close.ToDigits(0.3840356, 7, run.TotalS);
        Close.ToDigits(141.42136, 8, run.Moves[1].PeakMmPerS);
    }

    // V5: the first 6 of 20 mm only refill what was retracted.
    [Fact]
    public void Deposit_begins_inside_a_move()
    {
        var move = Trapezoid.Plan(20, 0, 0, 50, 1000);
        Close.ToDigits(0.45, 8, move.DurationS);
        Close.ToDigits(0.145, 8, Trapezoid.TimeAt(move, 6));
        var filamentMm2 = Math.PI * 1.75 * 1.75 / 4;
        Close.ToDigits(1.6836973, 8, filamentMm2 / 20 * Trapezoid.PathBetween(move, Trapezoid.TimeAt(move, 6), move.DurationS));
    }

    // Coefficient of variation of the speed, and so of the flow, of W3.
    [Fact]
    public void Variance_needs_no_samples()
    {
        var mean = Trapezoid.PathBetween(Hundred, 0, 2) / Hundred.DurationS;
        var meanSquare = Trapezoid.SpeedSquaredBetween(Hundred, 0, 2) / Hundred.DurationS;
        Close.ToDigits(55.970149, 8, mean);
        Close.ToDigits(3277.6119, 8, meanSquare);
        Close.ToDigits(0.21510927, 8, Math.Sqrt(meanSquare - (mean * mean)) / mean);
    }
}
