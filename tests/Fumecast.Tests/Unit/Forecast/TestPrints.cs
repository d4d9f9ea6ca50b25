// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;
using Fumecast.Forecast.TestPrint;
using Fumecast.Inputs;
using Fumecast.Motion;

namespace Fumecast.Tests.Unit.Forecast;

public partial class TestPrints
{
    [Theory]
    [InlineData(0, "pla", 4, 2, 0.45, 0.2)]
    [InlineData(0, "abs", 4, 4, 0.45, 0.2)]
    [InlineData(0, "abs", 0.5, 24, 0.45, 0.2)]
    [InlineData(0, "tpu", 0.5, 1.0 / 3, 0.45, 0.2)]
    [InlineData(0, "petg", 1, 24, 0.6, 0.3)]
    [InlineData(0, "pla", 8, 1, 0.6, 0.3)]
    [InlineData(1, "asa", 12, 1, 0.45, 0.2)]
    [InlineData(1, "abs", 24, 1.0 / 3, 0.8, 0.4)]
    [InlineData(1, "abs", 24, 2, 0.8, 0.4)]
    [InlineData(1, "pla", 6, 3, 0.45, 0.25)]
    [InlineData(2, "pla", 24, 2, 1.2, 0.6)]
    [InlineData(2, "hips", 16, 8, 1.0, 0.5)]
    [InlineData(2, "pa6", 1, 4, 0.9, 0.3)]
    [InlineData(3, "pc", 5, 1.5, 0.5, 0.25)]
    [InlineData(3, "pp", 3, 0.5, 0.4, 0.15)]
    public void Print_keeps_what_it_promises(int printer, string material, double flow, double hours, double width, double layer) =>
        TestPrintFacts.Hold(TestPrintPlanner.Plan(Request(printer) with { MaterialId = material, FlowMm3PerS = flow, DurationS = hours * 3600, WidthMm = width, LayerMm = layer }));

    [Theory]
    [InlineData(nameof(JunctionModel.PerAxisJerk))]
    [InlineData(nameof(JunctionModel.Deviation))]
    [InlineData(nameof(JunctionModel.SquareCorner))]
    public void Pieces_are_short_enough_for_a_printer_that_hardly_turns_corners(string junctionName)
    {
        var junction = Enum.Parse<JunctionModel>(junctionName);
        var printer = TestPrinters.All[0] with
        {
            LookaheadBlocks = null,
            StartLimits = () => new MotionLimits
            {
                PrintAccelMmPerS2 = 500,
                Junction = junction,
                JerkMmPerS = new(0.8, 0.8, 0.4, 5),
                DeviationMm = 0.0002,
                SquareCornerMmPerS = 0.4,
            },
        };
        var plan = TestPrintPlanner.Plan(Request(0) with { Printer = printer, DurationS = 1200 });
        TestPrintFacts.Hold(plan);
        Assert.True(plan.Pieces > 1.5 * TestPrintPlanner.Plan(Request(0) with { DurationS = 1200 }).Pieces, "the corners did not bind");
    }

    [Fact]
    public void Absolute_counting_gives_the_same_path_as_relative_counting()
    {
        var request = Request(0) with { DurationS = 1200 };
        var relative = PrintedPath.Of(TestPrintPlanner.Plan(request));
        var absolute = PrintedPath.Of(TestPrintPlanner.Plan(request with { RelativeE = false }));
        TestPrintFacts.Hold(TestPrintPlanner.Plan(request with { RelativeE = false }));
        Assert.Equal(relative.Pieces.Select(piece => (piece.X, piece.Y, piece.Z)), absolute.Pieces.Select(piece => (piece.X, piece.Y, piece.Z)));
        Assert.Contains(absolute.Others, other => other.Line == "M82");
        Assert.DoesNotContain(absolute.Others, other => other.Line == "M83");
    }

    [Fact]
    public void Single_wall_is_taken_where_it_fits_and_a_ring_where_more_length_is_needed()
    {
        Assert.Equal(TestPrintShape.SingleWall, TestPrintPlanner.Plan(Request(0) with { DurationS = 3600 }).Shape);
        Assert.Equal(TestPrintShape.Ring, TestPrintPlanner.Plan(Request(0) with { DurationS = 12 * 3600 }).Shape);
    }

