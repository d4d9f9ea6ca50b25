// SPDX-License-Identifier: MIT
using Fumecast.Air;
using Fumecast.GCode;
using Fumecast.Inputs;

namespace Fumecast.Forecast;

/// <summary>A day of prints: which job starts when, where, and on how many printers.</summary>
/// <param name="Sources">The prints in time.</param>
/// <param name="Estimates">What each job gives off, each once.</param>
internal sealed record PrintDay(IReadOnlyList<PlacedPrint> Sources, IReadOnlyList<JobEstimate> Estimates)
{
    private const int MostPrints = 2000;

    /// <summary>Reads the jobs, each once, and places them.</summary>
    /// <param name="plan">The room, with its prints.</param>
    /// <param name="jobs">Jobs that all start at 0 in the first zone; with none, those of the room.</param>
    /// <param name="options">What is known of the jobs.</param>
    /// <param name="progress">Told the share that is read, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">A job cannot be used, there is none, or there are too many prints.</exception>
    public static PrintDay Read(RoomPlan plan, IReadOnlyList<string> jobs, EstimateOptions options, IProgress<double>? progress, CancellationToken cancel)
    {
        var prints = jobs.Count > 0 ? [.. jobs.Select(job => new PrintPlan { Job = job, Path = job, Zone = plan.Zones[0].Id })] : plan.Prints;
        if (prints.Count == 0)
        {
            throw new InputProblem("no job was named, and the room lists no prints; name a job, or put prints into the file of the room") { IsOfOptions = true };
        }

        if (prints.Sum(static p => (long)p.Times) > MostPrints)
        {
            throw new InputProblem($"the room lists more than {MostPrints} starts of prints; shorten the day, or put printers that start together into copies");
        }

        var run = new ForecastRun(options);
        var followed = new Dictionary<string, (FollowedJob Job, JobEstimate Estimate)>();
        var paths = prints.Select(static p => p.Path).Distinct().ToList();
        foreach (var print in prints)
        {
            if (!followed.ContainsKey(print.Path))
            {
                followed.Add(print.Path, Follow(run, print, options, Part(progress, followed.Count, paths.Count), cancel));
            }
        }

        return new PrintDay(
            [.. prints.SelectMany(print => Enumerable.Range(0, print.Times).Select(i => new PlacedPrint
            {
                Zone = print.Zone,
                StartS = print.StartS + i * print.EveryS,
                Copies = print.Copies,
                Print = followed[print.Path].Job,
            }))],
            [.. paths.Select(path => followed[path].Estimate)]);
    }

    /// <summary>Jobs without those that are there already under the same or another name; prints of one job on several printers are said in the file of a room.</summary>
    /// <param name="jobs">The jobs as they were named.</param>
    public static (IReadOnlyList<string> Jobs, IReadOnlyList<(string Job, int Times)> Again) EachOnce(IReadOnlyList<string> jobs)
    {
        var groups = jobs.GroupBy(static job => JobFile.PathOf(job) is { } path && FileNode.Of(path) is { } node ? node.Identity + job[path.Length..] : job).ToList();
        return ([.. groups.Select(static same => same.First())], [.. groups.Where(static same => same.Count() > 1).Select(static same => (same.First(), same.Count()))]);
    }

    private static (FollowedJob, JobEstimate) Follow(ForecastRun run, PrintPlan print, EstimateOptions options, IProgress<double>? progress, CancellationToken cancel)
    {
        try
        {
            var outcome = run.Run(print.Path, options, series: null, progress, forComparison: false, cancel, forAir: true);
            if (outcome.Followed is { Cells.EndS: > 0 } followed)
            {
                return (followed, outcome.Estimate);
            }

            throw new InputProblem($"{print.Job}: the job takes no time, so there is nothing to follow in the air");
        }
        catch (InputProblem problem) when (print.At.Length > 0)
        {
            throw new InputProblem($"{print.At}: {problem.Message}");
        }
    }

    private static PartOfProgress? Part(IProgress<double>? whole, int done, int all) => whole is null ? null : new PartOfProgress(whole, done, all);

    private sealed class PartOfProgress(IProgress<double> whole, int done, int all) : IProgress<double>
    {
        public void Report(double value) => whole.Report((done + value) / all);
    }
}
