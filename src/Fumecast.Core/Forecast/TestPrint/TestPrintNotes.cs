// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Forecast.TestPrint;

/// <summary>Says in words what a user should know about a planned test print.</summary>
internal static class TestPrintNotes
{
    // Common practice, no source, for all of these.
    private const double SettleS = 10;
    private const double SpoolG = 1000;
    private const double OrdinaryMeltMm3PerS = 10;

    public static IReadOnlyList<string> For(TestPrintPlan plan)
    {
        var request = plan.Request;
        var notes = new List<string>
        {
            Text($"needs {Rounded(plan.MassG)} g of filament, {Rounded(plan.FilamentMm / 1000)} m of {plan.FilamentDiameterMm:G4} mm"),
            Text($"stands {plan.HeightMm:F0} mm high on a footprint of {plan.FootprintMm:F0} mm: height over footprint {plan.HeightMm / plan.FootprintMm:F2}; rule of thumb: up to {TestPrintPlanner.WallHeightOverWidth:G2} for a single wall, up to {TestPrintPlanner.SlenderRingHeightOverWidth:G2} for a ring (common practice, no source)"),
        };
        if (plan.MassG > SpoolG)
        {
            notes.Add(Text($"an ordinary spool holds {SpoolG / 1000:G1} kg: this print needs a larger one (changing it would interrupt the flow)"));
        }

        var shortest = 2 * Math.PI * plan.OuterRadiusMm / plan.SpeedMmPerS;
        if (plan.Shape == TestPrintShape.SingleWall && shortest < SettleS)
        {
            notes.Add(Text($"a turn takes {shortest:F1} s, less than the {SettleS:G2} s that plastic usually needs to set: watch the wall, use the fan, or take a lower flow"));
        }

        if (request.FlowMm3PerS > OrdinaryMeltMm3PerS)
        {
            notes.Add(Text($"ordinary 0.4 mm nozzles melt about {OrdinaryMeltMm3PerS:G2} mm3/s (common practice, no source): check that yours keeps up with {request.FlowMm3PerS:G3} mm3/s, or what comes out is less than what is asked for"));
        }

        if (plan.FirstLayerMmPerS < plan.SpeedMmPerS)
        {
            notes.Add(Text($"the first layer runs at {plan.FirstLayerMmPerS:F1} instead of {plan.SpeedMmPerS:F1} mm/s with a strand of {plan.FirstLayerWidthMm:F2} x {plan.FirstLayerMm:F2} mm, so that the flow is the same"));
        }

        return notes;
    }

    /// <summary>Whole numbers where they are large, three digits where they are small.</summary>
    private static double Rounded(double value) => value >= 100 ? Math.Round(value) : value >= 10 ? Math.Round(value, 1) : Math.Round(value, 2);

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
