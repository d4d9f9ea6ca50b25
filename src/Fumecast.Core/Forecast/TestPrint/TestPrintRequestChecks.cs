// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Inputs;
using Fumecast.Motion;

namespace Fumecast.Forecast.TestPrint;

/// <summary>Refuses requests that no geometry can meet, and says what would be possible.</summary>
internal static class TestPrintRequestChecks
{
    /// <summary>Suggested limits are given this far inside the real ones, so that they hold when they are taken.</summary>
    private const double Inside = 0.98;

    /// <summary>A strand is pressed flat by the nozzle, so it is wider than high; common practice, no source [-].</summary>
    private const double LeastWidthInLayers = 1.2;

    /// <summary>Checks the request on its own.</summary>
    public static void Require(TestPrintRequest request)
    {
        var printer = request.Printer;
        InRange("flow", "--flow", request.FlowMm3PerS, 0.05, 100, "mm3/s");
        InRange("duration in s", "--duration", request.DurationS, 60, 14 * 86_400, "s (14 d)");
        InRange("layer height", "--layer", request.LayerMm, 0.04, 2, "mm");
        InRange("line width", "--width", request.WidthMm, 0.05, 5, "mm");
        if (request.WidthMm < LeastWidthInLayers * request.LayerMm)
        {
            throw new InputProblem(Text(
                $"the layer height of a test print is {request.LayerMm:G4} mm and its line {request.WidthMm:G4} mm wide; expected a line of at least {LeastWidthInLayers} layer heights: set --layer to {request.WidthMm / LeastWidthInLayers:G3}mm or less, or --width to {LeastWidthInLayers * request.LayerMm:G4}mm or more"))
            {
                IsOfOptions = true,
            };
        }

        InRange("density", null, request.DensityGPerCm3, 0.3, 10, "g/cm3");
        InRange("nozzle temperature", "--nozzle", request.NozzleC, printer.ColdLimitC, printer.MaxNozzleC, "degC");
        InRange("bed temperature", "--bed", request.BedC, 0, 200, "degC");
        InRange("fan share", "--fan", request.FanShare, 0, 1, "");
        InRange("background phase in s", "--phases", request.BackgroundS, 0, 14 * 86_400, "s (14 d)");
        InRange("purge phase in s", "--phases", request.PurgeS, 0, 14 * 86_400, "s (14 d)");
        InRange("decay phase in s", "--phases", request.DecayS, 0, 14 * 86_400, "s (14 d)");
        if (request.FirstLayerMmPerS is double first)
        {
            InRange("first-layer speed", "--first-layer-speed", first, 0.5, 1000, "mm/s");
        }

        if (request.FilamentDiameterMm is double diameter)
        {
            InRange("filament diameter", "--diameter", diameter, 0.5, 5, "mm");
        }
    }

    /// <summary>Checks that the printer can hold the speed that the flow needs, on a circle that fits the bed.</summary>
    public static void RequireSpeed(TestPrintRequest request, MotionLimits limits, CornerLimits corners, double speedMmPerS, double widestMm)
    {
        var diameter = request.FilamentDiameterMm ?? request.Printer.FilamentDiameterMm;
        var feedLimit = limits.MaxFeedMmPerS.E * Math.PI * diameter * diameter / 4;
        if (request.FlowMm3PerS > feedLimit)
        {
            throw new InputProblem(Text(
                $"a flow of {request.FlowMm3PerS:G4} mm3/s is more than the feeder of {request.Printer.Id} pushes; possible: up to {Down(feedLimit)} mm3/s"));
        }

        var minimum = limits.MinPrintFeedMmPerS;
        if (speedMmPerS < minimum)
        {
            throw new InputProblem(Text(
                $"a flow of {request.FlowMm3PerS:G4} mm3/s in a line of {request.WidthMm:G4} x {request.LayerMm:G4} mm needs {speedMmPerS:G3} mm/s, slower than {request.Printer.Id} prints; possible: {Up(minimum * TestPrintPlanner.StrandMm2(request.WidthMm, request.LayerMm))} mm3/s or more, or a thinner line"));
        }

        if (widestMm <= 0)
        {
            throw new InputProblem(Text($"the bed of {request.Printer.BedXMm:G4} x {request.Printer.BedYMm:G4} mm is too small for a test print; possible: a printer profile with a larger bed"));
        }

        var radius = corners.RadiusMm(speedMmPerS, request.LayerMm);
        if (speedMmPerS <= corners.TopMmPerS && radius <= widestMm)
        {
            return;
        }

        var possible = Inside * Math.Min(corners.TopMmPerS, corners.SpeedMmPerS(widestMm, request.LayerMm));
        var why = speedMmPerS > corners.TopMmPerS
            ? Text($"and {request.Printer.Id} reaches {corners.TopMmPerS:G4} mm/s")
            : Text($"which {request.Printer.Id} holds on a circle of {radius:F0} mm radius or more, and its bed has room for {widestMm:F0} mm");
        var flow = possible * TestPrintPlanner.StrandMm2(request.WidthMm, request.LayerMm);
        var width = TestPrintPlanner.StrandMm(request.FlowMm3PerS / possible, request.LayerMm);
        throw new InputProblem(Text(
            $"a flow of {request.FlowMm3PerS:G4} mm3/s in a line of {request.WidthMm:G4} x {request.LayerMm:G4} mm needs {speedMmPerS:F0} mm/s, {why}; possible: up to {Down(flow)} mm3/s, or a line {Math.Ceiling(width * 100) / 100:F2} mm wide or wider"));
    }

    private static void InRange(string what, string? option, double value, double low, double high, string unit)
    {
        if (!(value >= low && value <= high))
        {
            var mend = option is null ? "" : $"; set it with {option}";
            throw new InputProblem(Text($"the {what} of a test print is {value:G4}; expected {low:G4} to {high:G7} {unit}").TrimEnd() + mend) { IsOfOptions = option is not null };
        }
    }

    private static string Down(double value) => (Math.Floor(Inside * value * 100) / 100).ToString("G4", CultureInfo.InvariantCulture);

    private static string Up(double value) => (Math.Ceiling(value / Inside * 100) / 100).ToString("G4", CultureInfo.InvariantCulture);

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
