// SPDX-License-Identifier: MIT
using System.Text.Json;
using Fumecast.Emission;

namespace Fumecast.Tests.Commands;

public sealed class CompareCommandTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    private static JsonElement[] Variants(params string[] args)
    {
        var ended = InMemory.Run(["compare", .. args, "--format", "json"]);
        Assert.Equal(0, ended.ExitCode);
        Assert.All(ended.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries), static line => Assert.StartsWith("fumecast: warning: ", line));
        using var document = JsonDocument.Parse(ended.Output);
        Assert.Equal("fumecast/compare/1", document.RootElement.GetProperty("schema").GetString());
        return [.. document.RootElement.GetProperty("variants").Clone().EnumerateArray()];
    }

    private static JsonElement Ratio(JsonElement variant, string agent) =>
        variant.GetProperty("ratio").EnumerateArray().Single(ratio => ratio.GetProperty("agent").GetString() == agent);

    private static (double Low, double Median, double High) Ends(JsonElement ratio, string what) => (
        ratio.GetProperty(what).GetProperty("low").GetDouble(), ratio.GetProperty(what).GetProperty("median").GetDouble(),
        ratio.GetProperty(what).GetProperty("high").GetDouble());

    [Fact]
    public void Two_equal_files_give_a_ratio_of_exactly_1_without_width()
    {
        var first = _jobs.Wall("a.gcode");
        File.Copy(first, _jobs.In("b.gcode"));

        var second = Variants(first, _jobs.In("b.gcode"))[1];
        var ratios = second.GetProperty("ratio").EnumerateArray().ToList();
        Assert.True(ratios.Count > 3);
        foreach (var ratio in ratios)
        {
            Assert.Equal((1.0, 1.0, 1.0), Ends(ratio, "per_job"));
            Assert.Equal((1.0, 1.0, 1.0), Ends(ratio, "per_gram"));
            Assert.Equal(0, ratio.GetProperty("probability_lower").GetProperty("per_job").GetDouble());
        }

        Assert.All(second.GetProperty("effects").EnumerateArray(), effect => Assert.Equal(1, effect.GetProperty("factor").GetDouble()));
    }

    [Published("Jeon et al. 2019, 10.1111/ina.12624", "abstract: slopes of 0.044 to 0.088 per K, from a rise by 100 to 10 000 between 185 and 290 degC")]
    [Published("emissions reference, 9a", "yield x exp(b (T - T_ref)): ten kelvin more are a factor of exp(10 b)")]
    [Fact]
    public void Ten_kelvin_move_the_particles_by_exp_10_b_and_are_as_unsure_as_b_alone()
    {
        var hotter = Ratio(Variants(_jobs.Wall("a.gcode"), "--nozzle", "210,220", "--purged")[1], "particle_number");

        // 95 % of the slope lies between the two; the interval asked for is the middle 90 %, 1.645 standard deviations either way.
        const double middle = 0.066;
        const double share = 1.6448536 / 1.9599640;
        var (low, median, high) = Ends(hotter, "per_job");

        // The nozzle takes 3 s longer to get hot and to cool; the wall takes an hour. What it gives off on the way scales alike, to a thousandth.
        Close.To(Math.Exp(10 * middle), median, 0.003);

        // Smallest and largest of four filaments span 2.06 standard deviations. The limits come from 2039 slopes, evenly spread: to a step of them, 1 % here.
        var deviation = (Math.Log(1e4) - Math.Log(1e2)) / 105 / 2.06;
        Close.To(Math.Exp(10 * (middle - share * 1.96 * deviation)), low, 0.015);
        Close.To(Math.Exp(10 * (middle + share * 1.96 * deviation)), high, 0.015);
        Assert.Equal(Ends(hotter, "per_job").Median, Ends(hotter, "per_gram").Median, 1e-6);
        Assert.InRange(hotter.GetProperty("probability_lower").GetProperty("per_job").GetDouble(), 0, 0.005);
    }

    [Fact]
    public void Effects_multiply_to_the_ratio_of_the_middle_totals()
    {
        var variants = Variants(
            _jobs.Wall("a.gcode"), _jobs.Wall("b.gcode", nozzleC: 225, rounds: 60, pauseS: 20), "--material", "pla,petg,abs", "--nozzle-shift", "0,-15",
            "--speed", "50%,100%");
        Assert.Equal(24, variants.Length);
        double Total(JsonElement variant) => variant.GetProperty("emission")[0].GetProperty("total").GetProperty("median").GetDouble();

        // The factors are those of the middle values; the ratios shown are medians of draws, which share them to within what is skewed.
        foreach (var variant in variants)
        {
            var product = variant.GetProperty("effects").EnumerateArray().Aggregate(1.0, (all, effect) => all * effect.GetProperty("factor").GetDouble());
            Assert.InRange(Math.Log(Total(variant) / Total(variants[0]) / product), -0.25, 0.25);
            Assert.InRange(Math.Log(Ends(Ratio(variant, "particle_number"), "per_job").Median / product), -0.25, 0.25);
        }
    }

    [Fact]
    public void Each_cause_is_called_by_its_name()
    {
        var plain = _jobs.Wall("a.gcode");
        double Factor(string cause, params string[] args) => Variants([.. args, "--purged"])[1].GetProperty("effects").EnumerateArray()
            .Single(effect => effect.GetProperty("cause").GetString() == cause).GetProperty("factor").GetDouble();

        Close.To(Math.Exp(-0.66), Factor("temperature", plain, "--nozzle-shift", "-10"), 1e-3);
        Close.To(0.5, Factor("mass", plain, _jobs.Wall("half.gcode", rounds: 100)), 1e-6);
        Assert.InRange(Factor("idle nozzle", plain, _jobs.Wall("pauses.gcode", pauseS: 30)), 1.05, 2);
        Close.To(
            new MaterialCatalogue().Load("abs").NumberYieldPerG.Value / new MaterialCatalogue().Load("pla").NumberYieldPerG.Value,
            Factor("material", plain, "--material", "pla,abs"), 1e-9);
        Assert.InRange(Factor("nozzle's own share", plain, "--speed", "100%,50%"), 1.01, 2);
    }

    [Fact]
    public void Speed_goes_through_the_planner_and_moves_the_time()
    {
        var variants = Variants(_jobs.Wall("a.gcode", rounds: 50), "--speed", "100%,50%");
        Assert.Equal(["100 % speed", "50 % speed"], variants.Select(variant => variant.GetProperty("what_if").GetString()));
        var motion = 50 * 240 / 30.0;
        Assert.InRange(variants[1].GetProperty("time_s").GetDouble() - variants[0].GetProperty("time_s").GetDouble(), 0.9 * motion, 1.1 * motion);
        Close.To(variants[0].GetProperty("deposited_g").GetDouble(), variants[1].GetProperty("deposited_g").GetDouble(), 1e-9);

        // The nozzle gives off a little of its own for twice the time.
        Assert.InRange(Ends(Ratio(variants[1], "tvoc"), "per_job").Median, 1.01, 1.2);
        Assert.True(variants[1].GetProperty("rests_on_nozzle_share").GetBoolean());

        // That share is assumed, so nothing that a script reads is more certain than the sentence.
        Assert.All(variants[1].GetProperty("ratio").EnumerateArray(), static ratio =>
            Assert.False(ratio.GetProperty("probability_lower").TryGetProperty("per_job", out _)));
    }

    [Fact]
    public void A_single_what_if_is_set_against_the_job_as_it_is()
    {
        var variants = Variants(_jobs.Wall("a.gcode", rounds: 20), "--nozzle-shift", "-10");
        Assert.Equal(["as it is", "-10 K"], variants.Select(variant => variant.GetProperty("what_if").GetString()));
        Assert.Equal(1, Ratio(variants[1], "particle_number").GetProperty("probability_lower").GetProperty("per_job").GetDouble(), 0.001);
    }

    [Fact]
    public void The_density_in_the_comments_stays_with_the_material_in_the_comments()
    {
        var job = _jobs.Wall("a.gcode", rounds: 20);
        File.WriteAllText(job, "; filament_density = 1.30\n" + File.ReadAllText(job));
        var grams = Variants(job, "--material", "pla,abs").Select(variant => variant.GetProperty("deposited_g").GetDouble()).ToArray();
        Close.To(new MaterialCatalogue().Load("abs").DensityGPerCm3.Value / 1.30, grams[1] / grams[0], 1e-9);
    }

    [Fact]
    public void The_json_has_the_keys_of_the_contract()
    {
        var ended = InMemory.Run(["compare", _jobs.Wall("a.gcode", rounds: 20), "--nozzle", "210,215", "--format", "json", "--interval", "0.5"]);
        using var document = JsonDocument.Parse(ended.Output);
        Assert.Equal(
            ["schema", "version", "interval", "variants", "sources", "cautions"], document.RootElement.EnumerateObject().Select(static p => p.Name));
        Assert.Equal(0.5, document.RootElement.GetProperty("interval").GetDouble());
        var variant = document.RootElement.GetProperty("variants")[1];
        Assert.Equal(
            ["file", "what_if", "material", "printer", "nozzle_c", "nozzle_from", "speed_share", "time_s", "deposited_g", "mass_differs", "flow", "emission", "ratio", "effects", "shares_materials", "rests_on_nozzle_share", "settings_resolved", "diagnostics"],
            variant.EnumerateObject().Select(static p => p.Name));
        Assert.Equal(["agent", "per_job", "per_gram", "probability_lower"], variant.GetProperty("ratio")[0].EnumerateObject().Select(static p => p.Name));
        Assert.Equal(["cause", "factor"], variant.GetProperty("effects")[0].EnumerateObject().Select(static p => p.Name));
        Assert.NotEmpty(document.RootElement.GetProperty("sources").EnumerateArray());
    }

    [Fact]
    public void Text_table_and_picture_name_every_variant()
    {
        var job = _jobs.Wall("a.gcode", rounds: 20);
        var text = InMemory.Run(["compare", job, "--nozzle", "210,220,230", "--plot", _jobs.In("c.svg")]);
        Assert.Equal(0, text.ExitCode);
        Assert.StartsWith("fumecast: warning: 230 degC: tool 0: a nozzle at 230 degC lies outside what is usual for pla", text.Error);
        Assert.Single(text.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries));
        Assert.Contains("2   220 degC", text.Output);
        Assert.Contains("because   temperature x 1.93", text.Output);
        Assert.Contains("never an all-clear", text.Output);
        Assert.All(text.Output.Split('\n'), static line => Assert.InRange(line.Length, 0, 88));
        Assert.Contains("<svg", File.ReadAllText(_jobs.In("c.svg")));

        var csv = InMemory.Run(["compare", job, "--nozzle", "210,220,230", "--format", "csv"]).Output.TrimEnd('\n').Split('\n');
        Assert.Equal(4, csv.Length);
        Assert.All(csv, row => Assert.Equal(csv[0].Split(',').Length, row.Split(',').Length));
        Assert.Contains(",210 degC,", csv[1]);
    }

    [Fact]
    public void What_cannot_be_used_ends_it_in_one_line()
    {
        var job = _jobs.Wall("a.gcode", rounds: 20);
        var unknown = InMemory.Run(["compare", job, "--material", "pla,petgg"]);
        Assert.Equal((1, ""), (unknown.ExitCode, unknown.Output));
        Assert.StartsWith("fumecast: found no material 'petgg'; did you mean 'petg'?", unknown.Error);

        var missing = InMemory.Run(["compare", job, _jobs.In("no.gcode")]);
        Assert.Equal((1, "", 1), (missing.ExitCode, missing.Output, missing.Error.Count(static letter => letter == '\n')));

        var many = InMemory.Run(["compare", job, "--nozzle", string.Join(',', Enumerable.Range(200, 30)), "--speed", string.Join(',', Enumerable.Range(50, 20).Select(n => $"{n}%"))]);
        Assert.Equal((1, "fumecast: these are more than 500 variants, too many to compare at once; give fewer jobs or what-ifs\n"), (many.ExitCode, many.Error));

        var stdin = InMemory.Run(["compare", "-", "--nozzle", "210,220"]);
        Assert.Equal((1, "fumecast: standard input can be read only once; save the job to a file to compare variants of it\n"), (stdin.ExitCode, stdin.Error));
    }
}
