// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>From the name on the command line to an open file.</summary>
internal static class JobName
{
    internal const string StandardInput = "-";

    /// <summary>A pipe or terminal behind these names is opened already, or is none of ours when the stream was closed; a file behind them is a file.</summary>
    private static bool IsStandardInput(string name) => name == StandardInput
        || (name is "/dev/stdin" or "/dev/fd/0" or "/proc/self/fd/0" && FileNode.Of(name) is not { Kind: FileKind.Regular });

    /// <summary>Splits <c>FILE#entry</c>; an existing file of the whole name wins, and of several # the last that leaves an existing file.</summary>
    internal static (string Path, string? Entry) Split(string name)
    {
        if (IsStandardInput(name))
        {
            return (StandardInput, null);
        }

        if (File.Exists(name))
        {
            return (name, null);
        }

        for (var at = name.LastIndexOf('#'); at > 0; at = name.LastIndexOf('#', at - 1))
        {
            if (name[..at] == StandardInput || File.Exists(name[..at]))
            {
                return (name[..at], name[(at + 1)..]);
            }
        }

        return (name, null);
    }

    /// <summary>Standard input, if there is one.</summary>
    internal static Stream Required(Stream? stdin) =>
        stdin ?? throw new InputProblem("standard input is not available here; name a file instead of -");

    /// <summary>Opens a file that the user named.</summary>
    internal static FileStream OpenFile(string path)
    {
        if (path.Length == 0)
        {
            throw new InputProblem("the job has no name; name a G-code file, or - for standard input");
        }

        if (Directory.Exists(path))
        {
            throw new InputProblem($"{path}: this is a folder; name one G-code file in it");
        }

        try
        {
            // The reader has a buffer of its own.
            return new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, bufferSize: 0, FileOptions.SequentialScan);
        }
        catch (Exception problem) when (problem is FileNotFoundException or DirectoryNotFoundException)
        {
            throw Missing(path);
        }
        catch (UnauthorizedAccessException)
        {
            throw new InputProblem($"{path}: may not be read; check its permissions");
        }
        catch (Exception problem) when (problem is IOException or ArgumentException or NotSupportedException)
        {
            throw InputFindings.Unreadable(path, problem);
        }
    }

    private static InputProblem Missing(string path)
    {
        // What the system gave was no text; the sign stands for the lost bytes.
        if (path.Contains('\uFFFD', StringComparison.Ordinal))
        {
            return new InputProblem($"{path}: cannot be opened, since its name is not UTF-8 (shown with \uFFFD for what is not); rename it");
        }

        var folder = Path.GetDirectoryName(path);
        var where = string.IsNullOrEmpty(folder) ? "." : folder;
        if (!Directory.Exists(where))
        {
            return new InputProblem($"{path}: no such file, and no folder {where}");
        }

        try
        {
            var names = Directory.EnumerateFiles(where).Select(Path.GetFileName).OfType<string>().Order(StringComparer.Ordinal);
            return Nearest.To(Path.GetFileName(path), names) is { } near
                ? new InputProblem($"{path}: no such file; did you mean {Path.Combine(folder ?? "", near)}?")
                : new InputProblem($"{path}: no such file");
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return new InputProblem($"{path}: no such file");
        }
    }
}
