// SPDX-License-Identifier: MIT
using Fumecast.Motion;
using static Fumecast.Tests.Referees.MotionRun;

namespace Fumecast.Tests.Published.Motion;

[Published("gcode reference section 4, computed by two independent routes", "table of junction speeds, W14, W15")]
[Published("Jeon, S., article on a cornering algorithm, 24 September 2011 (formula re-derived)", "R = d s / (1 - s)")]
public class Junction_tables
{
    /// <summary>Sets one junction model by its short name.</summary>
    private static void Set(MotionLimits l, string model, double value)
    {
        l.Junction = model switch
        {
            "sum" or "max" => JunctionModel.PerAxisJerk,
            "deviation" => JunctionModel.Deviation,
            _ => JunctionModel.SquareCorner,
        };
        l.JerkReversal = model == "max" ? JerkReversal.Max : JerkReversal.Sum;
        l.JerkMmPerS = new(value, value, value, value);
        l.DeviationMm = value;
        l.SquareCornerMmPerS = value;
    }

    [Theory]
    [InlineData(5.625, 102.023, 102.023, 103.8242, 179.8288, 92.66359)]
    [InlineData(10, 57.5877, 57.5877, 58.33769, 101.0438, 52.06666)]
    [InlineData(30, 20, 20, 19.19689, 33.24999, 17.13331)]
    [InlineData(45, 14.14214, 14.14214, 12.56113, 21.75651, 11.21086)]
    [InlineData(90, 10, 10, 5.602212, 9.703315, 5)]
    [InlineData(120, 6.666667, 10, 3.605551, 6.244998, 3.217971)]
    [InlineData(150, 5.358984, 10, 2.130628, 3.690356, 1.901596)]
    [InlineData(180, 5, 10, 0, 0, 0)]
    public void Junction_speed_by_turn_angle(double turnDegrees, double sum, double max, double slowDeviation, double fastDeviation, double square)
    {
        Check(sum, "sum", 10, 1000, 6);
        Check(max, "max", 10, 1000, 6);
        Check(slowDeviation, "deviation", 0.013, 1000, 7);
        Check(fastDeviation, "deviation", 0.013, 3000, 7);
        Check(square, "square", 5, 1000, 7);

        // Long legs, so that only the corner limits; 180 degrees is written as an exact reversal.
        void Check(double expected, string model, double value, double accel, int digits)
        {
            var (sine, cosine) = turnDegrees == 180 ? (0, -1) : Math.SinCos(turnDegrees * Math.PI / 180);
            var run = Of(
                l =>
                {
                    Accelerate(l, accel);
                    Set(l, model, value);
                },
                [Move(1000, 0, speed: 500), Move(1000 * cosine, 1000 * sine, speed: 500)]);
            if (expected == 0)
            {
                Assert.Equal(0, run.Moves[1].StartMmPerS);
            }
            else
            {
                Close.ToDigits(expected, digits, run.Moves[1].StartMmPerS);
            }
        }
    }

    // W14: the square spiral.
    [Theory]
    [InlineData("sum", 10, 60, 1000, 10, 3.685)]
    [InlineData("sum", 10, 120, 500, 10, 3.2264006)]
    [InlineData("deviation", 0.013, 60, 1000, 5.602212, 3.7385639)]
    [InlineData("deviation", 0.013, 120, 500, 3.961362, 3.3836421)]
    [InlineData("square", 5, 60, 1000, 5, 3.74625)]
    [InlineData("square", 5, 120, 500, 5, 3.3558694)]
    public void Square_spiral(string model, double value, double speed, double accel, double junction, double seconds)
    {
        var run = Of(
            l =>
            {
                Accelerate(l, accel);
                Set(l, model, value);
            },
            Spiral(speed));
        Close.ToDigits(seconds, 8, run.TotalS);
        for (var i = 1; i < run.Moves.Count; i++)
        {
            Close.ToDigits(junction, 7, run.Moves[i].StartMmPerS);
        }

        if (model == "sum" && accel == 500)
        {
            Close.ToDigits(71.0634, 6, run.Moves[0].PeakMmPerS);
            Close.ToDigits(71.4143, 6, run.Moves[1].PeakMmPerS);
            Close.ToDigits(100.499, 6, run.Moves[2].PeakMmPerS);
        }
    }

    [Fact]
    public void Square_spiral_with_stops_at_its_corners() =>
        Close.ToDigits(3.8133333, 8, Spiral(60).Sum(leg => Of(l => Accelerate(l, 1000), [leg]).TotalS));

    private static IEnumerable<MoveRequest> Spiral(double speed)
    {
        double[] lengths = [10, 10, 20, 20, 30, 30, 40, 40];
        (double X, double Y)[] directions = [(1, 0), (0, 1), (-1, 0), (0, -1)];
        return lengths.Select((length, i) => Move(length * directions[i % 4].X, length * directions[i % 4].Y, speed: speed));
    }

    // W15: a quarter circle of radius 10 in 16 chords, beside a straight line of the same length (the arc's).
    [Theory]
    [InlineData("straight", 0, 60, 0.32179939, 0)]
    [InlineData("straight", 0, 150, 0.25066283, 0)]
    [InlineData("sum", 10, 60, 0.32169426, 0)]
    [InlineData("sum", 10, 150, 0.25061250, 125.306)]
    [InlineData("deviation", 0.013, 60, 0.32169426, 0)]
    [InlineData("deviation", 0.013, 150, 0.25412538, 108.447)]
    [InlineData("square", 5, 60, 0.32169426, 0)]
    [InlineData("square", 5, 150, 0.26016442, 97.816, 5)]
    public void Arc_in_chords(string model, double value, double speed, double seconds, double peak, int peakDigits = 6)
    {
        var legs = model == "straight"
            ? [Move(5 * Math.PI, 0, speed: speed)]
            : Enumerable.Range(0, 16).Select(i => Chord(i / 16.0, (i + 1) / 16.0, speed));
        var run = Of(
            l =>
            {
                Accelerate(l, 1000);
                Set(l, model, value);
            },
            legs);
        Close.ToDigits(seconds, 8, run.TotalS);
        if (peak > 0)
        {
            Close.ToDigits(peak, peakDigits, run.Moves.Max(m => m.PeakMmPerS));
        }
    }

    private static MoveRequest Chord(double from, double to, double speed)
    {
        var (s0, c0) = Math.SinCos(from * Math.PI / 2);
        var (s1, c1) = Math.SinCos(to * Math.PI / 2);
        return Move(10 * (c1 - c0), 10 * (s1 - s0), speed: speed);
    }
}
