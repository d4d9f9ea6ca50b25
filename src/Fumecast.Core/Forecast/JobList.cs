// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using System.Runtime.ExceptionServices;
using Fumecast.Inputs;

namespace Fumecast.Forecast;

/// <summary>Several jobs in one call: folders are opened up, and the work is shared out over the cores.</summary>
public static class JobList
{
    private static readonly string[] JobEndings = [".gcode", ".gco", ".g", ".gc", ".nc", ".gcode.gz", ".gco.gz", ".g.gz", ".3mf"];

    /// <summary>Opens up folders; files stay as they were given.</summary>
    /// <param name="given">Files and folders, in the user's order.</param>
    /// <returns>The jobs; those of a folder in the order of their names, folders in it left out.</returns>
    /// <exception cref="InputProblem">A folder holds no job.</exception>
    public static IReadOnlyList<string> Expand(IEnumerable<string> given)
    {
        var jobs = new List<string>();
        foreach (var name in given)
        {
            if (name == "-" && jobs.Contains("-"))
            {
                throw new InputProblem("standard input can be read only once; give - once");
            }

            if (name == "-" || !Directory.Exists(name))
            {
                jobs.Add(name);
                continue;
            }

            var found = Directory.EnumerateFiles(name)
                .Where(file => JobEndings.Any(ending => file.EndsWith(ending, StringComparison.OrdinalIgnoreCase)))
                .Order(StringComparer.Ordinal)
                .ToList();
            if (found.Count == 0)
            {
                throw new InputProblem($"{name}: the folder itself holds no G-code file, and folders in it are not searched (endings: {string.Join(' ', JobEndings)})");
            }

            jobs.AddRange(found);
        }

        return jobs;
    }

    /// <summary>Works on all jobs at once, as many as there are cores, and gives the results in the jobs' order as soon as they are there.</summary>
    /// <typeparam name="TJob">What stands for a job.</typeparam>
    /// <typeparam name="TResult">What comes of a job.</typeparam>
    /// <param name="jobs">The jobs.</param>
    /// <param name="work">The work on one; runs on several threads.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The results; nothing is held back but what waits for an earlier job.</returns>
    public static IEnumerable<TResult> Run<TJob, TResult>(IReadOnlyList<TJob> jobs, Func<TJob, TResult> work, CancellationToken cancel)
    {
        if (jobs.Count == 1 || Environment.ProcessorCount == 1)
        {
            foreach (var job in jobs)
            {
                cancel.ThrowIfCancellationRequested();
                yield return work(job);
            }

            yield break;
        }

        // Without buffering each core takes the next job when it is free; jobs differ a lot in length.
        var results = Partitioner.Create(jobs, EnumerablePartitionerOptions.NoBuffering)
            .AsParallel().AsOrdered()
            .WithDegreeOfParallelism(Math.Min(Environment.ProcessorCount, 64))
            .WithMergeOptions(ParallelMergeOptions.NotBuffered)
            .WithCancellation(cancel)
            .Select(job => Attempt(job, work));
        foreach (var (result, trouble) in results)
        {
            // Not an aggregate of what several cores met: the first trouble in the jobs' order, as on one core.
            trouble?.Throw();
            yield return result!;
        }
    }

    private static (TResult? Result, ExceptionDispatchInfo? Trouble) Attempt<TJob, TResult>(TJob job, Func<TJob, TResult> work)
    {
        try
        {
            return (work(job), null);
        }
        catch (Exception trouble) when (trouble is not OperationCanceledException)
        {
            return (default, ExceptionDispatchInfo.Capture(trouble));
        }
    }
}
