// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Air;

public sealed class RoomFileTests : IDisposable
{
    private const string Good = """
        schema: fumecast/room/1
        id: reading-room
        description: the repair cafe's room
        zones:
          box:  {volume: 0.12 m3, deposition: {particles: 1 to 5 /h}}
          room: {volume: 45 m3, deposition: {particles: 0.5 /h, styrene: 0.1 /h}}
        air:
          - {loop: [box, room], flow: 0.3 to 2 m3/h, name: leaks of the box}
          - {loop: [outdoors, room], changes: 0.3 to 1 /h, of: room, penetration: {particles: 0.8}}
          - {loop: [outdoors, room, box], flow: 20 m3/h, name: exhaust fan, on: {from: start, until: end + 30 min}}
        filters:
          - {zone: box, filter: hepa-and-carbon, flow: 10 m3/h, bypass: 10 %}
        outdoors: {pm25: 8 ug/m3, particle_number: 4000 /cm3, tvoc: 50 ug/m3}
        indoors: {tvoc: 100 ug/h in room}
        begins: 08:00
        prints:
          - {job: clip.gcode, zone: box, start: 09:30, copies: 5, every: 2 h, times: 3}
        """;

    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-room-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static RoomPlan Read(string text, string name = "shed/room.yaml") => AirData.Rooms.Read(new DataFile(name, text));

    private static string Complaint(string text) => Assert.Throws<InputProblem>(() => Read(text)).Message;

    /// <summary>The good room with one text replaced, which must be there once.</summary>
    private static string Changed(string old, string with)
    {
        Assert.Equal(2, Good.Split(old).Length);
        return Good.Replace(old, with, StringComparison.Ordinal);
    }

    [Fact]
    public void A_room_becomes_the_model_of_the_engine()
    {
        var room = Read(Good);
        var model = room.ModelAt(static f => f.Value);
        model.Validate();

        Assert.Equal(["box", "room"], model.Zones.Select(static z => z.Id));
        Assert.Equal((0.12, 45.0), (model.Zones[0].VolumeM3, model.Zones[1].VolumeM3));
        Close.To(Math.Sqrt(5), model.Zones[0].DepositionPerH.Particles, 1e-12);
        Assert.Equal((0.5, 0.1, 0.0), (model.Zones[1].DepositionPerH.Particles, model.Zones[1].DepositionPerH.Of(new Agent("styrene", "styrene", "ug")), model.Zones[1].DepositionPerH.Vapours));
        Close.To(Math.Sqrt(0.6), model.Loops[0].FlowM3PerH, 1e-12);
        Close.To(45 * Math.Sqrt(0.3), model.Loops[1].FlowM3PerH, 1e-12);
        Assert.Equal((0.8, 1.0), (model.Loops[1].Penetration.Particles, model.Loops[1].Penetration.Vapours));
        Assert.Equal((20.0, "exhaust fan"), (model.Loops[2].FlowM3PerH, model.Loops[2].Name));
        Assert.Equal(new SchedulePiece(new(ScheduleAnchor.Start, 0), new(ScheduleAnchor.End, 1800)), Assert.Single(model.Loops[2].On.Pieces));

        var filter = Assert.Single(model.Filters);
        Assert.Equal(("box", 10.0, 0.1), (filter.Zone, filter.FlowM3PerH, filter.Bypass));
        Close.To(0.9995 * 0.9 * 10, filter.CleanAirM3PerH(Agent.ParticleMass), 1e-12);

        Assert.Equal((4e9, 8.0, 8.0, 50.0, 0.0), (
            model.OutdoorsPerM3.Of(Agent.ParticleNumber), model.OutdoorsPerM3.Of(Agent.ParticleMass), model.OutdoorsPerM3.Of(Agent.VisibleMass), model.OutdoorsPerM3.Of(Agent.Tvoc),
            model.OutdoorsPerM3.Of(new Agent("styrene", "styrene", "ug"))));
        var source = Assert.Single(model.Indoors);
        Assert.Equal(("room", Agent.Tvoc), (source.Zone, source.Agent));
        Close.To(100.0 / 3600, source.PerS, 1e-12);
    }

    [Fact]
    public void Each_box_of_a_room_stays_a_box()
    {
        var room = Read(Changed("  room: {volume", "  other: {volume: 0.2 m3, enclosure: true}\n  room: {volume"));
        Assert.Equal(["box", "other"], room.Zones.Where(static z => z.IsEnclosure).Select(static z => z.Id));
        Assert.Equal("box", room.Box!.Id);
    }

