// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>Puts jobs and what-ifs side by side, each against the first.</summary>
/// <remarks>
/// Every variant goes through the real interpreter and planner. The uncertainty of a material is drawn once for the run and shared, so what
/// two variants have in common cancels in their ratio.
/// </remarks>
public static class Comparison
{
    /// <summary>Most variants in one comparison [-].</summary>
    public const int MaxVariants = 500;

    /// <summary>Compares.</summary>
    /// <param name="jobs">The jobs.</param>
    /// <param name="options">Jobs' options and the what-ifs.</param>
    /// <param name="progress">Told the share of the variants that are done, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The variants in order; the first is the base.</returns>
    /// <exception cref="InputProblem">A job, a material or a profile cannot be used, or there are too many variants.</exception>
    public static IReadOnlyList<ComparedVariant> Compare(
        IReadOnlyList<string> jobs, CompareOptions options, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        var variants = Variants(jobs, options);
        if (variants.Count > MaxVariants)
        {
            throw new InputProblem(string.Create(CultureInfo.InvariantCulture,
                $"{variants.Count} variants are too many to compare at once; expected at most {MaxVariants}: give fewer jobs or what-ifs"));
        }

        var printer = PrinterCatalogue.Load(options.Estimate.Printer ?? PrinterCatalogue.DefaultId);
        var materials = new LoadedMaterials();
        var compared = new List<ComparedVariant>();
        ForecastOutcome? basis = null;
        foreach (var (variant, outcome) in JobList.Run(variants, variant => (variant, Run(variant, printer, materials, cancel)), cancel))
        {
            basis ??= outcome;
            compared.Add(Against(basis, variant, outcome));
            progress?.Report((double)compared.Count / variants.Count);
        }

        return compared;
    }

    private static ForecastOutcome Run(Variant variant, PrinterProfile printer, LoadedMaterials materials, CancellationToken cancel) =>
        PrintForecast.Run(variant.Job, variant.Options, printer, materials, series: null, progress: null, forComparison: true, cancel);

    private static List<Variant> Variants(IReadOnlyList<string> jobs, CompareOptions options)
    {
        var variants = new List<Variant>();
        foreach (var job in jobs)
        {
            foreach (var material in OrAsIs(options.Materials))
            {
                foreach (var nozzle in OrAsIs(options.NozzleC))
                {
                    foreach (var shift in OrAsIs(options.NozzleShiftK))
                    {
                        foreach (var speed in OrAsIs(options.SpeedFactors))
                        {
                            var inner = options.Estimate;
                            var words = new List<string>();
                            if (material.IsGiven)
                            {
                                inner = inner with { MaterialByTool = new Dictionary<int, string> { [EstimateOptions.AllTools] = material.Value! } };
                                words.Add(material.Value!);
                            }

                            if (nozzle.IsGiven)
                            {
                                inner = inner with { NozzleC = nozzle.Value };
                                words.Add(string.Create(CultureInfo.InvariantCulture, $"{nozzle.Value:0.#} C"));
                            }

                            if (shift.IsGiven)
                            {
                                inner = inner with { NozzleShiftK = shift.Value };
                                words.Add(string.Create(CultureInfo.InvariantCulture, $"{shift.Value:+0.#;-0.#;0} K"));
                            }

                            if (speed.IsGiven)
                            {
                                inner = inner with { SpeedFactor = speed.Value };
                                words.Add(string.Create(CultureInfo.InvariantCulture, $"speed {speed.Value * 100:0.#} %"));
                            }

                            variants.Add(new Variant(job, words.Count == 0 ? "as it is" : string.Join(", ", words), inner));
                        }
                    }
                }
            }
        }

        return variants;
    }

    private static IEnumerable<(bool IsGiven, T? Value)> OrAsIs<T>(IReadOnlyList<T> values) =>
        values.Count == 0 ? [(false, default)] : values.Select(value => (true, (T?)value));

