// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>The materials that are known: shipped ones, and those of the user's own folder.</summary>
/// <remarks>Loading one material parses its file and the common rules, nothing else; sources and words are read when asked for.</remarks>
public sealed class MaterialCatalogue
{
    private readonly DataCatalogue _data;
    private readonly Lazy<(MaterialRules Rules, IReadOnlyList<Observation> Observations)> _common;
    private readonly Lazy<IReadOnlyDictionary<string, SourceReference>> _sources;
    private readonly Lazy<MaterialWords> _words;

    /// <summary>The shipped materials, overridden by the folder that <see cref="DataCatalogue.FolderVariable"/> names.</summary>
    public MaterialCatalogue() : this(new DataCatalogue("materials", "common", "sources", "words"))
    {
    }

    /// <summary>The materials of a catalogue.</summary>
    /// <param name="data">Finds the files.</param>
    internal MaterialCatalogue(DataCatalogue data)
    {
        ArgumentNullException.ThrowIfNull(data);
        _data = data;
        _common = new(() => MaterialFile.ReadRules(Shared("common")));
        _sources = new(ReadSources);
        _words = new(() => MaterialWords.Read(Shared("words")));
    }

    /// <summary>What a file of a material says it is.</summary>
    public const string Schema = MaterialFile.MaterialSchema;

    /// <summary>Ids of all materials, in alphabetical order.</summary>
    public IReadOnlyList<string> Ids => _data.Ids;

    /// <summary>Whether a material of that id came with the program.</summary>
    internal bool IsShipped(string id) => _data.TryFindShipped(id) is not null;

    /// <summary>The files of the user's own folder.</summary>
    public IReadOnlyList<string> OwnFiles => _data.OwnFiles;

    /// <summary>The file on disk behind a material; null for shipped ones.</summary>
    /// <param name="idOrPath">An id of <see cref="Ids"/>, or the path of a file.</param>
    public string? PathOf(string idOrPath) => _data.PathOf(idOrPath);

    /// <summary>Published figures that concern all materials.</summary>
    public IReadOnlyList<Observation> CommonObservations => _common.Value.Observations;

    /// <summary>Loads a material.</summary>
    /// <param name="idOrPath">An id of <see cref="Ids"/>, the path of a file, or a word that comments use for a material, in any case.</param>
    /// <exception cref="InputProblem">There is no such material, or its file is wrong.</exception>
    public Material Load(string idOrPath)
    {
        ArgumentNullException.ThrowIfNull(idOrPath);
        return !_data.Knows(idOrPath) && _words.Value.FindWhole(idOrPath, Ids) is { } match ? Load(match) : Read(Find(idOrPath));
    }

    /// <summary>Loads the material that a word means; a filled kind is less sure than the plain one.</summary>
    /// <param name="match">The word's meaning.</param>
    internal Material Load(WordMatch match)
    {
        var material = Read(_data.Find(match.Id));
        return match.Wider > 1 ? material with { NumberYieldPerG = Wider(material.NumberYieldPerG, match) } : material;
    }

    /// <summary>Finds the file of a material.</summary>
    /// <param name="idOrPath">As in <see cref="Load(string)"/>.</param>
    /// <exception cref="InputProblem">There is none; the message offers the nearest id.</exception>
    internal DataFile Find(string idOrPath)
    {
        ArgumentNullException.ThrowIfNull(idOrPath);
        return _data.Find(_data.Knows(idOrPath) ? idOrPath : _words.Value.FindWhole(idOrPath, Ids)?.Id ?? idOrPath);
    }

    /// <summary>What is doubtful about a name that <see cref="Load(string)"/> takes, such as <c>nylon</c>; null when nothing is.</summary>
    /// <param name="idOrPath">An id, the path of a file, or a word that comments use.</param>
    internal string? DoubtOf(string idOrPath)
    {
        ArgumentNullException.ThrowIfNull(idOrPath);
        return _data.Knows(idOrPath) ? null : _words.Value.FindWhole(idOrPath, Ids)?.Note;
    }

