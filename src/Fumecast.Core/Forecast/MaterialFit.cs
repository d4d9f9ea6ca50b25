// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>Looks whether a job and its result fit what is known of the material.</summary>
internal static class MaterialFit
{
    /// <summary>Share of the volatile compounds above which particle mass contradicts the one study that weighed both [-]; emissions reference, 9a rule 6.</summary>
    private const double MostMassOfTvoc = 0.2;

    /// <summary>How well a heater holds its set point while it melts: common practice, no source [K].</summary>
    private const double HeldToK = 5;

    /// <summary>Reports what does not fit, one finding for each tool and kind.</summary>
    /// <param name="log">Receives the findings.</param>
    /// <param name="print">The job.</param>
    /// <param name="setup">Its materials.</param>
    /// <param name="agents">Its emission.</param>
    public static void Report(DiagnosticLog log, SimulatedPrint print, JobSetup setup, IReadOnlyList<AgentEmission> agents)
    {
        foreach (var tool in print.Tools)
        {
            if (tool.DepositedMm3 > 0 && setup.Materials[tool.Tool] is { } material)
            {
                Density(log, tool.Tool, setup.DensityGPerCm3[tool.Tool], material);
                Nozzle(log, tool, material);
            }
        }

        var used = print.Tools.Where(static tool => tool.DepositedMm3 > 0).Select(tool => setup.Materials[tool.Tool]).OfType<Material>().Distinct().ToList();
        MassAgainstTvoc(log, agents, used);
    }

    /// <summary>Reports materials named for tools that the job does not use: they were meant for another tool, or for another job.</summary>
    /// <param name="log">Receives the findings.</param>
    /// <param name="print">The job.</param>
    /// <param name="options">What the user said.</param>
    public static void ReportUnused(DiagnosticLog log, SimulatedPrint print, EstimateOptions options)
    {
        foreach (var (tool, id) in options.MaterialByTool.OrderBy(static entry => entry.Key))
        {
            if (print.Tools.All(used => used.Tool != tool))
            {
                var used = print.Tools.Count == 0 ? "none" : string.Join(", ", print.Tools.Select(static one => one.Tool.ToString(CultureInfo.InvariantCulture)));
                log.Report(Severity.Warning, ForecastFindings.MaterialUnused, 0, 0, string.Create(CultureInfo.InvariantCulture,
                    $"the job uses no tool {tool}, so --material {tool}={id} changes nothing; tools in use: {used}"), changesResult: true);
            }
        }
    }

    /// <summary>Whether a nozzle temperature lies within what is usual for a material, as well as a heater holds it; true where no range is known.</summary>
    /// <param name="meanC">Mean while the tool extrudes [degC].</param>
    /// <param name="material">The material.</param>
    public static bool IsUsual(double meanC, Material material) =>
        material.NozzleC.Range is not { } usual || (meanC >= usual.Low - HeldToK && meanC <= usual.High + HeldToK);

    private static void Density(DiagnosticLog log, int tool, double density, Material material)
    {
        if (material.DensityGPerCm3.Range is { } usual && (density < usual.Low || density > usual.High))
        {
            Warn(log, ForecastFindings.DensityUnusual,
                $"tool {tool}: a density of {density:0.###} g/cm3 lies outside what is usual for {material.Id}, {usual.Low:0.###} to {usual.High:0.###} g/cm3; check --density and --material");
        }
    }

    private static void Nozzle(DiagnosticLog log, SimulatedTool tool, Material material)
    {
        if (material.NozzleC.Range is not { } usual || IsUsual(tool.Heat.MeanC, material))
        {
            return;
        }

        var measuredC = material.NumberYieldPerG.AtC!.Value;
        var away = Math.Abs(tool.Heat.MeanC - measuredC);
        Warn(log, ForecastFindings.NozzleUnusual,
            $"tool {tool.Tool}: a nozzle at {tool.Heat.MeanC:0} degC lies outside what is usual for {material.Id}, {usual.Low:0} to {usual.High:0} degC, and {away:0} K from the {measuredC:0} degC of its figures; check --nozzle and --material");
    }

    /// <summary>Says which of the two figures is the weaker when they cannot both hold.</summary>
    private static void MassAgainstTvoc(DiagnosticLog log, IReadOnlyList<AgentEmission> agents, List<Material> used)
    {
        var mass = agents.FirstOrDefault(static agent => agent.Agent == Agent.ParticleMass);
        var tvoc = agents.FirstOrDefault(static agent => agent.Agent == Agent.Tvoc);
        if (mass is null || tvoc is null || !(tvoc.Total.Median > 0) || !(mass.Total.Median > MostMassOfTvoc * tvoc.Total.Median) || used.Count == 0)
        {
            return;
        }

        var massIsWeaker = Width(mass) >= Width(tvoc);

        // A note: it holds for nearly every job of PETG and ASA, and so tells of the table and not of the job.
        log.Report(Severity.Note, ForecastFindings.MassAgainstTvoc, 0, 0, string.Create(CultureInfo.InvariantCulture,
            $"the middle of the particle mass is {100 * mass.Total.Median / tvoc.Total.Median:0} % of the TVOC, while the study that weighed both found 1 to 5 % (DING2019); the weaker figure of the two is {(massIsWeaker ? "the particle mass" : "the TVOC")}, whose interval is the wider"));

        static double Width(AgentEmission agent) => agent.Total.Low > 0 ? agent.Total.High / agent.Total.Low : double.PositiveInfinity;
    }

    private static void Warn(DiagnosticLog log, string code, FormattableString message) =>
        log.Report(Severity.Warning, code, 0, 0, message.ToString(CultureInfo.InvariantCulture));
}
