// SPDX-License-Identifier: MIT
using System.Diagnostics.CodeAnalysis;
using Fumecast.Flow;

namespace Fumecast.Forecast;

/// <summary>What the user asks of an estimate. Absent means: take it from the job, else from the material or the printer profile.</summary>
public sealed record EstimateOptions
{
    /// <summary>Key of <see cref="MaterialByTool"/> that stands for every tool without an entry of its own.</summary>
    public const int AllTools = -1;

    /// <summary>Material by tool number: an id of ours or a file; <see cref="AllTools"/> stands for the tools not named.</summary>
    public IReadOnlyDictionary<int, string> MaterialByTool { get; init; } = new Dictionary<int, string>();

    /// <summary>Material by tool number where the file names none that is known, keys and values as in <see cref="MaterialByTool"/>; what the file says wins.</summary>
    public IReadOnlyDictionary<int, string> MaterialIfUnknownByTool { get; init; } = new Dictionary<int, string>();

    /// <summary>All materials that are named, for gaps too.</summary>
    public IEnumerable<string> NamedMaterials => MaterialByTool.Values.Concat(MaterialIfUnknownByTool.Values);

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

    /// <summary>Nozzle temperature by tool number where neither a command nor a comment of the file states one; <see cref="AllTools"/> stands for the tools not named [degC].</summary>
    public IReadOnlyDictionary<int, double> NozzleIfUnknownCByTool { get; init; } = new Dictionary<int, double>();

    /// <summary>The option that a missing material is asked for by.</summary>
    internal string MaterialOption { get; init; } = "--material";

    /// <summary>Why <see cref="NozzleC"/> is taken, as the result says it.</summary>
    internal string NozzleBecause { get; init; } = "--nozzle";

    /// <summary>Whether what the options override is found worth a warning; in a comparison it is the question and stands in the variant's name.</summary>
    internal bool WarnsOfOverrides { get; init; } = true;

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

    /// <summary>What is given for a tool, by its own number or by that of all tools.</summary>
    /// <typeparam name="T">A material's name, or a temperature.</typeparam>
    internal static bool TryOf<T>(IReadOnlyDictionary<int, T> byTool, int tool, [MaybeNullWhen(false)] out T value) =>
        byTool.TryGetValue(tool, out value) || byTool.TryGetValue(AllTools, out value);

    /// <summary>Where the job <c>-</c> is read from; null refuses it.</summary>
    public Stream? Stdin { get; init; }
}
