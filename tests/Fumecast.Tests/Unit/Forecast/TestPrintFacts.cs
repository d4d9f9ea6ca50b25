// SPDX-License-Identifier: MIT
using Fumecast.Forecast.TestPrint;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>Everything a test print promises, checked on its written text.</summary>
internal static class TestPrintFacts
{
    private const double BinS = 10;

    public static void Hold(TestPrintPlan plan)
    {
        var path = PrintedPath.Of(plan);
        FilamentPerLengthIsConstant(plan, path);
        FlowIsFlat(plan, path);
        StaysOnThePrinter(plan, path);
        TouchesNothingPrinted(plan, path);
        FirstLayerLiesOnTheBed(plan, path);
        PrintPhaseHoldsNothingElse(path);
    }

    private static void FilamentPerLengthIsConstant(TestPrintPlan plan, PrintedPath path)
    {
        var (index, first) = (0, FirstLayerPieces(plan, path));
        foreach (var piece in path.Pieces)
        {
            var expected = index++ < first ? plan.FirstLayerFeedPerMm : plan.FeedPerMm;
            if (Math.Abs(piece.EMm / piece.LengthMm / expected - 1) > 1e-6)
            {
                Close.To(expected, piece.EMm / piece.LengthMm, 1e-6);
            }
        }

        Assert.Equal(plan.Pieces, path.Pieces.Count);
        Close.To(plan.FilamentMm, path.Pieces.Sum(piece => piece.EMm), 1e-7);
    }

    private static void FlowIsFlat(TestPrintPlan plan, PrintedPath path)
    {
        var request = plan.Request;
        var flow = FlowBins.Of(path, request.Printer, BinS, plan.FilamentMm2);
        var (bins, total) = (flow.Mm3, flow.TotalS);
        Close.To(request.DurationS, total, 0.01);
        Close.To(request.FlowMm3PerS, bins.Sum() / total, 0.005);

        // Weighted by time: the last bin is shorter.
        double square = 0;
        for (var i = 0; i < bins.Count; i++)
        {
            var duration = Math.Min(BinS, total - i * BinS);
            if (duration > 1e-6)
            {
                square += Math.Pow(bins[i] / duration / (bins.Sum() / total) - 1, 2) * duration;
            }
        }

        Assert.InRange(Math.Sqrt(square / total), 0, 0.005);
        Assert.All(path.Pieces.Take(1000), piece => Assert.True(piece.EMm > 0));
        Assert.DoesNotContain(path.Pieces, piece => piece.EMm <= 0);
    }

    private static void StaysOnThePrinter(TestPrintPlan plan, PrintedPath path)
    {
        var printer = plan.Request.Printer;
        var half = plan.FirstLayerWidthMm / 2;
        Assert.InRange(Math.Min(path.Start.X, path.Pieces.Min(piece => piece.X)), half, double.MaxValue);
        Assert.InRange(Math.Min(path.Start.Y, path.Pieces.Min(piece => piece.Y)), half, double.MaxValue);
        Assert.InRange(Math.Max(path.Start.X, path.Pieces.Max(piece => piece.X)), 0, printer.BedXMm - half);
        Assert.InRange(Math.Max(path.Start.Y, path.Pieces.Max(piece => piece.Y)), 0, printer.BedYMm - half);
        Assert.InRange(path.Pieces[^1].Z, plan.FirstLayerMm, printer.HeightMm);
        Assert.Equal(plan.HeightMm, path.Pieces[^1].Z, 1e-4);
    }

