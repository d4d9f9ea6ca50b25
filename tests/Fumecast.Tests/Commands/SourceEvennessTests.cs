// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using System.Text.Json;

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
        Assert.Contains("Judged by the flow alone: the file does not say what material tool 0 prints", Words(InMemory.Real("evenness", job).Output));
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
