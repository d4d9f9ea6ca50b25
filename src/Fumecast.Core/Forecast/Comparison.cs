// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Inputs;

namespace Fumecast.Forecast;

/// <summary>Puts jobs and what-ifs side by side, each against the first.</summary>
/// <remarks>
/// Every variant goes through the real interpreter and planner. The uncertainty of a material is drawn once for the run and shared, so what
/// two variants have in common cancels in their ratio.
/// </remarks>
internal static class Comparison
{
    /// <summary>Most variants in one comparison [-].</summary>
    public const int MaxVariants = 500;

    /// <summary>What a variant is called in which nothing was changed.</summary>
    public const string AsItIs = "as it is";

    /// <summary>Compares.</summary>
    /// <param name="jobs">The jobs.</param>
    /// <param name="options">Jobs' options and the what-ifs. A single what-if of a single job is compared with the job as it is.</param>
    /// <param name="progress">Told the share of the variants that are done, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The variants in order; the first is the base.</returns>
    /// <exception cref="InputProblem">
    /// A job, a material or a profile cannot be used (a table with a row missing would mislead), there are too many variants, or nothing to compare.
    /// </exception>
    public static IReadOnlyList<ComparedVariant> Compare(
        IReadOnlyList<string> jobs, CompareOptions options, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        var variants = Variants(jobs, options with { Estimate = options.Estimate with { MayUseSecondCore = false } });
        var run = new ForecastRun(options.Estimate);
        foreach (var material in options.Materials)
        {
            run.Require(material);
        }

        var compared = new List<ComparedVariant>();
        ForecastOutcome? basis = null;
        var outcomes = JobList.Run(
            variants, variant => (variant, run.Run(variant.Job, variant.Options, series: null, progress: null, forComparison: true, cancel)), cancel);
        foreach (var (variant, outcome) in outcomes)
        {
            basis ??= outcome;
            compared.Add(Against(basis, variant, outcome));
            progress?.Report((double)compared.Count / variants.Count);
        }

        return compared;
    }

