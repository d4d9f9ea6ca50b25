// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Uncertainty;

/// <summary>Reads lists of sources: those of a file's own, and files that hold nothing else.</summary>
internal static class SourceList
{
    private const string Schema = "fumecast/sources/1";

    /// <summary>Reads a file of sources.</summary>
    /// <param name="data">The file.</param>
    /// <exception cref="InputProblem">The file is wrong.</exception>
    public static IReadOnlyList<SourceReference> Read(DataFile data) => YamlMap.Read(data, static map =>
    {
        map.Schema(Schema);
        return Of(map.Map("sources"));
    });

    /// <summary>Reads sources by id.</summary>
    /// <param name="map">Ids as keys.</param>
    public static IReadOnlyList<SourceReference> Of(YamlMap map) =>
    [
        .. map.Keys.ToArray().Select(key =>
        {
            var source = map.Map(key);
            var doi = source.OptionalText("doi");
            if (doi is not null && !doi.StartsWith("10.", StringComparison.Ordinal))
            {
                source.Refuse("doi", $"found '{doi}', expected one that starts with 10.");
            }

            return new SourceReference(key, source.Text("citation"), doi, source.Text("known"));
        }),
    ];
}