    private static ComparedVariant Against(ForecastOutcome basis, Variant variant, ForecastOutcome outcome)
    {
        var interval = outcome.Estimate.Interval;
        var ratios = new List<AgentRatio>();
        foreach (var agent in outcome.Estimate.Emission)
        {
            ratios.Add(new AgentRatio(
                agent.Agent,
                agent.DisplayName,
                outcome.Draws!.RatioTo(basis.Draws!, agent.Agent, interval, perGram: false),
                outcome.Draws!.RatioTo(basis.Draws!, agent.Agent, interval, perGram: true)));
        }

        return new ComparedVariant
        {
            Job = variant.Job,
            WhatIf = variant.WhatIf,
            Estimate = outcome.Estimate,
            Ratios = ratios,
            Effects = Effects(basis, outcome),
        };
    }

    /// <summary>What moved the particle number, as factors whose product is the ratio of the middle totals.</summary>
    private static IReadOnlyList<Effect> Effects(ForecastOutcome basis, ForecastOutcome outcome)
    {
        var (a, b) = (basis.Parts, outcome.Parts);
        if (!(a.Total > 0 && b.Total > 0 && a.SteadyPrinting > 0 && b.SteadyPrinting > 0 && a.MassG > 0 && b.MassG > 0))
        {
            return [];
        }

        return
        [
            new("mass", b.MassG / a.MassG),
            new("material", b.YieldPerG / a.YieldPerG),
            new("temperature", b.SteadyPrinting / b.MassG / b.YieldPerG / (a.SteadyPrinting / a.MassG / a.YieldPerG)),
            new("idle time", (b.SteadyPrinting + b.SteadyIdle) / b.SteadyPrinting / ((a.SteadyPrinting + a.SteadyIdle) / a.SteadyPrinting)),
            new("start burst", b.Total / (b.SteadyPrinting + b.SteadyIdle) / (a.Total / (a.SteadyPrinting + a.SteadyIdle))),
        ];
    }

    private sealed record Variant(string Job, string WhatIf, EstimateOptions Options);
}

/// <summary>What to compare.</summary>
public sealed record CompareOptions
{
    /// <summary>What holds for every variant.</summary>
    public EstimateOptions Estimate { get; init; } = new();

    /// <summary>Nozzle temperatures to try instead of the job's [degC]; empty for the job's own.</summary>
    public IReadOnlyList<double> NozzleC { get; init; } = [];

    /// <summary>Shifts of the job's nozzle temperatures to try [K]; empty for none.</summary>
    public IReadOnlyList<double> NozzleShiftK { get; init; } = [];

    /// <summary>Factors on all speeds to try [-]; empty for the job's own speeds.</summary>
    public IReadOnlyList<double> SpeedFactors { get; init; } = [];

    /// <summary>Materials to try, by id or file; empty for the job's own.</summary>
    public IReadOnlyList<string> Materials { get; init; } = [];
}

/// <summary>One variant against the base.</summary>
public sealed record ComparedVariant
{
    /// <summary>The job.</summary>
    public required string Job { get; init; }

    /// <summary>What was changed, in words; "as it is" for nothing.</summary>
    public required string WhatIf { get; init; }

    /// <summary>Its estimate.</summary>
    public required JobEstimate Estimate { get; init; }

    /// <summary>Ratio to the base by agent.</summary>
    public required IReadOnlyList<AgentRatio> Ratios { get; init; }

    /// <summary>What moved the particle number, as factors; empty where nothing is printed.</summary>
    public required IReadOnlyList<Effect> Effects { get; init; }
}

/// <summary>A variant's emission of one agent over the base's.</summary>
/// <param name="Agent">Stable name.</param>
/// <param name="DisplayName">Name to show.</param>
/// <param name="PerJob">Ratio of the totals; null where the base gives off none.</param>
/// <param name="PerGram">Ratio of what is given off per gram; null where it is undefined.</param>
public sealed record AgentRatio(string Agent, string DisplayName, EmissionRatio? PerJob, EmissionRatio? PerGram);

/// <summary>A cause and the factor it contributes to the ratio of particle numbers.</summary>
/// <param name="Cause">mass, material, temperature, idle time or start burst.</param>
/// <param name="Factor">Factor [-]; 1 for no effect.</param>
public sealed record Effect(string Cause, double Factor);
