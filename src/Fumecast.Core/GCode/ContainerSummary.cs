// SPDX-License-Identifier: MIT
using System.Globalization;
using System.IO.Compression;
using System.Xml;

namespace Fumecast.GCode;

/// <summary>What a container's summary says of one filament.</summary>
/// <param name="Tool">The tool, from 0 [-].</param>
/// <param name="Type">The material as the file calls it, or null.</param>
/// <param name="UsedMm">Length, null when not stated [mm].</param>
/// <param name="UsedG">Mass, null when not stated [g].</param>
internal sealed record ContainerFilament(int Tool, string? Type, double? UsedMm, double? UsedG);

/// <summary>The summary beside the G-code in a container: <c>&lt;filament id="1" type="PLA" used_m="6.81" used_g="20.64" /&gt;</c>.</summary>
/// <param name="Filaments">The filaments in the file's order.</param>
internal sealed record ContainerSummary(IReadOnlyList<ContainerFilament> Filaments)
{
    private const long LongestSummary = 1 << 20;

    /// <summary>Finds the summary that belongs to an entry; null when there is none. What cannot be read is passed over, for it is no G-code.</summary>
    internal static ContainerSummary? Find(ZipArchive archive, ZipArchiveEntry job)
    {
        foreach (var entry in archive.Entries)
        {
            if (entry.Length is 0 or > LongestSummary || entry.IsEncrypted
                || Path.GetExtension(entry.Name).ToUpperInvariant() is not (".CONFIG" or ".XML"))
            {
                continue;
            }

            try
            {
                using var stream = entry.Open();
                if (Read(stream, TrailingNumber(Path.GetFileNameWithoutExtension(job.Name))) is { Filaments.Count: > 0 } summary)
                {
                    return summary;
                }
            }
            catch (Exception problem) when (problem is XmlException or InvalidDataException or IOException)
            {
                // Some other file of the container; the G-code does not depend on it.
            }
        }

        return null;
    }

    /// <summary>Reads a summary; of several plates, each with its index, the one asked for.</summary>
    /// <param name="xml">The file.</param>
    /// <param name="plate">The index of the plate; null when the entry's name has none [-].</param>
    internal static ContainerSummary? Read(Stream xml, int? plate)
    {
        var plates = new List<(int? Index, List<ContainerFilament> Filaments)> { (null, []) };
        var settings = new XmlReaderSettings { DtdProcessing = DtdProcessing.Prohibit, XmlResolver = null, MaxCharactersInDocument = LongestSummary };
        using var reader = XmlReader.Create(xml, settings);
        while (reader.Read())
        {
            if (reader.NodeType != XmlNodeType.Element)
            {
                continue;
            }

            switch (reader.Name)
            {
                case "plate":
                    plates.Add((null, []));
                    break;
                case "metadata" when reader.GetAttribute("key") == "index" && Number(reader, "value") is { } index:
                    plates[^1] = ((int)index, plates[^1].Filaments);
                    break;
                case "filament" when Number(reader, "id") is >= 1 and <= 64 and { } id:
                    var type = reader.GetAttribute("type");
                    plates[^1].Filaments.Add(new(
                        (int)id - 1, string.IsNullOrWhiteSpace(type) ? null : type, Number(reader, "used_m") * 1000, Number(reader, "used_g")));
                    break;
            }
        }

        plates.RemoveAll(static candidate => candidate.Filaments.Count == 0);
        return plates.Count == 1 ? new(plates[0].Filaments)
            : plates.Find(candidate => candidate.Index is not null && candidate.Index == plate).Filaments is { } filaments ? new(filaments)
            : null;
    }

    private static double? Number(XmlReader reader, string attribute) =>
        double.TryParse(reader.GetAttribute(attribute), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var value) ? value : null;

    private static int? TrailingNumber(string name)
    {
        var start = name.Length;
        while (start > 0 && char.IsAsciiDigit(name[start - 1]))
        {
            start--;
        }

        return int.TryParse(name.AsSpan(start), NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : null;
    }
}
