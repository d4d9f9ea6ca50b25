// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Report;

/// <summary>All kinds of data files. A new kind is an entry here and a template beside the others.</summary>
internal static class DataKinds
{
    /// <summary>The kinds, as they are found now.</summary>
    public static IReadOnlyList<DataKind> All() => [Materials(new MaterialCatalogue()), Printers(), .. AirKinds.All()];

    private static DataKind<Material> Materials(MaterialCatalogue catalogue) => new()
    {
        Name = "materials",
        One = "material",
        Schema = MaterialCatalogue.Schema,
        About = "what is known about each material, and from where",
        ExampleId = "abs",
        Files = new(() => catalogue.Ids, () => catalogue.OwnFiles, catalogue.PathOf, catalogue.Find, catalogue.Read),
        IdOf = static m => m.Id,
        Table =
        [
            new("name", "", static m => m.Name, IsName: true),
            new("nozzle", "degC", static m => $"{Number(m.NozzleC.Range!.Value.Low)}-{Number(m.NozzleC.Range!.Value.High)}"),
            new("particles", "1/g", static m => Number(m.NumberYieldPerG.Value)),
            new("GSD", "", static m => Number(m.NumberYieldPerG.Gsd), IsDetail: true),
            new("grade", "", static m => m.NumberYieldPerG.Origin.Grade),
            new("TVOC", "ug/g", static m => Number(m.TvocYieldUgPerG.Value)),
            new("GSD", "", static m => Number(m.TvocYieldUgPerG.Gsd), IsDetail: true),
            new("grade", "", static m => m.TvocYieldUgPerG.Origin.Grade),
            new("at", "degC", static m => Number(m.NumberYieldPerG.AtC), IsDetail: true),
        ],
        FiguresOf = static m =>
        [
            new("name", m.Name), new("description", m.Description), new("density_g_cm3", m.DensityGPerCm3.Value),
            new("nozzle_low_c", m.NozzleC.Range?.Low), new("nozzle_high_c", m.NozzleC.Range?.High), new("onset_c", m.OnsetC.Value),
            new("particle_number_per_g", m.NumberYieldPerG.Value), new("particle_number_gsd", m.NumberYieldPerG.Gsd),
            new("particle_number_at_c", m.NumberYieldPerG.AtC), new("particle_number_grade", m.NumberYieldPerG.Origin.Grade),
            new("tvoc_ug_per_g", m.TvocYieldUgPerG.Value), new("tvoc_gsd", m.TvocYieldUgPerG.Gsd),
            new("tvoc_at_c", m.TvocYieldUgPerG.AtC), new("tvoc_grade", m.TvocYieldUgPerG.Origin.Grade),
        ],
        Contents = static m =>
        {
            var figures = m.Figures().ToArray();
            return string.Create(
                CultureInfo.InvariantCulture,
                $"material {m.Id} with {figures.Length} figures and {m.Observations.Count} observations, worst grade {figures.Max(f => f.Figure.Origin.Grade)}");
        },
        Write = (to, _, m, notes) => MaterialText.WriteOne(to, m, catalogue, notes),
        Legend =
        [
            $"Particles and TVOC for each gram of filament at the temperature of the figure. What the words mean: {Explanations.See("grade")}; "
                + $"{Explanations.See("GSD")}; {Explanations.See("TVOC")}.",
        ],
    };

    private static DataKind<PrinterProfile> Printers() => new()
    {
        Name = "printers",
        One = "printer",
        Schema = PrinterCatalogue.Schema,
        About = "which printer profiles there are, and what one of them says",
        ExampleId = PrinterCatalogue.DefaultId,
        Files = new(static () => PrinterCatalogue.Ids, static () => PrinterCatalogue.OwnFiles, PrinterCatalogue.PathOf, PrinterCatalogue.Find, PrinterCatalogue.Read),
        IdOf = static p => p.Id,
        LineOf = static p => p.Description,
        NoteOf = static id => id == PrinterCatalogue.DefaultId ? "taken where no --printer is given" : null,
        Table =
        [
            new("reads G-code as", "", static p => p.Dialect.Id, IsName: true),
            new("room", "mm", static p => $"{Number(p.BedXMm)}x{Number(p.BedYMm)}x{Number(p.HeightMm)}"),
            new("print", "mm/s2", static p => Number(p.StartLimits().PrintAccelMmPerS2)),
            new("nozzle", "to degC", static p => Number(p.MaxNozzleC)),
        ],
        FiguresOf = static p =>
        [
            new("description", p.Description), new("dialect", p.Dialect.Id), new("filament_diameter_mm", p.FilamentDiameterMm),
            new("size_x_mm", p.BedXMm), new("size_y_mm", p.BedYMm), new("size_z_mm", p.HeightMm),
            new("print_acceleration_mm_s2", p.StartLimits().PrintAccelMmPerS2), new("cold_limit_c", p.ColdLimitC), new("highest_nozzle_c", p.MaxNozzleC),
        ],
        Contents = static p => $"printer {p.Id}, reads G-code as {p.Dialect.Id}",
        Write = static (to, file, _, notes) => AsItIs(to, file, notes),
        Legend = [$"print: acceleration of printing moves. How G-code is read: {Explanations.See("dialect")}. A file with a remark on every key: fumecast printers template."],
    };

    /// <summary>Writes a file as it is: what is shown can be used.</summary>
    internal static void AsItIs(TextWriter to, DataFile file, IReadOnlyList<string> notes)
    {
        to.Write($"# file: {file.Name}\n");
        foreach (var note in notes)
        {
            to.Write($"# note: {note}\n");
        }

        to.Write(file.Text.TrimEnd() + "\n");
    }

    private static string Number(double? value) => value is { } known ? QuantityText.Show(known, Quantity.Number) : "";
}
