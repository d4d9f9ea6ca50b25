// SPDX-License-Identifier: MIT
using System.Text.Json;
using Fumecast.Emission;

namespace Fumecast.Tests.Commands;

/// <summary>Materials are compared at temperatures that are usual for them, and parts of different mass by the gram too.</summary>
public sealed class MaterialTrialTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Theory]
    [InlineData(195)]
    [InlineData(215)]
    [InlineData(235)]
    [InlineData(252)]
    public void Each_material_has_the_jobs_temperature_where_it_is_usual_and_else_the_middle_of_what_is(double jobC)
    {
        var catalogue = new MaterialCatalogue();
        string[] tried = ["abs", "petg", "pa6", "tpu", "peek"];
        var variants = Variants(_jobs.Wall("a.gcode", nozzleC: jobC, rounds: 20), "--material", string.Join(',', tried));
        Assert.Equal(tried.Length, variants.Length);
        foreach (var (id, variant) in tried.Zip(variants))
        {
            var usual = catalogue.Load(id).NozzleC.Range!.Value;
            var middleC = catalogue.Load(id).MiddleNozzleC;
            var isUsual = jobC >= usual.Low - 5 && jobC <= usual.High + 5;
            Assert.Equal(id, variant.GetProperty("material").GetString());
            Assert.Equal(isUsual ? "job" : "usual", variant.GetProperty("nozzle_from").GetString());
            Assert.Equal(isUsual ? id : FormattableString.Invariant($"{id} at {middleC} degC"), variant.GetProperty("what_if").GetString());
            var nozzleC = variant.GetProperty("nozzle_c").GetDouble();
            Close.To(isUsual ? jobC : middleC, nozzleC, 0.005);
            Assert.Equal(Math.Round(nozzleC, 3), nozzleC);
            Assert.Equal(!isUsual, variant.TryGetProperty("nozzle_note", out _));
        }
    }

    [Fact]
    public void The_text_names_the_temperature_and_why()
    {
        var ended = FumecastProcess.Run("compare", Abs("a.gcode"), "--material", "abs,petg,pla");
        Assert.Equal(0, ended.ExitCode);
        Assert.DoesNotContain("nozzle", ended.Error);
        Assert.Matches("(?m)^1   abs  ", ended.Output);
        Assert.Matches("(?m)^3   pla at 200 degC  ", ended.Output);
        Assert.Contains(
            "nozzle pla at 200 degC, the middle of its usual 180 to 220 degC, and not at the job's own 252 degC; the others as the job sets it. Another temperature is given as in --material pla@205.",
            Words(ended.Output));
        Assert.All(ended.Output.Split('\n'), static line => Assert.InRange(line.Length, 0, 88));
    }

    [Fact]
    public void Pairs_set_the_temperature_of_each_material()
    {
        var variants = Variants(Abs("a.gcode"), "--material", "abs@250,pla@210,pla@230degC");
        Assert.Equal(["abs at 250 degC", "pla at 210 degC", "pla at 230 degC"], Texts(variants, "what_if"));
        Assert.Equal([250, 210, 230], variants.Select(static variant => variant.GetProperty("nozzle_c").GetDouble()));
        Assert.Equal(["given", "given", "given"], Texts(variants, "nozzle_from"));
        foreach (var (variant, celsius) in variants.Zip([250.0, 210, 230]))
        {
            // In truth, not by name only.
            Close.To(Parsed("estimate", Abs("b.gcode"), "--material", variant.GetProperty("material").GetString()!, "--nozzle", $"{celsius}")
                .GetProperty("emission")[0].GetProperty("total").GetProperty("median").GetDouble(),
                variant.GetProperty("emission")[0].GetProperty("total").GetProperty("median").GetDouble(), 1e-9);
        }
    }

    [Fact]
    public void A_temperature_that_is_given_stays_for_every_material()
    {
        var variants = Variants(Abs("a.gcode"), "--material", "abs,pla", "--nozzle", "240");
        Assert.Equal(["abs, 240 degC", "pla, 240 degC"], Texts(variants, "what_if"));
        Assert.Equal([240, 240], variants.Select(static variant => variant.GetProperty("nozzle_c").GetDouble()));
    }

    [Fact]
    public void A_shift_goes_on_top_of_the_materials_temperature()
    {
        var variants = Variants(Abs("a.gcode"), "--material", "abs,pla", "--nozzle-shift", "0,-10");
        Assert.Equal(["abs, 0 K", "abs, -10 K", "pla at 200 degC, 0 K", "pla at 200 degC, -10 K"], Texts(variants, "what_if"));
        Assert.Equal([200, 190], variants[2..].Select(static variant => variant.GetProperty("nozzle_c").GetDouble()));
    }

    [Fact]
    public void The_material_that_the_job_is_made_for_stays_at_the_jobs_temperature()
    {
        var variants = Variants(_jobs.Wall("a.gcode", nozzleC: 245, rounds: 20), "--material", "pla,abs");
        Assert.Equal(["pla", "abs"], Texts(variants, "what_if"));
        Assert.Equal("job", variants[0].GetProperty("nozzle_from").GetString());
    }

    [Fact]
    public void A_job_without_a_temperature_is_tried_at_the_middle_of_each_material()
    {
        var job = _jobs.Wall("a.gcode", rounds: 20);
        File.WriteAllLines(job, File.ReadAllLines(job).Where(static line => !line.StartsWith("M109", StringComparison.Ordinal)));
        var variants = Variants(job, "--material", "pla,abs");
        Assert.Equal(["assumed", "assumed"], Texts(variants, "nozzle_from"));
        Close.To(new MaterialCatalogue().Load("abs").MiddleNozzleC, variants[1].GetProperty("nozzle_c").GetDouble(), 0.005);
        Assert.Equal("job", Variants(job, "--material", "pla,petg", "--nozzle-if-unknown", "220")[1].GetProperty("nozzle_from").GetString());
    }

    [Fact]
    public void A_lone_material_of_a_lone_job_is_held_against_the_job_as_it_is()
    {
        var job = Abs("a.gcode");
        Assert.Equal(["as it is", "pla at 200 degC"], Texts(Variants(job, "--material", "pla"), "what_if"));
        Assert.Equal(["as it is", "pla at 215 degC"], Texts(Variants(job, "--material", "pla@215"), "what_if"));

        File.WriteAllLines(job, File.ReadAllLines(job)[1..]);
        Assert.Equal(["abs", "pla"], Texts(Variants(job, "--material", "pla@215", "--material-if-unknown", "abs"), "material"));
        Assert.Contains("the file does not say what material tool 0 prints; name it with --material-if-unknown ID ", InMemory.Real("compare", job, "--material", "pla").Error);
    }

    [Fact]
    public void A_material_that_holds_for_every_variant_is_part_of_its_name_and_no_warning()
    {
        var job = Abs("a.gcode");
        Assert.Equal(["petg", "petg, 50 % speed"], Texts(Variants(job, "--material", "petg", "--speed", "50%"), "what_if"));
        var two = FumecastProcess.Run("compare", job, _jobs.Wall("b.gcode", rounds: 20), "--material", "0=petg", "--nozzle", "240");
        Assert.Matches("(?m)^1   a.gcode, 0=petg, 240 degC  ", two.Output);
        Assert.DoesNotContain("taken instead", two.Error);
    }

    [Fact]
    public void What_is_doubtful_of_a_tried_material_is_said_once_for_all_jobs()
    {
        var ended = FumecastProcess.Run("compare", Abs("a.gcode"), Abs("b.gcode"), "--material", "abs,nylon");
        var line = Assert.Single(ended.Error.Split('\n'), static line => line.Contains("which nylon"));
        Assert.StartsWith("fumecast: warning: --material nylon stands for pa6: which nylon is not said", line);
    }

    [Theory]
    [InlineData("--material abs@: found nothing, expected a temperature such as 210 degC", "--material", "pla,abs@")]
    [InlineData("--material abs@abc: found 'abc', expected a temperature such as 210 degC", "--material", "abs@abc,pla")]
    [InlineData("--material abs@9999: found '9999', expected a temperature from 20 degC to 500 degC", "--material", "abs@9999")]
    [InlineData("--material: found '@210' without a material before the @; expected an id or a file, then a nozzle temperature, as in pla@210", "--material", "@210")]
    [InlineData("--material: found 'pla@210' twice; give each material once", "--material", "pla@210,pla@210")]
    [InlineData("--material: found 'abs@250' for a tool; a temperature goes with a material that all tools are tried with, so give --nozzle C instead", "--material", "0=abs@250")]
    [InlineData("--material pla@210 has a nozzle temperature of its own, so --nozzle cannot be tried beside it; give one of them", "--material", "abs,pla@210", "--nozzle", "230")]
    [InlineData("--material holds for every variant, so --material-if-unknown has nothing to fill in; give one of them", "--material", "abs,pla", "--material-if-unknown", "petg")]
    public void A_bad_pair_is_wrong_usage_in_one_line(string line, params string[] args)
    {
        var ended = FumecastProcess.Run(["compare", Abs("a.gcode"), .. args]);
        Assert.Equal((2, "", $"fumecast: {line}\n"), (ended.ExitCode, ended.Output, ended.Error));
    }

    [Theory]
    [InlineData(200, 201, false)]
    [InlineData(200, 206, true)]
    [InlineData(200, 100, true)]
    public void Parts_whose_masses_differ_by_over_a_hundredth_are_compared_by_the_gram_too(int rounds, int others, bool differs)
    {
        string[] jobs = [_jobs.Wall("a.gcode", rounds: rounds), _jobs.Wall("b.gcode", rounds: others)];
        Assert.Equal(differs, Variants(jobs)[1].GetProperty("mass_differs").GetBoolean());
        var text = Words(InMemory.Real(["compare", .. jobs]).Output);
        Assert.Equal(differs, text.Contains("Per gram of filament, ", StringComparison.Ordinal));
        Assert.Equal(!differs, text.Contains("per gram likewise", StringComparison.Ordinal));
        Assert.Equal(differs, text.Contains("likewise where the mass differs from that of the first by 1 % or less", StringComparison.Ordinal));
    }

    [Fact]
    public void A_smaller_part_may_give_off_less_and_yet_more_per_gram()
    {
        string[] jobs = [_jobs.Wall("a.gcode", nozzleC: 210), _jobs.Wall("b.gcode", nozzleC: 215, rounds: 60)];
        var text = Words(InMemory.Real(["compare", .. jobs, "--purged"]).Output);
        Assert.Contains("The fewest particles are expected of b.gcode", text);
        Assert.Contains("Per gram of filament, none of these is expected to give off fewer particles than the first, a.gcode.", text);
    }

    [Fact]
    public void A_variants_row_tells_material_printer_temperature_and_speed()
    {
        var ended = FumecastProcess.Run("compare", Abs("a.gcode"), "--material", "abs,pla", "--speed", "60%,100%", "--printer", "corexy-fast", "--format", "csv", "--quiet");
        var rows = ended.Output.TrimEnd('\n').Split('\n').Select(static row => row.Split(',')).ToArray();
        Assert.Equal(["file", "what_if", "material", "printer", "nozzle_c", "speed_share", "time_s"], rows[0][..7]);
        var what = Array.IndexOf(rows[0], "material");

        // The names of variants have a comma in them and so stand in quotes: counted from the end of the row.
        var fromEnd = rows[0].Length - what;
        Assert.Equal(["abs", "abs", "pla", "pla"], rows[1..].Select(row => row[^fromEnd]));
        Assert.All(rows[1..], row => Assert.Equal("corexy-fast", row[^(fromEnd - 1)]));
        Assert.Equal(["200", "200"], rows[3..].Select(row => row[^(fromEnd - 2)]));
        Assert.Equal(["0.6", "1", "0.6", "1"], rows[1..].Select(row => row[^(fromEnd - 3)]));
    }

    [Fact]
    public void A_bad_job_among_many_is_one_line_and_the_others_are_compared()
    {
        string[] good = [_jobs.Wall("a.gcode", rounds: 20), _jobs.Wall("c.gcode", rounds: 30)];
        var bad = _jobs.Broken("b.gcode");
        var text = FumecastProcess.Run("compare", good[0], bad, good[1], "--speed", "50%,100%");
        Assert.Equal(1, text.ExitCode);
        Assert.StartsWith($"fumecast: {bad}", text.Error);
        Assert.Single(text.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries));
        Assert.Contains($"2 of 3 compared; 1 refused: {bad}. ", Words(text.Output));
        Assert.DoesNotContain("all ratios are to the first that could be used", Words(text.Output));
        Assert.Matches("(?m)^4   c.gcode, 100 % speed  ", text.Output);

        using var json = JsonDocument.Parse(FumecastProcess.Run("compare", good[0], bad, good[1], "--format", "json", "--quiet").Output);
        Assert.Equal(2, json.RootElement.GetProperty("variants").GetArrayLength());
        Assert.Equal(bad, json.RootElement.GetProperty("failed").EnumerateArray().Single().GetProperty("file").GetString());
    }

    [Fact]
    public void When_the_first_is_refused_the_next_is_the_base_and_that_is_said()
    {
        var ended = InMemory.Real("compare", _jobs.Broken("b.gcode"), _jobs.Wall("a.gcode", rounds: 20), _jobs.Wall("c.gcode", rounds: 30));
        Assert.Equal(1, ended.ExitCode);
        Assert.Contains("The first is not among them, so all ratios are to the first that could be used.", Words(ended.Output));
    }

    [Fact]
    public void With_less_than_two_left_nothing_is_written()
    {
        var ended = InMemory.Real("compare", _jobs.Broken("b.gcode"), _jobs.Wall("a.gcode", rounds: 20), "--out", _jobs.In("out.txt"));
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.False(File.Exists(_jobs.In("out.txt")));
    }

    private string Abs(string name)
    {
        var job = _jobs.Wall(name, nozzleC: 252, rounds: 20);
        File.WriteAllText(job, File.ReadAllText(job).Replace("= PLA", "= ABS", StringComparison.Ordinal));
        return job;
    }

    private static JsonElement Parsed(params string[] args)
    {
        var ended = InMemory.Real([.. args, "--format", "json"]);
        Assert.Equal(0, ended.ExitCode);
        using var document = JsonDocument.Parse(ended.Output);
        return document.RootElement.Clone();
    }

    private static JsonElement[] Variants(params string[] args) => [.. Parsed(["compare", .. args]).GetProperty("variants").EnumerateArray()];

    private static string[] Texts(JsonElement[] variants, string key) => [.. variants.Select(variant => variant.GetProperty(key).GetString()!)];

    private static string Words(string text) => string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
}
