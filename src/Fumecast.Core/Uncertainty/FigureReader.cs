// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Uncertainty;

/// <summary>Reads figures of data files: as a map with spread, source and grade, or as a plain text such as <c>0.3 to 2 m3/h</c>.</summary>
/// <param name="plain">Where plain texts come from.</param>
internal sealed class FigureReader(FigureOrigin plain)
{
    /// <summary>Id of the source of what a user states.</summary>
    public const string Stated = "STATED";

    private static readonly string[] Grades = ["A", "B", "C", "D"];

    /// <summary>Origin of what a user states.</summary>
    /// <param name="place">The file, or the option.</param>
    public static FigureOrigin StatedIn(string place) => new([Stated], $"stated in {place}", FigureKnown.Read, "B", null);

    /// <summary>A figure that a user states in an option.</summary>
    /// <param name="text">The text, such as <c>0.3 to 2 m3/h</c>.</param>
    /// <param name="quantity">What is expected.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="option">Name of the option, which starts the message.</param>
    /// <exception cref="InputProblem">The text is not such a figure.</exception>
    public static Figure OfOption(string text, Quantity quantity, double min, double max, string option) =>
        FigureText.TryParse(text, quantity, min, max, StatedIn(option), out var figure, out var problem) ? figure : throw new InputProblem($"{option}: {problem}") { IsOfOptions = true };

    /// <summary>A required figure.</summary>
    /// <param name="map">The map that has the key.</param>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What it is.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    public Figure Required(YamlMap map, string key, Quantity quantity, double min, double max) =>
        Optional(map, key, quantity, min, max) ?? new Figure { Quantity = quantity, Value = map.Number(key, quantity, min, max), Origin = plain };

    /// <summary>A figure, or null when its key is absent.</summary>
    /// <param name="map">The map that has the key.</param>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What it is.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    public Figure? Optional(YamlMap map, string key, Quantity quantity, double min, double max)
    {
        if (map.IsMap(key))
        {
            return ReadMap(map.Map(key), quantity, min, max);
        }

        if (!map.Has(key) || map.OptionalText(key) is not { } text)
        {
            return null;
        }

        return Plain(map, key, text, quantity, min, max);
    }

    /// <summary>A figure by a text that was read already.</summary>
    /// <param name="map">The map that has the key.</param>
    /// <param name="key">The key, for messages.</param>
    /// <param name="text">The text.</param>
    /// <param name="quantity">What it is.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    public Figure Plain(YamlMap map, string key, string text, Quantity quantity, double min, double max)
    {
        if (FigureText.TryParse(text, quantity, min, max, plain, out var figure, out var problem))
        {
            return figure;
        }

        map.Refuse(key, problem);
        return new Figure { Quantity = quantity, Value = min, Origin = plain };
    }

    /// <summary>A figure as a map: <c>value</c>, <c>gsd</c> or <c>range</c>, <c>source</c>, <c>where</c>, <c>known</c>, <c>grade</c>, <c>why</c>.</summary>
    /// <param name="map">The map.</param>
    /// <param name="quantity">What it is.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    public static Figure ReadMap(YamlMap map, Quantity quantity, double min, double max)
    {
        var stated = StatedIn(map.File);
        var spread = map.IsText("value") && map.OptionalText("value") is { } text && FigureText.IsRange(text)
            ? new FigureReader(stated).Plain(map, "value", text, quantity, min, max)
            : new Figure { Quantity = quantity, Value = map.Number("value", quantity, min, max), Origin = stated };
        var gsd = map.OptionalNumber("gsd", Quantity.Number, 1, 1000);
        var range = map.OptionalRange("range", quantity, min, max);
        if (gsd is not null && range is not null)
        {
            map.Refuse("gsd", "found beside a range, expected one of them; remove the other");
        }

        if ((gsd is not null || range is not null) && (spread.Gsd is not null || spread.Range is not null))
        {
            map.Refuse("value", $"found two ends beside '{(gsd is null ? "range" : "gsd")}', expected one of them; remove the other");
        }

        if (map.Has("value") && range is { } ends && !(ends.Low <= spread.Value && spread.Value <= ends.High))
        {
            map.Refuse("value", $"found {QuantityText.Show(spread.Value, quantity)}, which lies outside its range");
        }

        return spread with { Gsd = gsd ?? spread.Gsd, Range = range ?? spread.Range, Origin = Origin(map) };
    }

    /// <summary>Where a figure comes from: <c>source</c>, <c>where</c>, <c>known</c>, <c>grade</c>, <c>why</c>.</summary>
    /// <param name="map">The map of the figure.</param>
    public static FigureOrigin Origin(YamlMap map)
    {
        var sources = map.RequiredTexts("source", "the id of a source or a list of them");
        var grade = map.Word("grade", Grades, "A, B, C or D");
        var why = map.OptionalText("why");
        if (why is null && grade is "C" or "D")
        {
            map.Refuse("grade", $"grade {grade} needs a reason; add 'why'");
        }

        return new FigureOrigin(sources, map.Text("where"), map.Choice<FigureKnown>("known"), grade, why);
    }
}
