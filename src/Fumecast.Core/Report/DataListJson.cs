// SPDX-License-Identifier: MIT
using System.Text.Json;

namespace Fumecast.Report;

/// <summary>Writes a list of data files as JSON, schema <c>fumecast/list/1</c>.</summary>
internal static class DataListJson
{
    /// <summary>Writes one document.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="listing">The files.</param>
    public static void Write(Stream output, DataListing listing)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(listing);
        using (var json = new Utf8JsonWriter(output, ReportJson.WriterOptions))
        {
            json.WriteStartObject();
            json.WriteString("schema", "fumecast/list/1");
            json.WriteString("version", ReportJson.ProgramVersion);
            json.WriteString("kind", listing.Kind.Name);
            if (listing.Folder is { } folder)
            {
                json.WriteString("data_folder", folder);
            }

            json.WriteStartArray("entries");
            foreach (var entry in listing.Entries)
            {
                WriteEntry(json, entry);
            }

            json.WriteEndArray();
            WriteTexts(json, "unusable", [.. listing.Unusable.Select(static problem => problem.Message)]);
            json.WriteEndObject();
        }

        output.WriteByte((byte)'\n');
    }

    private static void WriteEntry(Utf8JsonWriter json, DataEntry entry)
    {
        json.WriteStartObject();
        json.WriteString("id", entry.Id);
        json.WriteString("id_in_file", entry.IdInFile);
        if (entry.File is { } file)
        {
            json.WriteString("file", file);
        }

        foreach (var figure in entry.Figures)
        {
            if (figure.Text is { } text)
            {
                json.WriteString(figure.Key, text);
            }
            else if (figure.Number is { } number)
            {
                json.WriteNumber(figure.Key, number);
            }
        }

        WriteTexts(json, "notes", entry.Notes);
        json.WriteEndObject();
    }

    private static void WriteTexts(Utf8JsonWriter json, string key, IReadOnlyList<string> texts)
    {
        if (texts.Count == 0)
        {
            return;
        }

        json.WriteStartArray(key);
        foreach (var text in texts)
        {
            json.WriteStringValue(text);
        }

        json.WriteEndArray();
    }
}
