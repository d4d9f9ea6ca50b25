// SPDX-License-Identifier: MIT
namespace Fumecast.Report;

/// <summary>Names of jobs for tables and pictures.</summary>
internal static class JobNames
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

    /// <summary>The width of a column that holds names, with two blanks behind them.</summary>
    /// <param name="names">The names.</param>
    /// <param name="least">Least width [-].</param>
    /// <param name="otherColumns">What the other columns take [-].</param>
    /// <param name="style">Says whether names may be cut.</param>
    internal static int WidthOf(IReadOnlyList<string> names, int least, int otherColumns, TextStyle style)
    {
        var longest = least;
        foreach (var name in names)
        {
            longest = Math.Max(longest, ColumnWidth.Of(TextPage.Clean(name)) + 2);
        }

        return style.CutsNames ? Math.Min(longest, Math.Max(least, style.Width - otherColumns)) : longest;
    }

    /// <summary>A name as it fits a column of <see cref="WidthOf"/>, cut in its middle.</summary>
    internal static string Fit(string name, int columnWidth) => ColumnWidth.Cut(TextPage.Clean(name), columnWidth - 2);

    /// <summary>Whether a name does not fit whole.</summary>
    internal static bool IsCut(string name, int columnWidth) => ColumnWidth.Of(TextPage.Clean(name)) > columnWidth - 2;

    private static string Folder(string path) => path[..(path.LastIndexOfAny(['/', Path.DirectorySeparatorChar]) + 1)];
}
