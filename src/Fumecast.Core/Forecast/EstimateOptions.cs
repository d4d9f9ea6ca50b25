// SPDX-License-Identifier: MIT
using Fumecast.Flow;

namespace Fumecast.Forecast;

/// <summary>What the user asks of an estimate. Absent means: take it from the job, else from the material or the printer profile.</summary>
public sealed record EstimateOptions
{
    /// <summary>What is printed: the id of a material of ours, such as <c>abs</c>, or the path of a file; null takes what the job's comments say.</summary>
    public string? Material { get; init; }

    /// <summary>Material by tool number, 0 or more, for jobs of several materials; the tools not named here print <see cref="Material"/>.</summary>
    public IReadOnlyDictionary<int, string> MaterialByTool { get; init; } = new Dictionary<int, string>();

    /// <summary>What is printed where the job names no material that is known, as in <see cref="Material"/>; what the job says wins. Null asks for it.</summary>
    public string? MaterialIfUnknown { get; init; }

    /// <summary>The same by tool number, 0 or more; for the tools not named here <see cref="MaterialIfUnknown"/> holds.</summary>
    public IReadOnlyDictionary<int, string> MaterialIfUnknownByTool { get; init; } = new Dictionary<int, string>();

    /// <summary>Printer profile: an id of ours or a file; null takes the default one, which the result then reports as assumed.</summary>
    public string? Printer { get; init; }

    /// <summary>Length of the bins of the series and of the peak [s], over 0.</summary>
    public double BinS { get; init; } = 10;

    /// <summary>Coverage of all intervals [-], over 0 and below 1.</summary>
    public double Interval { get; init; } = 0.9;

    /// <summary>Logging interval of the meter for the evenness of the flow [s], over 0.</summary>
    public double MeterIntervalS { get; init; } = 10;

    /// <summary>Time constant of the air that evenness is judged by [s], over 0: the time in which a room changes its air once.</summary>
    public double AirTimeS { get; init; } = RoomSmoothing.TimeConstantS;

    /// <summary>Nozzle temperature that replaces the job's while it prints, or null [degC].</summary>
    public double? NozzleC { get; init; }

    /// <summary>Nozzle temperature where neither a command nor a comment of the job states one; null takes the middle of what is usual for the material [degC].</summary>
    public double? NozzleIfUnknownC { get; init; }

    /// <summary>The same by tool number, 0 or more; for the tools not named here <see cref="NozzleIfUnknownC"/> holds [degC].</summary>
    public IReadOnlyDictionary<int, double> NozzleIfUnknownCByTool { get; init; } = new Dictionary<int, double>();

    /// <summary>Added to the job's nozzle temperatures while it prints, or null [K].</summary>
    public double? NozzleShiftK { get; init; }

    /// <summary>Filament diameter, or null [mm], over 0.</summary>
    public double? DiameterMm { get; init; }

    /// <summary>Filament density, or null [g/cm3], over 0.</summary>
    public double? DensityGPerCm3 { get; init; }

    /// <summary>Factor on all commanded speeds of printing and travel [-], over 0.</summary>
    public double SpeedFactor { get; init; } = 1;

    /// <summary>Whether residue in the nozzle counts, which evaporates once it is hot (false for a nozzle purged just before the job).</summary>
    public bool StartDose { get; init; } = true;

    /// <summary>Whether to look for rhythms in the flow and to draw its Allan curve, which costs some milliseconds.</summary>
    public bool FlowSpectrum { get; init; } = true;

    /// <summary>Seed of the draws behind the intervals [-]; equal seeds give equal results.</summary>
    public long Seed { get; init; }

    /// <summary>Whether a warning that changes results ends the estimate as an error.</summary>
    public bool Strict { get; init; }

    /// <summary>Whether a compressed job may be inflated on a second core; false where the cores are busy with other jobs. The result is the same.</summary>
    public bool MayUseSecondCore { get; init; } = true;

    /// <summary>Where the job <c>-</c> is read from; null refuses it.</summary>
    public Stream? Stdin { get; init; }

    /// <summary>Materials that stand in no file, by the names that <see cref="Material"/> and its like give them.</summary>
    internal IReadOnlyDictionary<string, Emission.Material> Tables { get; init; } = new Dictionary<string, Emission.Material>();

    /// <summary>The option that a missing material is asked for by.</summary>
    internal string MaterialOption { get; init; } = "--material";

    /// <summary>Why <see cref="NozzleC"/> is taken, as the result says it.</summary>
    internal string NozzleBecause { get; init; } = "--nozzle";

    /// <summary>Whether what the options override is found worth a warning; in a comparison it is the question and stands in the variant's name.</summary>
    internal bool WarnsOfOverrides { get; init; } = true;

    /// <summary>Every material that is named, for gaps too.</summary>
    internal IEnumerable<string> MaterialsNamed =>
        MaterialByTool.Values.Concat(MaterialIfUnknownByTool.Values).Concat(new[] { Material, MaterialIfUnknown }.OfType<string>());

    /// <summary>Whether a material is named that holds whatever the job says.</summary>
    internal bool NamesMaterial => Material is not null || MaterialByTool.Count > 0;

    /// <summary>Whether a material is named for gaps.</summary>
    internal bool FillsMaterial => MaterialIfUnknown is not null || MaterialIfUnknownByTool.Count > 0;

    /// <summary>Whether a nozzle temperature is given for gaps.</summary>
    internal bool FillsNozzle => NozzleIfUnknownC is not null || NozzleIfUnknownCByTool.Count > 0;

    /// <summary>The material named for a tool, or null.</summary>
    internal string? MaterialOf(int tool) => MaterialByTool.TryGetValue(tool, out var named) ? named : Material;

    /// <summary>The material named for a tool for which the job names none, or null.</summary>
    internal string? MaterialIfUnknownOf(int tool) => MaterialIfUnknownByTool.TryGetValue(tool, out var named) ? named : MaterialIfUnknown;

    /// <summary>The nozzle temperature given for a tool for which the job states none, or null [degC].</summary>
    internal double? NozzleIfUnknownCOf(int tool) => NozzleIfUnknownCByTool.TryGetValue(tool, out var given) ? given : NozzleIfUnknownC;
}
