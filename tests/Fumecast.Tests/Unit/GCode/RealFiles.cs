// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Tests.Unit.GCode;

/// <summary>Real files that stand beside the repository and are not part of it.</summary>
internal static class RealFiles
{
    internal static string? Folder { get; } = Find();

    internal static IEnumerable<string> All() => Directory.EnumerateFiles(Folder!, "*.gcode").Order(StringComparer.Ordinal);

    internal static string PathOf(string name) => Path.Combine(Folder!, name);

    private static string? Find([CallerFilePath] string source = "")
    {
        for (var folder = Path.GetDirectoryName(source); folder is not null; folder = Path.GetDirectoryName(folder))
        {
            var shared = Path.Combine(folder, "shared", "gcode");
            if (Directory.Exists(shared))
            {
                return shared;
            }
        }

        return null;
    }
}

/// <summary>A test that needs the real files; skipped where they are absent.</summary>
internal sealed class SkippableFolderFactAttribute : FactAttribute
{
    public SkippableFolderFactAttribute()
    {
        if (RealFiles.Folder is null)
        {
            Skip = "the real files (../shared/gcode) are not here";
        }
    }
}
