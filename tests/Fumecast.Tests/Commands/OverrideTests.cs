// SPDX-License-Identifier: MIT
using System.IO.Compression;
using System.Text.Json;

namespace Fumecast.Tests.Commands;

/// <summary>What options take the place of is said for each job; options for gaps fill gaps only.</summary>
public sealed class OverrideTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Fact]
    public void A_material_over_a_folder_is_said_for_every_job_that_states_another()
    {
        var stated = _jobs.Wall("a.gcode", rounds: 10);
        var silent = Silent("b.gcode");
        var json = FumecastProcess.Run("estimate", _jobs.Folder, "--material", "petg", "--format", "json");
        Assert.Equal(0, json.ExitCode);
        Assert.Equal(
            [$"fumecast: warning: {stated}: line 1: the comments call the material \"PLA\"; petg is taken instead, as --material says (--material-if-unknown would fill gaps only)"],
            Lines(json.Error).Where(static line => line.Contains("petg is taken")));
        var jobs = Jobs(json.Output);
        Assert.Equal(("PLA", 1), Overridden(jobs[0], "material"));
        Assert.Null(Overridden(jobs[1], "material"));
        Assert.Equal(["petg", "petg"], jobs.Select(Material));
        Assert.Contains(Codes(jobs[0]), static code => code == "material-overridden");
        Assert.DoesNotContain(Codes(jobs[1]), static code => code == "material-overridden");

        var table = FumecastProcess.Run("estimate", stated, silent, "--material", "petg", "--quiet").Output;
        Assert.Contains("In 1 of them an option overrides what the file states", table);
    }

    [Fact]
    public void A_material_if_unknown_fills_the_gap_and_leaves_what_files_state()
    {
        _jobs.Wall("a.gcode", rounds: 10);
        Silent("b.gcode");
        var ended = FumecastProcess.Run("estimate", _jobs.Folder, "--material-if-unknown", "petg", "--format", "json", "--strict");
        Assert.Equal(0, ended.ExitCode);
        var jobs = Jobs(ended.Output);
        Assert.Equal(["pla", "petg"], jobs.Select(Material));
        Assert.Equal("--material-if-unknown", Setting(jobs[1], "material")!.Value.GetProperty("because").GetString());
        Assert.All(jobs, static job => Assert.DoesNotContain(Codes(job), static code => code.EndsWith("-overridden", StringComparison.Ordinal)));
    }

    [Fact]
    public void Gaps_are_filled_tool_by_tool()
    {
        var job = Write("two.gcode", $"; filament_type = PLA;MOONROCK\nM83\nG28\nM109 S210\nG1 F1200\n{Moves}T1\nM109 S210\n{Moves}");
        var tools = One("estimate", job, "--material-if-unknown", "0=abs", "--material-if-unknown", "1=petg").GetProperty("job").GetProperty("tools");
        Assert.Equal(["pla", "petg"], tools.EnumerateArray().Select(static tool => tool.GetProperty("material").GetString()!));
        Assert.Contains("the comments call the material of tool 1 \"MOONROCK\"", InMemory.Real("estimate", job, "--material-if-unknown", "0=abs").Error);
    }

    [Fact]
    public void A_word_that_stands_for_none_of_ours_is_a_gap_and_is_named()
    {
        var job = Write("odd.gcode", $"; filament_type = MOONROCK\nM83\nG28\nM109 S210\nG1 F1200\n{Moves}");
        foreach (var option in new[] { "--material", "--material-if-unknown" })
        {
            var found = One("estimate", job, option, "pla");
            Assert.Equal($"{option}; the comments say \"MOONROCK\", which stands for none of ours", Setting(found, "material")!.Value.GetProperty("because").GetString());
            Assert.Null(Overridden(found, "material"));
        }
    }

    [Fact]
    public void What_the_file_states_itself_is_no_override()
    {
        var ended = FumecastProcess.Run("estimate", _jobs.Wall("a.gcode", rounds: 10), "--material", "PLA", "--nozzle", "210");
        Assert.Equal(0, ended.ExitCode);
        Assert.DoesNotContain("overrides", ended.Output);
    }

    [Fact]
    public void A_nozzle_temperature_that_is_overridden_stands_first_in_what_the_result_rests_on()
    {
        var job = _jobs.Wall("a.gcode", rounds: 10);
        var text = Words(FumecastProcess.Run("estimate", job, "--nozzle", "215").Output);
        Assert.Contains("RESTS ON nozzle temperature while printing 215 C (--nozzle; overrides what the file states: 210 C, line 6) printer", text);
        Assert.Contains("line 6: the file's commands set a nozzle temperature of 210 C; 215 C is taken instead, as --nozzle says", text);
        Assert.Equal(("210 C", 6), Overridden(One("estimate", job, "--nozzle", "215"), "nozzle temperature while printing"));

        // A wish of the user leaves nothing in doubt.
        Assert.Equal(0, InMemory.Real("estimate", job, "--nozzle", "215", "--material", "petg", "--strict").ExitCode);
    }

    [Fact]
    public void Several_set_points_are_named_as_a_range()
    {
        var job = Write("tower.gcode", $"; filament_type = PLA\nM83\nG28\nM104 S150\nM109 S220\nG1 F1200\n{Moves}M104 S200\n{Moves}");
        Assert.Equal(("200 to 220 C", 5), Overridden(One("estimate", job, "--nozzle", "210"), "nozzle temperature while printing"));
    }

    [Fact]
    public void A_nozzle_temperature_in_the_comments_alone_is_overridden_too()
    {
        var job = Write("hint.gcode", $"; filament_type = PLA\n; temperature = 205\nM83\nG28\nG1 F1200\n{Moves}");
        Assert.Equal(("205 C", 2), Overridden(One("estimate", job, "--nozzle", "215"), "nozzle temperature while printing"));
    }

    [Theory]
    [InlineData("M109 S210\n", "", 210)]
    [InlineData("", "; temperature = 205\n", 205)]
    [InlineData("", "", 190)]
    public void A_nozzle_if_unknown_gives_way_to_commands_and_comments_and_goes_before_what_is_assumed(string command, string comment, double expectedC)
    {
        var text = $"; filament_type = PLA\nM83\nG28\n{command}G1 F1200\n{Moves}{comment}";
        var plain = Write("a.gcode", text);
        using (var packed = new GZipStream(File.Create(_jobs.In("b.gcode.gz")), CompressionLevel.Fastest))
        {
            packed.Write(File.ReadAllBytes(plain));
        }

        foreach (var job in new[] { plain, _jobs.In("b.gcode.gz") })
        {
            foreach (var given in new[] { "190", "0=190" })
            {
                var found = One("estimate", job, "--nozzle-if-unknown", given);
                Close.To(expectedC, found.GetProperty("job").GetProperty("tools")[0].GetProperty("nozzle_c").GetProperty("max").GetDouble(), 0.005);
                Assert.DoesNotContain(Codes(found), static code => code is "nozzle-assumed" or "nozzle-overridden");
            }
        }
    }

    [Fact]
    public void A_given_temperature_makes_the_interval_narrower_than_an_assumed_one()
    {
        var job = Write("a.gcode", $"; filament_type = PLA\nM83\nG28\nG1 F1200\n{Moves}");
        double Width(params string[] more)
        {
            var total = One(["estimate", job, .. more]).GetProperty("emission")[0].GetProperty("total");
            return total.GetProperty("high").GetDouble() / total.GetProperty("low").GetDouble();
        }

        Assert.True(Width("--nozzle-if-unknown", "200") < Width());
        Assert.Equal(Width("--nozzle", "200"), Width("--nozzle-if-unknown", "200"), 1e-9);
    }

    [Fact]
    public void Diameter_and_density_that_are_overridden_are_said_as_well()
    {
        var job = Write("a.gcode", $"; filament_type = PLA\n; filament_diameter = 1.75\n; filament_density = 1.24\nM83\nG28\nM109 S210\nG1 F1200\n{Moves}");
        var found = One("estimate", job, "--diameter", "2.85", "--density", "1.3");
        Assert.Equal(("1.75 mm", 2), Overridden(found, "filament diameter"));
        Assert.Equal(("1.24 g/cm3", 3), Overridden(found, "density"));
        Assert.Null(Overridden(One("estimate", job, "--diameter", "1.75", "--density", "1.24"), "density"));

        // The density of the comments is that of their material, not of the one that is taken.
        Assert.Null(Overridden(One("estimate", job, "--material", "petg", "--density", "1.3"), "density"));
    }

    [Fact]
    public void Evenness_says_and_fills_the_same()
    {
        var stated = _jobs.Wall("a.gcode", rounds: 60);
        var silent = Silent("b.gcode", rounds: 60);
        var given = FumecastProcess.Run("evenness", stated, "--material", "petg", "--format", "json");
        Assert.Contains("\"material-overridden\"", given.Output);
        Assert.Contains("line 1: the comments call the material \"PLA\"; petg is taken instead", given.Error);

        var filled = FumecastProcess.Run("evenness", stated, silent, "--material-if-unknown", "petg", "--format", "json");
        Assert.Equal((0, ""), (filled.ExitCode, filled.Error));
        Assert.DoesNotContain("source_missing", filled.Output);
    }

    [Theory]
    [InlineData("nylon", "which nylon is not said; PA6 is assumed")]
    [InlineData("PET-CF", "a filled polyester; no figures of its own")]
    public void A_word_that_leaves_something_open_says_so_from_the_option_as_from_the_comments(string word, string note)
    {
        var silent = Silent("a.gcode");
        var saying = Write("b.gcode", $"; filament_type = {word}\n" + File.ReadAllText(silent));
        foreach (var args in new[] { new[] { silent, "--material", word }, [silent, "--material-if-unknown", word], [saying] })
        {
            var ended = FumecastProcess.Run(["estimate", .. args, "--format", "json"]);
            Assert.Contains(note, ended.Error);
            using var document = JsonDocument.Parse(ended.Output);
            Assert.Contains("material-doubtful", Codes(document.RootElement));
            Assert.Equal(1, InMemory.Real(["estimate", .. args, "--strict"]).ExitCode);
        }
    }

    [Theory]
    [InlineData("estimate")]
    [InlineData("evenness")]
    [InlineData("compare")]
    public void A_doubtful_word_of_an_option_is_said_once_for_all_jobs_and_one_of_the_comments_for_each(string command)
    {
        var jobs = new[] { Silent("a.gcode", rounds: 60), Silent("b.gcode", rounds: 60) };
        var given = FumecastProcess.Run([command, .. jobs, "--material", "nylon"]);
        Assert.Equal(0, given.ExitCode);
        Assert.StartsWith("fumecast: warning: --material nylon stands for pa6: which nylon", Assert.Single(Lines(given.Error), static line => line.Contains("which nylon")));

        foreach (var job in jobs)
        {
            File.WriteAllText(job, "; filament_type = nylon\n" + File.ReadAllText(job));
        }

        var stated = FumecastProcess.Run([command, .. jobs]);
        Assert.Equal(jobs, Lines(stated.Error).Where(static line => line.Contains("which nylon")).Select(static line => line.Split(": ")[2]));
    }

    [Fact]
    public void A_word_that_leaves_nothing_open_is_taken_in_silence()
    {
        foreach (var word in new[] { "pa6", "PLA", "pla-cf", "Nylon 6" })
        {
            Assert.DoesNotContain("stands for", InMemory.Real("estimate", Silent("a.gcode"), "--material", word).Output);
        }
    }

    [Theory]
    [InlineData("--material holds for every tool of every job, so --material-if-unknown has nothing to fill in; give one of them", "--material", "pla", "--material-if-unknown", "abs")]
    [InlineData("tool 1 has a material by --material, so --material-if-unknown 1=abs has nothing to fill in; give one of them", "--material", "1=pla", "--material-if-unknown", "1=abs")]
    [InlineData("--material-if-unknown: found '1=', expected an id, a file, or N=ID such as 0=pla", "--material-if-unknown", "1=")]
    [InlineData("--nozzle holds for every job, so --nozzle-if-unknown has nothing to fill in; give one of them", "--nozzle", "210", "--nozzle-if-unknown", "220")]
    [InlineData("--nozzle-if-unknown: found both '210' and '220' for tool 0; give one", "--nozzle-if-unknown", "0=210", "--nozzle-if-unknown", "0=220")]
    [InlineData("--nozzle-if-unknown: found 'warm', expected a temperature such as 210 degC", "--nozzle-if-unknown", "warm")]
    [InlineData("--nozzle-if-unknown: found '900', expected a temperature from 20 degC to 500 degC", "--nozzle-if-unknown", "0=900")]
    public void What_cannot_be_meant_is_wrong_usage(string line, params string[] args)
    {
        var ended = InMemory.Real(["estimate", _jobs.Wall("a.gcode", rounds: 2), .. args]);
        Assert.Equal((2, "", $"fumecast: {line}\n"), (ended.ExitCode, ended.Output, ended.Error));
    }

    private static string Moves { get; } = string.Concat(Enumerable.Range(0, 100).Select(static i => $"G1 X{i % 2 * 100} E2\n"));

    private string Silent(string name, int rounds = 10)
    {
        var job = _jobs.Wall(name, rounds: rounds);
        File.WriteAllLines(job, File.ReadAllLines(job)[1..]);
        return job;
    }

    private string Write(string name, string text)
    {
        File.WriteAllText(_jobs.In(name), text);
        return _jobs.In(name);
    }

    private static JsonElement One(params string[] args)
    {
        var ended = InMemory.Real([.. args, "--format", "json"]);
        Assert.Equal(0, ended.ExitCode);
        using var document = JsonDocument.Parse(ended.Output);
        return document.RootElement.Clone();
    }

    private static JsonElement[] Jobs(string json)
    {
        using var document = JsonDocument.Parse(json);
        return [.. document.RootElement.GetProperty("jobs").Clone().EnumerateArray()];
    }

    private static string? Material(JsonElement estimate) => estimate.GetProperty("job").GetProperty("tools")[0].GetProperty("material").GetString();

    private static JsonElement? Setting(JsonElement estimate, string name) => estimate.GetProperty("settings_resolved").EnumerateArray()
        .Where(setting => setting.GetProperty("setting").GetString() == name).Select(static setting => (JsonElement?)setting).FirstOrDefault();

    private static (string? Stated, long Line)? Overridden(JsonElement estimate, string setting) =>
        Setting(estimate, setting)!.Value.TryGetProperty("overrides", out var own) ? (own.GetProperty("stated").GetString(), own.GetProperty("line").GetInt64()) : null;

    private static string[] Codes(JsonElement estimate) =>
        [.. estimate.GetProperty("diagnostics").EnumerateArray().Select(static finding => finding.GetProperty("code").GetString()!)];

    private static string[] Lines(string text) => text.Split('\n', StringSplitOptions.RemoveEmptyEntries);

    private static string Words(string text) => string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
}
