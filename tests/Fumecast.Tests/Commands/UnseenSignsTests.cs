// SPDX-License-Identifier: MIT
using System.Text.Json;

namespace Fumecast.Tests.Commands;

/// <summary>Names with signs that turn the text behind them, or steer a terminal, are shown with these signs in sight.</summary>
public sealed class UnseenSignsTests : IDisposable
{
    private const string Name = "clip\u202Eedocg.gcode";
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Theory]
    [InlineData("estimate")]
    [InlineData("evenness")]
    public void In_json_they_are_escaped_and_read_back_as_they_are(string command)
    {
        var job = _jobs.Wall(Name, rounds: 5);
        var ended = FumecastProcess.Run(command, job, "--format", "json");
        Assert.Equal(0, ended.ExitCode);
        Assert.DoesNotContain('\u202E', ended.Output);
        Assert.Contains("clip\\u202eedocg.gcode", ended.Output);
        using var document = JsonDocument.Parse(ended.Output);
        var file = command == "estimate" ? document.RootElement.GetProperty("job") : document.RootElement.GetProperty("ranked")[0];
        Assert.Equal(job, file.GetProperty("file").GetString());
    }

    [Theory]
    [InlineData("estimate")]
    [InlineData("evenness")]
    [InlineData("compare")]
    public void In_csv_and_text_they_are_shown_by_their_number(string command)
    {
        _jobs.Wall(Name, rounds: 5);
        _jobs.Wall("plain.gcode", rounds: 7);
        foreach (var format in new[] { "csv", "text" })
        {
            var ended = FumecastProcess.Run(command, _jobs.Folder, "--format", format);
            Assert.Equal(0, ended.ExitCode);
            Assert.DoesNotContain('\u202E', ended.Output);
            Assert.Contains("clip<U+202E>edocg.gcode", ended.Output);
        }
    }

    [Fact]
    public void In_csv_so_are_signs_that_steer_a_terminal()
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        var ended = FumecastProcess.Run("estimate", _jobs.Wall("clip\e[2J.gcode", rounds: 5), "--format", "csv");
        Assert.Equal(0, ended.ExitCode);
        Assert.DoesNotContain('\e', ended.Output);
        Assert.Contains("clip<U+001B>[2J.gcode", ended.Output);
    }

    [Fact]
    public void Accents_and_quotes_stay_in_json()
    {
        var ended = FumecastProcess.Run("estimate", _jobs.Wall("Bücher'ei+.gcode", rounds: 5), "--format", "json");
        Assert.Contains("Bücher'ei+.gcode", ended.Output);
    }
}
