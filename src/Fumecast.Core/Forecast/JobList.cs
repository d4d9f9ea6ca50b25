// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Inputs;

namespace Fumecast.Forecast;

/// <summary>Several jobs in one call: folders are opened up, and the work is shared out over the cores.</summary>
internal static class JobList
{
    private const int JobsAheadPerCore = 8;

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
            if (name == "-" || !Directory.Exists(name))
            {
                jobs.Add(name);
                continue;
            }

            var found = JobsIn(name);
            if (found.Count == 0)
            {
                throw new InputProblem($"{name}: the folder itself holds no G-code file, and folders in it are not searched (endings: {string.Join(' ', JobEndings)})");
            }

            jobs.AddRange(found);
        }

        RefuseRepeatedPipes(jobs);
        return jobs;
    }

    /// <summary>The folders in the folders given, none of which is searched; hidden ones are not told of.</summary>
    /// <param name="given">Files and folders, in the user's order.</param>
    /// <returns>Each folder that holds others, with the names of those in order.</returns>
    public static IEnumerable<(string Folder, IReadOnlyList<string> NotSearched)> FoldersLeftOut(IEnumerable<string> given)
    {
        foreach (var folder in given.Where(static name => name != "-" && Directory.Exists(name)))
        {
            string[] inner = [.. Directory.EnumerateDirectories(folder).Select(static path => Path.GetFileName(path)).Where(static name => name[0] != '.').Order(StringComparer.Ordinal)];
            if (inner.Length > 0)
            {
                yield return (folder, inner);
            }
        }
    }

    /// <summary>A second opening of a pipe would wait for ever for what the first has read.</summary>
    private static void RefuseRepeatedPipes(List<string> jobs)
    {
        var pipes = new HashSet<string>();
        foreach (var job in jobs)
        {
            if (JobFile.PathOf(job) is { } path && FileNode.Of(path) is { Kind: FileKind.Pipe } pipe && !pipes.Add(pipe.Identity))
            {
                throw new InputProblem($"{job}: is a pipe, which can be read only once; give it once, or save the job to a file");
            }
        }
    }

    private static List<string> JobsIn(string folder)
    {
        try
        {
            return [.. Directory.EnumerateFiles(folder)
                .Where(static file => JobEndings.Any(ending => file.EndsWith(ending, StringComparison.OrdinalIgnoreCase)))
                .Order(StringComparer.Ordinal)];
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            throw new InputProblem($"{folder}: the folder cannot be read: {SystemTrouble.Reason(trouble)}; check its permissions, or name the files in it");
        }
    }

    /// <summary>Works on all jobs at once, as many as there are cores, and gives the results in the jobs' order as soon as they are there.</summary>
    /// <typeparam name="TJob">What stands for a job.</typeparam>
    /// <typeparam name="TResult">What comes of a job.</typeparam>
    /// <param name="jobs">The jobs.</param>
    /// <param name="work">The work on one; runs on several threads.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The results; nothing is held back but what waits for an earlier job.</returns>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
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

        // So many jobs ahead of the one that is waited for that a long one does not leave the other cores idle, and no more: memory stays flat.
        // (A parallel query in order holds results back until every core has one.)
        var ahead = JobsAheadPerCore * Math.Min(Environment.ProcessorCount, 64);
        var hasEnded = false;
        var underWay = new Queue<Task<TResult>>();
        try
        {
            foreach (var job in jobs)
            {
                if (underWay.Count == ahead)
                {
                    yield return underWay.Dequeue().GetAwaiter().GetResult();
                }

                cancel.ThrowIfCancellationRequested();
                underWay.Enqueue(Task.Run(
                    () => Volatile.Read(ref hasEnded) ? throw new OperationCanceledException("the results are not wanted any more") : work(job), cancel));
            }

            // What several cores met is told one by one: the first trouble in the jobs' order, as on one core.
            while (underWay.TryDequeue(out var next))
            {
                yield return next.GetAwaiter().GetResult();
            }
        }
        finally
        {
            Volatile.Write(ref hasEnded, true);
        }
    }
}