    [Fact]
    public void A_days_prints_are_found_from_the_rooms_own_folder()
    {
        var print = Assert.Single(Read(Good).Prints);
        Assert.Equal(("clip.gcode", Path.Combine("shed", "clip.gcode"), "box"), (print.Job, print.Path, print.Zone));
        Assert.Equal((5400.0, 5, 7200.0, 3), (print.StartS, print.Copies, print.EveryS, print.Times));
        Assert.Equal("shed/room.yaml:17:11", print.At);
        Assert.Equal(8 * 3600, Read(Good).TimeOfDayS);
    }

    [Fact]
    public void Figures_with_a_spread_are_ranges_with_names_of_their_own()
    {
        var room = Read(Good);
        Assert.Equal(
            ["deposition of particles in box", "flow, leaks of the box", "air changes of room, air through outdoors, room", "particles taken out in one pass, hepa-and-carbon", "vapours taken out in one pass, hepa-and-carbon"],
            room.Ranges.Select(static r => r.Name));
        Assert.Equal(room.Figures.Count, room.Figures.Select(static f => f.Name).Distinct().Count());
        Assert.All(room.Figures, static f => Assert.NotEmpty(f.Figure.Origin.Sources));

        // Each range is asked for by itself, whatever else is equal to it.
        var doubled = room.Ranges[1].Figure;
        var model = room.ModelAt(f => ReferenceEquals(f, doubled) ? 2 * f.Value : f.Value);
        Close.To(2 * Math.Sqrt(0.6), model.Loops[0].FlowM3PerH, 1e-12);
    }

    [Fact]
    public void One_kind_of_filter_is_the_same_wherever_it_stands()
    {
        var room = Read(Changed("flow: 10 m3/h, bypass: 10 %}", "flow: 10 m3/h}\n  - {zone: room, filter: hepa-and-carbon, flow: 90 m3/h}"));
        Assert.Same(room.Filters[0].Kind, room.Filters[1].Kind);
        Assert.Single(room.Ranges, static r => r.Name == "particles taken out in one pass, hepa-and-carbon");
        Assert.Single(room.Ranges, static r => r.Name.StartsWith("air that slips past", StringComparison.Ordinal));
    }

    [Fact]
    public void A_filter_may_be_a_file_beside_the_room()
    {
        File.WriteAllText(Path.Combine(_folder, "jar.yaml"), new DataCatalogue("filters").Find("foam").Text.Replace("id: foam", "id: jar", StringComparison.Ordinal));
        Assert.Equal("jar", Read(Changed("filter: hepa-and-carbon", "filter: jar.yaml"), Path.Combine(_folder, "room.yaml")).Filters[0].Kind.Id);
    }

    [Theory]
    [InlineData("start", ScheduleAnchor.Start, 0)]
    [InlineData("end - 10 min", ScheduleAnchor.End, -600)]
    [InlineData("end+1h30m", ScheduleAnchor.End, 5400)]
    [InlineData("20 min", ScheduleAnchor.Run, 1200)]
    [InlineData("18:30", ScheduleAnchor.Midnight, 66600)]
    internal void Times_are_counted_from_the_print_the_run_or_midnight(string text, ScheduleAnchor anchor, double offsetS)
    {
        Assert.True(ScheduleText.TryParse(text, out var time, out var problem), problem);
        Assert.Equal(new ScheduleTime(anchor, offsetS), time);
    }

