// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Report;

/// <summary>A kind of data files, shipped or the user's own, with what <c>list</c>, <c>show</c>, <c>check</c> and <c>template</c> need of it.</summary>
/// <remarks><see cref="DataKinds"/> has one entry for each; commands, completion and help follow from it.</remarks>
internal abstract class DataKind
{
    /// <summary>Name of the kind, which is that of its command and of its folder: <c>materials</c>.</summary>
    public required string Name { get; init; }

    /// <summary>One of them, for messages: <c>material</c>.</summary>
    public required string One { get; init; }

    /// <summary>What a file says it is: <c>fumecast/material/1</c>.</summary>
    public required string Schema { get; init; }

    /// <summary>What the command answers, in one sentence.</summary>
    public required string About { get; init; }

    /// <summary>A shipped id, for the examples in the help.</summary>
    public required string ExampleId { get; init; }

    /// <summary>Paragraphs below the list.</summary>
    public IReadOnlyList<string> Legend { get; init; } = [];

    /// <summary>Ids that are known, in alphabetical order.</summary>
    public abstract IReadOnlyList<string> Ids { get; }

    /// <summary>The files of this kind in the user's own folder.</summary>
    public abstract IReadOnlyList<string> OwnFiles { get; }

    /// <summary>Heads of the table, the first line and the second, in the order of <see cref="DataEntry.Cells"/>.</summary>
    internal abstract IReadOnlyList<DataColumn> Columns { get; }

    /// <summary>The file on disk behind an id or a path; null for shipped data.</summary>
    public abstract string? PathOf(string idOrPath);

    /// <summary>Finds a file.</summary>
    /// <exception cref="InputProblem">There is none; the message offers the nearest id.</exception>
    public abstract DataFile Find(string idOrPath);

    /// <summary>Whether a file of that id came with the program, also when one of the user's own takes its place.</summary>
    internal virtual bool IsShipped(string id) => new DataCatalogue(Name).TryFindShipped(id) is not null;

    /// <summary>Reads a file for the list.</summary>
    /// <param name="id">What it is called by.</param>
    /// <param name="file">The file.</param>
    /// <exception cref="InputProblem">The file is wrong.</exception>
    internal abstract DataEntry Read(string id, DataFile file);

    /// <summary>Reads a file and says in a few words what is in it.</summary>
    /// <exception cref="InputProblem">The file is wrong.</exception>
    internal abstract string Verdict(DataFile file);

    /// <summary>Writes all that a file says.</summary>
    /// <param name="to">Where to.</param>
    /// <param name="file">The file.</param>
    /// <param name="notes">What else there is to say of it.</param>
    /// <exception cref="InputProblem">The file is wrong.</exception>
    internal abstract void Show(TextWriter to, DataFile file, IReadOnlyList<string> notes);
}

/// <summary>A kind of data files, by how one of them is read.</summary>
/// <typeparam name="T">What a file becomes.</typeparam>
internal sealed class DataKind<T> : DataKind
{
    /// <summary>Where its files are found, and how one is read.</summary>
    public required DataFiles<T> Files { get; init; }

    /// <summary>Whether an id came with the program, where that is not a file of that name; or null.</summary>
    public Func<string, bool>? Ships { get; init; }

    public required Func<T, string> IdOf { get; init; }

    /// <summary>A line below the row of the table, or null.</summary>
    public Func<T, string?> LineOf { get; init; } = static _ => null;

    /// <summary>What is to be said of an entry by its id, or null.</summary>
    public Func<string, string?> NoteOf { get; init; } = static _ => null;

    public required IReadOnlyList<DataColumn<T>> Table { get; init; }

    /// <summary>The figures of JSON and CSV, the same keys for all.</summary>
    public required Func<T, DataFigure[]> FiguresOf { get; init; }

    /// <summary>What a sound file holds, after the word good: <c>material abs with 21 figures</c>.</summary>
    public required Func<T, string> Contents { get; init; }

