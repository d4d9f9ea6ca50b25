// SPDX-License-Identifier: MIT
using Fumecast.Flow;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>Ranks candidates for a trial by how flat their flow and what they give off is, as an air meter would see it.</summary>
internal static class EvennessRanking
{
    /// <summary>Simulates every job and puts the best first.</summary>
    /// <param name="jobs">The jobs.</param>
    /// <param name="options">Printer, meter interval, time constant of the air, diameter, speed factor; the materials where the files do not say.</param>
    /// <param name="keptSeries">For how many of the best the flow over time is kept, for pictures [-].</param>
    /// <param name="progress">Told the share of the jobs that are done, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The jobs that could be read, best first, equal ones in the order given; and of the others what is wrong with them.</returns>
    /// <exception cref="InputProblem">The profile cannot be used, a material, or the only job.</exception>
    public static EvennessOutcome Rank(
        IReadOnlyList<string> jobs, EstimateOptions options, int keptSeries = 0, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        var printer = PrinterCatalogue.Load(options.Printer ?? PrinterCatalogue.DefaultId);
        var materials = new LoadedMaterials();
        foreach (var material in options.MaterialsNamed)
        {
            materials.Load(material);
        }

        if (jobs.Count == 1)
        {
            return new EvennessOutcome([Ranked(1, FlowPass.Run(jobs[0], options, printer, materials, keptSeries > 0, progress, cancel))], []);
        }

        options = options with { MayUseSecondCore = false };
        var done = 0;
        var best = new List<FlowProfile>();
        var unusable = new List<InputProblem>();
        foreach (var (profile, problem) in JobList.Run(jobs, job => Attempt(job, options, printer, materials, keptSeries, cancel), cancel))
        {
            if (profile is not null)
            {
                Insert(best, profile, keptSeries);
            }
            else
            {
                unusable.Add(problem!);
            }

            progress?.Report((double)++done / jobs.Count);
        }

        return new EvennessOutcome([.. best.Select((profile, i) => Ranked(i + 1, profile))], unusable);
    }

    private static (FlowProfile? Profile, InputProblem? Problem) Attempt(
        string job, EstimateOptions options, PrinterProfile printer, LoadedMaterials materials, int keptSeries, CancellationToken cancel)
    {
        try
        {
            return (FlowPass.Run(job, options, printer, materials, keptSeries > 0, progress: null, cancel), null);
        }
        catch (InputProblem problem)
        {
            return (null, problem);
        }
    }

    /// <summary>Puts a job where it belongs, and lets go of the series of the one that is pushed out of the picture.</summary>
    private static void Insert(List<FlowProfile> best, FlowProfile profile, int keptSeries)
    {
        var at = best.Count;
        while (at > 0 && EvennessOrder.BestFirst.Compare(profile.Flow, best[at - 1].Flow) < 0)
        {
            at--;
        }

        best.Insert(at, profile);
        if (best.Count > keptSeries)
        {
            best[keptSeries] = best[keptSeries] with { Series = null, InAir = null };
        }
    }

    private static RankedJob Ranked(int rank, FlowProfile profile) => new(rank, profile);
}

/// <summary>A ranking by evenness.</summary>
/// <param name="Ranked">The jobs, best first.</param>
/// <param name="Unusable">What is wrong with each job that could not be read.</param>
public sealed record EvennessOutcome(IReadOnlyList<RankedJob> Ranked, IReadOnlyList<InputProblem> Unusable);

/// <summary>A job with its place in the ranking.</summary>
/// <param name="Rank">Place, 1 is best [-].</param>
/// <param name="Profile">Its flow.</param>
public sealed record RankedJob(int Rank, FlowProfile Profile);