    private static List<Variant> Variants(IReadOnlyList<string> jobs, CompareOptions options)
    {
        var count = (long)jobs.Count;
        foreach (var choices in new[] { options.Materials.Count, options.NozzleC.Count, options.NozzleShiftK.Count, options.SpeedFactors.Count })
        {
            count *= Math.Max(1, choices);
            if (count > MaxVariants)
            {
                throw new InputProblem(string.Create(CultureInfo.InvariantCulture,
                    $"these are more than {MaxVariants} variants, too many to compare at once; give fewer jobs or what-ifs"));
            }
        }

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
                            variants.Add(Changed(job, options.Estimate, material, nozzle, shift, speed));
                        }
                    }
                }
            }
        }

        if (variants is [{ WhatIf: not AsItIs }])
        {
            variants.Insert(0, new Variant(variants[0].Job, AsItIs, options.Estimate));
        }

        if (variants.Count < 2)
        {
            throw new InputProblem("there is nothing to compare with; give a second job, or a what-if such as --nozzle 220,240");
        }

        return variants.Count(variant => variant.Job == "-") > 1
            ? throw new InputProblem("standard input can be read only once; save the job to a file to compare variants of it")
            : variants;
    }

    private static Variant Changed(
        string job, EstimateOptions options, (bool IsGiven, string? Value) material, (bool IsGiven, double Value) nozzle,
        (bool IsGiven, double Value) shift, (bool IsGiven, double Value) speed)
    {
        var words = new List<string>();
        if (material.IsGiven)
        {
            options = options with { Material = material.Value, MaterialByTool = new Dictionary<int, string>() };
            words.Add(material.Value!);
        }

        if (nozzle.IsGiven)
        {
            options = options with { NozzleC = nozzle.Value };
            words.Add(string.Create(CultureInfo.InvariantCulture, $"{nozzle.Value:0.##} degC"));
        }

        if (shift.IsGiven)
        {
            options = options with { NozzleShiftK = shift.Value };
            words.Add(string.Create(CultureInfo.InvariantCulture, $"{shift.Value:+0.##;-0.##;0} K"));
        }

        if (speed.IsGiven)
        {
            options = options with { SpeedFactor = speed.Value };
            words.Add(string.Create(CultureInfo.InvariantCulture, $"{speed.Value * 100:0.##} % speed"));
        }

        return new Variant(job, words.Count == 0 ? AsItIs : string.Join(", ", words), options);
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
                outcome.Draws!.RatioTo(basis.Draws!, agent.Agent, interval, perGram: false),
                outcome.Draws!.RatioTo(basis.Draws!, agent.Agent, interval, perGram: true)));
        }

        return new ComparedVariant
        {
            Job = variant.Job,
            WhatIf = variant.WhatIf,
            Estimate = outcome.Estimate,
            Ratios = ratios,
            Effects = Effects(basis.Parts, outcome.Parts),
            SharesMaterials = Materials(basis.Estimate).SetEquals(Materials(outcome.Estimate)),
        };
    }

    private static HashSet<string> Materials(JobEstimate estimate) =>
        [.. estimate.Job.Tools.Where(static tool => tool.DepositedMm3 > 0).Select(static tool => tool.Material)];

    /// <summary>What moved the particle number, as factors whose product is the ratio of the middle totals.</summary>
    private static IReadOnlyList<Effect> Effects(NumberParts a, NumberParts b)
    {
        if (!(a.ByMass > 0 && b.ByMass > 0 && a.MassG > 0 && b.MassG > 0))
        {
            return [];
        }

        // Each step of the chain adds one cause; what the step before left is divided out, so that the product telescopes.
        return
        [
            new("mass", b.MassG / a.MassG),
            new("material", b.YieldPerG / a.YieldPerG),
            new("temperature", b.ByMass / (b.MassG * b.YieldPerG) / (a.ByMass / (a.MassG * a.YieldPerG))),
            new(Effect.NozzleItself, WithOwn(b) / b.ByMass / (WithOwn(a) / a.ByMass)),
            new(Effect.NozzleHeatingUp, WithWarmUp(b) / WithOwn(b) / (WithWarmUp(a) / WithOwn(a))),
            new(Effect.NozzleAtRest, WithIdle(b) / WithWarmUp(b) / (WithIdle(a) / WithWarmUp(a))),
            new("start dose", b.Total / WithIdle(b) / (a.Total / WithIdle(a))),
        ];
    }

    private static double WithOwn(NumberParts parts) => parts.ByMass + parts.OwnPrinting;

    private static double WithWarmUp(NumberParts parts) => WithOwn(parts) + parts.OwnWarmUp;

    private static double WithIdle(NumberParts parts) => WithWarmUp(parts) + parts.OwnIdle;

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

    /// <summary>Whether it prints what the base prints, so that what is not known of the materials cancels in the ratios.</summary>
    public required bool SharesMaterials { get; init; }

    /// <summary>
    /// Whether most of the ratio comes from what the hot nozzle is taken to give off by itself, whatever is fed. That share is assumed: the sources
    /// tell neither its size nor rule it out, so the ratio's direction is no surer than the assumption.
    /// </summary>
    public bool RestsOnNozzleShare
    {
        get
        {
            double own = 0, all = 0;
            foreach (var effect in Effects)
            {
                var moved = Math.Abs(Math.Log(effect.Factor));
                all += moved;
                own += effect.IsOfNozzle ? moved : 0;
            }

            return own > 0.5 * all;
        }
    }
}

/// <summary>A variant's emission of one agent over the base's.</summary>
/// <param name="Agent">Stable name.</param>
/// <param name="PerJob">Ratio of the totals; null where the base gives off none.</param>
/// <param name="PerGram">Ratio of what is given off per gram; null where it is undefined.</param>
public sealed record AgentRatio(Agent Agent, EmissionRatio? PerJob, EmissionRatio? PerGram);

/// <summary>A cause and the factor it contributes to the ratio of particle numbers.</summary>
/// <param name="Cause">mass, material, temperature, nozzle's own share, heat-up, idle nozzle or start dose.</param>
/// <param name="Factor">Factor [-]; 1 for no effect.</param>
public sealed record Effect(string Cause, double Factor)
{
    /// <summary>The nozzle's own particles while it prints: they go with time, not with mass.</summary>
    public const string NozzleItself = "nozzle's own share";

    /// <summary>The nozzle's own particles before the first deposit.</summary>
    public const string NozzleHeatingUp = "heat-up";

    /// <summary>The nozzle's own particles at rest.</summary>
    public const string NozzleAtRest = "idle nozzle";

    /// <summary>Whether the cause is what the hot nozzle gives off by itself.</summary>
    public bool IsOfNozzle => Cause is NozzleItself or NozzleHeatingUp or NozzleAtRest;
}