    /// <summary>Cuts the path with rays from the centre; where two cuts are nearer than a strand aside or a layer up, or both in part, plastic would be run through.</summary>
    private static void TouchesNothingPrinted(TestPrintPlan plan, PrintedPath path)
    {
        const int Rays = 31;
        const double Tolerance = 0.025;
        var (pitch, layer) = (plan.Request.WidthMm, plan.Request.LayerMm);
        var cuts = new Dictionary<(int Ray, int Bucket), List<(double R, double Z)>>();
        var (last, lastAngle) = (path.Start, Angle(plan, path.Start.X, path.Start.Y));
        foreach (var piece in path.Pieces)
        {
            Assert.True(piece.Z >= last.Z, "the path goes down");
            var angle = Angle(plan, piece.X, piece.Y);
            var ray = (int)(angle * Rays);
            if (ray != (int)(lastAngle * Rays))
            {
                var onRay = ray * 2 * Math.PI / Rays;
                var (sin, cos) = Math.SinCos(onRay);
                var before = Aside(last.X, last.Y, plan, sin, cos);
                var after = Aside(piece.X, piece.Y, plan, sin, cos);
                var share = before / (before - after);
                var x = last.X + (piece.X - last.X) * share - plan.CentreXMm;
                var y = last.Y + (piece.Y - last.Y) * share - plan.CentreYMm;
                Cut(ray, Math.Sqrt(x * x + y * y), last.Z + (piece.Z - last.Z) * share);
            }

            (last, lastAngle) = ((piece.X, piece.Y, piece.Z), angle);
        }

        Assert.NotEmpty(cuts);

        void Cut(int ray, double r, double z)
        {
            var isFirst = z <= path.Start.Z;
            var bucket = (int)(r / pitch);
            for (var near = bucket - 4; near <= bucket + 4; near++)
            {
                if (!cuts.TryGetValue((ray, near), out var others))
                {
                    continue;
                }

                others.RemoveAll(other => z - other.Z >= layer * 1.0001);
                foreach (var other in others)
                {
                    var strand = isFirst ? plan.FirstLayerWidthMm : pitch;
                    var apart = Math.Abs(r - other.R) / strand + (z - other.Z) / layer;
                    Assert.True(apart >= 1 - Tolerance, $"strands {apart} of a width apart at radius {r}, height {z}");
                }
            }

            if (!cuts.TryGetValue((ray, bucket), out var list))
            {
                cuts[(ray, bucket)] = list = [];
            }

            list.Add((r, z));
        }
    }

    private static void FirstLayerLiesOnTheBed(TestPrintPlan plan, PrintedPath path)
    {
        Assert.Equal(plan.FirstLayerMm, path.Start.Z, 1e-5);
        Assert.InRange(plan.FirstLayerMm, plan.Request.LayerMm, 1.5 * plan.Request.LayerMm + 1e-9);
        Assert.InRange(plan.FirstLayerWidthMm, plan.Request.WidthMm * 0.99, 2.01 * plan.Request.WidthMm);
        var first = FirstLayerPieces(plan, path);
        Assert.All(path.Pieces.Take(first), piece => Assert.Equal(plan.FirstLayerMm, piece.Z, 1e-5));
        Assert.Equal(plan.FirstLayerMmPerS * 60, path.Pieces[0].Feed, 1e-9);
        Assert.DoesNotContain(path.Pieces.Skip(first), piece => Math.Abs(piece.Feed - plan.SpeedMmPerS * 60) > 1e-9);

        // The strand's cross-section times its speed is the flow, in the first layer as in the others.
        Close.To(plan.Request.FlowMm3PerS, TestPrintPlanner.StrandMm2(plan.FirstLayerWidthMm, plan.FirstLayerMm) * plan.FirstLayerMmPerS, 1e-9);
    }

    private static void PrintPhaseHoldsNothingElse(PrintedPath path)
    {
        var lines = path.Others.Where(other => other.Phase == "printing").Select(other => other.Line).ToList();
        Assert.All(lines, line => Assert.True(
            line.StartsWith(';') || line == "G92 E0" || line.StartsWith("M117 ", StringComparison.Ordinal) || line.StartsWith("G1 F", StringComparison.Ordinal), line));
    }

    private static int FirstLayerPieces(TestPrintPlan plan, PrintedPath path)
    {
        var low = 0;
        var high = path.Pieces.Count;
        while (low < high)
        {
            var middle = (low + high) / 2;
            (low, high) = path.Pieces[middle].Z > path.Start.Z ? (low, middle) : (middle + 1, high);
        }

        return low;
    }

    private static double Angle(TestPrintPlan plan, double x, double y)
    {
        var turns = Math.Atan2(y - plan.CentreYMm, x - plan.CentreXMm) / (2 * Math.PI);
        return turns < 0 ? turns + 1 : turns;
    }

    private static double Aside(double x, double y, TestPrintPlan plan, double sin, double cos) => (y - plan.CentreYMm) * cos - (x - plan.CentreXMm) * sin;
}
