// SPDX-License-Identifier: MIT
using Fumecast.Flow;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>Ranks candidates for a trial by how flat their flow is, as an air meter would see it.</summary>
public static class EvennessRanking
{
    /// <summary>Simulates every job and puts the best first.</summary>
    /// <param name="jobs">The jobs.</param>
    /// <param name="options">Printer, meter interval, diameter, speed factor.</param>
    /// <param name="progress">Told the share of the jobs that are done, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The jobs, best first; equal ones in the order given.</returns>
    /// <exception cref="Inputs.InputProblem">A job or the profile cannot be used.</exception>
    public static IReadOnlyList<RankedJob> Rank(
        IReadOnlyList<string> jobs, EstimateOptions options, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        var printer = PrinterCatalogue.Load(options.Printer ?? PrinterCatalogue.DefaultId);
        var inner = jobs.Count == 1 ? progress : null;
        var done = 0;
        var profiles = new List<FlowProfile>();
        foreach (var profile in JobList.Run(jobs, job => FlowPass.Run(job, options, printer, inner, cancel), cancel))
        {
            profiles.Add(profile);
            progress?.Report((double)++done / jobs.Count);
        }

        return [.. profiles
            .OrderBy(profile => profile.Flow, EvennessOrder.BestFirst)
            .Select((profile, i) => new RankedJob(i + 1, profile, EvennessAdvice.For(profile.Flow)))];
    }
}

/// <summary>A job with its place in the ranking.</summary>
/// <param name="Rank">Place, 1 is best [-].</param>
/// <param name="Profile">Its flow.</param>
/// <param name="Advice">One sentence on what its unevenness means for a trial.</param>
public sealed record RankedJob(int Rank, FlowProfile Profile, string Advice);
