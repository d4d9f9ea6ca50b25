// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>One output of a command; see <see cref="OutputSet"/>.</summary>
internal sealed class Output : IDisposable
{
    /// <summary>On the usual file systems; a longer name would be refused after the work [bytes].</summary>
    private const int LongestName = 255;

    private readonly string _name;
    private readonly string _target;
    private readonly string? _temporary;
    private readonly Stream? _direct;
    private readonly bool _ownsDirect;
    private readonly GuardedStream? _file;
    private HeldStream? _held;
    private string? _old;
    private bool _isInPlace;

    private Output(string name, string target, string? temporary, GuardedStream? file, Stream? direct, bool ownsDirect)
    {
        _name = name;
        _target = target;
        _temporary = temporary;
        _file = file;
        _direct = direct;
        _ownsDirect = ownsDirect;
    }

    /// <summary>Whether it is a file, which appears when it is complete.</summary>
    public bool IsFile => _temporary is not null;

    /// <summary>Whether it goes to stdout.</summary>
    public bool IsStdout => _direct is not null && !_ownsDirect;

    /// <summary>Where to write; it can seek and be read again, and nobody sees it before the end.</summary>
    public Stream Stream => _file ?? (Stream)(_held ??= new HeldStream(IsStdout ? "the result" : _name));

    /// <summary>Where to write what should be seen as soon as it is there; a file still appears at the end.</summary>
    public Stream Live => _file ?? _direct!;

    /// <summary>Whether a name stands for stdout.</summary>
    public static bool IsStandardOutput(string path) => path is "-" || (!OperatingSystem.IsWindows() && path is "/dev/stdout" or "/dev/fd/1" or "/proc/self/fd/1");

    /// <summary>Follows links, so that the file behind one is replaced and not the link.</summary>
    public static string TargetOf(string path)
    {
        try
        {
            var full = Path.GetFullPath(path);
            return IsDescriptor(full) || new FileInfo(full).LinkTarget is null ? full : File.ResolveLinkTarget(full, returnFinalTarget: true)?.FullName ?? full;
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw Unwritable(path, trouble);
        }
    }

    /// <summary>Opens an output.</summary>
    /// <param name="path">As the user named it.</param>
    /// <param name="stdout">What <c>-</c> stands for.</param>
    /// <exception cref="InputProblem">It cannot be written: one line that says why.</exception>
    public static Output Open(string path, Stream stdout)
    {
        if (IsStandardOutput(path))
        {
            return new Output("stdout", path, null, null, new GuardedStream(Result.Require(stdout), "stdout"), ownsDirect: false);
        }

        if (path.Contains('\uFFFD', StringComparison.Ordinal))
        {
            throw new InputProblem($"{path}: cannot write here, since the name is not UTF-8 (shown with \uFFFD for what is not); choose another");
        }

        if (Encoding.UTF8.GetByteCount(Path.GetFileName(path)) > LongestName)
        {
            throw new InputProblem(FormattableString.Invariant($"{path}: cannot write here, the name is longer than {LongestName} bytes; choose a shorter one"));
        }

        if (Directory.Exists(path) || path.EndsWith('/') || path.EndsWith(Path.DirectorySeparatorChar))
        {
            throw new InputProblem($"{path}: cannot write here, it is a folder; name a file in it");
        }

        var target = TargetOf(path);
        try
        {
            var node = FileNode.Of(target);
            if (IsDescriptor(target) || node is { Kind: FileKind.Device or FileKind.Pipe })
            {
                var mode = node is { Kind: FileKind.Regular } ? FileMode.Append : FileMode.Open;
                var direct = new FileStream(target, mode, FileAccess.Write, FileShare.ReadWrite, bufferSize: 0);
                return new Output(path, target, null, null, new GuardedStream(direct, path), ownsDirect: true);
            }

            return OpenFile(path, target, isThere: node is not null);
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw Unwritable(path, trouble);
        }
    }

    /// <summary>Closes a file after its last byte.</summary>
    public void Seal()
    {
        _file?.Flush();
        _file?.Dispose();
    }

    /// <summary>Copies what was held back to where it goes. A reader that has gone away has seen enough.</summary>
    public void HandOver()
    {
        if (_held is null)
        {
            return;
        }

        _held.Position = 0;
        try
        {
            _held.CopyTo(_direct!);
            _direct!.Flush();
        }
        catch (IOException trouble) when (Result.IsClosedPipe(trouble))
        {
            // As by head -1.
        }
    }

    /// <summary>Moves the file into place.</summary>
    /// <param name="keepOld">Whether an older file must be kept for <see cref="TakeBack"/>.</param>
    public void Move(bool keepOld)
    {
        try
        {
            if (keepOld && File.Exists(_target))
            {
                var old = Beside(_target, "old");
                File.Move(_target, old);
                _old = old;
            }

            File.Move(_temporary!, _target, overwrite: true);
            _isInPlace = true;
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            TakeBack();
            throw Unwritable(_name, trouble);
        }
    }

    /// <summary>Undoes <see cref="Move"/>.</summary>
    public void TakeBack()
    {
        if (_isInPlace)
        {
            File.Delete(_target);
            _isInPlace = false;
        }

        if (_old is not null)
        {
            File.Move(_old, _target);
            _old = null;
        }
    }

    /// <summary>Lets go of the older file.</summary>
    public void ForgetOld()
    {
        if (_old is not null)
        {
            File.Delete(_old);
            _old = null;
        }
    }

    /// <summary>Removes what is unfinished; the streams stay as they are.</summary>
    public void Discard()
    {
        if (_temporary is not null && !_isInPlace)
        {
            File.Delete(_temporary);
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        try
        {
            _file?.Dispose();
        }
        catch (InputProblem) when (!_isInPlace)
        {
            // The last bytes of a file that is thrown away need not reach the disk.
        }

        Discard();
        _held?.Dispose();
        if (_ownsDirect)
        {
            _direct?.Dispose();
        }
    }

    private static Output OpenFile(string path, string target, bool isThere)
    {
        if (isThere)
        {
            // Replacing needs only the folder's consent; a write-protected file says that it is meant to stay.
            using var probe = new FileStream(target, FileMode.Open, FileAccess.Write, FileShare.ReadWrite);
        }

        var folder = Path.GetDirectoryName(target)!;
        if (!Directory.Exists(folder))
        {
            throw new InputProblem($"{path}: cannot write here, the folder {folder} does not exist; create it first");
        }

        var temporary = Beside(target, "part");
        var file = new FileStream(temporary, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.Read);
        try
        {
            if (isThere && !OperatingSystem.IsWindows())
            {
                File.SetUnixFileMode(file.SafeFileHandle, File.GetUnixFileMode(target));
            }
        }
        catch
        {
            file.Dispose();
            File.Delete(temporary);
            throw;
        }

        return new Output(path, target, temporary, new GuardedStream(file, path), null, ownsDirect: false);
    }

    /// <summary>A short name beside a file: its own may be as long as names can be.</summary>
    private static string Beside(string target, string ending) =>
        Path.Combine(Path.GetDirectoryName(target)!, $".fumecast-{Guid.NewGuid().ToString("N")[..8]}.{ending}");

    /// <summary>Names of what the process has open already, whatever is behind them.</summary>
    private static bool IsDescriptor(string path) => !OperatingSystem.IsWindows()
        && (path is "/dev/stderr" or "/dev/stdin" || path.StartsWith("/dev/fd/", StringComparison.Ordinal) || path.StartsWith("/proc/", StringComparison.Ordinal));

    private static InputProblem Unwritable(string path, Exception trouble) => GuardedStream.Unwritable(path, trouble);
}
