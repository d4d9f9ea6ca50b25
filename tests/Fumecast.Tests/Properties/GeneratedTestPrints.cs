// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Forecast.TestPrint;
using Fumecast.Inputs;
using Fumecast.Tests.Unit.Forecast;

namespace Fumecast.Tests.Properties;

public class GeneratedTestPrints
{
    /// <summary>Prints with more pieces than this are checked by their plan alone, to keep the suite quick.</summary>
    private const int ReadablePieces = 40_000;

    private static readonly Gen<TestPrintRequest> Requests =
        from printer in Gen.Int[0, TestPrinters.All.Count - 1]
        from flow in Gen.Double[Math.Log(0.5), Math.Log(24)]
        from seconds in Gen.Double[Math.Log(1200), Math.Log(86_400)]
        from layer in Gen.Double[0.1, 0.6]
        from widthOverLayer in Gen.Double[1.3, 3.5]
        from firstLayer in Gen.Double[0, 60]
        from isRelative in Gen.Bool
        select new TestPrintRequest
        {
            Printer = TestPrinters.All[printer],
            MaterialId = "abs",
            DensityGPerCm3 = 1.04,
            FlowMm3PerS = Math.Exp(flow),
            DurationS = Math.Exp(seconds),
            LayerMm = layer,
            WidthMm = layer * widthOverLayer,
            FirstLayerMmPerS = firstLayer < 10 ? null : firstLayer,
            NozzleC = 245,
            BedC = 100,
            FanShare = 0,
            BackgroundS = 60,
            PurgeS = 0,
            DecayS = 60,
            RelativeE = isRelative,
            FilamentDiameterMm = null,
        };

    [Fact]
    public void Every_request_is_met_or_refused_with_something_that_is_possible() =>
        Requests.Sample(
            request =>
            {
                TestPrintPlan plan;
                try
                {
                    plan = TestPrintPlanner.Plan(request);
                }
                catch (InputProblem problem)
                {
                    Assert.Contains("possible: ", problem.Message, StringComparison.Ordinal);
                    return;
                }

                Close.To(request.DurationS, plan.PrintS, 0.002);
                Close.To(request.FlowMm3PerS * request.DurationS, plan.VolumeMm3, 0.002);
                Assert.InRange(plan.FirstLayerRadiusMm + plan.FirstLayerWidthMm / 2, 0, Math.Min(request.Printer.BedXMm, request.Printer.BedYMm) / 2);
                Assert.InRange(plan.HeightMm, 2 * request.LayerMm, request.Printer.HeightMm);
                if (plan.Pieces <= ReadablePieces)
                {
                    TestPrintFacts.Hold(plan);
                }
            },
            iter: 60);
}
