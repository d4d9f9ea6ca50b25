// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.GCode;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>What the job is printed with: material, diameter and density of each tool, and why each was chosen.</summary>
/// <remarks>Options win over the file's comments, comments over the material table and the printer profile.</remarks>
internal sealed class JobSetup
{
    private const double PlausibleDensityMin = 0.5;
    private const double PlausibleDensityMax = 12;
    private const double PlausibleDiameterMin = 0.5;
    private const double PlausibleDiameterMax = 12;

    private readonly List<ResolvedSetting>[] _settings = new List<ResolvedSetting>[SimulationOptions.MaxTools];

    private JobSetup()
    {
    }

    /// <summary>Material by tool; null where nothing names one.</summary>
    public Material?[] Materials { get; } = new Material?[SimulationOptions.MaxTools];

    /// <summary>The word in the comments that no material of ours stands for, by tool; null where there is none.</summary>
    public string?[] UnknownWords { get; } = new string?[SimulationOptions.MaxTools];

    /// <summary>Filament diameter by tool [mm].</summary>
    public double[] DiameterMm { get; } = new double[SimulationOptions.MaxTools];

    /// <summary>Density by tool; NaN where the material is unknown [g/cm3].</summary>
    public double[] DensityGPerCm3 { get; } = new double[SimulationOptions.MaxTools];

    /// <summary>The choices made for a tool.</summary>
    /// <param name="tool">The tool [-].</param>
    public IReadOnlyList<ResolvedSetting> SettingsOf(int tool) => _settings[tool];

    /// <summary>Chooses for every tool.</summary>
    /// <param name="options">What the user said.</param>
    /// <param name="claims">What the comments say so far.</param>
    /// <param name="printer">The printer profile.</param>
    /// <param name="materials">The material tables, each loaded once.</param>
    public static JobSetup Resolve(EstimateOptions options, CommentClaims claims, PrinterProfile printer, LoadedMaterials materials)
    {
        var setup = new JobSetup();
        for (var tool = 0; tool < SimulationOptions.MaxTools; tool++)
        {
            setup._settings[tool] = [];
            setup.ResolveMaterial(tool, options, claims, materials);
            setup.ResolveDiameter(tool, options, claims, printer);
            setup.ResolveDensity(tool, options, claims, materials);
        }

        return setup;
    }

    /// <summary>Whether another setup would give the same result for the tools in use.</summary>
    /// <param name="other">The other setup.</param>
    /// <param name="tools">The tools in use.</param>
    public bool Agrees(JobSetup other, IEnumerable<int> tools)
    {
        foreach (var tool in tools)
        {
            if (!ReferenceEquals(Materials[tool], other.Materials[tool])
                || DiameterMm[tool] != other.DiameterMm[tool]
                || !DensityGPerCm3[tool].Equals(other.DensityGPerCm3[tool]))
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>The problem to raise when a tool feeds filament of a material that nothing names.</summary>
    /// <param name="job">The job's name.</param>
    /// <param name="tool">The tool [-].</param>
    public InputProblem MaterialMissing(string job, int tool) => new($"{job}: {MissingMaterial(tool)}");

    /// <summary>What is missing when nothing names the material of a tool, and the option that mends it.</summary>
    /// <param name="tool">The tool [-].</param>
    public string MissingMaterial(int tool)
    {
        var option = tool == 0 ? "--material ID" : string.Create(CultureInfo.InvariantCulture, $"--material {tool}=ID");
        return UnknownWords[tool] is { } word
            ? $"the comments call the material of tool {tool} \"{word}\", which stands for none of ours; name one with {option} (see: fumecast materials list)"
            : $"the file does not say what material tool {tool} prints; name it with {option} (see: fumecast materials list)";
    }

    /// <summary>Heat that the filament of each tool takes up; 0 where its material is unknown [J/(K mm3)].</summary>
    public double[] FilamentHeatJPerKMm3()
    {
        var heat = new double[SimulationOptions.MaxTools];
        for (var tool = 0; tool < heat.Length; tool++)
        {
            heat[tool] = Materials[tool] is { } material ? material.SpecificHeatJPerGK.Value * DensityGPerCm3[tool] * 1e-3 : 0;
        }

        return heat;
    }

    private void ResolveMaterial(int tool, EstimateOptions options, CommentClaims claims, LoadedMaterials materials)
    {
        if (options.MaterialOf(tool) is { } named)
        {
            Materials[tool] = materials.Load(named);
            Note(tool, "material", Materials[tool]!.Id, "--material");
            return;
        }

        if (claims.MaterialOf(tool) is not { } word)
        {
            return;
        }

        if (materials.IdForWord(word) is not { } id)
        {
            UnknownWords[tool] = word;
            return;
        }

        Materials[tool] = materials.Load(id);
        Note(tool, "material", id, $"the comments say \"{word}\"", claims.MaterialLine);
    }

    /// <summary>The diameter of a tool's filament, why it was chosen, and the line of the comment it was taken from.</summary>
    public static (double Mm, string Because, long? Line) DiameterOf(int tool, EstimateOptions options, CommentClaims claims, PrinterProfile printer)
    {
        if (options.DiameterMm is { } given)
        {
            return (given, "--diameter", null);
        }

        return claims.DiameterMmOf(tool) is { } claimed and >= PlausibleDiameterMin and <= PlausibleDiameterMax
            ? (claimed, "the file's comments", claims.DiameterLine)
            : (printer.FilamentDiameterMm, "printer " + printer.Id + "; the file does not say", null);
    }

    private void ResolveDiameter(int tool, EstimateOptions options, CommentClaims claims, PrinterProfile printer)
    {
        var (mm, because, line) = DiameterOf(tool, options, claims, printer);
        DiameterMm[tool] = mm;
        Note(tool, "filament diameter", string.Create(CultureInfo.InvariantCulture, $"{mm:0.###} mm"), because, line);
    }

    private void ResolveDensity(int tool, EstimateOptions options, CommentClaims claims, LoadedMaterials materials)
    {
        var claimed = claims.DensityGPerCm3Of(tool);
        if (claimed is not null && Materials[tool] is { } chosen && claims.MaterialOf(tool) is { } word
            && materials.IdForWord(word) is { } id && id != chosen.Id)
        {
            // It belongs to the material of the comments; printed in another one, the job has that one's density.
            claimed = null;
        }

        if (options.DensityGPerCm3 is { } given)
        {
            Set(given, "--density", null);
        }
        else if (claimed is >= PlausibleDensityMin and <= PlausibleDensityMax)
        {
            Set(claimed.Value, "the file's comments", claims.DensityLine);
        }
        else if (Materials[tool] is { } material)
        {
            Set(material.DensityGPerCm3.Value, "material " + material.Id, null);
        }
        else
        {
            DensityGPerCm3[tool] = double.NaN;
        }

        void Set(double density, string because, long? line)
        {
            DensityGPerCm3[tool] = density;
            Note(tool, "density", string.Create(CultureInfo.InvariantCulture, $"{density:0.###} g/cm3"), because, line);
        }
    }

    private void Note(int tool, string what, string value, string because, long? line = null) =>
        _settings[tool].Add(new ResolvedSetting(
            tool == 0 ? what : string.Create(CultureInfo.InvariantCulture, $"{what} of tool {tool}"), value, because, line is > 0 ? line : null));
}
