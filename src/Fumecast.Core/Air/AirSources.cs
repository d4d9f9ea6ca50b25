// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>The works that the shipped files on rooms, filters, meters and guidelines cite.</summary>
internal static class AirSources
{
    private static readonly Lazy<IReadOnlyDictionary<string, SourceReference>> Shared = new(static () =>
        SourceList.Read(new DataCatalogue("air").TryFindShipped("sources") ?? throw new InvalidOperationException("the shipped file air/sources.yaml is missing from the program"))
            .ToDictionary(static source => source.Id));

    /// <summary>Ids of the shared list.</summary>
    public static IReadOnlyCollection<string> Ids => [.. Shared.Value.Keys];

    /// <summary>Looks up sources; those of a file's own come first.</summary>
    /// <param name="ids">Ids, in the order of the answer; each once.</param>
    /// <param name="own">Sources of the file's own.</param>
    /// <returns>The sources; ids that nobody knows are left out.</returns>
    public static IReadOnlyList<SourceReference> Of(IEnumerable<string> ids, IReadOnlyList<SourceReference> own) =>
        [.. ids.Distinct().Select(id => own.FirstOrDefault(s => s.Id == id) ?? Shared.Value.GetValueOrDefault(id)).OfType<SourceReference>()];

    /// <summary>Refuses a file that names a source which does not exist.</summary>
    /// <param name="file">Its name.</param>
    /// <param name="used">Ids that it names.</param>
    /// <param name="own">Sources of its own.</param>
    /// <exception cref="InputProblem">It does.</exception>
    public static void Check(string file, IEnumerable<string> used, IReadOnlyList<SourceReference> own)
    {
        foreach (var id in used.Distinct())
        {
            if (!own.Any(s => s.Id == id) && !Shared.Value.ContainsKey(id))
            {
                throw new InputProblem($"{file}: source '{id}' is used but not listed; add it under 'sources' with its citation{Nearest.Hint(id, Ids)}");
            }
        }
    }
}
