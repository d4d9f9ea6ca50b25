// SPDX-License-Identifier: MIT
namespace Fumecast.Forecast;

/// <summary>Codes of what a forecast finds beyond the text of the job.</summary>
internal static class ForecastFindings
{
    /// <summary>Nothing states a nozzle temperature; the middle of the usual range was taken.</summary>
    public const string NozzleAssumed = "nozzle-assumed";

    /// <summary>The job ends in the middle of printing.</summary>
    public const string CutOff = "cut-off";

    /// <summary>The comments claim much more or less than the commands do.</summary>
    public const string ClaimDiffers = "claim-differs";

    /// <summary>The filament's density lies outside the material's range.</summary>
    public const string DensityUnusual = "density-unusual";

    /// <summary>The nozzle is hotter or cooler than is usual for the material.</summary>
    public const string NozzleUnusual = "nozzle-unusual";

    /// <summary>An option names a material for a tool that the job does not use.</summary>
    public const string MaterialUnused = "material-unused";

    /// <summary>An option took the place of the material that the comments state.</summary>
    public const string MaterialOverridden = "material-overridden";

    /// <summary>An option took the place of the nozzle temperature that the file states.</summary>
    public const string NozzleOverridden = "nozzle-overridden";

    /// <summary>An option took the place of the filament diameter that the comments state.</summary>
    public const string DiameterOverridden = "diameter-overridden";

    /// <summary>An option took the place of the filament density that the comments state.</summary>
    public const string DensityOverridden = "density-overridden";

    /// <summary>The word for the material leaves something open.</summary>
    public const string MaterialDoubtful = "material-doubtful";

    /// <summary>The file of the material is a template in which places are still to be filled in.</summary>
    public const string MaterialUnfilled = "material-unfilled";

    /// <summary>The file of the room is a template in which places are still to be filled in.</summary>
    public const string RoomUnfilled = "room-unfilled";

    /// <summary>The file of a filter is one.</summary>
    public const string FilterUnfilled = "filter-unfilled";

    /// <summary>The file of a meter is one.</summary>
    public const string MeterUnfilled = "meter-unfilled";

    /// <summary>The file of a guideline is one.</summary>
    public const string GuidelineUnfilled = "guideline-unfilled";

    /// <summary>A job was named more than once for the air of a room, and counted once.</summary>
    public const string JobNamedAgain = "job-named-again";

    /// <summary>Particle mass and volatile compounds cannot both be as large as their middles say.</summary>
    public const string MassAgainstTvoc = "mass-against-tvoc";
}