    public required Action<TextWriter, DataFile, T, IReadOnlyList<string>> Write { get; init; }

    /// <inheritdoc/>
    public override IReadOnlyList<string> Ids => Files.Ids();

    /// <inheritdoc/>
    public override IReadOnlyList<string> OwnFiles => Files.OwnFiles();

    /// <inheritdoc/>
    internal override IReadOnlyList<DataColumn> Columns => Table;

    /// <inheritdoc/>
    public override string? PathOf(string idOrPath) => Files.PathOf(idOrPath);

    /// <inheritdoc/>
    public override DataFile Find(string idOrPath) => Files.Find(idOrPath);

    /// <inheritdoc/>
    internal override bool IsShipped(string id) => Ships?.Invoke(id) ?? base.IsShipped(id);

    /// <inheritdoc/>
    internal override DataEntry Read(string id, DataFile file)
    {
        var read = Files.Read(file);
        return new DataEntry
        {
            Id = id,
            IdInFile = IdOf(read),
            File = file.IsShipped ? null : file.Name,
            Line = LineOf(read),
            Cells = [.. Table.Select(column => column.Text(read))],
            Figures = FiguresOf(read),
            Notes = NoteOf(id) is { } note ? [note] : [],
        };
    }

    /// <inheritdoc/>
    internal override string Verdict(DataFile file) => Contents(Files.Read(file));

    /// <inheritdoc/>
    internal override void Show(TextWriter to, DataFile file, IReadOnlyList<string> notes) => Write(to, file, Files.Read(file), notes);
}

/// <summary>Where the files of a kind are found, and how one is read.</summary>
/// <param name="Ids">Ids that are known, in alphabetical order.</param>
/// <param name="OwnFiles">The files of the user's own folder.</param>
/// <param name="PathOf">The file on disk behind an id or a path; null for shipped data.</param>
/// <param name="Find">Finds a file by id or path.</param>
/// <param name="Read">Reads a file.</param>
internal sealed record DataFiles<T>(
    Func<IReadOnlyList<string>> Ids, Func<IReadOnlyList<string>> OwnFiles, Func<string, string?> PathOf, Func<string, DataFile> Find, Func<DataFile, T> Read);

/// <summary>A column of the table that a list shows.</summary>
/// <param name="Head">First line of its head.</param>
/// <param name="Unit">Second line of its head; empty for none.</param>
/// <param name="IsDetail">Whether it is left out where the terminal is too narrow.</param>
/// <param name="IsName">Whether it is a name, which stands to the left and may be cut.</param>
internal abstract record DataColumn(string Head, string Unit, bool IsDetail, bool IsName);

/// <summary>A column of the table, by what it shows.</summary>
internal sealed record DataColumn<T>(string Head, string Unit, Func<T, string> Text, bool IsDetail = false, bool IsName = false)
    : DataColumn(Head, Unit, IsDetail, IsName);

/// <summary>A figure for JSON and CSV; either a number or a text, or absent.</summary>
/// <param name="Key">Its key, with the unit as the last part.</param>
/// <param name="Text">A text, or null.</param>
/// <param name="Number">A number, or null.</param>
internal sealed record DataFigure(string Key, string? Text, double? Number)
{
    public DataFigure(string key, string? text) : this(key, text, null)
    {
    }

    public DataFigure(string key, double? number) : this(key, null, number)
    {
    }
}

/// <summary>One file of a list.</summary>
internal sealed record DataEntry
{
    /// <summary>What it is called by: the name of its file.</summary>
    public required string Id { get; init; }

    /// <summary>The id that it states itself, by which results name it.</summary>
    public required string IdInFile { get; init; }

    /// <summary>Path of the user's own file; null when it came with the program.</summary>
    public required string? File { get; init; }

    public required string? Line { get; init; }

    public required string[] Cells { get; init; }

    public required DataFigure[] Figures { get; init; }

    public required IReadOnlyList<string> Notes { get; init; }
}
