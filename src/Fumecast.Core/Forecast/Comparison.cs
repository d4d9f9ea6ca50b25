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

    /// <summary>Share of the base's mass by which another's must differ for what is given off per gram to be told apart [-]; a reasoned choice, not measured.</summary>
    /// <remarks>A hundredth is far below what any ratio can tell, and above what priming and rounding move between settings of one part.</remarks>
    public const double AlikeMassShare = 0.01;

    /// <summary>Shares of a material that differ by less count as equal [-]; common practice, no source.</summary>
    private const double AlikeMaterialShare = 0.01;

    /// <summary>What a variant is called in which nothing was changed.</summary>
    public const string AsItIs = "as it is";

    /// <summary>Compares.</summary>
    /// <param name="jobs">The jobs.</param>
    /// <param name="options">Jobs' options and the what-ifs. A single what-if of a single job is compared with the job as it is.</param>
    /// <param name="progress">Told the share of the variants that are done, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The variants in order, the first of which is the base, and what could not be used. The what-ifs of a lone job stand or fall together.</returns>
    /// <exception cref="InputProblem">
    /// The only job, a material or the profile cannot be used, there are too many variants, or nothing to compare.
    /// </exception>
    public static ComparisonOutcome Compare(
        IReadOnlyList<string> jobs, CompareOptions options, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        options = options with { Estimate = options.Estimate with { MayUseSecondCore = false, WarnsOfOverrides = false } };
        if (jobs.Count == 1
            && options is { Materials: [], NozzleC: [], NozzleShiftK: [], SpeedFactors: [], Estimate: { Material: { } only, MaterialByTool.Count: 0 } })
        {
            // Nothing else is asked, so the material is what is tried.
            options = options with { Materials = [new(only)], Estimate = options.Estimate with { Material = null } };
        }

        var variants = Variants(jobs, options);
        var run = new ForecastRun(options.Estimate);
        foreach (var material in options.Materials)
        {
            run.Require(material.Material);
        }

        var trials = new MaterialTrials(run, options, cancel);
        var compared = new List<ComparedVariant>();
        var refused = new List<RefusedVariant>();
        ForecastOutcome? basis = null;
        var done = 0;
        var isBasisRefused = false;
        foreach (var (variant, outcome, problem) in JobList.Run(variants, variant => Attempt(variant, run, trials, cancel), cancel))
        {
            if (outcome is not null)
            {
                basis ??= outcome;
                compared.Add(Against(basis, variant, outcome));
            }
            else if (jobs.Count == 1)
            {
                throw problem!;
            }
            else
            {
                isBasisRefused |= done == 0;
                refused.Add(new RefusedVariant(variant.Job, variant.WhatIf, problem!));
            }

            done++;
            progress?.Report((double)done / variants.Count);
        }

        return new ComparisonOutcome(compared, refused) { IsBasisRefused = isBasisRefused };
    }

    private static (Variant Variant, ForecastOutcome? Outcome, InputProblem? Problem) Attempt(
        Variant variant, ForecastRun run, MaterialTrials trials, CancellationToken cancel)
    {
        try
        {
            if (variant.Trial is { } trial)
            {
                var (options, nozzle) = trials.Settle(variant.Job, trial, variant.Options);
                variant = variant with { Options = options, Nozzle = nozzle ?? variant.Nozzle };
            }

            return (variant, run.Run(variant.Job, variant.Options, series: null, progress: null, forComparison: true, cancel), null);
        }
        catch (InputProblem problem)
        {
            return (variant, null, problem);
        }
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

        if (options.NozzleC.Count > 0 && options.Materials.FirstOrDefault(static trial => trial.NozzleC is not null) is { } paired)
        {
            throw new InputProblem(string.Create(CultureInfo.InvariantCulture,
                $"{paired.Material}@{paired.NozzleC} has a nozzle temperature of its own, so others cannot be tried beside it; give one or the other"));
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
                            variants.Add(Changed(job, options.Estimate, material.Value, nozzle, shift, speed));
                        }
                    }
                }
            }
        }

        if (variants is [{ WhatIf: not AsItIs } only])
        {
            variants.Insert(0, BasisOf(only.Job, options));
        }

        if (variants.Count < 2)
        {
            throw new InputProblem("there is nothing to compare with; give a second job, or a what-if such as --nozzle 220,240");
        }

        return variants.Count(variant => variant.Job == "-") > 1
            ? throw new InputProblem("standard input can be read only once; save the job to a file to compare variants of it")
            : variants;
    }

    /// <summary>What a lone variant is compared with: without its temperature and speed; when it has none, without its material.</summary>
    private static Variant BasisOf(string job, CompareOptions options) => options is { NozzleC: [], NozzleShiftK: [], SpeedFactors: [] }
        ? Changed(job, options.Estimate with { Material = null, MaterialByTool = new Dictionary<int, string>(), MaterialOption = "--material-if-unknown" }, null, default, default, default)
        : Changed(job, options.Estimate, options.Materials.Count > 0 ? options.Materials[0] : null, default, default, default);

    private static Variant Changed(
        string job, EstimateOptions options, MaterialTrial? trial, (bool IsGiven, double Value) nozzle, (bool IsGiven, double Value) shift,
        (bool IsGiven, double Value) speed)
    {
        var words = new List<string>();
        if (trial is not null)
        {
            options = options with { Material = trial.Material, MaterialByTool = new Dictionary<int, string>() };
        }
        else if (options.NamesMaterial)
        {
            var exceptions = options.MaterialByTool.OrderBy(static entry => entry.Key).Select(static entry => string.Create(CultureInfo.InvariantCulture, $"{entry.Key}={entry.Value}"));
            words.Add(string.Join(' ', options.Material is { } all ? exceptions.Prepend(all) : exceptions));
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

        return new Variant(job, trial, words, options, (trial?.NozzleC, options.NozzleC) switch
        {
            ({ } paired, _) => new TrialNozzle(paired, NozzleOrigin.Given, IsOfTrial: true),
            (null, { } given) => new TrialNozzle(given, NozzleOrigin.Given),
            _ => null,
        });
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

        var massG = Mass(outcome.Estimate);
        return new ComparedVariant
        {
            Job = variant.Job,
            WhatIf = variant.WhatIf,
            Estimate = outcome.Estimate,
            NozzleC = variant.Nozzle is { } set ? set.C + (variant.Options.NozzleShiftK ?? 0) : MeanNozzleC(outcome.Estimate),
            NozzleFrom = variant.Nozzle?.From
                ?? (outcome.Estimate.Diagnostics.Any(static finding => finding.Code == ForecastFindings.NozzleAssumed) ? NozzleOrigin.Assumed : NozzleOrigin.Job),
            NozzleNote = variant.Nozzle?.Note,
            IsMaterialTried = variant.Trial is not null,
            SpeedFactor = variant.Options.SpeedFactor,
            MassDiffers = Math.Abs(massG - Mass(basis.Estimate)) > AlikeMassShare * Mass(basis.Estimate),
            Ratios = ratios,
            Effects = Effects(basis.Parts, outcome.Parts),
            SharesMaterials = ShareMaterials(basis, outcome),
        };
    }

    private static double Mass(JobEstimate estimate) => estimate.Job.Tools.Sum(static tool => tool.DepositedG);

    /// <summary>Over all tools, weighted by deposit; null where nothing is deposited.</summary>
    private static double? MeanNozzleC(JobEstimate estimate)
    {
        double heatMm3 = 0, mm3 = 0;
        foreach (var tool in estimate.Job.Tools)
        {
            if (tool is { NozzleMeanWhileExtrudingC: { } meanC, DepositedMm3: > 0 })
            {
                heatMm3 += meanC * tool.DepositedMm3;
                mm3 += tool.DepositedMm3;
            }
        }

        // A weighted sum of equal temperatures misses them by its rounding; nobody sets a nozzle to a thousandth.
        return mm3 > 0 ? Math.Round(heatMm3 / mm3, 3) : null;
    }

    /// <summary>Only where each material makes as much of the one as of the other does what is not known of it cancel.</summary>
    private static bool ShareMaterials(ForecastOutcome one, ForecastOutcome other) => one.SharesByMaterial.Keys.Union(other.SharesByMaterial.Keys).All(id =>
    {
        var (mine, theirs) = (one.SharesByMaterial.GetValueOrDefault(id), other.SharesByMaterial.GetValueOrDefault(id));
        return Math.Abs(mine.Number - theirs.Number) <= AlikeMaterialShare && Math.Abs(mine.Tvoc - theirs.Tvoc) <= AlikeMaterialShare;
    });

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

    /// <summary>A variant to run.</summary>
    /// <param name="Job">The job.</param>
    /// <param name="Trial">The material that is tried, or null.</param>
    /// <param name="Words">What else was changed.</param>
    /// <param name="Options">The options it runs with.</param>
    /// <param name="Nozzle">The nozzle temperature it was given, or null for the job's own.</param>
    private sealed record Variant(string Job, MaterialTrial? Trial, IReadOnlyList<string> Words, EstimateOptions Options, TrialNozzle? Nozzle)
    {
        public string WhatIf
        {
            get
            {
                var words = Trial is null ? Words : Words.Prepend(MaterialWord(Trial));
                return string.Join(", ", words) is { Length: > 0 } what ? what : AsItIs;
            }
        }

        /// <summary>The material, and its temperature unless another word says it.</summary>
        private string MaterialWord(MaterialTrial trial) => Nozzle is { IsOfTrial: true, C: var celsius }
            ? string.Create(CultureInfo.InvariantCulture, $"{trial.Material} at {celsius:0.##} degC")
            : trial.Material;
    }
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

    /// <summary>Materials to try; empty for the job's own.</summary>
    public IReadOnlyList<MaterialTrial> Materials { get; init; } = [];
}

