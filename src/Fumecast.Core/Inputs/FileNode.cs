// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Fumecast.Inputs;

/// <summary>What a name in the file system leads to.</summary>
internal enum FileKind
{
    /// <summary>A file with content of its own, wherever it lies.</summary>
    Regular,

    /// <summary>A folder.</summary>
    Folder,

    /// <summary>A device, such as <c>/dev/null</c> or a terminal.</summary>
    Device,

    /// <summary>A pipe or socket: what is read from it cannot be read again.</summary>
    Pipe,
}

/// <summary>The very file behind a name: two names have equal nodes if and only if they lead to one file, whatever links lie on the way.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Identity">Tells it from every other file: device and file number, or the path without links where the system gives no such numbers.</param>
internal readonly partial record struct FileNode(FileKind Kind, string Identity)
{
    private const int MostLinks = 40;

    /// <summary>The file behind a name, links followed.</summary>
    /// <param name="path">The name.</param>
    /// <returns>The file; null when there is none or it cannot be looked at.</returns>
    public static FileNode? Of(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        if (path.Length == 0 || path.Contains('\0', StringComparison.Ordinal))
        {
            return null;
        }

        if (OperatingSystem.IsLinux())
        {
            try
            {
                return FromSystem(path);
            }
            catch (Exception missing) when (missing is EntryPointNotFoundException or DllNotFoundException)
            {
                // A C library from before 2018; the path has to do.
            }
        }

        return Directory.Exists(path) ? new FileNode(FileKind.Folder, WithoutLinks(path))
            : File.Exists(path) ? new FileNode(FileKind.Regular, WithoutLinks(path))
            : null;
    }

    /// <summary>The identity of the file that a name leads to, or that writing to it would make.</summary>
    /// <param name="path">The name; not a link to nothing.</param>
    public static string IdentityOf(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        if (Of(path) is { } node)
        {
            return node.Identity;
        }

        if (path.Contains('\0', StringComparison.Ordinal))
        {
            return path;
        }

        var full = Path.GetFullPath(path);
        return Of(Path.GetDirectoryName(full) ?? full) is { } folder ? $"{folder.Identity}/{Path.GetFileName(full)}" : full;
    }

    private static string WithoutLinks(string path)
    {
        var full = Path.GetFullPath(path);
        for (var i = 0; i < MostLinks; i++)
        {
            var changed = false;
            for (var part = full; Path.GetDirectoryName(part) is { } folder; part = folder)
            {
                if (new FileInfo(part).LinkTarget is { } target)
                {
                    full = Path.GetFullPath(Path.Combine(folder, target) + full[part.Length..]);
                    changed = true;
                    break;
                }
            }

            if (!changed)
            {
                break;
            }
        }

        return OperatingSystem.IsLinux() ? full : full.ToUpperInvariant();
    }

    private static FileNode? FromSystem(string path)
    {
        const int FromWorkingFolder = -100;
        const uint TypeAndNumber = 0x1 | 0x100;
        Status status = default;
        if (StatX(FromWorkingFolder, path, 0, TypeAndNumber, ref status) != 0)
        {
            return null;
        }

        var kind = (status.Mode & 0xF000) switch
        {
            0x8000 => FileKind.Regular,
            0x4000 => FileKind.Folder,
            0x2000 or 0x6000 => FileKind.Device,
            _ => FileKind.Pipe,
        };
        return new FileNode(kind, FormattableString.Invariant($"{status.DeviceMajor}:{status.DeviceMinor}:{status.Number}"));
    }

    [LibraryImport("libc", EntryPoint = "statx", StringMarshalling = StringMarshalling.Utf8)]
    private static partial int StatX(int folder, string path, int flags, uint mask, ref Status status);

    /// <summary>The system's answer; its layout is the same on every processor (Linux manual, statx(2)).</summary>
    [StructLayout(LayoutKind.Explicit, Size = 256)]
    private struct Status
    {
        [FieldOffset(28)]
        public ushort Mode;

        [FieldOffset(32)]
        public ulong Number;

        [FieldOffset(136)]
        public uint DeviceMajor;

        [FieldOffset(140)]
        public uint DeviceMinor;
    }
}