    /// <summary>Reads a material from a file that was found already.</summary>
    /// <param name="file">The file and its text.</param>
    /// <exception cref="InputProblem">The file is wrong, or it uses a source that neither it nor the shared list has.</exception>
    internal Material Read(DataFile file)
    {
        ArgumentNullException.ThrowIfNull(file);
        var material = MaterialFile.ReadMaterial(file, () => _common.Value.Rules);
        if (!file.IsShipped)
        {
            CheckSources(material);
        }

        return material;
    }

    /// <summary>The material that a word in a job's comments means, such as <c>PLA+</c> or <c>Generic ABS</c>; null when it means none.</summary>
    /// <param name="materialWordFromComment">The word or phrase.</param>
    public string? IdForWord(string materialWordFromComment) => ForWord(materialWordFromComment)?.Id;

    /// <summary>The material that a word in a job's comments means, with what is doubtful about that; null when it means none.</summary>
    /// <param name="materialWordFromComment">The word or phrase.</param>
    internal WordMatch? ForWord(string materialWordFromComment)
    {
        ArgumentNullException.ThrowIfNull(materialWordFromComment);
        return _words.Value.Find(materialWordFromComment, Ids);
    }

    /// <summary>Emissions reference, 9b, "other carbon fibre".</summary>
    private static Figure Wider(Figure figure, WordMatch match) => figure with
    {
        Gsd = figure.Gsd is { } gsd ? Math.Pow(gsd, match.Wider) : null,
        Origin = figure.Origin with { Grade = figure.Origin.Grade == "D" ? "D" : "C", Why = match.Note ?? figure.Origin.Why },
    };

    /// <summary>Looks up sources; those of the material's own file come first.</summary>
    /// <param name="ids">Ids, in the order in which the answer gives them; each once.</param>
    /// <param name="materials">The materials whose figures were used.</param>
    /// <returns>The sources; ids that nobody knows are left out.</returns>
    public IReadOnlyList<SourceReference> SourcesOf(IEnumerable<string> ids, IEnumerable<Material> materials)
    {
        ArgumentNullException.ThrowIfNull(ids);
        var own = materials.SelectMany(m => m.OwnSources).ToLookup(s => s.Id);
        var found = ids.Distinct().Select(id => own[id].FirstOrDefault() ?? _sources.Value.GetValueOrDefault(id));
        return [.. found.OfType<SourceReference>()];
    }

    /// <summary>Refuses a material that names a source which does not exist.</summary>
    /// <param name="material">The material.</param>
    /// <exception cref="InputProblem">It does.</exception>
    public void CheckSources(Material material)
    {
        ArgumentNullException.ThrowIfNull(material);
        foreach (var id in UsedSources(material))
        {
            if (!material.OwnSources.Any(s => s.Id == id) && !_sources.Value.ContainsKey(id))
            {
                throw new InputProblem(
                    $"{material.File}: source '{id}' is used but not listed; add it under 'sources' with its citation{Nearest.Hint(id, [.. _sources.Value.Keys])}");
            }
        }
    }

    /// <summary>Ids of all sources that a material names.</summary>
    internal static IEnumerable<string> UsedSources(Material material) =>
        material.Figures().SelectMany(f => f.Figure.Origin.Sources)
            .Concat(material.AlsoFound.Select(f => f.Source))
            .Concat(material.Observations.Select(o => o.Source))
            .Distinct();

    /// <summary>The shared list of sources by id.</summary>
    internal IReadOnlyDictionary<string, SourceReference> SharedSources => _sources.Value;

    private Dictionary<string, SourceReference> ReadSources()
    {
        // A list in the user's folder adds to the shipped one; it must not make the sources of shipped materials unknown.
        var all = SourceList.Read(_data.TryFindShipped("sources") ?? Shared("sources")).ToDictionary(s => s.Id);
        if (_data.TryFind("sources") is { IsShipped: false } mine)
        {
            foreach (var source in SourceList.Read(mine))
            {
                all[source.Id] = source;
            }
        }

        return all;
    }

    private DataFile Shared(string name) =>
        _data.TryFind(name) ?? throw new InvalidOperationException($"the shipped file materials/{name}.yaml is missing from the program");
}