    [Fact]
    public void Day_at_the_highest_flow_is_a_broad_ring_on_a_large_printer()
    {
        var plan = TestPrintPlanner.Plan(Request(2) with { FlowMm3PerS = 24, DurationS = 86_400, WidthMm = 1.2, LayerMm = 0.6 });
        Assert.Equal(TestPrintShape.Ring, plan.Shape);
        Close.To(24 * 86_400, plan.VolumeMm3, 1e-5);
        Close.To(86_400, plan.PrintS, 1e-5);
        Assert.Contains(plan.Notes, note => note.Contains("an ordinary spool holds 1 kg", StringComparison.Ordinal));
    }

    [Fact]
    public void Phases_follow_in_order_with_waits_of_a_minute_at_most()
    {
        var plan = TestPrintPlanner.Plan(Request(0) with { DurationS = 1200, BackgroundS = 630, DecayS = 3600 });
        var others = PrintedPath.Of(plan).Others;
        Assert.Equal(["head", "background", "heating", "printing", "decay", "end"], others.Select(other => other.Phase).Distinct());
        Assert.Equal(630_000, Waits("background").Sum(), 1e-6);
        Assert.Equal(3_600_000, Waits("decay").Sum(), 1e-6);
        Assert.InRange(others.SelectMany(other => Waits(other.Phase)).Max(), 0, 60_000);
        Assert.All(others.Where(other => other.Phase is "background" or "decay" && other.Line.StartsWith("M104", StringComparison.Ordinal)), other => Assert.Equal("M104 S0", other.Line));
        Assert.Equal(["M190 S60", "M109 S210"], others.Where(other => other.Phase == "heating" && HeatAndWait().IsMatch(other.Line)).Select(other => other.Line));

        List<double> Waits(string phase) =>
            [.. others.Where(other => other.Phase == phase && other.Line.StartsWith("G4 P", StringComparison.Ordinal)).Select(other => double.Parse(other.Line[4..], CultureInfo.InvariantCulture))];
    }

    [Fact]
    public void Waits_are_in_seconds_for_firmware_that_counts_so()
    {
        var request = Request(0);
        var printer = request.Printer with { Dialect = request.Printer.Dialect with { G4PUnitS = 1 } };
        var others = PrintedPath.Of(TestPrintPlanner.Plan(request with { Printer = printer, BackgroundS = 90, DecayS = 0 })).Others;
        Assert.Equal(["G4 P60", "G4 P30"], others.Where(other => other.Line.StartsWith("G4", StringComparison.Ordinal)).Select(other => other.Line));
    }

    [Fact]
    public void Header_warns_and_says_enough_to_read_the_file_again()
    {
        var plan = TestPrintPlanner.Plan(Request(0));
        var head = PrintedPath.Of(plan).Others.Where(other => other.Phase == "head").Select(other => other.Line).ToList();
        Assert.Contains(head, line => line.Contains("NEVER leave it unattended", StringComparison.Ordinal));
        Assert.Contains(head, line => line.Contains("local rules", StringComparison.Ordinal));
        Assert.Contains("; material pla", head);
        Assert.Contains("; filament diameter 1.75 mm", head);
        Assert.Contains("; density 1.24 g/cm3", head);
        Assert.Contains(FormattableString.Invariant($"; uses {plan.FilamentMm:F2} mm, {plan.MassG:F2} g"), head);
        Assert.Contains(head, line => line.Contains("rule of thumb", StringComparison.Ordinal));
    }

    [Fact]
    public void Mass_is_flow_times_time_times_density()
    {
        // 4 mm3/s for 2 h at 1.24 g/cm3: 28.8 cm3, 35.712 g.
        Close.To(35.712, TestPrintPlanner.Plan(Request(0) with { FlowMm3PerS = 4, DurationS = 7200 }).MassG, 1e-4);
    }

