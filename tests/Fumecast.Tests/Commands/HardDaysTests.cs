// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text;

namespace Fumecast.Tests.Commands;

/// <summary>The built command as a process of its own: other languages, interrupts, pipes that close.</summary>
public sealed class HardDaysTests : IDisposable
{
    private const string Start = "; filament_type = PLA\nM109 S210\nM83\nG1 X10 E1 F600\n";

    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void The_language_of_the_machine_changes_nothing()
    {
        File.WriteAllText(Path.Combine(_folder, "a.gcode"), Start + "G1 X20.5 E.75\n");
        string[] args = ["estimate", "a.gcode", "--format", "json"];
        var plain = FumecastProcess.Run(_folder, null, args);
        Assert.Equal((0, ""), (plain.ExitCode, plain.Error.Split('\n')[^1]));
        using var german = FumecastProcess.Start(_folder, [("LANG", "de_DE.UTF-8"), ("LC_ALL", "de_DE.UTF-8"), ("DOTNET_SYSTEM_GLOBALIZATION_INVARIANT", "0")], args);
        german.StandardInput.Close();
        var output = german.StandardOutput.ReadToEnd();
        Assert.True(german.WaitForExit(60_000));
        Assert.Equal((0, plain.Output), (german.ExitCode, output));
    }

    [Fact]
    public async Task An_interrupt_while_reading_leaves_nothing_behind()
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        using var process = FumecastProcess.Start(_folder, "estimate", "-", "--out", "a.txt", "--series", "a.csv", "--plot", "a.svg", "--material", "pla");
        var pipe = process.StandardInput.BaseStream;
        pipe.Write(Encoding.ASCII.GetBytes(Start));
        var moves = Encoding.ASCII.GetBytes(string.Concat(Enumerable.Range(0, 10_000).Select(static i => $"G1 X{i % 200} Y{i * 7 % 200} E1\n")));

        // Fed for as long as it lives: that it reads, that its outputs are there and unfinished, and its end are waited for, however slow the machine.
        var feeding = Task.Run(() =>
        {
            try
            {
                while (!process.HasExited)
                {
                    pipe.Write(moves);
                }
            }
            catch (IOException)
            {
                // It has gone away, as it should.
            }
        });
        using var hung = new CancellationTokenSource(TimeSpan.FromMinutes(5));
        while (Directory.GetFiles(_folder, ".fumecast-*.part").Length < 3 && !process.HasExited)
        {
            Assert.False(hung.IsCancellationRequested, "the outputs were not opened");
            Thread.Sleep(10);
        }

        Assert.Equal(3, Directory.GetFiles(_folder, ".fumecast-*.part").Length);
        // A test run in the background of a shell ignores interrupts, and so do the programs it starts: then it is ended instead.
        using (var kill = Process.Start("kill", [IgnoresInterrupts() ? "-TERM" : "-INT", process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]))
        {
            kill.WaitForExit();
        }

        await process.WaitForExitAsync(hung.Token);
        await feeding;
        Assert.Equal(130, process.ExitCode);
        Assert.Empty(Directory.GetFileSystemEntries(_folder));
    }

    private static bool IgnoresInterrupts() =>
        File.Exists("/proc/self/status")
        && File.ReadLines("/proc/self/status").FirstOrDefault(static line => line.StartsWith("SigIgn:", StringComparison.Ordinal)) is { } ignored
        && (Convert.ToUInt64(ignored[7..].Trim(), 16) & 0b10) != 0;

    [Fact]
    public void A_reader_of_the_result_that_goes_away_is_no_mistake()
    {
        using var process = FumecastProcess.Start(_folder, "estimate", "-", "--material", "pla");
        process.StandardOutput.Close();
        process.StandardInput.Write(Start);
        process.StandardInput.Close();
        var error = process.StandardError.ReadToEnd();
        Assert.True(process.WaitForExit(60_000));
        Assert.Equal((0, ""), (process.ExitCode, error));
    }
}
