// SPDX-License-Identifier: MIT
using System.IO.Compression;
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>Picks the G-code out of a ZIP or 3MF container.</summary>
internal static class JobContainer
{
    private const int MostListed = 12;

    private static readonly string[] Endings = [".gcode", ".gco", ".g", ".gc", ".nc"];

    /// <summary>Opens an entry of a container.</summary>
    /// <param name="name">The input as the user knows it.</param>
    /// <param name="source">The container.</param>
    /// <param name="headed">The same from its start, if it cannot seek.</param>
    /// <param name="wanted">The entry asked for, or null for the only one.</param>
    /// <param name="inflatesAhead">Whether the entry may be inflated on a thread of its own.</param>
    internal static JobFile Open(string name, Stream source, HeadedStream headed, string? wanted, bool inflatesAhead)
    {
        var seekable = source;
        if (source.CanSeek)
        {
            source.Position = 0;
        }
        else
        {
            // The list of entries stands at the end: the container has to be kept, but not in memory.
            seekable = Spool(name, headed);
        }

        ZipArchive? archive = null;
        Stream? content = null;
        try
        {
            archive = new ZipArchive(seekable, ZipArchiveMode.Read, leaveOpen: false);
            var entry = Pick(name, archive, wanted);
            if (entry.IsEncrypted)
            {
                throw new InputProblem($"{name}: the entry {entry.FullName} is encrypted; unpack it first");
            }

            var summary = ContainerSummary.Find(archive, entry);
            var given = new EntryContent(entry.Open(), entry.Length, entry.Crc32);
            content = inflatesAhead ? new ReadAhead(given) : given;
            var head = new HeadedStream(content);
            JobOpener.RefuseOtherKinds($"{name}: the entry {entry.FullName}", head.Head);
            var length = Math.Max(1, entry.Length);
            return new JobFile(name, source, head, () => (double)given.GivenBytes / length, archive, summary);
        }
        catch
        {
            content?.Dispose();
            archive?.Dispose();
            seekable.Dispose();
            throw;
        }
    }

    private static ZipArchiveEntry Pick(string name, ZipArchive archive, string? wanted)
    {
        var jobs = archive.Entries.Where(IsJob).OrderBy(entry => entry.FullName, StringComparer.Ordinal).ToList();
        if (jobs.Count == 0)
        {
            throw new InputProblem($"{name}: the container holds no G-code ({string.Join(" ", Endings)}); export the sliced job, not only the model");
        }

        if (wanted is null)
        {
            return jobs is [var only]
                ? only
                : throw new InputProblem($"{name}: the container holds several jobs; pick one as {name}#{jobs[0].FullName}; there are: {List(jobs)}");
        }

        return Named(jobs, entry => entry.FullName == wanted)
            ?? Named(jobs, entry => entry.Name == wanted)
            ?? Named(jobs, entry => entry.FullName.Equals(wanted, StringComparison.OrdinalIgnoreCase) || entry.Name.Equals(wanted, StringComparison.OrdinalIgnoreCase))
            ?? throw new InputProblem($"{name}: the container has no G-code of that name, or several; there are: {List(jobs)}");
    }

    private static ZipArchiveEntry? Named(List<ZipArchiveEntry> jobs, Func<ZipArchiveEntry, bool> matches) =>
        jobs.Where(matches).Take(2).ToList() is [var only] ? only : null;

    /// <summary>An entry with an ending of G-code; the hidden twins that one system adds for its own use are none.</summary>
    private static bool IsJob(ZipArchiveEntry entry) =>
        Endings.Contains(Path.GetExtension(entry.Name), StringComparer.OrdinalIgnoreCase)
        && !entry.Name.StartsWith("._", StringComparison.Ordinal);

    private static string List(List<ZipArchiveEntry> jobs) =>
        string.Join(", ", jobs.Take(MostListed).Select(entry => entry.FullName)) + (jobs.Count > MostListed ? $" and {jobs.Count - MostListed} more" : "");

    private static ScratchFile Spool(string name, Stream container)
    {
        var file = ScratchFile.Create($"the container {name}");
        try
        {
            container.CopyTo(file);
            file.Position = 0;
            return file;
        }
        catch
        {
            file.Dispose();
            throw;
        }
    }
}
