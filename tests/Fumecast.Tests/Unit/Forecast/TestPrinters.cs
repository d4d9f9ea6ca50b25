// SPDX-License-Identifier: MIT
using Fumecast.Heat;
using Fumecast.Machine;
using Fumecast.Motion;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>Three printers with the limits of the gcode reference's generic profiles, for test prints.</summary>
internal static class TestPrinters
{
    public static IReadOnlyList<PrinterProfile> All { get; } =
    [
        Make("small, jerk", 220, 220, 240, 1.75, 16, () => new()
        {
            MaxFeedMmPerS = new(500, 500, 10, 50), MaxAccelMmPerS2 = new(500, 500, 100, 5000), PrintAccelMmPerS2 = 500, TravelAccelMmPerS2 = 500,
            Junction = JunctionModel.PerAxisJerk, JerkMmPerS = new(8, 8, 0.4, 5), JerkAtRest = true,
        }),
        Make("fast, square corner", 250, 250, 250, 1.75, null, () => new()
        {
            MaxFeedMmPerS = new(double.PositiveInfinity, double.PositiveInfinity, 15, double.PositiveInfinity), MaxAccelMmPerS2 = new(10_000, 10_000, 350, double.PositiveInfinity),
            MaxPathSpeedMmPerS = 300, PrintAccelMmPerS2 = 10_000, FilamentLimitsNozzleMoves = false,
            Junction = JunctionModel.SquareCorner, SquareCornerMmPerS = 5, ExtruderStepMmPerS = 1, MinimumCruiseRatio = 0.5,
        }),
        Make("large, jerk", 800, 600, 600, 2.85, null, () => new()
        {
            MaxFeedMmPerS = new(200, 200, 8, 30), MaxAccelMmPerS2 = new(800, 800, 60, 1500), PrintAccelMmPerS2 = 600,
            Junction = JunctionModel.PerAxisJerk, JerkMmPerS = new(6, 6, 0.5, 5), JerkWithinKindOnly = true,
        }),
        Make("small, deviation", 220, 220, 240, 1.75, 16, () => new()
        {
            MaxFeedMmPerS = new(500, 500, 10, 50), MaxAccelMmPerS2 = new(500, 500, 100, 5000), PrintAccelMmPerS2 = 500,
            Junction = JunctionModel.Deviation, DeviationMm = 0.013,
        }),
    ];

    private static PrinterProfile Make(string id, double x, double y, double height, double diameter, int? blocks, Func<MotionLimits> limits) => new()
    {
        Id = id,
        Description = id,
        Dialect = new() { Id = "test" },
        StartLimits = limits,
        LookaheadBlocks = blocks,
        FilamentDiameterMm = diameter,
        BedXMm = x,
        BedYMm = y,
        HeightMm = height,
        Nozzle = HeaterModel.FromRate(2, 280, 0),
        Bed = HeaterModel.FromRate(0.3, 900, 0),
    };
}
