// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>What the generator of a job claims in its comments; claims never change what is simulated by themselves.</summary>
/// <remarks>
/// Zero and empty mean not stated. The first statement of a thing holds, but the surer kind wins over the vaguer. Lists are by tool; a
/// list may cover tools that the print never uses, and one lone value holds for all tools.
/// </remarks>
internal sealed partial class CommentClaims
{
    private const int MostClaims = 200;

    private readonly LayerMarks _layers = new();
    private readonly List<CommentClaim> _all = [];
    private readonly ToolValues<string> _material = new();
    private readonly ToolValues<double?> _diameter = new();
    private readonly ToolValues<double?> _density = new();
    private readonly ToolValues<double?> _nozzleDiameter = new();
    private readonly ToolValues<double?> _nozzle = new();
    private readonly ToolValues<double?> _filamentMm = new();
    private readonly ToolValues<double?> _filamentMm3 = new();
    private readonly ToolValues<double?> _filamentG = new();
    private readonly ToolValues<double?> _time = new();
    private double _elapsedS;
    private bool _isInThumbnail;

    /// <summary>Marks of a new layer seen so far [-].</summary>
    public int LayerMarkCount => _layers.Count;

    /// <summary>Duration of the whole print, null when not stated [s].</summary>
    /// <remarks>
    /// From a comment, else from the first progress command (<c>M73 R</c>), else from marks at the layers. Where two figures are
    /// stated it is the one that includes preparation; see <see cref="MotionTimeS"/>.
    /// </remarks>
    public double? TimeS => _time.Of(0) ?? (_elapsedS > 0 ? _elapsedS : null);

    /// <summary>Duration without preparation, where the comments state it apart from the whole; else null [s].</summary>
    public double? MotionTimeS { get; private set; }

    /// <summary>Line of <see cref="TimeS"/>, 0 if none [-].</summary>
    public long TimeLine => _time.Line;

    /// <summary>Filament length of all tools, null when not stated [mm].</summary>
    public double? FilamentMm => Sum(_filamentMm);

    /// <summary>Filament volume of all tools, null when not stated [mm3].</summary>
    public double? FilamentMm3 => Sum(_filamentMm3);

    /// <summary>Filament mass of all tools, null when not stated [g].</summary>
    public double? FilamentG => Sum(_filamentG);

    /// <summary>Line of the first filament claim, 0 if none [-].</summary>
    public long FilamentLine => _filamentMm.Line > 0 ? _filamentMm.Line : _filamentMm3.Line > 0 ? _filamentMm3.Line : _filamentG.Line;

    /// <summary>Line of the material claim, 0 if none [-].</summary>
    public long MaterialLine => _material.Line;

    /// <summary>Line of the diameter claim, 0 if none [-].</summary>
    public long DiameterLine => _diameter.Line;

    /// <summary>Line of the density claim, 0 if none [-].</summary>
    public long DensityLine => _density.Line;

    /// <summary>Nozzle temperature of the first tool that has one, a hint only, null when not stated [degC].</summary>
    public double? NozzleC
    {
        get
        {
            foreach (var value in _nozzle.Values)
            {
                if (value is not null)
                {
                    return value;
                }
            }

            return null;
        }
    }

    /// <summary>Line of the nozzle temperature claim, 0 if none [-].</summary>
    public long NozzleCLine => _nozzle.Line;

    /// <summary>Layer height, null when not stated [mm].</summary>
    public double? LayerHeightMm { get; private set; }

    /// <summary>Number of layers, null when not stated [-].</summary>
    public int? LayerCount { get; private set; }

    /// <summary>The dialect the generator wrote for, as it calls it, or null.</summary>
    public string? Flavour { get; private set; }

    /// <summary>Whether the comments say that E is in mm3.</summary>
    public bool SaysVolumetricE { get; private set; }

    /// <summary>Whether the comments say that E is relative; a hint, for M82 and M83 decide.</summary>
    public bool SaysRelativeE { get; private set; }

    /// <summary>The claims taken, as they stand in the file, in its order.</summary>
    public IReadOnlyList<CommentClaim> All => _all;

    /// <summary>The material a tool prints, as the file calls it, or null.</summary>
    /// <param name="tool">The tool, from 0 [-].</param>
    public string? MaterialOf(int tool) => _material.Of(tool);

    /// <summary>The materials that one claim in plain words lists; empty where it names one, or a generator that lists all its tools speaks.</summary>
    /// <remarks>A person who writes a list means the tools in use, in their order; whether there are as many only the whole job tells.</remarks>
    public IReadOnlyList<string> MaterialsInPlainWords =>
        _material is { Key: ClaimKey.PlainMaterial, Values.Count: > 1 } ? [.. _material.Values.OfType<string>()] : [];

    /// <summary>The filament diameter of a tool, null when not stated [mm].</summary>
    /// <param name="tool">The tool, from 0 [-].</param>
    public double? DiameterMmOf(int tool) => _diameter.Of(tool);

    /// <summary>The filament density of a tool, null when not stated [g/cm3].</summary>
    /// <param name="tool">The tool, from 0 [-].</param>
    public double? DensityGPerCm3Of(int tool) => _density.Of(tool);

    /// <summary>The nozzle diameter of a tool, null when not stated [mm].</summary>
    /// <param name="tool">The tool, from 0 [-].</param>
    public double? NozzleDiameterMmOf(int tool) => _nozzleDiameter.Of(tool);

    /// <summary>The nozzle temperature of a tool, a hint only, null when not stated [degC].</summary>
    /// <param name="tool">The tool, from 0 [-].</param>
    public double? NozzleCOf(int tool) => _nozzle.Of(tool);

    /// <summary>The filament length of a tool, null when not stated [mm].</summary>
    /// <param name="tool">The tool, from 0 [-].</param>
    public double? FilamentMmOf(int tool) => (uint)tool < (uint)_filamentMm.Values.Count ? _filamentMm.Values[tool] : null;

    private static double? Sum(ToolValues<double?> values)
    {
        double? sum = null;
        foreach (var value in values.Values)
        {
            sum = value is { } known ? (sum ?? 0) + known : sum;
        }

        return sum;
    }
}
