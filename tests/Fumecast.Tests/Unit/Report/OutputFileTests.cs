// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Report;

namespace Fumecast.Tests.Unit.Report;

public sealed class OutputFileTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string In(string name) => Path.Combine(_folder, name);

    [Fact]
    public void Appears_only_when_it_is_complete()
    {
        using var file = OutputFile.Create(In("a.csv"));
        file.Stream.Write("half"u8);
        Assert.False(File.Exists(In("a.csv")));
        file.Commit();
        Assert.Equal("half", File.ReadAllText(In("a.csv")));
        Assert.Equal([In("a.csv")], Directory.GetFiles(_folder));
    }

    [Fact]
    public void Leaves_nothing_behind_and_the_old_file_untouched_when_it_fails()
    {
        File.WriteAllText(In("a.csv"), "old");
        Assert.Throws<InvalidOperationException>(() => OutputFile.Write(In("a.csv"), static stream =>
        {
            stream.Write("new"u8);
            throw new InvalidOperationException();
        }));
        Assert.Equal("old", File.ReadAllText(In("a.csv")));
        Assert.Equal([In("a.csv")], Directory.GetFiles(_folder));
    }

    [Fact]
    public void Replaces_an_older_file()
    {
        File.WriteAllText(In("a.csv"), "an old and longer text");
        OutputFile.Write(In("a.csv"), static stream => stream.Write("new"u8));
        Assert.Equal("new", File.ReadAllText(In("a.csv")));
    }

    [Fact]
    public void Writes_through_a_link()
    {
        File.WriteAllText(In("real.csv"), "old");
        File.CreateSymbolicLink(In("link.csv"), In("real.csv"));
        OutputFile.Write(In("link.csv"), static stream => stream.Write("new"u8));
        Assert.Equal("new", File.ReadAllText(In("real.csv")));
        Assert.NotNull(new FileInfo(In("link.csv")).LinkTarget);
    }

    [Fact]
    public void A_device_is_written_to_directly()
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        OutputFile.Write("/dev/null", static stream => stream.Write("gone"u8));
        Assert.True(File.Exists("/dev/null"));
        Assert.Equal(-1, new FileStream("/dev/null", FileMode.Open).ReadByte());
    }

    [Theory]
    [InlineData("", "it is a folder")]
    [InlineData("missing/a.csv", "does not exist; create it first")]
    [InlineData("a\0b", "no usable file name")]
    public void A_target_that_cannot_be_written_is_named_in_one_line(string name, string why)
    {
        var target = name.Length == 0 ? _folder : In(name);
        var problem = Assert.Throws<InputProblem>(() => OutputFile.Create(target));
        Assert.StartsWith(target, problem.Message);
        Assert.Contains(why, problem.Message);
        Assert.DoesNotContain('\n', problem.Message);
        Assert.Empty(Directory.GetFiles(_folder));
    }
}
