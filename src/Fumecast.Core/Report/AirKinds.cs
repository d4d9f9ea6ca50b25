// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Air;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>The kinds of data files on air: rooms, filters, meters, guidelines.</summary>
internal static class AirKinds
{
    /// <summary>The kinds.</summary>
    public static IReadOnlyList<DataKind> All() => [Rooms(), Filters(), Meters(), Guidelines()];

    private static DataFiles<T> Of<T>(AirCatalogue<T> all) => new(() => all.Ids, () => all.OwnFiles, all.PathOf, all.Find, all.Read);

    private static DataKind<RoomPlan> Rooms() => new()
    {
        Name = "rooms",
        One = "room",
        Schema = AirData.Rooms.Schema,
        About = "which rooms there are for a forecast of the air, and what one of them says",
        ExampleId = "bedroom-leaky-box",
        Files = Of(AirData.Rooms),
        Ships = RoomCatalogue.IsShipped,
        IdOf = static r => r.Id,
        Table =
        [
            new("room", "m3", static r => Range(r.Zones.MaxBy(static z => z.VolumeM3.Value)?.VolumeM3)),
            new("outdoor air", "", static r => Outdoor(r) is { } loop ? Range(loop.Flow) + " " + loop.Flow.Quantity.HeldUnit : "none"),
            new("box", "m3", static r => Range(r.Box?.VolumeM3)),
            new("filters", "", static r => r.Filters.Count == 0 ? "none" : string.Join(", ", r.Filters.Select(static f => f.Kind.Id)), IsDetail: true),
        ],
        FiguresOf = static r =>
        [
            new("description", r.Description), new("zones", r.Zones.Count), new("room_m3", r.Zones.Max(static z => z.VolumeM3.Value)),
            new("box_m3", r.Box?.VolumeM3.Value), new("outdoor_air_m3_per_h", OutdoorM3PerH(r)), new("filters", r.Filters.Count), new("prints", r.Prints.Count),
        ],
        Contents = static r => string.Create(
            CultureInfo.InvariantCulture, $"room {r.Id} with {Count(r.Zones.Count, "zone")}, {Count(r.Loops.Count, "loop")} and {r.Figures.Count} figures, {r.Ranges.Count} of them ranges"),
        Write = static (to, file, r, notes) => Write(to, file, notes, r.Figures.Select(static named => named.Figure), r.BroughtSources),
        Legend =
        [
            $"Ranges are the middle 95 % of what is thought possible. What the words mean: {Explanations.See("zone")}; {Explanations.See("loop")}; {Explanations.See("air changes")}; "
                + $"{Explanations.See("deposition")}.",
        ],
    };

    private static DataKind<FilterKind> Filters() => new()
    {
        Name = "filters",
        One = "filter",
        Schema = AirData.Filters.Schema,
        About = "which filters there are, what each takes out, and from where that is known",
        ExampleId = "hepa-and-carbon",
        Files = Of(AirData.Filters),
        IdOf = static f => f.Id,
        LineOf = static f => f.Description,
        Table =
        [
            new("particles", "%", static f => Percent(f.Efficiency.Particles)),
            new("grade", "", static f => f.Efficiency.Particles?.Origin.Grade ?? ""),
            new("vapours", "%", static f => Percent(f.Efficiency.Vapours)),
            new("grade", "", static f => f.Efficiency.Vapours?.Origin.Grade ?? ""),
            new("slips past", "%", static f => Percent(f.Bypass)),
        ],
        FiguresOf = static f =>
        [
            new("name", f.Name), new("description", f.Description), new("particles", f.Efficiency.Particles?.Value), new("particles_grade", f.Efficiency.Particles?.Origin.Grade),
            new("vapours", f.Efficiency.Vapours?.Value), new("vapours_grade", f.Efficiency.Vapours?.Origin.Grade), new("bypass", f.Bypass.Value),
            new("sorbent_g", f.SorbentMassG?.Value), new("capacity", f.Capacity?.Value),
        ],
        Contents = static f => $"filter {f.Id} with {Count(f.Figures().Count(), "figure")}, worst grade {f.Figures().Max(static n => n.Figure.Origin.Grade)}",
        Write = static (to, file, f, notes) => Write(to, file, notes, f.Figures().Select(static n => n.Figure), f.OwnSources),
        Legend =
        [
            "Share taken out in one pass, at the size of particles that comes through best, and the share of the air that slips past. What counts is how much clean air comes of it: "
                + $"{Explanations.See("clean air")}; {Explanations.See("bypass")}.",
        ],
    };

