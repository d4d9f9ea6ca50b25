// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Report;

/// <summary>Writes a list of data files as a table that fits the terminal.</summary>
internal static class DataListText
{
    private const int Between = 2;
    private const int NarrowestName = 8;

    /// <summary>Writes the table.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="listing">The files.</param>
    /// <param name="style">Layout; columns of detail are left out where they do not fit.</param>
    public static void Write(TextWriter output, DataListing listing, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(listing);
        ArgumentNullException.ThrowIfNull(style);
        var page = new TextPage(output, style);
        WriteTable(page, listing, style);
        page.Gap();
        foreach (var paragraph in listing.Kind.Legend)
        {
            page.Paragraph(paragraph);
        }

        page.Paragraph(listing.Folder is { } folder
            ? $"Your own {listing.Kind.Name}: files in the folder {listing.Kind.Name} of {folder}, which {DataCatalogue.FolderVariable} names."
            : $"Your own {listing.Kind.Name}: any file given by its path, or those in the folder {listing.Kind.Name} of the one that the variable {DataCatalogue.FolderVariable} names (not set now). "
                + $"A start: fumecast {listing.Kind.Name} template.");
    }

    private static void WriteTable(TextPage page, DataListing listing, TextStyle style)
    {
        var kind = listing.Kind;
        (string Head, string Unit, bool IsName, int Index)[] all =
            [("id", "", true, -1), .. kind.Columns.Select(static (column, i) => (column.Head, column.Unit, column.IsName, i))];
        var widths = Array.ConvertAll(all, column => Math.Max(
            Math.Max(ColumnWidth.Of(column.Head), ColumnWidth.Of(column.Unit)),
            listing.Entries.Select(entry => ColumnWidth.Of(TextPage.Clean(Cell(entry, column.Index)))).DefaultIfEmpty().Max()));

        var shown = new List<int>();
        var left = style.Width + Between;
        for (var i = 0; i < all.Length; i++)
        {
            if (i == 0 || !kind.Columns[i - 1].IsDetail)
            {
                shown.Add(i);
                left -= widths[i] + Between;
            }
        }

        // Names give way first; the last of them most, since an id must be readable.
        for (var i = all.Length - 1; i >= 0 && style.CutsNames; i--)
        {
            if (all[i].IsName && left < 0)
            {
                var cut = Math.Min(-left, Math.Max(0, widths[i] - NarrowestName));
                widths[i] -= cut;
                left += cut;
            }
        }

        for (var i = 1; i < all.Length; i++)
        {
            if (kind.Columns[i - 1].IsDetail && widths[i] + Between <= left)
            {
                shown.Add(i);
                left -= widths[i] + Between;
            }
        }

        shown.Sort();
        page.HeadingRow([], Line(shown, widths, all, i => all[i].Head));
        page.HeadingRow([], Line(shown, widths, all, i => all[i].Unit));
        foreach (var entry in listing.Entries)
        {
            page.Row([], Line(shown, widths, all, i => Cell(entry, all[i].Index)));
            if (all.Any(column => column.IsName && ColumnWidth.Of(TextPage.Clean(Cell(entry, column.Index))) > widths[column.Index + 1]))
            {
                page.Labelled("", string.Join(", ", all.Where(static column => column.IsName).Select(column => Cell(entry, column.Index))), labelWidth: 3);
            }

            if (entry.Line is { } line)
            {
                page.Labelled("", line, labelWidth: 3);
            }

            if (entry.File is { } file)
            {
                page.Labelled("", $"file: {file}", labelWidth: 3);
            }

            foreach (var note in entry.Notes)
            {
                page.Labelled("", note, labelWidth: 3);
            }
        }
    }

    private static string Cell(DataEntry entry, int index) => index < 0 ? entry.Id : entry.Cells[index];

    /// <summary>Names to the left, figures to the right.</summary>
    private static string Line(List<int> shown, int[] widths, (string Head, string Unit, bool IsName, int Index)[] all, Func<int, string> cell)
    {
        var line = "";
        foreach (var i in shown)
        {
            var text = TextPage.Clean(cell(i));
            line += all[i].IsName
                ? ColumnWidth.Pad(ColumnWidth.Cut(text, widths[i]), widths[i] + Between)
                : new string(' ', Math.Max(0, widths[i] - ColumnWidth.Of(text))) + text + new string(' ', Between);
        }

        return line.TrimEnd();
    }
}
