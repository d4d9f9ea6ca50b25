// SPDX-License-Identifier: MIT
using Fumecast.Forecast.TestPrint;
using Fumecast.Machine;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>A test print that any desktop printer can do.</summary>
internal static class SampleRequest
{
    public static TestPrintRequest Of(PrinterProfile printer) => new()
    {
        Printer = printer,
        MaterialId = "pla",
        DensityGPerCm3 = 1.24,
        FlowMm3PerS = 4,
        DurationS = 1800,
        NozzleC = 210,
        BedC = 60,
        LayerMm = 0.2,
        WidthMm = 0.45,
        FanShare = 0,
        FirstLayerMmPerS = null,
        BackgroundS = 1800,
        PurgeS = 0,
        DecayS = 3600,
        RelativeE = true,
        FilamentDiameterMm = null,
    };
}
