// SPDX-License-Identifier: MIT
using System.Text.Json;
using System.Text.RegularExpressions;
using Fumecast.Inputs;
using Fumecast.Report;

namespace Fumecast.Tests.Commands;

/// <summary>Data files of every kind are listed, shown, checked and begun in the same way.</summary>
public sealed class DataCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-data-").FullName;

    public static TheoryData<string> Kinds => [.. DataKinds.All().Select(static kind => kind.Name)];

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [MemberData(nameof(Kinds))]
    public void The_list_fits_eighty_columns_and_has_every_id(string kind)
    {
        var ended = FumecastProcess.Run(kind, "list");
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        var lines = ended.Output.Split('\n');
        Assert.All(lines, static line => Assert.InRange(line.Length, 0, 80));
        Assert.Equal(Kind(kind).Ids, lines.Skip(2).TakeWhile(static line => line.Length > 0).Where(static line => line[0] != ' ').Select(static line => line.Split(' ')[0]));
        Assert.Contains("FUMECAST_DATA", ended.Output);
    }

    [Fact]
    public void A_material_of_the_list_has_its_figures_and_a_printer_the_mark_of_the_default()
    {
        Assert.Contains("\nabs               ABS                220-260       1e11   20      B   150      B\n", FumecastProcess.Run("materials", "list").Output);
        Assert.Matches(@"(?m)^desktop-default   numbered-commands  220x220x240   2000      300\n     a desktop[^\n]+\n[^\n]+\n     taken where no --printer is given$", FumecastProcess.Run("printers", "list").Output);
    }

    [Theory]
    [InlineData(40)]
    [InlineData(60)]
    [InlineData(80)]
    [InlineData(100)]
    public void On_a_terminal_the_table_is_as_wide_as_that(int width)
    {
        var listing = DataListing.Of(Kind("materials"));
        using var text = new StringWriter { NewLine = "\n" };
        DataListText.Write(text, listing, new TextStyle(width, CutsNames: true));
        var lines = text.ToString().Split('\n');

        // Ids and figures take 60 columns; below that only names can give way.
        Assert.All(lines.Take(listing.Kind.Ids.Count + 2), line => Assert.InRange(line.Length, 0, Math.Max(width, 60)));
        Assert.Equal(width >= 100, lines[0].EndsWith("at", StringComparison.Ordinal));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void The_list_is_also_JSON_and_CSV(string kind)
    {
        var json = FumecastProcess.Run(kind, "list", "--format", "json");
        Assert.Equal((0, ""), (json.ExitCode, json.Error));
        using var document = JsonDocument.Parse(json.Output);
        Assert.Equal("fumecast/list/1", document.RootElement.GetProperty("schema").GetString());
        var entries = document.RootElement.GetProperty("entries").EnumerateArray().ToArray();
        Assert.Equal(Kind(kind).Ids, entries.Select(static entry => entry.GetProperty("id").GetString()!));

        var file = Path.Combine(_folder, "list.csv");
        Assert.Equal((0, "", ""), Parts(FumecastProcess.Run(kind, "list", "--format", "csv", "--out", file)));
        var rows = File.ReadAllLines(file);
        Assert.StartsWith("id,id_in_file,file,", rows[0], StringComparison.Ordinal);
        Assert.Equal(Kind(kind).Ids, rows.Skip(1).Select(static row => row.Split(',')[0]));
        foreach (var key in entries[0].EnumerateObject().Select(static property => property.Name))
        {
            Assert.Contains(key, rows[0].Split(','));
        }
    }

    [Fact]
    public void A_copied_printer_that_keeps_its_id_is_told_with_both_paths()
    {
        var own = Own("printers", "shed.yaml", Shipped("printers", "desktop-default"));
        var list = WithData("printers", "list");
        Assert.Equal((0, ""), (list.ExitCode, list.Error));
        Assert.Contains($"\nshed ", list.Output);
        Assert.Contains($"     file: {own}\n", list.Output);
        Assert.Contains("states the id desktop-default, as the shipped printer does", Unwrapped(list.Output));
        Assert.Contains("change the key 'id' in it, to shed say", Unwrapped(list.Output));

        var second = Own("printers", "garage.yaml", Shipped("printers", "desktop-default"));
        Assert.Contains($"states the id desktop-default, as {second} does", Unwrapped(WithData("printers", "list").Output));

        var shown = WithData("printers", "show", "shed");
        Assert.StartsWith($"# file: {own}\n# note: states the id desktop-default, as {second} does", shown.Output, StringComparison.Ordinal);
        using var json = JsonDocument.Parse(WithData("printers", "list", "--format", "json").Output);
        var entry = json.RootElement.GetProperty("entries").EnumerateArray().Single(static e => e.GetProperty("id").GetString() == "shed");
        Assert.Equal(("desktop-default", own), (entry.GetProperty("id_in_file").GetString(), entry.GetProperty("file").GetString()));
        Assert.Equal(_folder, json.RootElement.GetProperty("data_folder").GetString());
    }

    [Fact]
    public void A_file_that_takes_the_place_of_a_shipped_one_is_told()
    {
        var own = Own("materials", "pla.yaml", Shipped("materials", "pla"));
        var list = Unwrapped(WithData("materials", "list").Output);
        Assert.Contains($"file: {own} takes the place of the shipped material of that id", list);
        Assert.Contains($"file: {own}\nnote: takes the place of the shipped material of that id\n", WithData("materials", "show", "pla").Output);
    }

    [Fact]
    public void A_path_that_is_shown_is_held_against_all_that_is_known()
    {
        var elsewhere = Path.Combine(_folder, "copy.yaml");
        File.WriteAllText(elsewhere, Shipped("printers", "corexy-fast"));
        Assert.StartsWith($"# file: {elsewhere}\n# note: states the id corexy-fast, as the shipped printer does", FumecastProcess.Run("printers", "show", elsewhere).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_wrong_file_of_the_users_own_does_not_hide_the_others()
    {
        var own = Own("printers", "bad.yaml", "schema: fumecast/printer/1\nid: bad\n");
        var list = WithData("printers", "list");
        Assert.Equal(1, list.ExitCode);
        Assert.Contains("\ncorexy-fast ", list.Output);
        Assert.StartsWith($"fumecast: {own}:1:1: ", list.Error, StringComparison.Ordinal);
        Assert.Matches(@" keys are missing: [^;]*'description' \(a text\), 'dialect' \(a map of keys and values\)", list.Error);
    }

    [Theory]
    [InlineData("materials", "good, material abs with 21 figures and 44 observations, worst grade C", "abs")]
    [InlineData("printers", "good, printer corexy-fast, reads G-code as named-macros", "corexy-fast")]
    [InlineData("rooms", "good, room bedroom with 1 zone, 1 loop and 7 figures, 7 of them ranges", "bedroom")]
    [InlineData("filters", "good, filter hepa with 3 figures, worst grade D", "hepa")]
    [InlineData("meters", "good, meter particle-counter that shows number, with 9 figures", "particle-counter")]
    [InlineData("guidelines", "good, guideline who-2021-pm25-24h, 15 ug/m3 of pm25 over 24 h", "who-2021-pm25-24h")]
    public void Every_checked_file_gets_its_own_verdict(string kind, string verdict, string id)
    {
        var good = Save("good.yaml", Shipped(kind, id));
        var wrong = Save("wrong.yaml", Shipped(kind, id).Replace("description:", "descripton:", StringComparison.Ordinal));
        var other = Save("other.yaml", "schema: fumecast/room/9\n");
        var none = Save("none.yaml", "id: x\n");
        var missing = Path.Combine(_folder, "missing.yaml");
        var ended = FumecastProcess.Run(kind, "check", good, wrong, other, none, missing);
        Assert.Equal((1, ""), (ended.ExitCode, ended.Error));
        var lines = ended.Output.Split('\n');
        Assert.Equal($"{good}: {verdict}", lines[0]);
        Assert.Matches($@"^{Regex.Escape(wrong)}:\d+:1: unknown key 'descripton'; did you mean 'description'\?$", lines[1]);
        Assert.Equal($"{other}: schema: found 'fumecast/room/9'; did you mean 'fumecast/room/1'?", lines[2]);

        // Without a schema it is taken for what the command is about.
        Assert.StartsWith($"{none}:1:1: ", lines[3], StringComparison.Ordinal);
        Assert.Contains($" keys are missing: 'schema' ('{Kind(kind).Schema}')", lines[3]);
        Assert.Equal($"{missing}: found no such file; check the path", lines[4]);
    }

    [Fact]
    public void Either_command_checks_a_file_of_the_other_kind() =>
        Assert.Contains(": good, printer desktop-default", FumecastProcess.Run("materials", "check", Save("p.yaml", Shipped("printers", "desktop-default"))).Output);

    [Fact]
    public void All_missing_keys_of_a_material_are_told_in_one_message()
    {
        var file = Save("own.yaml", Regex.Replace(Regex.Replace(Shipped("materials", "petg"), @"(?m)^  onset:\n(    .*\n)+", ""), @"(?m)^(name:|    at:|    where:).*\n", ""));
        var ended = FumecastProcess.Run("materials", "check", file);
        Assert.Equal(1, ended.ExitCode);
        var line = Assert.Single(ended.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries));
        foreach (var told in new[] { "'name' (a text)", "in filament.density (line 7): 'where' (a text)", "'onset' (a map of keys and values)", "in factors.tvoc (line ", "'at' (a temperature such as 210 degC)" })
        {
            Assert.Contains(told, line);
        }
    }

    [Fact]
    public void All_missing_keys_of_a_printer_are_told_in_one_message()
    {
        var file = Save("own.yaml", Regex.Replace(Shipped("printers", "desktop-default"), @"(?m)^(filament_diameter|ambient|bed|  family|  power):.*\n|homing: 25 s, ", ""));
        var ended = FumecastProcess.Run("printers", "check", file);
        Assert.Equal(1, ended.ExitCode);
        var line = Assert.Single(ended.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries));
        foreach (var told in new[] { "'filament_diameter' (a length such as 1.75 mm)", "'ambient' (", "'bed' (a map of keys and values)", "; and ", "dialect: found nothing; give a value or remove the key", "in nozzle (line ", "'power' (a power such as 40 W)", "in times (line ", "'homing' (a time such as 10 s)" })
        {
            Assert.Contains(told, line);
        }
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_template_passes_its_check_and_says_what_is_to_be_filled_in(string kind)
    {
        var file = Path.Combine(_folder, "mine.yaml");
        Assert.Equal((0, "", ""), Parts(FumecastProcess.Run(kind, "template", "--out", file)));
        var asItIs = FumecastProcess.Run(kind, "check", file);
        Assert.Equal(0, asItIs.ExitCode);
        Assert.Matches(@": good, .* but \d+ places are still marked FILL IN \(line \d+(, \d+)*\)", asItIs.Output);
        Assert.Contains("FUMECAST_DATA", File.ReadAllText(file));

        File.WriteAllText(file, File.ReadAllText(file).Replace("  # FILL IN", "", StringComparison.Ordinal));
        var filled = FumecastProcess.Run(kind, "check", file);
        Assert.Equal(0, filled.ExitCode);
        Assert.DoesNotContain("FILL IN", filled.Output);
    }

    [Fact]
    public void An_estimate_can_be_made_with_the_templates()
    {
        using var jobs = new TrialJobs();
        var (material, printer) = (Path.Combine(_folder, "m.yaml"), Path.Combine(_folder, "p.yaml"));
        FumecastProcess.Run("materials", "template", "--out", material);
        FumecastProcess.Run("printers", "template", "--out", printer);
        var ended = FumecastProcess.Run("estimate", jobs.Wall("wall.gcode", rounds: 20), "--material", material, "--printer", printer, "--nozzle", "215");
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Contains($"my-printer (--printer, from {printer})", Unwrapped(ended.Output));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_template_can_start_from_each_that_is_known(string kind)
    {
        foreach (var id in Kind(kind).Ids)
        {
            var text = InMemory.Real(kind, "template", id).Output;
            var remarks = text.Split('\n').Count(static line => line.TrimStart().StartsWith('#'));
            Assert.InRange(remarks, 10, 200);
            Assert.Contains($"\nid: my-{id}  # FILL IN\n", text);
            var ended = InMemory.Real(kind, "check", Save("mine.yaml", text));
            Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
            Assert.Contains($" my-{id}", ended.Output);
        }
    }

    [Fact]
    public void A_template_from_an_unknown_id_offers_the_nearest()
    {
        var ended = FumecastProcess.Run("printers", "template", "desktop-defalt", "--out", Path.Combine(_folder, "x.yaml"));
        Assert.Equal((1, "", "fumecast: found no printer 'desktop-defalt'; did you mean 'desktop-default'? (a path to a .yaml file works too)\n"), (ended.ExitCode, ended.Output, ended.Error));
        Assert.False(File.Exists(Path.Combine(_folder, "x.yaml")));
    }

    [Fact]
    public void A_template_does_not_overwrite_what_it_starts_from()
    {
        var own = Save("mine.yaml", Shipped("printers", "desktop-default"));
        var ended = FumecastProcess.Run("printers", "template", own, "--out", own);
        Assert.Equal((2, $"fumecast: --out: '{own}' is also the printer; name another file\n"), (ended.ExitCode, ended.Error));
    }

    /// <summary>Remarks that show a key are as sound as the keys themselves.</summary>
    [Theory]
    [MemberData(nameof(Kinds))]
    public void Every_optional_key_of_a_template_can_be_used_as_it_stands(string kind)
    {
        var lines = DataTemplate.TextOf(Kind(kind)).Split('\n').Select(static line => Regex.Replace(line, @"^( *)# ( *(?:- \{|- Never|[a-z0-9_]+:(?: |$)))", "$1$2"));
        Kind(kind).Verdict(new DataFile("all.yaml", string.Join('\n', lines)));
    }

    [Theory]
    [InlineData("junction")]
    [InlineData("bed")]
    [InlineData("wait")]
    public void Every_variant_that_a_remark_of_the_printer_template_shows_can_be_used(string key)
    {
        var text = DataTemplate.TextOf(Kind("printers"));
        var variants = Regex.Matches(text, @"(?m)^ *# (\{(model|rule|rate).*\})$").Select(static match => match.Groups[1].Value)
            .Where(variant => variant.StartsWith(key switch { "junction" => "{model", "bed" => "{rate", _ => "{rule" }, StringComparison.Ordinal)).ToArray();
        Assert.InRange(variants.Length, 2, 3);
        foreach (var variant in variants)
        {
            Kind("printers").Verdict(new DataFile("one.yaml", Regex.Replace(text, $@"(?m)^( *{key}: )\{{.*$", match => match.Groups[1].Value + variant)));
        }
    }

    /// <summary>Keys are taken from the source of the readers, so that a new one cannot be left out.</summary>
    [Theory]
    [InlineData("materials", 30, "Emission/MaterialFile.cs", "Uncertainty/FigureReader.cs", "Uncertainty/SourceList.cs")]
    [InlineData("printers", 30, "Machine/Profiles")]
    [InlineData("rooms", 30, "Air/Rooms/RoomFile.cs", "Air/Rooms/ScheduleText.cs", "Air/AgentFigures.cs", "Uncertainty/FigureReader.cs", "Uncertainty/SourceList.cs")]
    [InlineData("filters", 12, "Air/Filters/FilterFile.cs", "Air/AgentFigures.cs", "Uncertainty/SourceList.cs")]
    [InlineData("meters", 15, "Air/Meters/MeterFile.cs", "Air/AgentFigures.cs", "Uncertainty/SourceList.cs")]
    [InlineData("guidelines", 12, "Air/Guidelines/GuidelineFile.cs", "Air/AgentFigures.cs", "Uncertainty/SourceList.cs")]
    public void Every_key_that_the_reader_knows_stands_in_the_template(string kind, int least, params string[] readers)
    {
        var source = string.Concat(readers.Select(static reader => RepositoryRoot.Of("src", "Fumecast.Core", reader))
            .SelectMany(static path => Directory.Exists(path) ? Directory.GetFiles(path, "*Entry.cs") : [path]).Select(File.ReadAllText));
        var keys = Regex.Matches(source, @"[A-Za-z>]\((?:\w+, )?""([a-z0-9_]+)""[,)](?! \""give)").Select(static match => match.Groups[1].Value).Distinct().ToArray();
        Assert.InRange(keys.Length, least, 200);
        var template = DataTemplate.TextOf(Kind(kind));
        Assert.Equal([], keys.Where(key => !Regex.IsMatch(template, $@"(?<![A-Za-z0-9_]){key}(?::|,| and)") && !Regex.IsMatch(template, $@"\b{key}\b \(")));
    }

    [Theory]
    [InlineData("estimate")]
    [InlineData("evenness")]
    [InlineData("compare")]
    [InlineData("testprint")]
    [InlineData("materials")]
    [InlineData("materials", "list")]
    [InlineData("materials", "show")]
    [InlineData("printers", "check")]
    [InlineData("printers", "template")]
    public void Help_of_every_command_that_reads_data_names_the_folder_for_your_own(params string[] command)
    {
        Assert.Contains("The variable FUMECAST_DATA names a folder (not set now)", FumecastProcess.Run([.. command, "--help"]).Output);
        Assert.Contains($"The variable FUMECAST_DATA names a folder (now {_folder})", string.Join(' ', WithData([.. command, "--help"]).Output.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries)));
    }

    [Fact]
    public void A_profile_that_is_shown_can_be_used_as_a_file()
    {
        var file = Save("shown.yaml", FumecastProcess.Run("printers", "show", "desktop-default").Output);
        Assert.Equal(0, FumecastProcess.Run("printers", "show", file).ExitCode);
    }

    [Fact]
    public void A_room_that_is_shown_is_a_file_with_its_box_that_can_be_copied()
    {
        var shown = FumecastProcess.Run("rooms", "show", "bedroom-leaky-box").Output;
        Assert.Contains("\nid: bedroom-leaky-box\n", shown);
        Assert.Contains("\n# LEE2014: ", shown);
        var own = Own("rooms", "copy.yaml", shown.Replace("id: bedroom-leaky-box", "id: copy", StringComparison.Ordinal));
        Assert.Equal($"{own}: good, room copy with 2 zones, 2 loops and 10 figures, 10 of them ranges\n", FumecastProcess.Run("rooms", "check", own).Output);
        Assert.Contains("\ncopy ", WithData("rooms", "list").Output);
    }

    [Fact]
    public void A_room_of_the_list_has_its_air_and_a_guideline_its_time()
    {
        Assert.Matches(@"(?m)^bedroom-leaky-box +25-40 +0\.26-5\.8 1/h +0\.06-0\.2", FumecastProcess.Run("rooms", "list").Output);
        Assert.Matches(@"(?m)^who-2010-formaldehyde-30min +formaldehyde +100 ug/m3 +30 min +general", FumecastProcess.Run("guidelines", "list").Output);
    }

    [Theory]
    [InlineData("{loop: [box, room], flow: 1 m3/h}", "zones: {room: {volume: 30 m3}}", "loop: found 'box', which is no zone of this room; known: room, outdoors")]
    [InlineData("{loop: [outdoors, room], flow: 1e9 m3/h}", "zones: {room: {volume: 30 m3}}", "flow: found '1e9 m3/h', expected 0 m3/h to 100000 m3/h")]
    [InlineData("{loop: [outdoors, room], flow: 1 m3/h}", "zones: {room: {volume: -30 m3}}", "volume: found '-30 m3', expected 0.001 m3 to 1e6 m3")]
    [InlineData("{loop: [outdoors, room], flow: 1 m3/h}", "zones: {room: {}}", "key 'volume' is missing, expected a volume of air such as 30 m3")]
    public void A_room_that_cannot_be_is_told_in_one_line(string loop, string zones, string expected)
    {
        var file = Save("bad.yaml", $"schema: fumecast/room/1\nid: bad\ndescription: bad\n{zones}\nair:\n  - {loop}\n");
        var checkedFile = FumecastProcess.Run("rooms", "check", file);
        Assert.Equal((1, ""), (checkedFile.ExitCode, checkedFile.Error));
        Assert.Matches($@"^{Regex.Escape(file)}:\d+:\d+: {Regex.Escape(expected)}\n$", checkedFile.Output);
        Assert.Equal((1, "", $"fumecast: {checkedFile.Output}"), Parts(FumecastProcess.Run("rooms", "show", file)));
    }

    private static DataKind Kind(string name) => DataKinds.All().Single(kind => kind.Name == name);

    private static string Shipped(string kind, string id) => new DataCatalogue(typeof(DataCatalogue).Assembly, kind, null).Find(id).Text;

    /// <summary>Words are wrapped to the width; paths of the test are long.</summary>
    private static string Unwrapped(string text) => Regex.Replace(text, @"\s+", " ");

    private static (int ExitCode, string Output, string Error) Parts(FumecastProcess.Ended ended) => (ended.ExitCode, ended.Output, ended.Error);

    private FumecastProcess.Ended WithData(params string[] args) => FumecastProcess.RunWithData(_folder, _folder, args);

    private string Own(string kind, string name, string text)
    {
        Directory.CreateDirectory(Path.Combine(_folder, kind));
        return Save(Path.Combine(kind, name), text);
    }

    private string Save(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }
}
