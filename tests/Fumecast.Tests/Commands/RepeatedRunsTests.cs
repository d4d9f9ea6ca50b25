// SPDX-License-Identifier: MIT
using System.Globalization;
using System.IO.Compression;
using System.Text;
using System.Text.Json;

namespace Fumecast.Tests.Commands;

/// <summary>The same job gives the same bytes each time, findings included.</summary>
public sealed class RepeatedRunsTests : IDisposable
{
    private const int Runs = 30;

    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-repeated-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData(".gcode")]
    [InlineData(".gcode.gz")]
    public void A_job_with_many_findings_gives_the_same_bytes_thirty_times(string ending)
    {
        var job = Write(ending);
        var runs = Enumerable.Range(0, Runs).Select(_ => InMemory.Real("estimate", job, "--format", "json")).ToList();

        Assert.All(runs, run => Assert.Equal(0, run.ExitCode));
        Assert.Single(runs.Select(run => run.Output).Distinct());
        Assert.Single(runs.Select(run => run.Error).Distinct());
        var lines = Lines(runs[0].Output);
        Assert.True(lines.Count >= 40, $"only {lines.Count} findings");
        Assert.Equal(lines.Order(), lines);
    }

    [Fact]
    public void A_finding_that_motion_makes_late_stands_at_the_place_of_its_line()
    {
        // The feed of line 3 is met when motion gets there: long after line 4 has been read.
        var job = Path.Combine(_folder, "late.gcode");
        File.WriteAllText(job, "M83\nM104 S210\nG1 X9 E1 F600\nM7001\nG1 X0 E1\n");
        var run = InMemory.Real("estimate", job, "--material", "pla", "--format", "json");

        Assert.Equal(0, run.ExitCode);
        using var document = JsonDocument.Parse(run.Output);
        var codes = document.RootElement.GetProperty("diagnostics").EnumerateArray().Select(entry => entry.GetProperty("code").GetString()).ToList();
        Assert.True(codes.IndexOf("cold-at-first-deposit") < codes.IndexOf("unknown-command"), string.Join(' ', codes));
    }

    /// <summary>Enough moves to fill every buffer on the way, findings of motion among those of reading, and two tools.</summary>
    private string Write(string ending)
    {
        var text = new StringBuilder("; filament_type = PLA;PLA\nM83\nM104 S210\nM104 T1 S205\nG1 X1 E1 F3000\n");
        for (var i = 0; i < 20_000; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"G1 X{50 + (i * 7 % 41)} Y{50 + (i * 11 % 37)} E{0.01 + (i % 13 / 100.0)}\n");
            if (i % 500 == 100)
            {
                text.Append(CultureInfo.InvariantCulture, $"M{7000 + (i / 500)}\nDO_{i / 500}\n");
            }

            if (i % 5000 == 4000)
            {
                text.Append(CultureInfo.InvariantCulture, $"T{i / 5000 % 2}\nM106 S{i % 255}\ng1 x1 F3000\n");
            }
        }

        var job = Path.Combine(_folder, "many" + ending);
        using var file = File.Create(job);
        using Stream content = ending.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(file, CompressionLevel.Fastest) : file;
        content.Write(Encoding.UTF8.GetBytes(text.ToString()));
        return job;
    }

    private static List<long> Lines(string json)
    {
        using var document = JsonDocument.Parse(json);
        return [.. document.RootElement.GetProperty("diagnostics").EnumerateArray()
            .Select(entry => entry.TryGetProperty("line", out var line) && line.ValueKind == JsonValueKind.Number ? line.GetInt64() : long.MaxValue)];
    }
}