/// <summary>A material to try.</summary>
/// <param name="Material">Its id or file.</param>
/// <param name="NozzleC">
/// The nozzle temperature to try it at [degC]. Null takes <see cref="CompareOptions.NozzleC"/>; without it the job's own where that is usual for the
/// material or the job is made for it, else the middle of what is usual.
/// </param>
public sealed record MaterialTrial(string Material, double? NozzleC = null);

/// <summary>Where the nozzle temperature of a variant comes from.</summary>
public enum NozzleOrigin
{
    /// <summary>The job sets it.</summary>
    Job,

    /// <summary>The comparison was asked for it.</summary>
    Given,

    /// <summary>It is the middle of what is usual for the material that is tried, since the job's own is not usual for it.</summary>
    Usual,

    /// <summary>The job states none; it is assumed from the material.</summary>
    Assumed,
}

/// <summary>A comparison.</summary>
/// <param name="Variants">The variants that could be used, in order; the first is the base.</param>
/// <param name="Refused">The others, in order.</param>
public sealed record ComparisonOutcome(IReadOnlyList<ComparedVariant> Variants, IReadOnlyList<RefusedVariant> Refused)
{
    /// <summary>Whether the one that was to be the base could not be used.</summary>
    public bool IsBasisRefused { get; init; }
}

