// SPDX-License-Identifier: MIT
using Fumecast.Report;

namespace Fumecast.Tests.Unit.Report;

/// <summary>Concerns all files of the process, so it runs when no other test writes any.</summary>
[CollectionDefinition(nameof(DiscardingOutputFilesTests), DisableParallelization = true)]
[Collection(nameof(DiscardingOutputFilesTests))]
public class DiscardingOutputFilesTests
{
    [Fact]
    public void What_is_unfinished_can_be_discarded_from_outside()
    {
        var folder = Directory.CreateTempSubdirectory("fumecast-").FullName;
        try
        {
            using var file = OutputFile.Create(Path.Combine(folder, "b.csv"));
            Assert.Single(Directory.GetFiles(folder));
            OutputFile.DiscardAll();
            Assert.Empty(Directory.GetFiles(folder));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