    [Theory]
    // Zones.
    [InlineData("  room: {volume: 45 m3, ", "  room: {", "room.yaml:6:9: key 'volume' is missing, expected a volume of air such as 30 m3")]
    [InlineData("volume: 45 m3", "volume: -45 m3", "room.yaml:6:18: volume: found '-45 m3', expected 0.001 m3 to 1e6 m3")]
    [InlineData("volume: 45 m3", "volume: 0 m3", "room.yaml:6:18: volume: found '0 m3', expected 0.001 m3 to 1e6 m3")]
    [InlineData("volume: 45 m3", "volume: 45", "room.yaml:6:18: volume: found '45' without a unit, expected a volume of air such as 30 m3")]
    [InlineData("volume: 45 m3", "volume: 45 m2", "room.yaml:6:18: volume: found '45 m2' ('m2' belongs to an area), expected a volume of air in m3, l, L, such as 30 m3")]
    [InlineData("volume: 45 m3", "volume: [40 m3, 50 m3]", "room.yaml:6:18: volume: found a list, expected a text")]
    [InlineData("volume: 45 m3", "volume: 50 to 40 m3", "volume: found '50 to 40 m3', expected the lower end first and the ends to differ")]
    [InlineData("volume: 45 m3, dep", "volume: 45 m3, high: 2 m, dep", "room.yaml:6:25: unknown key 'high'")]
    [InlineData("  room: {volume", "  outdoors: {volume", "found 'outdoors' as the name of a zone")]
    [InlineData("  room: {volume", "  My room: {volume", "found 'My room' as the name of a zone, expected small letters")]
    [InlineData("{particles: 0.5 /h, styrene", "{partciles: 0.5 /h, styrene", "expected particle_number, particle_mass, visible_mass, tvoc, particles, vapours, at or the name of a substance such as styrene; did you mean 'particles'?")]
    [InlineData("{particles: 0.5 /h, styrene", "{particles: -0.5 /h, styrene", "room.yaml:6:49: particles: found '-0.5 /h', expected 0 1/h to 1000 1/h")]
    // Air.
    [InlineData("loop: [box, room]", "loop: [box, rom]", "room.yaml:8:18: loop: found 'rom', which is no zone of this room; did you mean 'room'?")]
    [InlineData("loop: [box, room]", "loop: [box]", "room.yaml:8:12: loop: found 'box' alone, expected two places at least, since air that goes somewhere comes back; outdoors is one")]
    [InlineData("loop: [box, room]", "loop: []", "loop: found no place, expected two places at least")]
    [InlineData("loop: [box, room]", "loop: [box, room, box]", "room.yaml:8:24: loop: found 'box' a second time, expected each place once; write two loops")]
    [InlineData("loop: [box, room], ", "", "key 'loop' is missing, expected a list of zones that the air goes round, such as [outdoors, room]")]
    [InlineData("flow: 0.3 to 2 m3/h, ", "", "room.yaml:8:5: key 'flow' is missing, expected an air flow such as 20 m3/h")]
    [InlineData("flow: 20 m3/h", "flow: 1e9 m3/h", "room.yaml:10:41: flow: found '1e9 m3/h', expected 0 m3/h to 100000 m3/h")]
    [InlineData("flow: 20 m3/h", "flow: 20 m3/h, changes: 1 /h, of: box", "flow: found beside 'changes', expected one of them; remove the other")]
    [InlineData("changes: 0.3 to 1 /h, of: room", "changes: 0.3 to 1 /h", "key 'of' is missing, expected a text")]
    [InlineData("changes: 0.3 to 1 /h, of: room", "changes: 0.3 to 1 /h, of: hall", "of: found 'hall', which is no zone of this room; known: box, room")]
    [InlineData("changes: 0.3 to 1 /h, of: room", "flow: 20 m3/h, of: room", "of: found without 'changes'")]
    [InlineData("penetration: {particles: 0.8}", "penetration: {particles: 1.8}", "particles: found '1.8', expected 0 to 1")]
    [InlineData("name: leaks of the box", "penetration: {particles: 0.8}", "penetration: found in a loop that does not go through 'outdoors'")]
    [InlineData("name: leaks of the box", "filters: [{filter: foam, before: hall}]", "before: found 'hall', where this loop does not go; known: box, room")]
    // Schedules.
    [InlineData("{from: start, until: end + 30 min}", "{from: end, until: start}", "room.yaml:10:92: until: found an end before the beginning, since a print starts before it ends; turn them round")]
    [InlineData("{from: start, until: end + 30 min}", "{from: 2 h, until: 1 h}", "until: found '1 h' for a stretch from '2 h': a stretch ends before it begins")]
    [InlineData("{from: start, until: end + 30 min}", "{from: start + 10 min, until: start + 5 min}", "until: found 'start + 5 min' for a stretch from 'start + 10 min': a stretch ends before it begins")]
    [InlineData("{from: start, until: end + 30 min}", "{from: 12:00, until: end}", "a stretch goes from a time of day to another time of day, or between times of the run")]
    [InlineData("{from: start, until: end + 30 min}", "{from: begin}", "from: found 'begin', expected a time such as 20 min, start, end + 30 min, or 18:30")]
    [InlineData("{from: start, until: end + 30 min}", "{share: 50 %}", "on: found neither 'from' nor 'until'")]
    [InlineData("{from: start, until: end + 30 min}", "[]", "on: found an empty list")]
    [InlineData("{from: start, until: end + 30 min}", "always", "on: found 'always', expected a map of keys and values")]
    // Filters.
    [InlineData("flow: 10 m3/h, bypass: 10 %", "bypass: 10 %", "room.yaml:12:5: key 'flow' is missing, expected an air flow such as 20 m3/h")]
    [InlineData("flow: 10 m3/h", "flow: 0 m3/h", "flow: found '0 m3/h', expected 0.001 m3/h to 100000 m3/h")]
    [InlineData("filter: hepa-and-carbon", "filter: hepa-and-carbn", "filter: found no filter 'hepa-and-carbn'; did you mean 'hepa-and-carbon'?")]
    [InlineData("{zone: box, filter", "{zone: bax, filter", "room.yaml:12:12: zone: found 'bax', which is no zone of this room; did you mean 'box'?")]
    [InlineData("{zone: box, filter", "{filter", "key 'zone' is missing")]
    [InlineData("bypass: 10 %", "bypass: 110 %", "bypass: found '110 %', expected 0 to 1")]
    // Levels and sources.
    [InlineData("pm25: 8 ug/m3", "pm25: 8 /cm3", "pm25: found '8 /cm3' ('/cm3' belongs to a number concentration), expected a mass concentration in")]
    [InlineData("pm25: 8 ug/m3", "pm25: 8 ug/m3, pm10: 9 ug/m3", "pm10: found beside 'pm25', which is a level of the same; remove one")]
    [InlineData("tvoc: 100 ug/h in room", "tvoc: 100 ug/h", "tvoc: found '100 ug/h', expected a rate and a zone such as 40 ug/min in room")]
    [InlineData("tvoc: 100 ug/h in room", "tvoc: 100 ug/h in shed", "tvoc: found 'shed', which is no zone of this room; known: box, room")]
    // Prints.
    [InlineData("zone: box, start", "zone: bax, start", "zone: found 'bax', which is no zone of this room; did you mean 'box'?")]
    [InlineData("every: 2 h, times: 3", "times: 3", "times: found without 'every'")]
    [InlineData("every: 2 h, times: 3", "every: 2 h", "every: found without 'times'")]
    [InlineData("every: 2 h, times: 3", "every: 2 d, times: 30", "times: found a last start after 30 days")]
    [InlineData("copies: 5", "copies: 0", "copies: found '0', expected a whole number from 1 to 1000")]
    [InlineData("start: 09:30", "start: 07:30", "start: found '07:30', which is before the run begins")]
    [InlineData("begins: 08:00\n", "", "start: found a time of day, '09:30', without 'begins'")]
    [InlineData("begins: 08:00", "begins: morning", "begins: found 'morning', expected a time of day such as 08:00")]
    public void What_cannot_be_is_told_with_its_place(string old, string with, string expected)
    {
        var message = Complaint(Changed(old, with));
        Assert.StartsWith("shed/room.yaml:", message, StringComparison.Ordinal);
        Assert.Contains(expected, message);
        Assert.DoesNotContain('\n', message);
    }