    [Fact]
    public void Slower_first_layer_has_a_wider_strand_and_the_same_flow()
    {
        var plan = TestPrintPlanner.Plan(Request(0) with { FirstLayerMmPerS = 22 });
        Assert.Equal(22, plan.FirstLayerMmPerS, 1e-9);
        Assert.True(plan.FirstLayerWidthMm > 1.3 * plan.Request.WidthMm);
        TestPrintFacts.Hold(plan);
        var same = TestPrintPlanner.Plan(Request(0) with { FirstLayerMmPerS = 500 });
        Assert.Equal(same.SpeedMmPerS, same.FirstLayerMmPerS);
        Assert.Equal(same.Request.LayerMm, same.FirstLayerMm, 1e-12);
        TestPrintFacts.Hold(same);
    }

    [Theory]
    [InlineData(24, 1, 0.45, 0.2, "or a line (?<width>[0-9.]+) mm wide or wider")]
    [InlineData(24, 1, 0.45, 0.2, "possible: up to (?<flow>[0-9.]+) mm3/s")]
    [InlineData(6, 300, 0.8, 0.3, "possible: up to (?<hours>[0-9.]+) h at this flow")]
    [InlineData(6, 300, 0.8, 0.3, "or up to (?<flow>[0-9.]+) mm3/s for this time")]
    [InlineData(0.5, 0.05, 0.45, 0.2, "possible: (?<minutes>[0-9.]+) min or longer")]
    [InlineData(130 - 31, 1, 5, 1.8, null)]
    public void What_is_impossible_is_refused_with_something_that_is_possible(double flow, double hours, double width, double layer, string? advice)
    {
        var request = Request(0) with { FlowMm3PerS = flow, DurationS = hours * 3600, WidthMm = width, LayerMm = layer };
        if (advice is null)
        {
            Assert.Contains("possible", Assert.Throws<InputProblem>(() => TestPrintPlanner.Plan(request with { Printer = request.Printer with { StartLimits = Weak } })).Message, StringComparison.Ordinal);
            return;
        }

        var problem = Assert.Throws<InputProblem>(() => TestPrintPlanner.Plan(request));
        var match = Regex.Match(problem.Message, advice);
        Assert.True(match.Success, problem.Message);
        var plan = TestPrintPlanner.Plan(request with
        {
            WidthMm = Value("width") ?? request.WidthMm,
            FlowMm3PerS = Value("flow") ?? request.FlowMm3PerS,
            DurationS = Value("hours") * 3600 ?? Value("minutes") * 60 ?? request.DurationS,
        });
        Close.To(plan.Request.DurationS, plan.PrintS, 0.001);

        double? Value(string name) => match.Groups[name].Success ? double.Parse(match.Groups[name].Value, CultureInfo.InvariantCulture) : null;

        MotionLimits Weak()
        {
            var limits = request.Printer.StartLimits();
            limits.MaxFeedMmPerS = limits.MaxFeedMmPerS with { E = 20 };
            return limits;
        }
    }

    [Fact]
    public void First_layer_too_slow_for_the_flow_is_refused_with_the_slowest_that_works()
    {
        var problem = Assert.Throws<InputProblem>(() => TestPrintPlanner.Plan(Request(0) with { FirstLayerMmPerS = 5 }));
        var slowest = double.Parse(Regex.Match(problem.Message, "possible: ([0-9.]+) mm/s").Groups[1].Value, CultureInfo.InvariantCulture);
        TestPrintFacts.Hold(TestPrintPlanner.Plan(Request(0) with { FirstLayerMmPerS = slowest }));
    }

    [Theory]
    [InlineData(double.NaN, 3600, 210, "flow")]
    [InlineData(0, 3600, 210, "flow")]
    [InlineData(4, -1, 210, "duration in s")]
    [InlineData(4, double.PositiveInfinity, 210, "duration in s")]
    [InlineData(4, 3600, 20, "nozzle temperature")]
    [InlineData(4, 3600, 900, "nozzle temperature")]
    public void Nonsense_is_named(double flow, double seconds, double nozzle, string what)
    {
        var problem = Assert.Throws<InputProblem>(() => TestPrintPlanner.Plan(Request(0) with { FlowMm3PerS = flow, DurationS = seconds, NozzleC = nozzle }));
        Assert.StartsWith($"the {what} of a test print is", problem.Message, StringComparison.Ordinal);
    }

    private static TestPrintRequest Request(int printer) => SampleRequest.Of(TestPrinters.All[printer]) with { FanShare = 0.5 };

    [GeneratedRegex("^M1[09][09] ")]
    private static partial Regex HeatAndWait();
}
