// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>Writes what is known of materials as plain text: our figures, their grades and sources, and what was published.</summary>
internal static class MaterialText
{
    private const string Grades =
        "grade A: several studies agree; B: one good study, or several that disagree; C: derived, by analogy or judgement; D: no source for this material (fumecast explain grade)";

    /// <summary>Writes all that is known of a material.</summary>
    /// <param name="to">Where to.</param>
    /// <param name="material">The material.</param>
    /// <param name="catalogue">Knows the shared sources and observations.</param>
    /// <param name="notes">What else there is to say of its file.</param>
    public static void WriteOne(TextWriter to, Material material, MaterialCatalogue catalogue, params IEnumerable<string> notes)
    {
        ArgumentNullException.ThrowIfNull(notes);
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(material);
        ArgumentNullException.ThrowIfNull(catalogue);
        to.WriteLine($"{material.Name} ({material.Id}): {material.Description}");
        to.WriteLine($"file: {material.File}");
        foreach (var note in notes)
        {
            to.WriteLine($"note: {note}");
        }

        foreach (var caution in material.Cautions)
        {
            to.WriteLine($"caution: {caution}");
        }

        Heading(to, "Our figures");
        to.WriteLine("A range is the middle 95 % of what is thought possible.");
        to.WriteLine(Grades);
        foreach (var (name, figure) in material.Figures())
        {
            WriteFigure(to, name, figure);
        }

        if (material.AlsoFound.Count > 0)
        {
            Heading(to, "Also found, without a figure that could be used");
            foreach (var found in material.AlsoFound)
            {
                to.WriteLine($"  {string.Join(", ", found.Names)}  [{found.Source}, {Word(found.Known)}]");
            }
        }

        Heading(to, "Published figures for this material, as they stand in the sources");
        if (material.Observations.Any(o => o.Replay is not null))
        {
            to.WriteLine("\"replayed\": what our model gives for a steady print like that, as a 90 % interval; what a study does not tell is taken as");
            to.WriteLine($"{Number(material.Rules.ReferenceRateGPerH.Value)} g/h, the temperature of our figure, 2 h. Two ends are two figures, and each is looked for.");
        }

        WriteObservations(to, material.Observations, new SteadyPrint(material, new EmissionOptions()));
        Heading(to, "Published figures for all materials");
        WriteObservations(to, catalogue.CommonObservations, null);
        Heading(to, "Sources");
        var used = MaterialCatalogue.UsedSources(material).Concat(catalogue.CommonObservations.Select(o => o.Source));
        foreach (var source in catalogue.SourcesOf(used, [material]).OrderBy(s => s.Id, StringComparer.Ordinal))
        {
            to.WriteLine($"  {source.Id}: {source.Citation}{(source.Doi is { } doi ? $" doi:{doi}" : "")} [{source.Known}]");
        }
    }

    private static void WriteFigure(TextWriter to, string name, Figure figure)
    {
        var value = figure.Quantity == Quantity.Temperature && figure.Range is { } ends && figure.Value == ends.Low
            ? $"{Number(ends.Low)} to {QuantityText.Show(ends.High, figure.Quantity)}"
            : QuantityText.Show(Rounded(figure.Value), figure.Quantity) + Spread(figure);
        var at = figure.AtC is { } c ? $" at {Number(c)} degC" : "";
        var valid = figure.ValidC is { } v ? $", valid {Number(v.Low)} to {Number(v.High)} degC" : "";
        to.WriteLine($"  {name}: {value}{at}{valid}");
        to.WriteLine($"      {figure.Origin.Grade}, {Word(figure.Origin.Known)}: {string.Join(", ", figure.Origin.Sources)}; {figure.Origin.Where}");
        if (figure.Origin.Why is { } why)
        {
            to.WriteLine($"      no better than {figure.Origin.Grade}: {why}");
        }
    }

    /// <summary>Four digits, which no figure here deserves more of; only calculated ones have more.</summary>
    private static double Rounded(double value) => double.Parse(value.ToString("G4", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static string Spread(Figure figure) =>
        figure.Gsd is { } gsd ? $", GSD {Number(gsd)}"
        : figure.Range is { } range ? $" ({Number(range.Low)} to {Number(range.High)})"
        : "";

    private static void WriteObservations(TextWriter to, IReadOnlyList<Observation> observations, SteadyPrint? print)
    {
        if (observations.Count == 0)
        {
            to.WriteLine("  none was found");
        }

        foreach (var o in observations)
        {
            var range = (o.Low, o.High) switch
            {
                ({ } low, { } high) => $"{low} to {high}",
                ({ } low, null) => $"at least {low}",
                (null, { } high) => $"up to {high}",
                _ => null,
            };
            var value = o.Value is null ? range : range is null ? o.Value : $"{o.Value} ({range})";
            to.WriteLine($"  {o.Quantity}: {value}{(o.Note is null ? "" : $"; {o.Note}")}  [{o.Source}, {o.Where}, {Word(o.Known)}]");
            if (o.Replay is { } replay && print is not null)
            {
                WriteReplay(to, replay, print.Replay(replay));
            }
        }
    }

    private static void WriteReplay(TextWriter to, ObservationReplay replay, Uncertain ours)
    {
        var held = replay.Points.Select(p => $"{(replay.Points.Count > 1 ? $"{p.Key}: " : "")}{(p.LiesIn(ours) ? "within" : p.Published < ours.Low ? "below" : "above")}");
        to.WriteLine($"      replayed: {Rough(ours.Low)} to {QuantityText.Show(TwoDigits(ours.High), replay.Quantity)}, so the published figure lies {string.Join(", ", held)}");
    }

    private static string Rough(double value) => Number(TwoDigits(value));

    private static double TwoDigits(double value) => double.Parse(value.ToString("G2", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static void Heading(TextWriter to, string text)
    {
        to.WriteLine();
        to.WriteLine(text);
    }

    private static string Number(double value) => QuantityText.Show(value, Quantity.Number);

    private static string Word(FigureKnown known) => known switch
    {
        FigureKnown.Read => "read",
        FigureKnown.Derived => "derived",
        FigureKnown.Memory => "from memory",
        _ => "assumed",
    };
}