    [Fact]
    public void Numbers_that_cannot_be_taken_together_are_told() =>
        Assert.Contains(
            "cannot be taken together, or their ranges reach too far: flow of 'air through outdoors, room' [m3/h] is",
            Complaint(Changed("changes: 0.3 to 1 /h", "changes: 9000 /h").Replace("volume: 45 m3", "volume: 9e5 m3", StringComparison.Ordinal)));

    [Fact]
    public void A_file_without_zones_is_told() =>
        Assert.Contains("key 'zones' is missing, expected a map of keys and values", Complaint("schema: fumecast/room/1\nid: x\ndescription: y\n"));

    [Fact]
    public void A_source_that_is_nowhere_is_told() =>
        Assert.Contains("source 'TAPE' is used but not listed", Complaint(Changed("volume: 45 m3", "volume: {value: 45 m3, source: TAPE, where: wall, known: read, grade: B}")));

    [Fact]
    public void A_figure_may_carry_its_source_and_the_file_one_for_all_others()
    {
        var room = Read("origin: {source: TAPE, where: wall, known: read, grade: B}\nsources: {TAPE: {citation: my tape, known: read}}\n" + Changed("volume: 45 m3", "volume: {value: 40 to 50 m3, source: JUDGEMENT, where: guess, known: assumed, grade: D, why: no tape}"));
        Assert.Equal(FigureKnown.Assumed, room.Zones[1].VolumeM3.Origin.Known);
        Close.To(Math.Sqrt(2000), room.Zones[1].VolumeM3.Value, 1e-12);
        Assert.Equal("TAPE", Assert.Single(room.Zones[0].VolumeM3.Origin.Sources));
        Assert.Equal(FigureReader.Stated, Assert.Single(Read(Good).Zones[0].VolumeM3.Origin.Sources));
    }
}
