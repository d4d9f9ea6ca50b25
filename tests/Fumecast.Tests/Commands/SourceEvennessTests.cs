// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Xml.Linq;
using Fumecast.Pictures;

namespace Fumecast.Tests.Commands;

/// <summary>Evenness judges what the air sees: the forecast emission, not the flow alone.</summary>
public sealed class SourceEvennessTests : IDisposable
{
    private const int StepS = 1200;

    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Fact]
    public void A_tower_of_temperatures_of_one_flow_is_not_flat()
    {
        var flow = Flow(["evenness", Steps("tower.gcode", [230, 225, 220, 215, 210, 205, 200]), "--format", "json"]);
        Assert.Equal("flat", flow.GetProperty("flow_grade").GetString());
        Assert.NotEqual("flat", flow.GetProperty("grade").GetString());
        var source = flow.GetProperty("source");
        foreach (var agent in new[] { "particle_number", "tvoc" })
        {
            foreach (var key in new[] { "cv", "plateau_wander", "plateau_from_s", "plateau_to_s" })
            {
                Assert.True(source.GetProperty(agent).TryGetProperty(key, out _), key);
            }
        }

        Assert.True(source.GetProperty("particle_number").GetProperty("plateau_wander").GetDouble() > 0.15);
        Assert.True(source.GetProperty("tvoc").GetProperty("plateau_wander").GetDouble() < 0.15);
    }

    [Fact]
    public void Turns_of_two_temperatures_wander_in_the_air_and_the_text_says_why()
    {
        var job = Steps("turns.gcode", [220, 250, 220, 250, 220, 250, 220, 250]);
        var ended = InMemory.Real("evenness", job);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Contains("because the forecast particles would wander by about", Words(ended.Output));
        Assert.Contains("temperature and start included; alone, flow flat", Words(ended.Output));
        Assert.Contains("no plateau to read", Words(ended.Output));
    }

    [Fact]
    public void A_steady_print_tells_when_to_read_the_meter()
    {
        var job = Steps("even.gcode", [.. Enumerable.Repeat(210, 18)]);
        var flow = Flow(["evenness", job, "--format", "json"]);
        Assert.Equal("flat", flow.GetProperty("grade").GetString());
        var settles = flow.GetProperty("source").GetProperty("particle_number").GetProperty("settles_after_s").GetDouble();
        Assert.InRange(settles, 1200, 3600);
        Assert.Equal(settles, flow.GetProperty("read_from_s").GetDouble());
        Close.To(flow.GetProperty("print_phase_s").GetDouble(), flow.GetProperty("read_to_s").GetDouble(), 0.001);

        // A nozzle without residue is steady at once; what remains is the time that the air takes to fill.
        var purged = Flow(["evenness", job, "--purged", "--format", "json"]);
        Assert.Equal(1800, purged.GetProperty("read_from_s").GetDouble());
        Assert.Equal(900, Flow(["evenness", job, "--purged", "--air-time", "5min", "--format", "json"]).GetProperty("read_from_s").GetDouble());
        Assert.Contains("Read the meter from minute 30 to minute", Words(InMemory.Real("evenness", job, "--purged").Output));
    }

    [Fact]
    public void Without_a_material_the_flow_alone_is_judged_and_that_is_said()
    {
        var job = Steps("plain.gcode", [220, 250, 220, 250], "");
        var flow = Flow(["evenness", job, "--format", "json"]);
        Assert.Equal(("flat", "flat"), (flow.GetProperty("grade").GetString(), flow.GetProperty("flow_grade").GetString()));
        Assert.False(flow.TryGetProperty("source", out var source) && source.ValueKind != JsonValueKind.Null);
        Assert.Contains("Flow only: judged by the flow alone, since the file does not say what material tool 0 prints", Words(InMemory.Real("evenness", job).Output));
        Assert.NotEqual("flat", Flow(["evenness", job, "--material", "pla", "--format", "json"]).GetProperty("grade").GetString());
    }

    [Fact]
    public void A_short_print_is_marked_and_comes_after_a_long_one()
    {
        var quick = _jobs.Wall("quick.gcode", rounds: 40);
        var longer = Steps("longer.gcode", [210, 210, 210, 210, 210, 210]);
        var ended = InMemory.Real("evenness", quick, longer, "--format", "json");
        using var document = JsonDocument.Parse(ended.Output);
        var ranked = document.RootElement.GetProperty("ranked");
        Assert.Equal((longer, quick), (ranked[0].GetProperty("file").GetString(), ranked[1].GetProperty("file").GetString()));
        Assert.False(ranked[0].GetProperty("flow").GetProperty("too_short").GetBoolean());
        Assert.True(ranked[1].GetProperty("flow").GetProperty("too_short").GetBoolean());
        Assert.Equal(600, ranked[1].GetProperty("flow").GetProperty("plateau_time_constant_s").GetDouble());
        Assert.Contains("Too short for a trial:", Words(InMemory.Real("evenness", quick).Output));
    }

    [Fact]
    public void A_test_print_says_when_its_particles_settle_and_a_purge_settles_them_before()
    {
        string[] given = ["testprint", "--material", "pla", "--flow", "4mm3/s", "--duration", "70min", "--out", _jobs.In("trial.gcode")];
        var plain = Words(InMemory.Real(given).Output);
        Assert.Contains("Less than 3 time constants of the air remain to read the meter", plain);
        Assert.Contains("--phases purge=30min", plain);

        var purged = Words(InMemory.Real([.. given, "--phases", "purge=40min"]).Output);
        Assert.Contains("By the forecast the particles are steady from the start of the print; the air takes 30 min to fill: read from minute 30.", purged);
        Assert.DoesNotContain("Less than 3 time constants", purged);
        Assert.Contains("waits for 40 min with the nozzle hot", purged);
        Assert.Contains("\n; phase: purge, nozzle hot, nothing fed\nM117 Purge, 40 min left\nG4 P60000\n", File.ReadAllText(_jobs.In("trial.gcode")));
    }

    [Fact]
    public void A_job_has_one_grade_of_its_flow_and_one_grade_of_all_wherever_they_stand()
    {
        var job = Steps("tower.gcode", [230, 225, 220, 215, 210, 205, 200]);
        var ranked = Row(InMemory.Real("evenness", job, "--format", "csv").Output);
        var estimated = Row(InMemory.Real("estimate", job, "--format", "csv").Output);
        using var document = JsonDocument.Parse(InMemory.Real("estimate", job, "--format", "json").Output);
        var flow = document.RootElement.GetProperty("flow");
        Assert.Equal(("flat", "uneven"), (flow.GetProperty("flow_grade").GetString(), flow.GetProperty("grade").GetString()));
        Assert.Equal(("flat", "uneven"), (ranked["flow_grade"], ranked["grade"]));
        Assert.Equal(("flat", "uneven"), (estimated["flow_grade"], estimated["evenness_grade"]));
        Assert.Equal(("false", "false"), (estimated["too_short"], estimated["flow_only"]));

        var text = InMemory.Real("estimate", job).Output;
        var (flowLine, evennessLine) = (LineOf(text, "Flow"), LineOf(text, "Evenness"));
        Assert.All(["flat", "fair", "uneven"], word => Assert.DoesNotContain(word, flowLine));
        Assert.StartsWith("uneven (flow flat, particles uneven, TVOC ", evennessLine);
        Assert.Contains("; the worst counts)", Words(text));
    }

    [Fact]
    public void A_test_print_does_not_call_the_grade_of_its_particles_that_of_its_flow()
    {
        var text = InMemory.Real("testprint", "--material", "pla", "--flow", "4mm3/s", "--duration", "2h", "--out", _jobs.In("trial.gcode")).Output;
        Assert.EndsWith("no pause", LineOf(text, "Flow"));
        Assert.Equal("fair (flow flat, particles fair, TVOC flat; the worst counts)", LineOf(text, "Evenness"));
    }

    [Fact]
    public void A_test_print_gives_large_numbers_with_their_power_of_ten() => Assert.Matches(
        @"about \d+(\.\d)? billion particles \(\d\.\de\d+; \d",
        Words(InMemory.Real("testprint", "--material", "pla", "--flow", "4mm3/s", "--duration", "2h", "--out", _jobs.In("trial.gcode")).Output));

    [Fact]
    public void Tables_mark_what_is_too_short_and_what_is_judged_by_the_flow_alone()
    {
        var longer = Steps("longer.gcode", [210, 210, 210, 210, 210, 210]);
        var plain = Steps("plain.gcode", [210, 210, 210, 210, 210, 210], head: "");
        var quick = _jobs.Wall("quick.gcode", rounds: 40);
        var quickPlain = _jobs.In("quick-plain.gcode");
        File.WriteAllText(quickPlain, File.ReadAllText(quick).Replace("; filament_type = PLA", "", StringComparison.Ordinal));
        string[] all = ["evenness", longer, plain, quick, quickPlain];
        var text = InMemory.Real(all).Output;
        Assert.Matches(@"(?m)^\d +longer\.gcode +(flat|fair) ", text);
        Assert.Matches(@"(?m)^\d +plain\.gcode +flat\* ", text);
        Assert.Matches(@"(?m)^\d +quick\.gcode +short ", text);
        Assert.Matches(@"(?m)^\d +quick-plain\.gcode +short\* ", text);
        Assert.StartsWith("in place of a grade: too short for a trial", LineOf(text, "short"));
        Assert.StartsWith("flow only: what is given off was not judged", LineOf(text, "*"));

        // Nothing is explained that does not stand there.
        Assert.DoesNotContain("flow only", InMemory.Real("evenness", longer).Output);
        Assert.DoesNotContain("too short", InMemory.Real("evenness", longer).Output);

        var rows = InMemory.Real([.. all, "--format", "csv"]).Output;
        var marks = Rows(rows).ToDictionary(static row => Path.GetFileName(row["file"]), static row => (row["too_short"], row["flow_only"]));
        Assert.Equal(("false", "false"), marks["longer.gcode"]);
        Assert.Equal(("false", "true"), marks["plain.gcode"]);
        Assert.Equal(("true", "false"), marks["quick.gcode"]);
        Assert.Equal(("true", "true"), marks["quick-plain.gcode"]);
        Assert.True(Flow(["evenness", plain, "--format", "json"]).GetProperty("flow_only").GetBoolean());
        Assert.False(Flow(["evenness", longer, "--format", "json"]).GetProperty("flow_only").GetBoolean());

        var folder = Words(InMemory.Real("estimate", longer, quick).Output);
        Assert.Contains("; short: too short for a trial. More:", folder);
        Assert.DoesNotContain("short:", Words(InMemory.Real("estimate", longer, Steps("again.gcode", [210, 210, 210, 210])).Output));
    }

    [Fact]
    public void A_print_of_seconds_has_no_grade_and_so_none_of_the_flow_alone()
    {
        var job = _jobs.In("seconds.gcode");
        File.WriteAllText(job, "M83\nM109 S210\nG1 X10 E1 F1200\nG1 X20 E1\nM104 S0\n");
        Assert.DoesNotContain("flow only", InMemory.Real("evenness", job).Output, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("too short to judge", InMemory.Real("evenness", job).Output);
        Assert.Equal("false", Row(InMemory.Real("evenness", job, "--format", "csv").Output)["flow_only"]);
        Assert.False(Flow(["evenness", job, "--format", "json"]).GetProperty("flow_only").GetBoolean());
    }

    [Fact]
    public void The_picture_draws_what_is_graded_and_marks_in_words_what_is_not()
    {
        var steady = Steps("steady.gcode", [.. Enumerable.Repeat(210, 12)]);
        var turns = Steps("turns.gcode", [220, 250, 220, 250, 220, 250]);
        var plain = Steps("plain.gcode", [210, 210, 210, 210], "");
        var quick = _jobs.Wall("quick.gcode", rounds: 40);
        var ended = InMemory.Real("evenness", steady, turns, plain, quick, "--purged", "--plot", _jobs.In("e.svg"));
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        var svg = XDocument.Load(_jobs.In("e.svg"));
        string[] words = [.. svg.Descendants(Svg + "g").Select(static g => (string?)g.Attribute("aria-label")).OfType<string>()];
        string[] titles = [.. words.Where(static word => word.Contains("mm³/s", StringComparison.Ordinal))];
        Assert.Equal(4, titles.Length);
        Assert.StartsWith("flat, 1 is ", titles[0]);
        Assert.StartsWith("uneven, 1 is ", titles[1]);
        Assert.StartsWith("flat, flow only, 1 is ", titles[2]);
        Assert.StartsWith("too short for a trial, else ", titles[3]);
        Assert.Contains("1. steady.gcode", words);
        Assert.Contains(words, static word => word.StartsWith("flow only: the file does not say what material", StringComparison.Ordinal));
        Assert.Equal(4, words.Count(static word => word.StartsWith("flow ", StringComparison.Ordinal) && word.Contains("wanders by", StringComparison.Ordinal)));
        Assert.Equal(3, words.Count(static word => word.StartsWith("particles ", StringComparison.Ordinal)));
        Assert.Equal(3, words.Count(static word => word.StartsWith("vapours (TVOC) ", StringComparison.Ordinal)));

        // A strip of 56 px shows levels of 0.5 to 1.5: a steady job stays within 10 %, the turns reach over a third to either side.
        var particles = Curves(svg, Palette.Particles.ToHex());
        Assert.Equal(3, particles.Count);
        Assert.InRange(Reach(particles[0]), 0, 0.2 * 56);
        Assert.InRange(Reach(particles[1]), 0.7 * 56, 56);

        // Shaded in both strips of each job that has a time to read the meter; short ones have none.
        var readable = Rows(InMemory.Real("evenness", steady, turns, plain, quick, "--purged", "--format", "csv").Output).Where(static row => row["read_from_s"].Length > 0).ToList();
        Assert.Contains(readable, row => row["file"] == steady);
        Assert.DoesNotContain(readable, row => row["file"] == quick);
        Assert.Equal(2 * readable.Count, svg.Descendants(Svg + "rect")
            .Where(static rect => (string?)rect.Attribute("fill") == Palette.Shade.ToHex()).DistinctBy(static rect => (string?)rect.Attribute("y")).Count());
    }

    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    /// <summary>The heights of the curves of one colour, from the top of the page [px].</summary>
    private static List<double[]> Curves(XDocument svg, string colour) => [.. svg.Descendants(Svg + "path")
        .Where(path => (string?)path.Attribute("stroke") == colour && (string?)path.Attribute("fill") == "none")
        .Select(static path => ((string)path.Attribute("d")!).Split(['M', 'L'], StringSplitOptions.RemoveEmptyEntries)
            .Select(static point => double.Parse(point.Split(' ', ',')[1], CultureInfo.InvariantCulture)).ToArray()).DistinctBy(static heights => string.Join(' ', heights))];

    private static double Reach(double[] heights) => heights.Max() - heights.Min();

    /// <summary>The text beside a label.</summary>
    private static string LineOf(string text, string label) =>
        text.Split('\n').First(line => line.StartsWith($"  {label} ", StringComparison.Ordinal))[(label.Length + 3)..].Trim();

    private static Dictionary<string, string> Row(string csv) => Rows(csv)[0];

    private static List<Dictionary<string, string>> Rows(string csv)
    {
        var lines = csv.TrimEnd('\n').Split('\n');
        var heads = lines[0].Split(',');
        return [.. lines[1..].Select(line => heads.Zip(line.Split(',')).ToDictionary(static cell => cell.First, static cell => cell.Second))];
    }

    /// <summary>A wall of one flow whose nozzle changes its temperature every 20 min.</summary>
    private string Steps(string name, int[] temperaturesC, string head = "; filament_type = PLA\n")
    {
        var text = new StringBuilder(head + "M83\nG28\n");
        text.Append(CultureInfo.InvariantCulture, $"M109 S{temperaturesC[0]}\nG1 X0 Y0 Z0.2 F1800\n");
        var layer = 0;
        foreach (var nozzleC in temperaturesC)
        {
            text.Append(CultureInfo.InvariantCulture, $"M104 S{nozzleC}\n");
            for (var round = 0; round < StepS / 8; round++)
            {
                text.Append(CultureInfo.InvariantCulture, $";LAYER:{layer}\nG1 Z{0.2 + 0.05 * layer++:F2} F600\nG1 X60 E2 F1800\nG1 Y60 E2\nG1 X0 E2\nG1 Y0 E2\n");
            }
        }

        File.WriteAllText(_jobs.In(name), text.Append("M104 S0\n").ToString());
        return _jobs.In(name);
    }

    private static JsonElement Flow(string[] args)
    {
        var ended = InMemory.Real(args);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        return JsonDocument.Parse(ended.Output).RootElement.GetProperty("ranked")[0].GetProperty("flow").Clone();
    }

    private static string Words(string text) => string.Join(' ', text.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
}
