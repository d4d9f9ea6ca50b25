// SPDX-License-Identifier: MIT
using System.Text.Json;
using System.Text.RegularExpressions;

namespace Fumecast.Tests.Commands;

public sealed class RoomCommandTests : IDisposable
{
    private readonly TrialJobs _jobs = new();
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-room-").FullName;

    public void Dispose()
    {
        _jobs.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    [Fact]
    public void A_volume_alone_is_enough_and_gives_the_keys_of_the_contract()
    {
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 40), "--volume", "30m3", "--level", "tvoc=30ug/m3", "--format", "json");
        Assert.Equal(0, ended.ExitCode);
        using var document = JsonDocument.Parse(ended.Output);
        var root = document.RootElement;
        Assert.Equal("fumecast/air/1", root.GetProperty("schema").GetString());
        foreach (var key in new[] { "room", "interval", "duration_s", "zones", "clear_after", "remedies", "needed", "balance", "settings_resolved", "diagnostics", "sources", "cautions" })
        {
            Assert.True(root.TryGetProperty(key, out _), key);
        }

        var zone = root.GetProperty("zones")[0];
        Assert.Equal(("room", 30), (zone.GetProperty("zone").GetString(), zone.GetProperty("volume_m3").GetDouble()));
        var number = zone.GetProperty("agents")[0];
        Assert.Equal(("particle_number", "per_cm3"), (number.GetProperty("agent").GetString(), number.GetProperty("unit").GetString()));
        foreach (var key in new[] { "peak", "peak_at_s", "mean_15min", "mean_1h", "mean_8h", "mean_24h", "mean_print", "end_of_print", "time_integral_h" })
        {
            Assert.True(number.TryGetProperty(key, out _), key);
        }