    private static DataKind<MeterKind> Meters() => new()
    {
        Name = "meters",
        One = "meter",
        Schema = AirData.Meters.Schema,
        About = "which kinds of meters there are, what each sees, and how well",
        ExampleId = "optical-pm",
        Files = Of(AirData.Meters),
        IdOf = static m => m.Id,
        LineOf = static m => m.Description,
        Table =
        [
            new("shows", "", static m => string.Join(", ", m.Channels.Select(static c => WordOf(c.Quantity)))),
            new("from", "nm", static m => Number(m.Channels[0].LowerCutNm)),
            new("step", "", static m => QuantityText.Show(m.Channels[0].Resolution.Value, m.Channels[0].Resolution.Quantity)),
            new("response", "", static m => Range(m.Channels[0].Response)),
        ],
        FiguresOf = static m =>
        [
            new("name", m.Name), new("description", m.Description), new("shows", string.Join(' ', m.Channels.Select(static c => WordOf(c.Quantity)))),
            new("from_nm", m.Channels[0].LowerCutNm), new("warm_up_s", m.WarmUpS.Value), new("interval_s", m.IntervalS.Value),
        ],
        Contents = static m => $"meter {m.Id} that shows {string.Join(", ", m.Channels.Select(static c => WordOf(c.Quantity)))}, with {Count(m.Figures().Count(), "figure")}",
        Write = static (to, file, m, notes) => Write(to, file, notes, m.Figures().Select(static n => n.Figure), m.OwnSources),
        Legend = [$"from: smallest particles it sees. response: what it shows of what it sees. What the words mean: {Explanations.See("visible mass")}; {Explanations.See("meter")}."],
    };

    private static DataKind<Guideline> Guidelines() => new()
    {
        Name = "guidelines",
        One = "guideline",
        Schema = AirData.Guidelines.Schema,
        About = "which guidelines the levels are held against, from whom, and over which time",
        ExampleId = "who-2021-pm25-24h",
        Files = Of(AirData.Guidelines),
        IdOf = static g => g.Id,
        Table =
        [
            new("of", "", static g => g.Quantity),
            new("level", "", static g => QuantityText.Show(g.Level.Value, g.Level.Quantity)),
            new("mean over", "", static g => g.Averaging),
            new("for", "", static g => g.Population == GuidelinePopulation.Occupational ? "work" : "general"),
            new("status", "", static g => Word(g.Status.ToString()), IsDetail: true),
        ],
        FiguresOf = static g =>
        [
            new("description", g.Description), new("agent", g.Quantity), new("level", g.Level.Value), new("unit", g.Level.Quantity.HeldUnit), new("averaging", g.Averaging),
            new("averaging_s", g.AveragingS), new("body", g.Body), new("year", g.Year), new("edition", g.Edition), new("population", Word(g.Population.ToString())),
            new("status", Word(g.Status.ToString())),
        ],
        Contents = static g => $"guideline {g.Id}, {QuantityText.Show(g.Level.Value, g.Level.Quantity)} of {g.Quantity} over {g.Averaging}",
        Write = static (to, file, g, notes) => Write(to, file, notes, [g.Level], g.OwnSources),
        Legend =
        [
            $"A level holds for its own averaging time and for no other; below it is no all-clear. What the words mean: {Explanations.See("guideline")}; {Explanations.See("moving mean")}.",
        ],
    };

    /// <summary>A file as it is, with the works it cites as remarks below: what is shown can be used.</summary>
    private static void Write(TextWriter to, DataFile file, IReadOnlyList<string> notes, IEnumerable<Figure> figures, IReadOnlyList<SourceReference> own)
    {
        DataKinds.AsItIs(to, file, notes);
        to.Write("\n# Sources\n");
        foreach (var source in AirSources.Of(AirData.Sources(figures), own).OrderBy(static s => s.Id, StringComparer.Ordinal))
        {
            to.Write($"# {source.Id}: {source.Citation}{(source.Doi is { } doi ? $" doi:{doi}" : "")} [{source.Known}]\n");
        }
    }

    /// <summary>The first loop that brings air from outdoors.</summary>
    private static LoopPlan? Outdoor(RoomPlan room) => room.Loops.FirstOrDefault(static loop => loop.Through.Contains(Zone.Outdoors));

    private static double? OutdoorM3PerH(RoomPlan room) =>
        Outdoor(room) is { } loop ? loop.Flow.Value * (loop.ChangesOf is { } of ? room.Zones.First(z => z.Id == of).VolumeM3.Value : 1) : null;

    private static string Range(Figure? figure) => figure is null ? ""
        : figure.Gsd is null or 1 && figure.Range is null ? Digits(figure.Value)
        : $"{Digits(figure.At(-Figure.RangeEndZ))}-{Digits(figure.At(Figure.RangeEndZ))}";

    private static string Percent(Figure? figure) => figure is null ? ""
        : figure.Range is { } range ? $"{Digits(100 * range.Low)}-{(range.High > 0.99 ? Number(100 * range.High) : Digits(100 * range.High))}"
        : Digits(100 * figure.Value);

    private static string Digits(double value) => Number(double.Parse(value.ToString("G2", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture));

    private static string Number(double? value) => value is { } known ? QuantityText.Show(known, Quantity.Number) : "";

    private static string Count(int count, string one) => string.Create(CultureInfo.InvariantCulture, $"{count} {one}{(count == 1 ? "" : "s")}");

    private static string WordOf(MeterQuantity quantity) => Word(quantity.ToString());

    private static string Word(string name) => name.ToLowerInvariant();
}
