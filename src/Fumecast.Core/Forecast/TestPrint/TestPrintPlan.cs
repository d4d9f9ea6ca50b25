// SPDX-License-Identifier: MIT
namespace Fumecast.Forecast.TestPrint;

/// <summary>The body of a test print.</summary>
public enum TestPrintShape
{
    /// <summary>One strand that climbs as a helix on a flat ring.</summary>
    SingleWall,

    /// <summary>A ring of many strands, wound outwards and inwards in turn.</summary>
    Ring,
}

/// <summary>A test print whose geometry was chosen so that it meets its request. Made by <see cref="PrintForecast.TestPrint"/>.</summary>
/// <remarks>
/// The flow is the same in all layers. The first layer may be slower; its strand is then as much wider and higher as it is slower, so that
/// the flow stays the same. From then on speed and filament per length never change.
/// </remarks>
public sealed record TestPrintPlan
{
    internal TestPrintPlan(TestPrintRequest request)
    {
        Request = request;
    }

    /// <summary>Nozzle temperature, the same from the first layer to the last [degC].</summary>
    public double NozzleC => Request.NozzleC;

    /// <summary>Bed temperature; 0 for a cold bed [degC].</summary>
    public double BedC => Request.BedC;

    /// <summary>What was asked for, with what was left open filled in.</summary>
    internal TestPrintRequest Request { get; init; }

    /// <summary>The body.</summary>
    public required TestPrintShape Shape { get; init; }

    /// <summary>Centre along X [mm].</summary>
    public required double CentreXMm { get; init; }

    /// <summary>Centre along Y [mm].</summary>
    public required double CentreYMm { get; init; }

    /// <summary>Radius of the innermost strand's middle line [mm].</summary>
    public required double InnerRadiusMm { get; init; }

    /// <summary>Radius of the outermost strand's middle line above the first layer [mm].</summary>
    public required double OuterRadiusMm { get; init; }

    /// <summary>Turns from the inner to the outer radius above the first layer [-].</summary>
    public required int Turns { get; init; }

    /// <summary>Radius of the outermost strand's middle line in the first layer [mm].</summary>
    public required double FirstLayerRadiusMm { get; init; }

    /// <summary>Turns of the first layer [-].</summary>
    public required int FirstLayerTurns { get; init; }

    /// <summary>Height of the first layer [mm].</summary>
    public required double FirstLayerMm { get; init; }

    /// <summary>Width of a strand, and distance of strands, in the first layer [mm].</summary>
    public required double FirstLayerWidthMm { get; init; }

    /// <summary>Length of the straight run that leads into the first layer from outside [mm].</summary>
    public required double LeadInMm { get; init; }

    /// <summary>Speed of the first layer, a whole number of mm/min [mm/s].</summary>
    public required double FirstLayerMmPerS { get; init; }

    /// <summary>Speed above the first layer, a whole number of mm/min [mm/s].</summary>
    public required double SpeedMmPerS { get; init; }

    /// <summary>Length of path above the first layer [mm].</summary>
    public required double UpperLengthMm { get; init; }

    /// <summary>Greatest turn from one straight piece to the next at the speed asked for, safety factor included [rad].</summary>
    public required double TurnLimitRad { get; init; }

    /// <summary>Length of path in the first layer [mm]. Known after the path has been walked.</summary>
    public double FirstLayerLengthMm { get; init; }

    /// <summary>Height of the finished body [mm]. Known after the path has been walked.</summary>
    public double HeightMm { get; init; }

    /// <summary>Layers, counting the turns of a helix [-]. Known after the path has been walked.</summary>
    public int Layers { get; init; }

    /// <summary>Straight pieces of the path [-]. Known after the path has been walked.</summary>
    public long Pieces { get; init; }

    /// <summary>What the user should know: filament needed, stability, limits that are near.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>Filament diameter [mm].</summary>
    public double FilamentDiameterMm => Request.FilamentDiameterMm ?? Request.Printer.FilamentDiameterMm;

    /// <summary>Cross-section of the filament [mm2].</summary>
    public double FilamentMm2 => Math.PI * FilamentDiameterMm * FilamentDiameterMm / 4;

    /// <summary>Filament per length of path above the first layer [mm/mm].</summary>
    public double FeedPerMm => Request.FlowMm3PerS / SpeedMmPerS / FilamentMm2;

    /// <summary>Filament per length of path in the first layer [mm/mm].</summary>
    public double FirstLayerFeedPerMm => Request.FlowMm3PerS / FirstLayerMmPerS / FilamentMm2;

    /// <summary>Filament of the print phase, without what primes the nozzle [mm].</summary>
    public double FilamentMm => FirstLayerLengthMm * FirstLayerFeedPerMm + UpperLengthMm * FeedPerMm;

    /// <summary>Volume of the print phase [mm3].</summary>
    public double VolumeMm3 => FilamentMm * FilamentMm2;

    /// <summary>Mass of the print phase [g].</summary>
    public double MassG => VolumeMm3 / 1000 * Request.DensityGPerCm3;

    /// <summary>Length of the print phase, accelerations left out [s].</summary>
    public double PrintS => FirstLayerLengthMm / FirstLayerMmPerS + UpperLengthMm / SpeedMmPerS;

    /// <summary>Diameter of the footprint [mm].</summary>
    public double FootprintMm => 2 * FirstLayerRadiusMm + FirstLayerWidthMm;
}
