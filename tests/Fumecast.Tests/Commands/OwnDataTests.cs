// SPDX-License-Identifier: MIT
using System.Text.Json;

namespace Fumecast.Tests.Commands;

/// <summary>Materials of one's own: which were taken is said, and what is wrong with them.</summary>
public sealed class OwnDataTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Theory]
    [InlineData("estimate", "wall.gcode")]
    [InlineData("evenness", "wall.gcode")]
    [InlineData("materials", "list")]
    [InlineData("printers", "show", "desktop-default")]
    public void A_data_folder_that_is_not_there_is_refused(params string[] args)
    {
        _jobs.Wall("wall.gcode", rounds: 5);
        var ended = FumecastProcess.RunWithData(_jobs.Folder, _jobs.In("nowhere"), args);
        Assert.Equal((1, "", 1), (ended.ExitCode, ended.Output, ended.Error.Count(static letter => letter == '\n')));
        Assert.StartsWith($"fumecast: FUMECAST_DATA: found '{_jobs.In("nowhere")}', which is no folder; ", ended.Error);
    }

    [Fact]
    public void The_file_of_an_own_material_is_named_by_path_and_from_the_data_folder()
    {
        _jobs.Wall("wall.gcode", rounds: 5);
        var own = Path.Combine(Directory.CreateDirectory(_jobs.In("data/materials")).FullName, "pla.yaml");
        File.WriteAllText(own, FumecastProcess.Run("materials", "template", "pla").Output.Replace("id: my-pla  # FILL IN", "id: pla"));
        foreach (var ended in new[]
        {
            FumecastProcess.RunWithData(_jobs.Folder, _jobs.In("data"), "estimate", "wall.gcode"),
            FumecastProcess.Run(_jobs.Folder, input: null, "estimate", "wall.gcode", "--material", own),
        })
        {
            Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
            Assert.Contains($", from {own}", string.Concat(ended.Output.Split('\n').Select(static line => " " + line.Trim())));
        }

        using var document = JsonDocument.Parse(FumecastProcess.RunWithData(_jobs.Folder, _jobs.In("data"), "estimate", "wall.gcode", "--format", "json").Output);
        var material = document.RootElement.GetProperty("settings_resolved").EnumerateArray().Single(static one => one.GetProperty("setting").GetString() == "material");
        Assert.Equal("pla", material.GetProperty("value").GetString());
        Assert.EndsWith($", from {own}", material.GetProperty("because").GetString());
        Assert.DoesNotContain(", from ", FumecastProcess.Run(_jobs.Folder, input: null, "estimate", "wall.gcode").Output);
    }

    [Fact]
    public void A_template_that_was_not_filled_in_is_warned_of()
    {
        _jobs.Wall("wall.gcode", rounds: 5);
        Assert.Equal(0, FumecastProcess.Run(_jobs.Folder, input: null, "materials", "template", "--out", "mine.yaml").ExitCode);
        string[] given = ["estimate", "wall.gcode", "--material", "mine.yaml", "--format", "csv"];
        var ended = FumecastProcess.Run(_jobs.Folder, input: null, given);
        Assert.Equal(0, ended.ExitCode);
        Assert.Matches(@"fumecast: warning: mine.yaml: \d+ places are still marked FILL IN \(line [\d, ]+\): give your own and remove the mark; ", ended.Error);
        Assert.Equal(1, FumecastProcess.Run(_jobs.Folder, input: null, [.. given, "--strict"]).ExitCode);

        File.WriteAllText(_jobs.In("mine.yaml"), File.ReadAllText(_jobs.In("mine.yaml")).Replace("# FILL IN", ""));
        Assert.DoesNotContain("FILL IN", FumecastProcess.Run(_jobs.Folder, input: null, given).Error);
    }
}
