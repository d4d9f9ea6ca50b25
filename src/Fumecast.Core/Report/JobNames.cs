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

    /// <summary>The names of one table as they fit a column: cut in the middle, and where two would look alike, elsewhere, so that what tells them apart stays.</summary>
    /// <param name="names">The names, each of one row.</param>
    /// <param name="columnWidth">Width of the column, as of <see cref="WidthOf"/> [-].</param>
    internal static string[] FitAll(IReadOnlyList<string> names, int columnWidth)
    {
        var whole = names.Select(TextPage.Clean).ToArray();
        var most = columnWidth - 2;
        string[] cut = [.. whole.Select(name => ColumnWidth.Cut(name, most))];
        foreach (var alike in Alike(whole, cut))
        {
            var apart = CutApart([.. alike.Select(i => whole[i])], most);
            for (var i = 0; i < apart.Length; i++)
            {
                cut[alike[i]] = apart[i];
            }
        }

        return cut;
    }

    /// <summary>Rows whose names differ and yet look alike once they are cut.</summary>
    private static List<int[]> Alike(string[] whole, string[] cut) =>
        [.. Enumerable.Range(0, cut.Length).GroupBy(i => cut[i]).Select(static group => group.ToArray()).Where(group => group.Select(i => whole[i]).Distinct().Count() > 1)];

    /// <summary>Cuts names such that the part in which they differ stays; parts that still look alike are cut by what tells those apart.</summary>
    private static string[] CutApart(string[] names, int most)
    {
        var first = names.Min(name => CommonStart(names[0], name));
        var last = names.Min(name => CommonEnd(names[0], name));
        string[] cut = [.. names.Select(name => ColumnWidth.CutKeeping(name, most, first, Math.Max(first + 1, name.Length - last)))];
        foreach (var alike in Alike(names, cut).Where(group => group.Length < names.Length))
        {
            var apart = CutApart([.. alike.Select(i => names[i])], most);
            for (var i = 0; i < apart.Length; i++)
            {
                cut[alike[i]] = apart[i];
            }
        }

        return cut;
    }

    private static int CommonStart(string one, string other) => one.AsSpan().CommonPrefixLength(other);

    private static int CommonEnd(string one, string other)
    {
        var length = 0;
        while (length < Math.Min(one.Length, other.Length) && one[^(length + 1)] == other[^(length + 1)])
        {
            length++;
        }

        return length;
    }

    /// <summary>Whether a name does not fit whole.</summary>
    internal static bool IsCut(string name, int columnWidth) => ColumnWidth.Of(TextPage.Clean(name)) > columnWidth - 2;

    private static string Folder(string path) => path[..(path.LastIndexOfAny(['/', Path.DirectorySeparatorChar]) + 1)];
}
