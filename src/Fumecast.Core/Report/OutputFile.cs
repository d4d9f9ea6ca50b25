// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Report;

/// <summary>A file that appears whole or not at all: written under a temporary name in its own folder, moved into place on success.</summary>
/// <remarks>
/// Dispose without <see cref="Commit"/> leaves nothing behind and an older file of that name untouched. A target that is no
/// regular file (a device, a named pipe) is written to directly, since it cannot be replaced.
/// </remarks>
public sealed class OutputFile : IDisposable
{
    private static readonly HashSet<string> Unfinished = [];
    private readonly string _path;
    private readonly string? _temporary;
    private readonly FileStream _stream;
    private bool _committed;

    private OutputFile(string path, string? temporary, FileStream stream)
    {
        _path = path;
        _temporary = temporary;
        _stream = stream;
        if (temporary is not null)
        {
            lock (Unfinished)
            {
                Unfinished.Add(temporary);
            }
        }
    }

    /// <summary>Where to write; unbuffered beyond its own small buffer.</summary>
    public Stream Stream => _stream;

    /// <summary>Opens a target for writing.</summary>
    /// <param name="path">The target as the user named it.</param>
    /// <exception cref="InputProblem">The target cannot be written: one line that says why.</exception>
    public static OutputFile Create(string path)
    {
        try
        {
            if (Directory.Exists(path) || path.EndsWith('/') || path.EndsWith(Path.DirectorySeparatorChar))
            {
                throw new InputProblem($"{path}: cannot write here, it is a folder; name a file in it");
            }

            var target = Resolve(path);
            if (IsDevice(target))
            {
                return new OutputFile(target, null, new Target(path, target, FileMode.Open, FileShare.ReadWrite));
            }

            if (File.Exists(target))
            {
                // Replacing needs only the folder's consent; a write-protected file says that it is meant to stay.
                using var probe = new FileStream(target, FileMode.Open, FileAccess.Write, FileShare.ReadWrite);
            }

            var folder = Path.GetDirectoryName(target)!;
            if (!Directory.Exists(folder))
            {
                throw new InputProblem($"{path}: cannot write here, the folder {folder} does not exist; create it first");
            }

            var temporary = Path.Combine(folder, $".{Path.GetFileName(target)}.{Guid.NewGuid().ToString("N")[..8]}.part");
            return new OutputFile(target, temporary, new Target(path, temporary, FileMode.CreateNew, FileShare.Read));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw Unwritable(path, e);
        }
    }

    /// <summary>Writes a whole file in one go.</summary>
    /// <param name="path">The target as the user named it.</param>
    /// <param name="write">Writes the content.</param>
    /// <exception cref="InputProblem">The target cannot be written.</exception>
    public static void Write(string path, Action<Stream> write)
    {
        using var file = Create(path);
        write(file.Stream);
        file.Commit();
    }

    /// <summary>Moves the finished file into place; the stream is closed.</summary>
    /// <exception cref="InputProblem">The file cannot be completed, such as on a full disk.</exception>
    public void Commit()
    {
        try
        {
            _stream.Dispose();
            if (_temporary is not null)
            {
                File.Move(_temporary, _path, overwrite: true);
            }

            _committed = true;
            Forget();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw Unwritable(_path, e);
        }
    }

    /// <summary>Closes the file; without <see cref="Commit"/> it is discarded.</summary>
    public void Dispose()
    {
        try
        {
            _stream.Dispose();
        }
        catch (IOException) when (!_committed)
        {
            // The last bytes of a file that is thrown away need not reach the disk.
        }

        if (!_committed && _temporary is not null)
        {
            File.Delete(_temporary);
            Forget();
        }
    }

    /// <summary>Removes all files that are not finished: for a program that is about to be ended from outside.</summary>
    public static void DiscardAll()
    {
        lock (Unfinished)
        {
            foreach (var temporary in Unfinished)
            {
                File.Delete(temporary);
            }

            Unfinished.Clear();
        }
    }

    private void Forget()
    {
        if (_temporary is not null)
        {
            lock (Unfinished)
            {
                Unfinished.Remove(_temporary);
            }
        }
    }

    /// <summary>Follows links, so that the file behind one is replaced and not the link.</summary>
    private static string Resolve(string path)
    {
        var full = Path.GetFullPath(path);
        return new FileInfo(full).LinkTarget is null ? full : File.ResolveLinkTarget(full, returnFinalTarget: true)?.FullName ?? full;
    }

    private static bool IsDevice(string target)
    {
        if (target.StartsWith("/dev/", StringComparison.Ordinal) || target.StartsWith("/proc/", StringComparison.Ordinal))
        {
            return true;
        }

        return !OperatingSystem.IsWindows() && File.Exists(target) && (File.GetAttributes(target) & FileAttributes.Normal) == 0
            && new FileInfo(target) is { Length: 0 } && IsPipe(target);
    }

    /// <summary>A named pipe cannot be told from an empty file without opening it; opening it to read and write does not block.</summary>
    private static bool IsPipe(string target)
    {
        using var probe = new FileStream(target, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite, bufferSize: 0);
        return !probe.CanSeek;
    }

    private static InputProblem Unwritable(string path, Exception e) => new($"{path}: cannot write this file: {Reason(e)}");

    /// <summary>Says which output failed, and not the name of its temporary file.</summary>
    private sealed class Target(string name, string path, FileMode mode, FileShare share) : FileStream(path, mode, FileAccess.Write, share)
    {
        // A type derived from FileStream writes spans through this one.
        public override void Write(byte[] buffer, int offset, int count)
        {
            try
            {
                base.Write(buffer, offset, count);
            }
            catch (IOException e)
            {
                throw Unwritable(name, e);
            }
        }

        public override void Flush(bool flushToDisk)
        {
            try
            {
                base.Flush(flushToDisk);
            }
            catch (IOException e)
            {
                throw Unwritable(name, e);
            }
        }
    }

    private static string Reason(Exception e) => e switch
    {
        UnauthorizedAccessException => "permission denied; choose another place",
        PathTooLongException => "the name is too long",
        ArgumentException => "this is no usable file name",
        // The system names the file too, which may be the temporary one.
        _ => e.Message.Split('\n')[0].Split(" : '")[0].Trim(),
    };
}
