// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using Fumecast.Samples;

namespace Fumecast.Tests.Commands;

/// <summary>A run of the repair café's trial becomes a material, and forecasts with it give what was measured.</summary>
public sealed class CalibrateCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-calibrate-").FullName;

    public CalibrateCommandTests()
    {
        foreach (var (name, text) in FilterTrial.Files())
        {
            File.WriteAllText(At(name), text);
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string At(string name) => Path.Combine(_folder, name);

    private string Own(string name, string text)
    {
        File.WriteAllText(At(name), text);
        return At(name);
    }

    /// <summary>The log without the filter as another meter would have written it.</summary>
    private void Log(string name, string header, double factor) => Own(name, string.Join('\n', File.ReadAllLines(At("no-filter.csv")).Select((line, i) =>
        i == 0 || line.Split(',') is not [var time, var value, ..] ? header : $"{time},{(double.Parse(value, CultureInfo.InvariantCulture) * factor).ToString(CultureInfo.InvariantCulture)}")) + "\n");

    private string Notebook(string log, string more = "") => Own("own.yaml", $$"""
        schema: fumecast/notebook/1
        room: room.yaml
        {{more}}
        runs:
          - {name: no filter, log: {{log}}, job: wall.gcode, start: 2026-11-20 14:15}
        notes:
          - {run: no filter, from: 2026-11-20 19:00, to: 2026-11-20 22:00, what: the reading circle met, leave_out: true}
        """);

    private static JsonElement Json(params string[] args)
    {
        var ended = FumecastProcess.Run([.. args, "--format", "json"]);
        Assert.True(ended.ExitCode == 0, ended.Error);
        return JsonDocument.Parse(ended.Output).RootElement.Clone();
    }

    private static (double Low, double Median, double High) PerG(JsonElement calibration, string what)
    {
        var value = calibration.GetProperty(what).GetProperty("per_g");
        return (value.GetProperty("low").GetDouble(), value.GetProperty("median").GetDouble(), value.GetProperty("high").GetDouble());
    }

    private static double Width((double Low, double Median, double High) value) => value.High / value.Low;

    private string Refused(params string[] args)
    {
        var ended = FumecastProcess.Run(["calibrate", .. args]);
        Assert.Equal("", ended.Output);
        Assert.False(File.Exists(At("new.yaml")));
        Assert.Single(ended.Error.TrimEnd('\n').Split('\n'));
        return $"{ended.ExitCode} {ended.Error}";
    }

    [Fact]
    public void The_forecast_with_the_new_material_is_what_the_meter_saw()
    {
        var made = Json("calibrate", At("notebook.yaml"), "--run", "no filter", "--quantity", "pm25", "--out", At("my-abs.yaml"));
        Assert.Equal(("fumecast/calibration/1", "visible_mass"), (made.GetProperty("schema").GetString(), made.GetProperty("factor").GetString()));
        var (measured, before, after) = (PerG(made, "measured"), PerG(made, "before"), PerG(made, "after"));
        Assert.InRange(measured.Median / FilterTrial.EmissionPerG, 0.9, 1.1);
        Assert.InRange(after.Median / measured.Median, 0.98, 1.001);
        Assert.InRange(FilterTrial.EmissionPerG, after.Low, after.High);
        Assert.True(Width(before) > 1000 && Width(after) < 2.5);

        var check = FumecastProcess.Run("materials", "check", At("my-abs.yaml"));
        Assert.True(check.ExitCode == 0, check.Error);
        Assert.Contains("good, material my-abs", check.Output, StringComparison.Ordinal);
        Assert.Contains("mass that an optical meter sees: 57", FumecastProcess.Run("materials", "show", At("my-abs.yaml")).Output, StringComparison.Ordinal);

        // The trial holds the same run against it, and the room forecasts what the meter showed while it printed.
        var run = Json("trial", At("notebook.yaml"), "--material", At("my-abs.yaml")).GetProperty("runs")[1].GetProperty("quantities")[0];
        Assert.InRange(run.GetProperty("emission").GetProperty("of_forecast").GetProperty("median").GetDouble(), 0.98, 1.02);
        var room = Json("room", At("wall.gcode"), "--room", At("room.yaml"), "--meter", "optical-pm", "--material", At("my-abs.yaml"));
        var shown = room.GetProperty("zones")[0].GetProperty("meters").EnumerateArray().Single(static one => one.GetProperty("quantity").GetString() == "pm25").GetProperty("mean_print").GetProperty("median").GetDouble();
        Assert.InRange(shown / run.GetProperty("mean_print").GetProperty("median").GetDouble(), 0.75, 1.33);
        Assert.Contains(room.GetProperty("settings_resolved").EnumerateArray(), static one => one.GetProperty("setting").GetString() == "what an optical meter sees of my-abs");
    }

    [Fact]
    public void The_text_says_how_much_surer_it_is_and_for_what()
    {
        var ended = FumecastProcess.Run("calibrate", At("notebook.yaml"), "--run", "no filter", "--quantity", "pm25", "--out", At("my-abs.yaml"), "--id", "spool-3");
        Assert.True(ended.ExitCode == 0, ended.Error);
        var words = Regex.Replace(ended.Output, @"\s+", " ");
        Assert.Matches(@"^spool-3: mass that an optical meter sees .* sure within a factor of \d00 before, it is within 1\.\d now \(90 %\)", words);
        foreach (var expected in new[] { "holds for this spool, this printer, this meter", "Another optical meter may show half or twice", "which the sizes of the particles make of it", "From run to run 10 % are assumed" })
        {
            Assert.Contains(expected, words, StringComparison.Ordinal);
        }

        var text = File.ReadAllText(At("my-abs.yaml"));
        foreach (var expected in new[] { "id: spool-3\n", "known: derived", "grade: C", "run ''no filter'' of notebook.yaml, started 2026-11-20T14:15:00", "meter optical-pm", "(42 to 48), filter none", "KIM2015" })
        {
            Assert.Contains(expected, text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Runs_combine_at_once_and_one_after_the_other()
    {
        string[] one = ["calibrate", At("notebook.yaml"), "--quantity", "pm25"];
        var first = Json([.. one, "--run", "no filter", "--out", At("first.yaml")]);
        var second = Json([.. one, "--run", "with filter", "--out", At("second.yaml"), "--material", At("first.yaml")]);
        var both = Json([.. one, "--run", "no filter", "--run", "with filter", "--out", At("both.yaml")]);
        double Gsd(JsonElement made) => made.GetProperty("material").GetProperty("gsd").GetDouble();
        Assert.True(Gsd(second) < Gsd(first) && Gsd(both) < Gsd(first));
        Assert.True(Width(PerG(second, "after")) < Width(PerG(second, "before")));
        Assert.InRange(PerG(second, "after").Median / PerG(both, "after").Median, 0.97, 1.03);
        Assert.InRange(second.GetProperty("weight_of_base").GetDouble(), 0.5, 0.9);
        var text = File.ReadAllText(At("second.yaml"));
        Assert.Contains("source: [MEASURED-PM25-2, MEASURED-PM25-1]", text, StringComparison.Ordinal);
        Assert.Contains("id: my-abs\n", text, StringComparison.Ordinal);
        Assert.Contains("is in " + At("first.yaml") + " already (MEASURED-PM25-1), and the same log counts once", Refused(At("notebook.yaml"), "--quantity", "pm25", "--run", "no filter", "--out", At("new.yaml"), "--material", At("first.yaml")), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Time,Number (1/cm3)", 1000, "number", "particle_number", 1e6)]
    [InlineData("Time,TVOC (ug/m3)", 1, "tvoc", "tvoc", 1)]
    public void Counts_and_vapours_replace_the_yields_that_estimate_uses(string header, double factor, string quantity, string agent, double perUnit)
    {
        Log("other.csv", header, factor);
        var made = Json("calibrate", Notebook("other.csv"), "--run", "no filter", "--quantity", quantity, "--out", At("new.yaml"));
        Assert.Equal(agent, made.GetProperty("factor").GetString());
        var measured = PerG(made, "measured").Median;
        Assert.InRange(measured / (FilterTrial.EmissionPerG * factor * perUnit), 0.85, 1.15);
        var estimate = Json("estimate", At("wall.gcode"), "--material", At("new.yaml"));
        var mass = estimate.GetProperty("job").GetProperty("tools")[0].GetProperty("deposited_g").GetDouble();
        var total = estimate.GetProperty("emission").EnumerateArray().Single(one => one.GetProperty("agent").GetString() == agent).GetProperty("total");
        Assert.Equal(PerG(made, "after").Median, total.GetProperty("median").GetDouble() / mass, 1e-3 * measured);
        Assert.InRange(PerG(made, "after").Median / measured, 0.95, 1.05);
        Assert.True(Width(PerG(made, "after")) < Width(PerG(made, "before")) / 4);
        Assert.Equal(0, FumecastProcess.Run("materials", "check", At("new.yaml")).ExitCode);
    }

    [Fact]
    public void A_file_of_ones_own_keeps_its_words_and_a_form_that_cannot_is_refused()
    {
        var plain = FumecastProcess.Run("materials", "template", "abs").Output;
        var own = Own("house.yaml", plain.Replace("density:", "density: # weighed on the kitchen scale", StringComparison.Ordinal).Replace("\n", "\r\n", StringComparison.Ordinal));
        Assert.Equal(0, FumecastProcess.Run("calibrate", At("notebook.yaml"), "--run", "no filter", "--quantity", "pm25", "--out", At("mine.yaml"), "--material", own).ExitCode);
        var text = File.ReadAllText(At("mine.yaml"));
        Assert.Contains("weighed on the kitchen scale", text, StringComparison.Ordinal);
        Assert.DoesNotContain("\r", text, StringComparison.Ordinal);

        var inBraces = Own("braces.yaml", Regex.Replace(plain, @"(?m)^id: .*$", "\"id\": braces"));
        Assert.Contains("a measured figure cannot be put into this file", Refused(At("notebook.yaml"), "--run", "no filter", "--quantity", "pm25", "--out", At("new.yaml"), "--material", inBraces), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("no filtr", "pm25", "1 ", "found no run 'no filtr'; did you mean 'no filter'?")]
    [InlineData("quiet day", "pm25", "1 ", "run 'quiet day' has no job")]
    [InlineData("no filter", "tvoc", "1 ", "run 'no filter': tvoc: the log")]
    [InlineData("no filter", "pm2", "2 ", "--quantity: found 'pm2', expected pm1, pm25, pm4, pm10, number, tvoc")]
    public void What_cannot_be_taken_is_refused_in_one_line(string run, string quantity, string code, string expected)
    {
        var error = Refused(At("notebook.yaml"), "--run", run, "--quantity", quantity, "--out", At("new.yaml"));
        Assert.StartsWith(code, error, StringComparison.Ordinal);
        Assert.Contains(expected, error, StringComparison.Ordinal);
    }

    [Fact]
    public void What_the_log_withholds_is_no_figure()
    {
        var own = Own("withheld.yaml", File.ReadAllText(At("notebook.yaml")).Replace(", leave_out: true", "", StringComparison.Ordinal));
        var error = Refused(own, "--run", "no filter", "--quantity", "pm25", "--out", At("new.yaml"));
        Assert.Contains("what was given off cannot be told: something else", error, StringComparison.Ordinal);
        Assert.Contains("leave_out: true", error, StringComparison.Ordinal);
    }

    [Fact]
    public void Parts_of_vapours_and_counters_of_large_particles_give_no_yield()
    {
        Log("ppb.csv", "Time,TVOC (ppb)", 10);
        Assert.Contains("what is missing is the mass of these vapours for each part", Refused(Notebook("ppb.csv"), "--run", "no filter", "--quantity", "tvoc", "--out", At("new.yaml")), StringComparison.Ordinal);
        Log("coarse.csv", "Time,Number >0.3um (1/cm3)", 1000);
        Assert.Contains("it counts particles from 0.3 um on", Refused(Notebook("coarse.csv"), "--run", "no filter", "--quantity", "number", "--out", At("new.yaml")), StringComparison.Ordinal);
    }

    [Fact]
    public void A_job_of_two_materials_says_nothing_of_either()
    {
        Own("two.gcode", File.ReadAllText(At("wall.gcode")) + "T1\nM109 S220\nG92 E0\nG1 X50 Y50 E40 F300\n");
        var own = Own("two.yaml", File.ReadAllText(At("notebook.yaml")).Replace("wall.gcode", "two.gcode", StringComparison.Ordinal));
        Assert.Contains("prints abs and pla, and a reading does not say what came from which", Refused(own, "--run", "no filter", "--quantity", "pm25", "--out", At("new.yaml"), "--material", "0=abs", "--material", "1=pla"), StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_read_is_never_written_over_and_shipped_names_stay_free()
    {
        var own = Own("base.yaml", FumecastProcess.Run("materials", "template", "abs").Output);
        string[] args = ["--run", "no filter", "--quantity", "pm25"];
        Assert.StartsWith("2 ", Refused([At("notebook.yaml"), .. args, "--out", At("notebook.yaml")]), StringComparison.Ordinal);
        Assert.Contains("is also the base material", Refused([At("notebook.yaml"), .. args, "--out", own, "--material", own]), StringComparison.Ordinal);
        Assert.Contains("the report goes to stdout", Refused([At("notebook.yaml"), .. args, "--out", "-"]), StringComparison.Ordinal);
        Assert.Contains("'pla', which is a material that came with the program", Refused([At("notebook.yaml"), .. args, "--out", At("new.yaml"), "--id", "pla"]), StringComparison.Ordinal);
        Assert.Contains("--id: found 'My ABS'", Refused([At("notebook.yaml"), .. args, "--out", At("new.yaml"), "--id", "My ABS"]), StringComparison.Ordinal);
    }
}
