// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;
using Fumecast.Inputs;

namespace Fumecast.Machine;

/// <summary>Reads what the macros of a profile mean: lines to run instead, or a summary.</summary>
internal static partial class MacroEntry
{
    private const int MostLines = 500;

    /// <summary>Reads the key <c>macros</c>, a list; without it there are none.</summary>
    public static IReadOnlyDictionary<string, MacroMeaning> Read(YamlMap profile)
    {
        var macros = new Dictionary<string, MacroMeaning>();
        foreach (var map in profile.Maps("macros"))
        {
            ProfileEntry.ReadBasis(map);
            var name = map.Text("name").ToUpperInvariant();
            if (!macros.TryAdd(name, map.Has("lines") ? Lines(map) : Summary(map)) && map.Has("name"))
            {
                map.Refuse("name", $"'{name}' stands twice, expected each macro once");
            }
        }

        return macros;
    }

    private static MacroMeaning Lines(YamlMap map)
    {
        var lines = map.Texts("lines");
        if (lines.Count > MostLines)
        {
            map.Refuse("lines", string.Create(CultureInfo.InvariantCulture, $"found {lines.Count} lines, expected at most {MostLines}"));
        }

        return new() { Lines = lines };
    }

    private static MacroMeaning Summary(YamlMap map) => new()
    {
        DurationS = map.Number("duration", Quantity.Time, 0, 24 * 3600),
        NozzleC = Temperature(map, "nozzle"),
        BedC = Temperature(map, "bed"),
        PurgeMm3 = map.OptionalNumber("purge", Quantity.Volume, 0, 1e6) ?? 0,
    };

    /// <summary>A temperature, or a key of the call in braces: <c>{EXTRUDER}</c> or <c>{EXTRUDER|210}</c>.</summary>
    private static string? Temperature(YamlMap map, string key)
    {
        if (map.OptionalText(key) is not { } text)
        {
            return null;
        }

        if (text.StartsWith('{'))
        {
            if (!KeyOfTheCall().IsMatch(text))
            {
                map.Refuse(key, $"found '{text}', expected a key of the macro's call such as {{EXTRUDER}} or {{EXTRUDER|210}}");
            }

            return text;
        }

        return map.Number(key, Quantity.Temperature, 0, 600).ToString("R", CultureInfo.InvariantCulture);
    }

    [GeneratedRegex(@"^\{[A-Za-z_][A-Za-z0-9_]*(\|\d+(\.\d+)?)?\}$", RegexOptions.CultureInvariant)]
    private static partial Regex KeyOfTheCall();
}
