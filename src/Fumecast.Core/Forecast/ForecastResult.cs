// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.GCode;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>Puts the estimate of a job together from a reading of it.</summary>
internal static class ForecastResult
{
    /// <summary>Puts the result together.</summary>
    /// <exception cref="InputProblem">A tool prints a material that nothing names, or a warning counts as an error.</exception>
    public static ForecastOutcome Of(ForecastPass pass, EstimateOptions options, PrinterProfile printer, ISeriesSink? series, bool forComparison)
    {
        var (print, log) = (pass.Print, pass.Log);
        if (pass.Recorder.ToolWithoutMaterial is { } missing)
        {
            throw pass.Setup.MaterialMissing(pass.Job, missing);
        }

        var depositedG = 0.0;
        var depositedBy = print.Tools.Where(static tool => tool.DepositedMm3 > 0).Select(static tool => tool.Tool).ToHashSet();
        var tools = new List<ToolSummary>();
        foreach (var tool in print.Tools)
        {
            var massG = tool.DepositedMm3 * 1e-3 * pass.Setup.DensityGPerCm3[tool.Tool];
            if (tool.DepositedMm3 > 0)
            {
                depositedG += massG;
            }

            tools.Add(Summary(pass, tool, massG));
        }

        if (depositedG == 0)
        {
            log.Report(Severity.Warning, "nothing-extruded", 0, 0,
                "the job extrudes nothing; what is shown is only what a hot idle nozzle is taken to give off");
        }

        ClaimCheck.Report(pass.Claims, print, options.SpeedFactor, log);
        if (log.TimesOf(ForecastFindings.ClaimDiffers) == 0)
        {
            // Where a claim differs, that says the same with figures.
            JobReading.SayIfCutOff(print, pass.Reader, log);
        }

        MaterialFit.ReportUnused(log, print, options);

        // With the whole file read every comment has its line.
        var setup = JobSetup.Resolve(options, pass.Claims, printer, pass.Materials);
        setup.Report(log, print.Tools.Select(static tool => tool.Tool), options);
        var nozzle = NozzleSetting.Of(options, print, pass.Claims);
        nozzle?.Report(log, options);
        var agents = pass.Emission.Results(depositedG);
        agents = NumberCap.Mark(agents, pass.Emission);
        MaterialFit.Report(log, print, pass.Setup, agents);
        if (options.Strict && log.Entries.FirstOrDefault(entry => entry.ChangesResult) is { } warning)
        {
            var message = warning.Message + " (an error because of --strict)";
            throw warning.Line > 0 ? new InputProblem(pass.Job, warning.Line, Math.Max(1, warning.Column), message) : new InputProblem($"{pass.Job}: {message}");
        }

        if (series is not null)
        {
            pass.Series!.Replay(series, pass.Emission.Agents, pass.Emission.Rates());
        }

        var estimate = new JobEstimate
        {
            Job = new JobSummary
            {
                File = pass.Job,
                Bytes = pass.Reader.ByteCount,
                Lines = pass.Reader.LineCount,
                Commands = pass.Reader.CommandCount,
                ExtrudingMoves = print.ExtrudingMoves,
                Layers = pass.Reader.LayerMarkCount > 0 ? pass.Reader.LayerMarkCount : print.LayersByHeight,
                Printer = printer.Id,
                Dialect = printer.Dialect.Id,
                Time = TimeOf(print),
                Tools = tools,
                Claims = new JobClaims
                {
                    TimeS = pass.Claims.TimeS,
                    FilamentMm = pass.Claims.FilamentMm,
                    FilamentG = pass.Claims.FilamentG,
                    Material = pass.Claims.MaterialOf(tools.Count > 0 ? tools[0].Tool : 0),
                },
            },
            Materials = [.. pass.Setup.Materials.Where((_, tool) => depositedBy.Contains(tool)).OfType<Material>().Distinct()],
            Flow = print.Evenness.Result(options.FlowSpectrum, options.AirTimeS, pass.Recorder.Source),
            Emission = agents,
            Interval = options.Interval,
            Settings = SettingsInForce.List(options, printer, setup, pass.Attempt, print, nozzle),
            Diagnostics = log.Entries,
            Sources = pass.Materials.Catalogue.SourcesOf(
                agents.SelectMany(agent => agent.Sources).Distinct(), pass.Setup.Materials.OfType<Material>().Distinct()),
            Cautions =
            [
                .. PrintForecast.Cautions,
                .. pass.Setup.Materials.Where((_, tool) => depositedBy.Contains(tool)).OfType<Material>().SelectMany(static material => material.Cautions).Distinct(),
                .. EmissionWords.Cautions,
            ],
        };
        return new ForecastOutcome(estimate, forComparison ? pass.Emission.Draws(depositedG) : null, pass.Emission.NumberParts(depositedG), pass.Emission.SharesByMaterial())
        {
            Followed = pass.Cells is { } cells ? new FollowedJob(pass.Job, cells, pass.Emission.Emitters) : null,
        };
    }

    private static JobTime TimeOf(SimulatedPrint print) => new()
    {
        TotalS = print.TotalS,
        MotionS = print.MotionS,
        HeatingS = print.HeatingS,
        DwellS = print.DwellS,
        HomingS = print.HomingS,
        ToolChangeS = print.ToolChangeS,
        MacroS = print.MacroS,
        WaitingForPersonS = print.WaitingForPersonS,
    };

    private static ToolSummary Summary(ForecastPass pass, SimulatedTool tool, double massG) => new()
    {
        Tool = tool.Tool,
        Material = pass.Setup.Materials[tool.Tool]?.Id ?? "unknown",
        StatedMaterial = pass.Claims.MaterialOf(tool.Tool) is { } word ? pass.Materials.ForWord(word)?.Id : null,
        FedMm = tool.FedMm,
        DepositedMm = tool.DepositedMm,
        DepositedMm3 = tool.DepositedMm3,
        DepositedG = double.IsNaN(massG) ? 0 : massG,
        PurgedMm = tool.PurgedMm,
        NozzleMinC = tool.Heat.DepositedMm3 > 0 ? tool.Heat.MinC : null,
        NozzleMaxC = tool.Heat.DepositedMm3 > 0 ? tool.Heat.MaxC : null,
        NozzleMeanWhileExtrudingC = tool.Heat.DepositedMm3 > 0 ? tool.Heat.MeanC : null,
    };
}
