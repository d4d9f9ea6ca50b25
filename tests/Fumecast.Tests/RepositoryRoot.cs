// SPDX-License-Identifier: MIT
namespace Fumecast.Tests;

/// <summary>Finds files of the repository from wherever the tests run.</summary>
internal static class RepositoryRoot
{
    /// <summary>The folder that holds the solution.</summary>
    public static string Path { get; } = Find();

    /// <summary>A path inside the repository.</summary>
    public static string Of(params string[] parts) => System.IO.Path.Combine([Path, .. parts]);

    /// <summary>The folders of <c>examples</c> that hold a job with its result; that of the trial holds logs.</summary>
    public static IEnumerable<string> ExampleJobs() =>
        Directory.GetDirectories(Of("examples")).Where(static folder => File.Exists(System.IO.Path.Combine(folder, "job.gcode"))).Order(StringComparer.Ordinal);

    private static string Find()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(System.IO.Path.Combine(folder.FullName, "fumecast.slnx")))
            {
                return folder.FullName;
            }
        }

        throw new InvalidOperationException("the tests run outside the repository");
    }
}
