// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Data files of one kind that are known: shipped ones, and those of the user's own folder.</summary>
/// <typeparam name="T">What a file becomes.</typeparam>
/// <param name="kind">Name of the kind and of its folder.</param>
/// <param name="schema">What a file says it is.</param>
/// <param name="read">Reads a file.</param>
/// <param name="usedSources">Ids of the sources that it names, and the sources that its file brings along.</param>
internal class AirCatalogue<T>(string kind, string schema, Func<DataFile, T> read, Func<T, (IEnumerable<string> Used, IReadOnlyList<SourceReference> Own)> usedSources)
{
    private readonly DataCatalogue _data = new(kind);

    /// <summary>What a file says it is.</summary>
    public string Schema => schema;

    /// <summary>Ids of all, in alphabetical order.</summary>
    public virtual IReadOnlyList<string> Ids => _data.Ids;

    /// <summary>The files of the user's own folder.</summary>
    public IReadOnlyList<string> OwnFiles => _data.OwnFiles;

    /// <summary>The file on disk behind an id; null for shipped data.</summary>
    /// <param name="idOrPath">An id of <see cref="Ids"/>, or the path of a file.</param>
    public string? PathOf(string idOrPath) => _data.PathOf(idOrPath);

    /// <summary>Finds a file.</summary>
    /// <param name="idOrPath">An id of <see cref="Ids"/>, or the path of a file.</param>
    /// <exception cref="InputProblem">There is none; the message offers the nearest id.</exception>
    public virtual DataFile Find(string idOrPath) => _data.Find(idOrPath);

    /// <summary>Loads one.</summary>
    /// <param name="idOrPath">An id of <see cref="Ids"/>, or the path of a file.</param>
    /// <exception cref="InputProblem">There is none, or its file is wrong.</exception>
    public T Load(string idOrPath) => Read(Find(idOrPath));

    /// <summary>Reads a file that was found already.</summary>
    /// <param name="file">The file.</param>
    /// <exception cref="InputProblem">The file is wrong, or names a source that neither it nor the shared list has.</exception>
    public T Read(DataFile file)
    {
        ArgumentNullException.ThrowIfNull(file);
        var result = read(file);
        var (used, own) = usedSources(result);
        AirSources.Check(file.Name, used, own);
        return result;
    }

    /// <summary>Finds a file by id in the user's folder or among the shipped data; null when there is none.</summary>
    /// <param name="id">The id.</param>
    protected DataFile? TryFind(string id) => _data.TryFind(id);
}
