// SPDX-License-Identifier: MIT
namespace Fumecast.Report;

/// <summary>Writes a list of data files as CSV, one row per file; what is unknown, and the file of shipped data, is an empty cell.</summary>
internal static class DataListCsv
{
    /// <summary>Writes the table.</summary>
    /// <param name="output">Where to write; rows end in LF.</param>
    /// <param name="listing">The files.</param>
    public static void Write(TextWriter output, DataListing listing)
    {
        ArgumentNullException.ThrowIfNull(listing);
        var head = new CsvRow().Text("id").Text("id_in_file").Text("file");
        foreach (var figure in listing.Entries.Select(static entry => entry.Figures).FirstOrDefault() ?? [])
        {
            head.Text(figure.Key);
        }

        head.Text("notes").Write(output);
        foreach (var entry in listing.Entries)
        {
            var row = new CsvRow().Text(entry.Id).Text(entry.IdInFile).Text(entry.File);
            foreach (var figure in entry.Figures)
            {
                _ = figure.Text is { } text ? row.Text(text) : row.Number(figure.Number);
            }

            row.Text(string.Join("; ", entry.Notes)).Write(output);
        }
    }
}
