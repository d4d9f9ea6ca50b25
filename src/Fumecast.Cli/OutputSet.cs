// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>All that one command writes: opened before the work, checked against everything that is read, and given out together after it, or not at all.</summary>
/// <remarks>
/// A file is written under a temporary name in its own folder and moved into place, so that an older one stays until then; its permissions are kept.
/// Devices and named pipes cannot be replaced: what is for them, and for stdout, is held back and copied at the end.
/// Disposed without <see cref="Commit"/>, nothing is left behind.
/// </remarks>
internal sealed class OutputSet : IDisposable
{
    private static readonly Lock Gate = new();
    private static readonly HashSet<Output> Unfinished = [];
    private static bool IsEnding;

    private readonly Dictionary<string, Output> _outputs = [];

    private OutputSet()
    {
    }

    /// <summary>Opens the outputs.</summary>
    /// <param name="around">What the command may touch.</param>
    /// <param name="inputs">What is read, which no output may overwrite.</param>
    /// <param name="outputs">Each output's option and file: <c>-</c> for stdout, null for none.</param>
    /// <exception cref="UsageProblem">Two outputs are one file, or an output is an input.</exception>
    /// <exception cref="InputProblem">One cannot be written.</exception>
    public static OutputSet Open(Surroundings around, IEnumerable<InputFile> inputs, params ReadOnlySpan<(string Option, string? Path)> outputs)
    {
        KeepApart(inputs, outputs);
        var set = new OutputSet();
        try
        {
            foreach (var (option, path) in outputs)
            {
                if (path is not null)
                {
                    set.Add(option, Output.Open(path, around.Output));
                }
            }

            return set;
        }
        catch
        {
            set.Dispose();
            throw;
        }
    }

    /// <summary>The output of an option.</summary>
    public Output this[string option] => _outputs[option];

    /// <summary>Writes what was held back, and moves the files into place.</summary>
    /// <exception cref="InputProblem">That failed, such as on a full disk; nothing was moved then.</exception>
    public void Commit()
    {
        foreach (var output in _outputs.Values)
        {
            output.Seal();
        }

        // stdout last: what a person sees there should not be followed by an error about another output.
        foreach (var output in _outputs.Values.OrderBy(static output => output.IsStdout))
        {
            output.HandOver();
        }

        lock (Gate)
        {
            if (IsEnding)
            {
                throw new OperationCanceledException("the program is being ended");
            }

            Move();
            Unfinished.ExceptWith(_outputs.Values);
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        lock (Gate)
        {
            foreach (var output in _outputs.Values)
            {
                output.Dispose();
                Unfinished.Remove(output);
            }
        }
    }

    /// <summary>Removes all that is not finished: for a program that is about to be ended from outside.</summary>
    public static void DiscardAll()
    {
        lock (Gate)
        {
            IsEnding = true;
            foreach (var output in Unfinished)
            {
                output.Discard();
            }
        }
    }

    private void Add(string option, Output output)
    {
        _outputs.Add(option, output);
        lock (Gate)
        {
            Unfinished.Add(output);
        }
    }

    /// <summary>Moves all files, or none: what was moved before one fails is taken back.</summary>
    private void Move()
    {
        List<Output> files = [.. _outputs.Values.Where(static output => output.IsFile)];
        var keepOld = files.Count > 1;
        var moved = 0;
        try
        {
            foreach (var file in files)
            {
                file.Move(keepOld);
                moved++;
            }
        }
        catch
        {
            foreach (var file in files.Take(moved))
            {
                file.TakeBack();
            }

            throw;
        }

        foreach (var file in files)
        {
            file.ForgetOld();
        }
    }

    private static void KeepApart(IEnumerable<InputFile> inputs, ReadOnlySpan<(string Option, string? Path)> outputs)
    {
        var taken = new Dictionary<string, InputFile>();
        foreach (var input in inputs)
        {
            // One that is not there yet will be missed later; an output must not become it.
            if (FileNode.Of(input.Path) is not { Kind: FileKind.Device or FileKind.Folder } && input.Path.Length > 0)
            {
                taken.TryAdd(FileNode.IdentityOf(input.Path), input);
            }
        }

        string? toStdout = null;
        foreach (var (option, path) in outputs)
        {
            if (path is null)
            {
                continue;
            }

            if (Output.IsStandardOutput(path))
            {
                if (toStdout is not null)
                {
                    throw new UsageProblem($"{option}: found '{path}', but the result goes to stdout already; send it elsewhere with --out FILE");
                }

                toStdout = option;
                if (OperatingSystem.IsLinux() && FileNode.Of("/dev/stdout") is { Kind: FileKind.Regular } sink && taken.TryGetValue(sink.Identity, out var read))
                {
                    throw new UsageProblem($"stdout is the same file as {read.What} {read.Path}; send the result to another file");
                }

                continue;
            }

            var target = Output.TargetOf(path);
            if (FileNode.Of(target) is { Kind: FileKind.Device or FileKind.Folder })
            {
                continue;
            }

            if (!taken.TryAdd(FileNode.IdentityOf(target), new InputFile(path, option)))
            {
                var other = taken[FileNode.IdentityOf(target)];
                throw new UsageProblem(Path.GetFullPath(other.Path) == Path.GetFullPath(path)
                    ? $"{option}: '{path}' is also {other.What}; name another file"
                    : $"{option}: '{path}' is the same file as {other.What} {other.Path}; name another file");
            }
        }
    }
}

/// <summary>A file that is read.</summary>
/// <param name="Path">Where it is.</param>
/// <param name="What">What it is to the command: <c>the job</c>.</param>
internal sealed record InputFile(string Path, string What);
