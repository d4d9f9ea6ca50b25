// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Report;

/// <summary>All files of a kind that are known, with what is doubtful about their names.</summary>
internal sealed class DataListing
{
    private DataListing(DataKind kind, IReadOnlyList<DataEntry> entries, IReadOnlyList<InputProblem> unusable)
    {
        Kind = kind;
        Entries = entries;
        Unusable = unusable;
    }

    /// <summary>The kind.</summary>
    public DataKind Kind { get; }

    /// <summary>The user's data folder, or null when none is named.</summary>
    public string? Folder { get; } = Environment.GetEnvironmentVariable(DataCatalogue.FolderVariable) is { } named && !string.IsNullOrWhiteSpace(named) ? named : null;

    /// <summary>Files of the user's own that are wrong; the others are listed all the same.</summary>
    public IReadOnlyList<InputProblem> Unusable { get; }

    internal IReadOnlyList<DataEntry> Entries { get; }

    /// <summary>Reads all files of a kind.</summary>
    /// <param name="kind">The kind.</param>
    /// <exception cref="InputProblem">The user's folder cannot be read.</exception>
    public static DataListing Of(DataKind kind)
    {
        ArgumentNullException.ThrowIfNull(kind);
        var entries = new List<DataEntry>();
        var unusable = new List<InputProblem>();
        foreach (var id in kind.Ids)
        {
            try
            {
                entries.Add(kind.Read(id, kind.Find(id)));
            }
            catch (InputProblem problem)
            {
                unusable.Add(problem);
            }
        }

        return new DataListing(kind, [.. entries.Select(entry => entry with { Notes = [.. entry.Notes, .. NotesOn(kind, entry, entries)] })], unusable);
    }

    /// <summary>Writes one file with what is doubtful about its name.</summary>
    /// <param name="to">Where to.</param>
    /// <param name="kind">Its kind.</param>
    /// <param name="idOrPath">An id, or a path.</param>
    /// <exception cref="InputProblem">There is no such file, or it is wrong.</exception>
    public static void Show(TextWriter to, DataKind kind, string idOrPath)
    {
        ArgumentNullException.ThrowIfNull(kind);
        var file = kind.Find(idOrPath);
        kind.Show(to, file, file.IsShipped ? [] : NotesOn(kind, kind.Read(Path.GetFileNameWithoutExtension(file.Name), file), Of(kind).Entries));
    }

    /// <summary>A copied file keeps the id of the one it was copied from; results would name both alike.</summary>
    private static List<string> NotesOn(DataKind kind, DataEntry entry, IReadOnlyList<DataEntry> all)
    {
        var notes = new List<string>();
        if (entry.File is null)
        {
            return notes;
        }

        var others = all.Where(other => other.IdInFile == entry.IdInFile && !IsSameFile(other, entry)).ToList();
        if (others.Count > 0)
        {
            var own = others.Where(static other => other.File is not null).Select(static other => other.File!).ToList();
            notes.Add($"states the id {entry.IdInFile}, as {(own.Count > 0 ? string.Join(" and ", own) : $"the shipped {kind.One}")} does, so results name them alike: change the key 'id' in it"
                + $"{(entry.Id != entry.IdInFile ? $", to {entry.Id} say" : "")}");
        }
        else if (entry.Id == entry.IdInFile && kind.IsShipped(entry.Id))
        {
            notes.Add($"takes the place of the shipped {kind.One} of that id");
        }
        else if (entry.Id != entry.IdInFile)
        {
            notes.Add($"is asked for as {entry.Id}, the name of its file, but states the id {entry.IdInFile}, by which results name it");
        }

        return notes;
    }

    private static bool IsSameFile(DataEntry one, DataEntry other) =>
        one.File == other.File || (one.File is not null && other.File is not null && FileNode.IdentityOf(one.File) == FileNode.IdentityOf(other.File));
}