        // What was assumed is said.
        Assert.Contains(root.GetProperty("settings_resolved").EnumerateArray(), static s =>
            s.GetProperty("setting").GetString()!.StartsWith("air changes", StringComparison.Ordinal) && s.GetProperty("because").GetString()!.StartsWith("assumed", StringComparison.Ordinal));
    }

    [Fact]
    public void The_text_says_it_in_plain_words_first_and_never_safe()
    {
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 40), "--volume", "30m3", "--enclosure", "0.12m3", "--leak", "0.5m3/h", "--filter", "thin-carbon", "--remedies");
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Contains("will raise the number of particles by about", ended.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Contains("without the box", ended.Output, StringComparison.Ordinal);
        Assert.Contains("no proof of", ended.Output, StringComparison.Ordinal);
        Assert.Contains("Carbon takes up vapours; it is no particle filter.", ended.Output, StringComparison.Ordinal);
        Assert.DoesNotContain(" is safe", ended.Output, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void The_series_has_a_row_for_each_time_and_three_columns_for_each_level()
    {
        var file = Path.Combine(_folder, "levels.csv");
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 40), "--room", "bedroom-leaky-box", "--series", file);
        Assert.Equal(0, ended.ExitCode);
        var rows = File.ReadAllLines(file);
        Assert.StartsWith("time_s,box_particle_number_per_cm3,box_particle_number_per_cm3_low,box_particle_number_per_cm3_high,", rows[0], StringComparison.Ordinal);
        Assert.True(rows.Length > 50);
        Assert.All(rows, row => Assert.Equal(rows[0].Split(',').Length, row.Split(',').Length));
        var last = Array.ConvertAll(rows[^1].Split(','), static cell => double.Parse(cell, System.Globalization.CultureInfo.InvariantCulture));
        Assert.True(last[0] >= 86_400);
        Assert.All(last, static number => Assert.True(number >= 0));
    }

    // A nozzle that is never hot prints nothing: its zeros are no forecast.
    [Theory]
    [InlineData("estimate")]
    [InlineData("room", "--volume", "30m3")]
    public void A_print_fed_cold_is_no_clean_air(string command, params string[] options)
    {
        var file = Path.Combine(_folder, "cold.gcode");
        File.WriteAllText(file, "; material pla\nM104 S210\nM109 S0\nM83\nG28\nG1 X10 Y10 Z0.2 F3000\n" + string.Concat(Enumerable.Range(0, 60).Select(static i => $"G1 X{20 + i} E1\n")));
        var ended = InMemory.Real([command, file, .. options]);
        Assert.Contains("feeds filament while the nozzle is cold, which no printer can do", ended.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.DoesNotContain("will give off", ended.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("will add nothing", ended.Output, StringComparison.Ordinal);
    }

    // Two volumes empty by two exponentials; between its times the forecast must not draw them as one.
    [Fact]
    public void A_box_is_said_to_clear_when_the_two_volumes_do()
    {
        var ended = InMemory.Real(
            "room", _jobs.Wall("wall.gcode", rounds: 400), "--volume", "30m3", "--enclosure", "0.1m3", "--leak", "1m3/h", "--air-changes", "1/h",
            "--level", "tvoc=0.5ug/m3", "--level", "tvoc=5ug/m3", "--format", "json");
        using var air = System.Text.Json.JsonDocument.Parse(ended.Output);
        double AtEnd(string zone) => air.RootElement.GetProperty("zones").EnumerateArray().First(z => z.GetProperty("zone").GetString() == zone)
            .GetProperty("agents").EnumerateArray().First(static a => a.GetProperty("agent").GetString() == "tvoc").GetProperty("end_of_print").GetProperty("median").GetDouble();
        foreach (var level in new[] { 0.5, 5.0 })
        {
            var after = air.RootElement.GetProperty("clear_after").EnumerateArray()
                .First(c => c.GetProperty("zone").GetString() == "box" && c.GetProperty("level").GetDouble() == level).GetProperty("after_print_s").GetProperty("median").GetDouble();
            var expected = Falls(AtEnd("box"), AtEnd("room"), level);
            Assert.InRange(after, 0.9 * expected, 1.1 * expected);
        }

        // By small steps: 1 m3/h between 0.1 and 30 m3, 30 m3/h to outdoors.
        static double Falls(double box, double room, double level)
        {
            var seconds = 0.0;
            for (; box > level; seconds += 0.5)
            {
                var exchanged = 0.5 / 3600 * (box - room);
                box -= exchanged / 0.1;
                room += (exchanged / 30) - (0.5 / 3600 * room);
            }

            return seconds;
        }
    }

    [Theory]
    [InlineData(2, "the room is missing", "room", "JOB")]
    [InlineData(2, "--room describes the whole room", "room", "JOB", "--room", "office", "--volume", "30m3")]
    [InlineData(1, "found no filter 'hepaa'; did you mean 'hepa'?", "room", "JOB", "--room", "office", "--filter", "hepaa")]
    [InlineData(2, "--leak is that of a box", "room", "JOB", "--volume", "30m3", "--leak", "1m3/h")]
    [InlineData(2, "--volume: found '-3m3'", "room", "JOB", "--volume", "-3m3")]
    [InlineData(2, "--volume: found '30'", "room", "JOB", "--volume", "30")]
    [InlineData(2, "--level: found 'styrene'", "room", "JOB", "--volume", "30m3", "--level", "styrene")]
    [InlineData(2, "--level: found 'stryene', which nothing here is known to give off", "room", "JOB", "--volume", "30m3", "--level", "stryene=30ug/m3")]
    [InlineData(2, "the values of the options cannot be taken together", "room", "JOB", "--volume", "1000000m3", "--air-changes", "2/h")]
    [InlineData(2, "--volume: found '2000000m3'", "room", "JOB", "--volume", "2000000m3")]
    [InlineData(2, "--enclosure: found '40m3', which is no smaller than the room", "room", "JOB", "--volume", "30m3", "--enclosure", "40m3")]
    [InlineData(1, "did you mean 'office'", "room", "JOB", "--room", "ofice")]
    [InlineData(2, "name a job", "room", "--room", "office")]
    [InlineData(2, "--level: found 'particles', expected particle_number or particle_mass (levels: particle_number in 1/cm3, all else in ug/m3)", "room", "JOB", "--volume", "30m3", "--level", "particles=1000/cm3")]
    [InlineData(2, "--level: found 'vapours', expected tvoc, or a substance such as styrene", "room", "JOB", "--volume", "30m3", "--level", "vapours=30ug/m3")]
    [InlineData(2, "--level: found 'PM2.5', expected pm25", "room", "JOB", "--volume", "30m3", "--level", "PM2.5=30ug/m3")]
    public void What_is_wrong_is_said_in_one_line(int code, string says, params string[] args)
    {
        var job = _jobs.Wall("wall.gcode", rounds: 2);
        var ended = InMemory.Real([.. args.Select(a => a == "JOB" ? job : a)]);
        Assert.Equal((code, ""), (ended.ExitCode, ended.Output));
        Assert.Contains(says, ended.Error, StringComparison.Ordinal);
        Assert.Single(ended.Error.TrimEnd('\n').Split('\n'));
    }

    [Fact]
    public void A_level_is_of_what_is_added_where_nothing_is_stated_of_the_rest()
    {
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 10), "--volume", "30m3", "--level", "tvoc=300ug/m3");
        Assert.Equal(0, ended.ExitCode);
        Assert.Contains("what the print adds of TVOC is below 300 ug/m3", ended.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
    }

    [Fact]
    public void A_level_that_the_air_holds_anyway_is_never_met()
    {
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 10), "--room", RoomWith("outdoors: {tvoc: 63 ug/m3}"), "--level", "tvoc=20ug/m3");
        Assert.Equal(0, ended.ExitCode);
        Assert.Contains("TVOC is below 20 ug/m3 never: without the print there are about 63", Joined(ended.Output), StringComparison.Ordinal);
        Assert.DoesNotContain("(over 24 h to over 24 h)", Joined(ended.Output), StringComparison.Ordinal);
    }

    [Fact]
    public void What_remedies_assume_stands_among_what_it_rests_on()
    {
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 10), "--volume", "30m3", "--remedies", "--format", "json");
        using var document = JsonDocument.Parse(ended.Output);
        var settings = document.RootElement.GetProperty("settings_resolved").EnumerateArray().Select(static s => s.GetProperty("setting").GetString()!).ToList();
        Assert.Contains("remedies: air changes of room, open window in room", settings);
        Assert.Contains("remedies: flow, exhaust of room", settings);
        Assert.Contains("remedies: flow, each filter that is tried", settings);
        Assert.Contains("remedies: particles taken out in one pass, hepa", settings);
    }

    [Fact]
    public void Near_the_printer_the_worst_air_leads_and_remedies_are_for_it()
    {
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 10), "--volume", "30m3", "--near-field", "--remedies");
        Assert.Equal(0, ended.ExitCode);
        Assert.Contains("Of the zones that people are in, near gets the most", Joined(ended.Output), StringComparison.Ordinal);
        Assert.Contains("REMEDIES SIDE BY SIDE, IN NEAR", ended.Output, StringComparison.Ordinal);
        Assert.Contains("AGAINST GUIDELINES, IN NEAR", ended.Output, StringComparison.Ordinal);
        Assert.Contains("This is what is added over the level of each", Joined(ended.Output), StringComparison.Ordinal);
        Assert.Contains("below this a day's mean is called low", Joined(ended.Output), StringComparison.Ordinal);
    }

    [Fact]
    public void A_filter_file_may_bring_its_own_sources_into_a_room_and_loops_are_asked_for_carbon_too()
    {
        File.WriteAllText(Path.Combine(_folder, "mine.yaml"), """
            schema: fumecast/filter/1
            id: mine
            name: a carbon pad of our own
            description: a pad that was measured once
            efficiency:
              vapours: {value: 0.3, source: MY2024, where: "a note of ours", known: read, grade: B}
            bypass: {value: 0, source: MY2024, where: "a note of ours", known: read, grade: B}
            sources:
              MY2024: {citation: "A note of ours, 2024", known: read}
            """);
        var room = RoomWith("  - {loop: [outdoors, room], flow: 5 m3/h, filters: [{before: room, filter: mine.yaml}]}");
        var ended = InMemory.Real("room", _jobs.Wall("wall.gcode", rounds: 10), "--room", room);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Contains("STATED, MY2024", Joined(ended.Output), StringComparison.Ordinal);
        Assert.Contains("Carbon takes up vapours; it is no particle filter.", Joined(ended.Output), StringComparison.Ordinal);
    }

    [Fact]
    public void Jobs_that_stand_in_for_a_rooms_prints_and_folders_left_out_are_told()
    {
        var jobs = Directory.CreateDirectory(Path.Combine(_folder, "jobs"));
        var inner = Directory.CreateDirectory(Path.Combine(jobs.FullName, "inner"));
        File.Copy(_jobs.Wall("wall.gcode", rounds: 10), Path.Combine(jobs.FullName, "wall.gcode"));
        File.Copy(_jobs.Wall("wall.gcode", rounds: 10), Path.Combine(inner.FullName, "wall.gcode"));
        var ended = InMemory.Real("room", jobs.FullName, "--room", RoomWith("prints: [{job: other.gcode, zone: room}]"));
        Assert.Equal(0, ended.ExitCode);
        Assert.Contains("in place of those that the room lists (1)", Joined(ended.Output), StringComparison.Ordinal);
        Assert.Contains("folders in it are not searched", ended.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_data_file_in_the_place_of_a_job_is_told_where_it_belongs()
    {
        var room = RoomWith("");
        var ended = InMemory.Real("room", room);
        Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
        Assert.Contains($"{room} describes a room and is no job; give it as --room {room}", ended.Error, StringComparison.Ordinal);
        var other = Path.Combine(_folder, "notes.yaml");
        File.WriteAllText(other, "a: list of mine\n");
        Assert.Contains("is a data file and no job; expected G-code", InMemory.Real("room", other, "--volume", "30m3").Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("rooms", "--room")]
    [InlineData("filters", "--filter")]
    [InlineData("meters", "--meter")]
    public void A_template_that_was_not_filled_in_is_warned_of(string kind, string option)
    {
        var mine = Path.Combine(_folder, "mine.yaml");
        Assert.Equal(0, InMemory.Real(kind, "template", "--out", mine).ExitCode);
        var job = _jobs.Wall("wall.gcode", rounds: 2);
        string[] given = ["room", job, option, mine, .. option == "--room" ? Array.Empty<string>() : ["--volume", "30m3"], "--format", "json"];
        var ended = InMemory.Real(given);
        Assert.Equal(0, ended.ExitCode);
        Assert.Matches($@"fumecast: warning: {Regex.Escape(mine)}: \d+ places are still marked FILL IN \(line [\d, ]+\): give your own and remove the mark; until then the forecast rests on figures of nobody's {kind[..^1]}", ended.Error);
        Assert.Contains($"{kind[..^1]}-unfilled", ended.Output, StringComparison.Ordinal);
        Assert.Equal(1, InMemory.Real([.. given, "--strict"]).ExitCode);
        Assert.Contains("still marked FILL IN", InMemory.Real(kind, "check", mine).Output, StringComparison.Ordinal);

        File.WriteAllText(mine, File.ReadAllText(mine).Replace("# FILL IN", ""));
        Assert.DoesNotContain("FILL IN", InMemory.Real(given).Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_job_named_twice_counts_once_and_that_is_said()
    {
        var jobs = Directory.CreateDirectory(Path.Combine(_folder, "jobs")).FullName;
        var job = Path.Combine(jobs, "wall.gcode");
        File.Copy(_jobs.Wall("wall.gcode", rounds: 10), job);
        var once = InMemory.Real("room", job, "--volume", "30m3", "--format", "json");
        foreach (var twice in new[] { InMemory.Real("room", job, job, "--volume", "30m3", "--format", "json"), InMemory.Real("room", job, jobs, "--volume", "30m3", "--format", "json") })
        {
            Assert.Equal(0, twice.ExitCode);
            Assert.Contains($"fumecast: warning: {job}: named 2 times and counted once; for several printers list it under prints in a file of the room, with copies", twice.Error, StringComparison.Ordinal);
            Assert.Equal(PeakOf(once.Output), PeakOf(twice.Output));
        }

        Assert.Empty(once.Error);
        var day = InMemory.Real("room", "--room", RoomWith($"prints: [{{job: {job}}}, {{job: {job}, start: 2 h}}]"), "--format", "json");
        Assert.Equal((0, ""), (day.ExitCode, day.Error));
        Assert.Contains("counts the residue in the nozzle in full", day.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("counts the residue in the nozzle in full", once.Output, StringComparison.Ordinal);

        static double PeakOf(string output)
        {
            using var document = JsonDocument.Parse(output);
            return document.RootElement.GetProperty("zones")[0].GetProperty("agents")[0].GetProperty("peak").GetProperty("high").GetDouble();
        }
    }

    [Fact]
    public void The_same_seed_gives_the_same_numbers()
    {
        var job = _jobs.Wall("wall.gcode", rounds: 10);
        string[] args = ["room", job, "--volume", "25 to 35 m3", "--format", "json", "--seed", "5"];
        Assert.Equal(InMemory.Real(args).Output, InMemory.Real(args).Output);
    }

    private static string Joined(string text) => string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

    private string RoomWith(string lines)
    {
        var file = Path.Combine(_folder, "room.yaml");
        File.WriteAllText(file, """
            schema: fumecast/room/1
            id: den
            description: a room of a test
            zones:
              room: {volume: 30 m3}
            air:
              - {loop: [outdoors, room], changes: 1 /h, of: room}

            """ + lines + "\n");
        return file;
    }
}
