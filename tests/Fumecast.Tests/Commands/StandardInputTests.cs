// SPDX-License-Identifier: MIT
using System.IO.Compression;
using System.Text.Json.Nodes;

namespace Fumecast.Tests.Commands;

/// <summary>A job through a pipe gives what the file gives, also where its last comments name what the first reading needs.</summary>
public class StandardInputTests
{
    // Over 256 KiB, with the material in its footer.
    private const string Job = "examples/radio-knob/job.gcode";

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_job_from_a_pipe_gives_what_its_file_gives(bool packed)
    {
        var content = File.ReadAllBytes(RepositoryRoot.Of("examples", "radio-knob", "job.gcode"));
        var piped = FumecastProcess.Run(RepositoryRoot.Path, packed ? Pack(content) : content, "estimate", "-", "--format", "json", "--quiet");
        var read = FumecastProcess.Run(RepositoryRoot.Path, (byte[]?)null, "estimate", Job, "--format", "json", "--quiet");
        Assert.Equal("", piped.Error);
        foreach (var part in new[] { "flow", "emission", "sources" })
        {
            Assert.Equal(JsonNode.Parse(read.Output)![part]!.ToJsonString(), JsonNode.Parse(piped.Output)![part]!.ToJsonString());
        }
    }

    [Fact]
    public void A_series_from_a_pipe_is_that_of_the_last_reading_alone()
    {
        var content = File.ReadAllBytes(RepositoryRoot.Of("examples", "radio-knob", "job.gcode"));
        var folder = Directory.CreateTempSubdirectory("fumecast-pipe-").FullName;
        try
        {
            Assert.Equal(0, FumecastProcess.Run(folder, content, "estimate", "-", "--quiet", "--series", "piped.csv").ExitCode);
            Assert.Equal(0, FumecastProcess.Run(folder, (byte[]?)null, "estimate", RepositoryRoot.Of(Job.Split('/')), "--quiet", "--series", "read.csv").ExitCode);
            Assert.Equal(File.ReadAllText(Path.Combine(folder, "read.csv")), File.ReadAllText(Path.Combine(folder, "piped.csv")));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static byte[] Pack(byte[] content)
    {
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            gzip.Write(content);
        }

        return packed.ToArray();
    }
}
