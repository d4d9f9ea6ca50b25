// SPDX-License-Identifier: MIT
namespace Fumecast.Report;

/// <summary>Names of jobs for tables and pictures.</summary>
public static class JobNames
{
    /// <summary>Leaves out the folders that all names begin with; a single name keeps its own last part only.</summary>
    /// <param name="files">The files as the user named them.</param>
    /// <returns>A name for each, in the same order.</returns>
    public static string[] Shortened(IReadOnlyList<string> files)
    {
        ArgumentNullException.ThrowIfNull(files);
        var common = files.Count == 0 ? "" : Folder(files[0]);
        foreach (var file in files)
        {
            while (!file.StartsWith(common, StringComparison.Ordinal))
            {
                common = Folder(common[..^1]);
            }
        }

        return [.. files.Select(file => file[common.Length..])];
    }

    /// <summary>Cuts a name at its start, which tells jobs apart less than its end.</summary>
    /// <param name="name">The name.</param>
    /// <param name="most">Most letters [-], over 3.</param>
    internal static string Fit(string name, int most) => name.Length <= most ? name : "..." + name[^(most - 3)..];

    private static string Folder(string path) => path[..(path.LastIndexOfAny(['/', Path.DirectorySeparatorChar]) + 1)];
}
