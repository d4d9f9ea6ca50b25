// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Inputs;

namespace Fumecast.Emission;

/// <summary>Writes what is known of materials as plain text: our figures, their grades and sources, and what was published.</summary>
internal static class MaterialText
{
    private const string Grades =
        "grade A: several studies agree; B: one good study, or several that disagree; C: derived, by analogy or judgement; D: no source for this material";

    private static readonly string[] ListHead = ["id", "name", "nozzle degC", "particles 1/g", "GSD", "grade", "TVOC ug/g", "GSD", "grade", "at degC"];

    /// <summary>Writes one line for each material.</summary>
    /// <param name="to">Where to.</param>
    /// <param name="catalogue">The materials.</param>
    /// <exception cref="InputProblem">A file in the user's own folder is wrong.</exception>
    public static void WriteList(TextWriter to, MaterialCatalogue catalogue)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(catalogue);
        List<string[]> rows = [ListHead];
        foreach (var id in catalogue.Ids)
        {
            var m = catalogue.Load(id);
            var nozzle = m.NozzleC.Range!.Value;
            rows.Add(
            [
                m.Id, m.Name, $"{Number(nozzle.Low)}-{Number(nozzle.High)}",
                Number(m.NumberYieldPerG.Value), Gsd(m.NumberYieldPerG), m.NumberYieldPerG.Origin.Grade,
                Number(m.TvocYieldUgPerG.Value), Gsd(m.TvocYieldUgPerG), m.TvocYieldUgPerG.Origin.Grade,
                Number(m.NumberYieldPerG.AtC!.Value),
            ]);
        }

        WriteTable(to, rows);
        to.WriteLine();
        to.WriteLine("GSD: geometric standard deviation; two thirds of spools and printers are thought to lie within that factor either way.");
        to.WriteLine(Grades);
    }

    /// <summary>Writes all that is known of a material.</summary>
    /// <param name="to">Where to.</param>
    /// <param name="material">The material.</param>
    /// <param name="catalogue">Knows the shared sources and observations.</param>
    public static void WriteOne(TextWriter to, Material material, MaterialCatalogue catalogue)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(material);
        ArgumentNullException.ThrowIfNull(catalogue);
        to.WriteLine($"{material.Name} ({material.Id}): {material.Description}");
        to.WriteLine($"file: {material.File}");
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

    /// <summary>Checks data files one by one and writes a line on each.</summary>
    /// <param name="to">Where to.</param>
    /// <param name="files">Paths of the files.</param>
    /// <param name="catalogue">Knows the shared rules and sources.</param>
    /// <param name="others">Readers of other kinds by their <c>schema</c>; each throws <see cref="InputProblem"/> for a wrong file.</param>
    /// <returns>How many files are wrong [-].</returns>
    public static int Check(
        TextWriter to, IEnumerable<string> files, MaterialCatalogue catalogue, IReadOnlyDictionary<string, Action<DataFile>>? others = null)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(files);
        ArgumentNullException.ThrowIfNull(catalogue);
        var wrong = 0;
        foreach (var path in files)
        {
            try
            {
                to.WriteLine($"{path}: {Verdict(DataFile.Load(path), catalogue, others)}");
            }
            catch (InputProblem problem)
            {
                wrong++;
                to.WriteLine(problem.Message);
            }
        }

        return wrong;
    }

    private static string Verdict(DataFile file, MaterialCatalogue catalogue, IReadOnlyDictionary<string, Action<DataFile>>? others)
    {
        var schema = YamlMap.SchemaOf(file);
        if (schema == MaterialFile.MaterialSchema)
        {
            var material = catalogue.Read(file);
            var figures = material.Figures().ToArray();
            return string.Create(
                CultureInfo.InvariantCulture,
                $"good, material {material.Id} with {figures.Length} figures and {material.Observations.Count} observations, worst grade {figures.Max(f => f.Figure.Origin.Grade)}");
        }

        if (others is not null && others.TryGetValue(schema, out var read))
        {
            read(file);
            return $"good, {schema}";
        }

        string[] known = [MaterialFile.MaterialSchema, .. others?.Keys ?? []];
        throw new InputProblem($"{file.Name}: schema: found '{schema}'{Nearest.Hint(schema, known)}");
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

    private static void WriteTable(TextWriter to, List<string[]> rows)
    {
        var widths = Enumerable.Range(0, rows[0].Length).Select(c => rows.Max(r => r[c].Length)).ToArray();
        foreach (var row in rows)
        {
            // Names to the left, figures to the right.
            var cells = row.Select((cell, c) => c < 2 ? cell.PadRight(widths[c]) : cell.PadLeft(widths[c]));
            to.WriteLine(string.Join("  ", cells).TrimEnd());
        }
    }

    private static string Gsd(Figure figure) => figure.Gsd is { } gsd ? Number(gsd) : "";

    private static string Number(double value) => QuantityText.Show(value, Quantity.Number);

    private static string Word(FigureKnown known) => known switch
    {
        FigureKnown.Read => "read",
        FigureKnown.Derived => "derived",
        FigureKnown.Memory => "from memory",
        _ => "assumed",
    };
}
