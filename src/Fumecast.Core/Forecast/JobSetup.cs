// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.GCode;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>What the job is printed with: material, diameter and density of each tool, and why each was chosen.</summary>
/// <remarks>
/// Options win over the file's comments, comments over options for what is unknown, and those over the material table and the printer profile. An option
/// that wins over a comment of another content is a finding: over a whole folder it would change jobs unseen.
/// </remarks>
internal sealed class JobSetup
{
    private const double PlausibleDensityMin = 0.5;
    private const double PlausibleDensityMax = 12;
    private const double PlausibleDiameterMin = 0.5;
    private const double PlausibleDiameterMax = 12;

    private readonly List<ResolvedSetting>[] _settings = new List<ResolvedSetting>[SimulationOptions.MaxTools];
    private readonly List<(string Code, long Line, string Message, bool IsOfOptions)>[] _findings = new List<(string, long, string, bool)>[SimulationOptions.MaxTools];

    private readonly string _materialOption;
    private readonly bool _namesTools;

    private JobSetup(EstimateOptions options) => (_materialOption, _namesTools) = (options.MaterialOption, options.MaterialByTool.Count > 0);

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
        var setup = new JobSetup(options);
        for (var tool = 0; tool < SimulationOptions.MaxTools; tool++)
        {
            setup._settings[tool] = [];
            setup._findings[tool] = [];
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

    /// <summary>Reports what the choices override and what is doubtful about them.</summary>
    /// <param name="log">Receives the findings, one for each tool and kind.</param>
    /// <param name="tools">The tools in use.</param>
    /// <param name="options">What the user said.</param>
    public void Report(DiagnosticLog log, IEnumerable<int> tools, EstimateOptions options)
    {
        foreach (var tool in tools)
        {
            foreach (var (code, line, message, isOfOptions) in _findings[tool])
            {
                // An override is the user's own wish and leaves nothing in doubt; a word that leaves the material open does.
                var isDoubt = code is ForecastFindings.MaterialDoubtful or ForecastFindings.MaterialUnfilled;
                if (isDoubt || options.WarnsOfOverrides)
                {
                    log.Report(
                        Severity.Warning, code, line, line > 0 ? 1 : 0, message, changesResult: isDoubt, subject: tool.ToString(CultureInfo.InvariantCulture),
                        isOfOptions: isOfOptions);
                }
            }
        }
    }

    /// <summary>The problem to raise when a tool feeds filament of a material that nothing names.</summary>
    /// <param name="job">The job's name.</param>
    /// <param name="tool">The tool [-].</param>
    public InputProblem MaterialMissing(string job, int tool) => new($"{job}: {MissingMaterial(tool)}");

    /// <summary>What is missing when nothing names the material of a tool, and the option that mends it.</summary>
    /// <param name="tool">The tool [-].</param>
    public string MissingMaterial(int tool)
    {
        var option = tool == 0 && !_namesTools ? $"{_materialOption} ID" : string.Create(CultureInfo.InvariantCulture, $"{_materialOption} {tool}=ID");
        return UnknownWords[tool] is { } word
            ? $"the comments call the material of tool {tool} \"{word}\", which stands for none of ours; name one with {option} (see: fumecast materials list)"
            : $"the file does not say what material tool {tool} prints; name it with {option} (see: fumecast materials list)";
    }

    /// <summary>Why a list of materials in the comments cannot be laid to the tools that print; null where it can, or nothing rests on it.</summary>
    /// <param name="claims">What the comments say.</param>
    /// <param name="print">The job.</param>
    /// <param name="options">What the user said.</param>
    /// <param name="materials">The material tables.</param>
    public string? UnclearMaterials(CommentClaims claims, SimulatedPrint print, EstimateOptions options, LoadedMaterials materials)
    {
        var names = claims.MaterialsInPlainWords;
        var tools = print.Tools.Where(static tool => tool.DepositedMm3 > 0).Select(static tool => tool.Tool).ToList();
        if (names.Count < 2 || tools.Count == 0 || (tools.Count == names.Count && tools.Max() < names.Count)
            || tools.TrueForAll(tool => options.MaterialOf(tool) is not null)
            || names.Select(name => materials.ForWord(name)?.Id ?? name).Distinct().Count() == 1)
        {
            return null;
        }

        var option = tools is [0] && !_namesTools ? $"{_materialOption} ID" : string.Create(CultureInfo.InvariantCulture, $"{_materialOption} {tools[0]}=ID");
        return string.Create(CultureInfo.InvariantCulture,
            $"the comments list {names.Count} materials ({string.Join(", ", names)}), but the job prints with {(tools.Count == 1 ? "one tool" : $"{tools.Count} tools")}, so which is meant is unclear; name it with {option}");
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
        var word = claims.MaterialOf(tool);
        var stated = word is null ? null : materials.ForWord(word);
        if (options.MaterialOf(tool) is { } given)
        {
            Take(given, "--material", stated);
        }
        else if (stated is not null)
        {
            var material = materials.Load(stated);
            Materials[tool] = material;
            Note(tool, "material", stated.Id, $"the comments say \"{word}\"{From(material)}", claims.MaterialLine);
            Doubt($"the comments call the material{Of(tool)} \"{word}\"", stated.Note, claims.MaterialLine, isOfOptions: false);
        }
        else if (options.MaterialIfUnknownOf(tool) is { } filling)
        {
            Take(filling, "--material-if-unknown", null);
        }
        else
        {
            UnknownWords[tool] = word;
        }

        void Take(string name, string option, WordMatch? instead)
        {
            var material = materials.Load(name);
            Materials[tool] = material;
            var because = option + From(material);
            if (instead is not null && instead.Id != material.Id)
            {
                Note(tool, "material", material.Id, because, overridden: word, overriddenLine: claims.MaterialLine);
                Override(
                    tool, ForecastFindings.MaterialOverridden, claims.MaterialLine,
                    $"the comments call the material{Of(tool)} \"{word}\"; {material.Id} is taken instead, as {option} says (--material-if-unknown would fill gaps only)");
            }
            else
            {
                Note(tool, "material", material.Id, word is not null && stated is null ? $"{because}; the comments say \"{word}\", which stands for none of ours" : because);
            }

            Doubt($"{option} {name} stands for {material.Id}", materials.DoubtOf(name), 0, isOfOptions: true);
        }

        // A copied material may keep the id of the one it was copied from, so a file of the user's own is named.
        string From(Material material)
        {
            if (material is { Unfilled.Length: > 0 })
            {
                _findings[tool].Add((ForecastFindings.MaterialUnfilled, 0, $"{material.File}: {material.Unfilled}; until then the forecast rests on figures of nobody's filament", true));
            }

            return material.OwnFile is { } file ? $", from {file}" : "";
        }

        void Doubt(string what, string? note, long line, bool isOfOptions)
        {
            if (note is not null)
            {
                _findings[tool].Add((ForecastFindings.MaterialDoubtful, line, $"{what}: {note}", isOfOptions));
            }
        }
    }

    private void ResolveDiameter(int tool, EstimateOptions options, CommentClaims claims, PrinterProfile printer)
    {
        var claimed = claims.DiameterMmOf(tool) is { } mm and >= PlausibleDiameterMin and <= PlausibleDiameterMax ? mm : (double?)null;
        const string What = "filament diameter";
        if (options.DiameterMm is { } given)
        {
            DiameterMm[tool] = given;
            TakeNumber(tool, What, given, "mm", "--diameter", claimed, claims.DiameterLine, ForecastFindings.DiameterOverridden);
        }
        else if (claimed is { } stated)
        {
            DiameterMm[tool] = stated;
            Note(tool, What, Text(stated, "mm"), "the file's comments", claims.DiameterLine);
        }
        else
        {
            DiameterMm[tool] = printer.FilamentDiameterMm;
            Note(tool, What, Text(printer.FilamentDiameterMm, "mm"), "printer " + printer.Id + "; the file does not say");
        }
    }

    private void ResolveDensity(int tool, EstimateOptions options, CommentClaims claims, LoadedMaterials materials)
    {
        var claimed = claims.DensityGPerCm3Of(tool) is { } density and >= PlausibleDensityMin and <= PlausibleDensityMax ? density : (double?)null;
        if (claimed is not null && Materials[tool] is { } chosen && claims.MaterialOf(tool) is { } word
            && materials.ForWord(word) is { } match && match.Id != chosen.Id)
        {
            // It belongs to the material of the comments; printed in another one, the job has that one's density.
            claimed = null;
        }

        const string What = "density";
        if (options.DensityGPerCm3 is { } given)
        {
            DensityGPerCm3[tool] = given;
            TakeNumber(tool, What, given, "g/cm3", "--density", claimed, claims.DensityLine, ForecastFindings.DensityOverridden);
        }
        else if (claimed is { } stated)
        {
            DensityGPerCm3[tool] = stated;
            Note(tool, What, Text(stated, "g/cm3"), "the file's comments", claims.DensityLine);
        }
        else if (Materials[tool] is { } material)
        {
            DensityGPerCm3[tool] = material.DensityGPerCm3.Value;
            Note(tool, What, Text(material.DensityGPerCm3.Value, "g/cm3"), "material " + material.Id);
        }
        else
        {
            DensityGPerCm3[tool] = double.NaN;
        }
    }

    /// <summary>Notes a number that an option gives, and what the comments state instead where that is shown as another one.</summary>
    private void TakeNumber(int tool, string what, double given, string unit, string option, double? claimed, long line, string code)
    {
        if (claimed is not { } stated || Text(stated, unit) == Text(given, unit))
        {
            Note(tool, what, Text(given, unit), option);
            return;
        }

        Note(tool, what, Text(given, unit), option, overridden: Text(stated, unit), overriddenLine: line);
        Override(tool, code, line, $"the comments state a {what}{Of(tool)} of {Text(stated, unit)}; {Text(given, unit)} is taken instead, as {option} says");
    }

    private void Override(int tool, string code, long line, string message) => _findings[tool].Add((code, line, message, false));

    private static string Of(int tool) => tool == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $" of tool {tool}");

    private static string Text(double value, string unit) => string.Create(CultureInfo.InvariantCulture, $"{value:0.###} {unit}");

    private void Note(int tool, string what, string value, string because, long line = 0, string? overridden = null, long overriddenLine = 0) =>
        _settings[tool].Add(new ResolvedSetting(
            what + Of(tool), value, because, line > 0 ? line : null,
            overridden is null ? null : new OverriddenStatement(overridden, overriddenLine > 0 ? overriddenLine : null)));
}
