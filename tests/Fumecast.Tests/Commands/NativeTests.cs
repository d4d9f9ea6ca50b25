// SPDX-License-Identifier: MIT
using System.Diagnostics;

namespace Fumecast.Tests.Commands;

/// <summary>The native program against the other one. It needs a linker, so CI builds it and names it in FUMECAST_NATIVE.</summary>
public class NativeTests
{
    [NativeFact]
    public void The_native_program_gives_the_same_bytes()
    {
        foreach (var folder in RepositoryRoot.ExampleJobs())
        {
            foreach (var format in new[] { "json", "text", "csv" })
            {
                string[] args = ["estimate", $"examples/{Path.GetFileName(folder)}/job.gcode", "--format", format];
                var jit = FumecastProcess.Run(RepositoryRoot.Path, (byte[]?)null, args);
                Assert.Equal(0, jit.ExitCode);
                Assert.Equal(jit.Output, RunNative(args));
            }
        }
    }

    private static string RunNative(string[] args)
    {
        var start = new ProcessStartInfo(NativeFactAttribute.Program!, args)
        {
            WorkingDirectory = RepositoryRoot.Path,
            RedirectStandardOutput = true,
        };
        start.Environment.Remove("FUMECAST_DATA");
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEnd();
        Assert.True(process.WaitForExit(60_000));
        Assert.Equal(0, process.ExitCode);
        return output;
    }

    [AttributeUsage(AttributeTargets.Method)]
    private sealed class NativeFactAttribute : FactAttribute
    {
        public NativeFactAttribute()
        {
            if (Program is null)
            {
                Skip = "FUMECAST_NATIVE names no native program; .ci/run builds one where a linker is at hand";
            }
        }

        public static string? Program { get; } =
            Environment.GetEnvironmentVariable("FUMECAST_NATIVE") is { Length: > 0 } path && File.Exists(path) ? path : null;
    }
}
