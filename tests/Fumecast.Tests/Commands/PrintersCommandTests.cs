// SPDX-License-Identifier: MIT
namespace Fumecast.Tests.Commands;

public class PrintersCommandTests
{
    [Fact]
    public void The_list_names_each_profile_and_the_one_that_is_taken_by_default()
    {
        var ended = InMemory.Real(["printers", "list"]);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Matches("(?m)^desktop-default \\(taken where no --printer is given\\)$", ended.Output);
    }

    [Fact]
    public void A_profile_that_is_shown_can_be_used_as_a_file()
    {
        var shown = InMemory.Real(["printers", "show", "desktop-default"]);
        var file = Path.Combine(Path.GetTempPath(), $"{Guid.NewGuid():N}.yaml");
        try
        {
            File.WriteAllText(file, shown.Output);
            Assert.Equal(0, InMemory.Real(["printers", "show", file]).ExitCode);
        }
        finally
        {
            File.Delete(file);
        }
    }

    [Fact]
    public void An_unknown_profile_offers_the_nearest()
    {
        var ended = InMemory.Real(["printers", "show", "desktop-defalt"]);
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Contains("did you mean 'desktop-default'?", ended.Error);
    }
}
