// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text;

namespace Fumecast.Tests.Commands;

/// <summary>Runs the built command as a user does: a process of its own, with its own culture and streams.</summary>
internal static class FumecastProcess
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    /// <summary>What a finished process left.</summary>
    /// <param name="ExitCode">Its exit code.</param>
    /// <param name="Output">What it wrote to stdout.</param>
    /// <param name="Error">What it wrote to stderr.</param>
    internal sealed record Ended(int ExitCode, string Output, string Error);

    /// <summary>Runs the command to its end.</summary>
    /// <param name="args">Arguments.</param>
    public static Ended Run(params string[] args) => Run(null, null, args);

    /// <summary>Runs the command to its end.</summary>
    /// <param name="folder">Working folder, or null for the tests' own.</param>
    /// <param name="input">What it finds on stdin, or null for nothing.</param>
    /// <param name="args">Arguments.</param>
    public static Ended Run(string? folder, byte[]? input, params string[] args) => ToItsEnd(Start(folder, args), input, args);

    /// <summary>Runs the command to its end in a folder, with data of the user's own.</summary>
    /// <param name="folder">Working folder.</param>
    /// <param name="dataFolder">What FUMECAST_DATA says.</param>
    /// <param name="args">Arguments.</param>
    public static Ended RunWithData(string folder, string dataFolder, params string[] args) => ToItsEnd(Start(folder, [("FUMECAST_DATA", dataFolder)], args), null, args);

    private static Ended ToItsEnd(Process started, byte[]? input, string[] args)
    {
        using var process = started;

        // Both streams at once: a full pipe would stop the process.
        var output = process.StandardOutput.ReadToEndAsync();
        var error = process.StandardError.ReadToEndAsync();
        try
        {
            if (input is not null)
            {
                process.StandardInput.BaseStream.Write(input);
            }

            process.StandardInput.Close();
        }
        catch (IOException)
        {
            // It ended before it had read everything; its exit code tells why.
        }

        if (!process.WaitForExit(Patience))
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"fumecast {string.Join(' ', args)} did not end within {Patience.TotalSeconds} s");
        }

        return new Ended(process.ExitCode, output.GetAwaiter().GetResult(), error.GetAwaiter().GetResult());
    }

    /// <summary>Starts the command and leaves the streams to the caller.</summary>
    /// <param name="folder">Working folder, or null for the tests' own.</param>
    /// <param name="args">Arguments.</param>
    public static Process Start(string? folder, params string[] args) => Start(folder, [], args);

    /// <summary>Starts the command with other surroundings.</summary>
    /// <param name="folder">Working folder, or null for the tests' own.</param>
    /// <param name="environment">Variables to set.</param>
    /// <param name="args">Arguments.</param>
    public static Process Start(string? folder, (string Name, string Value)[] environment, params string[] args)
    {
        var start = new ProcessStartInfo(Environment.ProcessPath is { } host && Path.GetFileNameWithoutExtension(host) == "dotnet" ? host : "dotnet")
        {
            WorkingDirectory = folder ?? AppContext.BaseDirectory,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            StandardOutputEncoding = new UTF8Encoding(false),
            StandardErrorEncoding = new UTF8Encoding(false),
        };
        start.ArgumentList.Add(Path.Combine(AppContext.BaseDirectory, "fumecast.dll"));
        foreach (var arg in args)
        {
            start.ArgumentList.Add(arg);
        }

        // What the machine has set must not leak into the result.
        start.Environment.Remove("FUMECAST_DATA");
        start.Environment["NO_COLOR"] = "1";
        foreach (var (name, value) in environment)
        {
            start.Environment[name] = value;
        }

        return Process.Start(start) ?? throw new InvalidOperationException("dotnet did not start");
    }
}
