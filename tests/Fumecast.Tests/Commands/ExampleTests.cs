// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Fumecast.Tests.Commands;

/// <summary>Every folder of <c>examples/</c> runs through the real command and is compared with the result beside it.</summary>
/// <remarks>Numbers may differ by rounding of another processor; texts may not. <c>UPDATE_GOLDEN=1</c> rewrites the results.</remarks>
public class ExampleTests
{
    private const double Tolerance = 1e-9;

    public static TheoryData<string> Examples()
    {
        var names = new TheoryData<string>();
        foreach (var folder in RepositoryRoot.ExampleJobs())
        {
            names.Add(Path.GetFileName(folder));
        }

        return names;
    }

    [Theory]
    [MemberData(nameof(Examples))]
    public void Every_example_gives_the_result_beside_it(string name)
    {
        var run = FumecastProcess.Run(RepositoryRoot.Path, (byte[]?)null, "estimate", $"examples/{name}/job.gcode", "--format", "json", "--quiet");
        Assert.Equal("", run.Error);
        Assert.Equal(0, run.ExitCode);

        var expectedFile = RepositoryRoot.Of("examples", name, "expected.json");
        if (Environment.GetEnvironmentVariable("UPDATE_GOLDEN") == "1")
        {
            File.WriteAllText(expectedFile, run.Output);
        }

        Compare(JsonNode.Parse(File.ReadAllText(expectedFile)), JsonNode.Parse(run.Output), "$");
    }

    [Fact]
    public void A_changed_number_is_noticed() =>
        Assert.Throws<Xunit.Sdk.FailException>(() => Compare(JsonNode.Parse("""{"a":[1.0]}"""), JsonNode.Parse("""{"a":[1.00001]}"""), "$"));

    private static void Compare(JsonNode? expected, JsonNode? actual, string path)
    {
        switch (expected)
        {
            case JsonObject map:
                var other = Assert.IsType<JsonObject>(actual);
                Assert.Equal(map.Select(entry => path + "." + entry.Key), other.Select(entry => path + "." + entry.Key));
                foreach (var (key, value) in map)
                {
                    Compare(value, other[key], path + "." + key);
                }

                break;
            case JsonArray list:
                var others = Assert.IsType<JsonArray>(actual);
                Assert.True(list.Count == others.Count, $"{path}: expected {list.Count} entries, got {others.Count}");
                for (var i = 0; i < list.Count; i++)
                {
                    Compare(list[i], others[i], string.Create(CultureInfo.InvariantCulture, $"{path}[{i}]"));
                }

                break;
            case JsonValue value when value.GetValueKind() == JsonValueKind.Number:
                var (a, b) = (value.GetValue<double>(), actual!.GetValue<double>());
                if (!(Math.Abs(a - b) <= Tolerance * Math.Max(Math.Abs(a), 1e-12)))
                {
                    Assert.Fail(FormattableString.Invariant($"{path}: expected {a:R}, got {b:R}"));
                }

                break;
            default:
                Assert.Equal(path + " " + expected?.ToJsonString(), path + " " + actual?.ToJsonString());
                break;
        }
    }
}
