// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.GCode;
using Fumecast.Inputs;
using Fumecast.Machine;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary>All files that a run reads or may read.</summary>
internal static class RunInputs
{
    /// <summary>Jobs and the files behind containers and stdin, the data files that are named, and those of the user's own data folder.</summary>
    /// <param name="jobs">The jobs.</param>
    /// <param name="materials">The materials as named.</param>
    /// <param name="printer">The printer as named, or null.</param>
    public static IEnumerable<InputFile> Of(IEnumerable<string> jobs, IEnumerable<string> materials, string? printer)
    {
        foreach (var job in jobs)
        {
            if (JobFile.PathOf(job) is { } path)
            {
                yield return new InputFile(path, "the job");
            }
            else if (!OperatingSystem.IsWindows() && FileNode.Of("/dev/stdin") is { Kind: FileKind.Regular })
            {
                yield return new InputFile("/dev/stdin", "the job on");
            }
        }

        var catalogue = new MaterialCatalogue();
        foreach (var material in materials)
        {
            if (catalogue.PathOf(material) is { } path)
            {
                yield return new InputFile(path, "the material");
            }
        }

        if (printer is not null && PrinterCatalogue.PathOf(printer) is { } profile)
        {
            yield return new InputFile(profile, "the printer");
        }

        foreach (var own in DataKinds.All().SelectMany(static kind => kind.OwnFiles))
        {
            yield return new InputFile(own, "the data file");
        }
    }
}
