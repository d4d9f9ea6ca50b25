// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Inputs;

/// <summary>A key that a map needs and does not have.</summary>
/// <param name="Path">The keys that lead to the map, with dots; empty for the outermost.</param>
/// <param name="Line">Line of the map, or of the one around it when the map is missing too [-].</param>
/// <param name="Column">Column of the map [-].</param>
/// <param name="Key">The key.</param>
/// <param name="Expected">What its value should be.</param>
/// <param name="Misspelt">A key that nobody asked for and that is probably meant, or null.</param>
internal sealed record MissingKey(string Path, long Line, int Column, string Key, string Expected, YamlNode? Misspelt);

/// <summary>What is wrong with one data file. All missing keys are told together, so that mending a file does not take a run for each.</summary>
internal sealed class YamlMistakes(string file)
{
    private const int MostTold = 40;

    private readonly List<MissingKey> _missing = [];
    private readonly HashSet<(string Path, long Line, int Column, string Key)> _seen = [];
    private InputProblem? _firstWrong;

    /// <summary>Takes mistakes that only follow from one that was noted, and forgets them.</summary>
    public YamlMistakes Unheard => new(file);

    /// <summary>Notes a missing key.</summary>
    public void Missing(MissingKey key)
    {
        if (_seen.Add((key.Path, key.Line, key.Column, key.Key)))
        {
            _missing.Add(key);
        }
    }

    /// <summary>Notes a wrong value.</summary>
    public void Wrong(InputProblem problem) => _firstWrong ??= problem;

    /// <summary>Refuses the file if anything was noted: all missing keys, and the first wrong value.</summary>
    /// <exception cref="InputProblem">Something was noted.</exception>
    public void Throw()
    {
        if (_missing.Count == 0 && _firstWrong is null)
        {
            return;
        }

        throw _missing switch
        {
            [] => _firstWrong!,
            [{ Misspelt: { } found } only] => Problem(found.Line, found.Column, $"unknown key '{found.Scalar}'; did you mean '{only.Key}'?"),
            [var only] => Problem(only.Line, only.Column, $"key '{only.Key}' is missing, expected {only.Expected}"),
            _ => Problem(_missing.Min(static key => key.Line), _missing.MinBy(static key => key.Line)!.Column, Told()),
        };
    }

    private InputProblem Problem(long line, int column, string message) =>
        new(file, line, column, message + (_firstWrong is null ? "" : $"; and {_firstWrong.Message}"));

    private string Told()
    {
        var maps = new List<string>();
        // Outer maps first; the order of their keys is that in which the reader asks.
        var outerFirst = _missing.OrderBy(static key => key.Path.Length == 0 ? 0 : 1 + key.Path.Count(static c => c == '.'));
        foreach (var map in outerFirst.Take(MostTold).GroupBy(static key => (key.Path, key.Line, key.Column)))
        {
            var keys = string.Join(", ", map.Select(static key => key.Misspelt is { } found
                ? string.Create(CultureInfo.InvariantCulture, $"'{key.Key}' (line {found.Line} has '{found.Scalar}')")
                : $"'{key.Key}' ({key.Expected})"));
            maps.Add(map.Key.Path.Length == 0 ? keys : string.Create(CultureInfo.InvariantCulture, $"in {map.Key.Path} (line {map.Key.Line}): {keys}"));
        }

        var more = _missing.Count > MostTold ? string.Create(CultureInfo.InvariantCulture, $"; and {_missing.Count - MostTold} more") : "";
        return string.Create(CultureInfo.InvariantCulture, $"{_missing.Count} keys are missing: {string.Join("; ", maps)}{more}");
    }
}
