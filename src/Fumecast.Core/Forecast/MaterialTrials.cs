// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using System.Globalization;

namespace Fumecast.Forecast;

/// <summary>A nozzle temperature that a variant was given.</summary>
/// <param name="C">The temperature [degC].</param>
/// <param name="From">Where it comes from.</param>
/// <param name="IsOfTrial">Whether it goes with the material that is tried, so that it is named with it.</param>
/// <param name="Note">Why it is not the job's own, in words; null where it was asked for.</param>
internal sealed record TrialNozzle(double C, NozzleOrigin From, bool IsOfTrial = false, string? Note = null);

/// <summary>Settles at which nozzle temperature a material is tried: nobody prints PLA at what a job sets for ABS.</summary>
/// <remarks>
/// A job's own temperature is its mean while extruding, found by one reading of the job; it holds for all variants of it, whatever their speed and shift.
/// </remarks>
/// <param name="run">Runs the jobs.</param>
/// <param name="options">What is compared.</param>
/// <param name="cancel">Stops the work.</param>
internal sealed class MaterialTrials(ForecastRun run, CompareOptions options, CancellationToken cancel)
{
    private readonly ConcurrentDictionary<string, Lazy<IReadOnlyList<ToolSummary>>> _toolsByJob = new();

    /// <summary>The options with the material's temperature; and that temperature where the job's own gives way to it, else null.</summary>
    /// <param name="job">The job.</param>
    /// <param name="trial">The material.</param>
    /// <param name="variant">The options of the variant.</param>
    /// <exception cref="Inputs.InputProblem">The job cannot be used.</exception>
    public (EstimateOptions Options, TrialNozzle? Nozzle) Settle(string job, MaterialTrial trial, EstimateOptions variant)
    {
        if (trial.NozzleC is { } paired)
        {
            return (variant with { NozzleC = paired, NozzleBecause = string.Create(CultureInfo.InvariantCulture, $"--material {trial.Material}@{paired:0.##}") }, null);
        }

        if (variant.NozzleC is not null)
        {
            return (variant, null);
        }

        var material = run.Require(trial.Material);
        var tools = _toolsByJob.GetOrAdd(job, name => new(() => OwnTools(name))).Value;
        if (material.NozzleC.Range is not { } usual
            || tools.FirstOrDefault(tool => tool.StatedMaterial != material.Id && tool.NozzleMeanWhileExtrudingC is { } meanC && !MaterialFit.IsUsual(meanC, material)) is not { } odd)
        {
            return (variant, null);
        }

        var middleC = material.MiddleNozzleC;
        var range = string.Create(CultureInfo.InvariantCulture, $"{usual.Low:0} to {usual.High:0}");
        var ownC = string.Create(CultureInfo.InvariantCulture, $"{odd.NozzleMeanWhileExtrudingC:0}");
        return (
            variant with { NozzleC = middleC, NozzleBecause = $"the middle of what is usual for {material.Id}, {range} C; the job's own {ownC} C is not" },
            new TrialNozzle(
                middleC, NozzleOrigin.Usual, IsOfTrial: true,
                string.Create(CultureInfo.InvariantCulture, $"{trial.Material} at {middleC:0.##} degC, the middle of its usual {range} degC, and not at the job's own {ownC} degC")));
    }

    /// <summary>The tools that extrude, each with the job's own temperature; none where the job states none, since then it is assumed from each material.</summary>
    private IReadOnlyList<ToolSummary> OwnTools(string job)
    {
        var asItIs = options.Estimate with
        {
            Material = options.Materials[0].Material,
            MaterialByTool = new Dictionary<int, string>(),
            FlowSpectrum = false,
            Strict = false,
        };
        var estimate = run.Run(job, asItIs, series: null, progress: null, forComparison: false, cancel).Estimate;
        return estimate.Diagnostics.Any(static finding => finding.Code == ForecastFindings.NozzleAssumed)
            ? []
            : [.. estimate.Job.Tools.Where(static tool => tool.DepositedMm3 > 0)];
    }
}