/// <summary>A variant that could not be used.</summary>
/// <param name="Job">The job.</param>
/// <param name="WhatIf">What was changed, in words.</param>
/// <param name="Problem">What is wrong.</param>
public sealed record RefusedVariant(string Job, string WhatIf, InputProblem Problem);

/// <summary>One variant against the base.</summary>
public sealed record ComparedVariant
{
    /// <summary>The job.</summary>
    public required string Job { get; init; }

    /// <summary>What was changed, in words; "as it is" for nothing.</summary>
    public required string WhatIf { get; init; }

    /// <summary>Its estimate.</summary>
    public required JobEstimate Estimate { get; init; }

    /// <summary>Nozzle temperature: what the comparison sets, else the mean while the job extrudes; null where it never does [degC].</summary>
    public double? NozzleC { get; init; }

    /// <summary>Where it comes from.</summary>
    public NozzleOrigin NozzleFrom { get; init; }

    /// <summary>In words, why a material is not tried at the job's own temperature; null where it is, or where a temperature was asked for.</summary>
    public string? NozzleNote { get; init; }

    /// <summary>Whether its material is one of those that are tried.</summary>
    public bool IsMaterialTried { get; init; }

    /// <summary>Factor on all speeds [-].</summary>
    public double SpeedFactor { get; init; } = 1;

    /// <summary>Whether its mass differs from the base's by more than 1 %, so that per job and per gram are two answers.</summary>
    public bool MassDiffers { get; init; }

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
