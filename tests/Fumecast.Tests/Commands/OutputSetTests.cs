// SPDX-License-Identifier: MIT
using Fumecast.Cli;
using Fumecast.Inputs;

namespace Fumecast.Tests.Commands;

/// <summary>What a command writes: all of it or nothing, and never over what it reads.</summary>
public sealed class OutputSetTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-").FullName;
    private readonly MemoryStream _stdout = new();

    public void Dispose()
    {
        _stdout.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    private string In(params string[] parts) => Path.Combine([_folder, .. parts]);

    private string Put(string name, string text)
    {
        File.WriteAllText(In(name), text);
        return In(name);
    }

    private string[] Names() => [.. Directory.GetFileSystemEntries(_folder).Select(static path => Path.GetFileName(path)).Order(StringComparer.Ordinal)];

    private OutputSet Open(IEnumerable<InputFile> inputs, params ReadOnlySpan<(string, string?)> outputs) =>
        OutputSet.Open(new Surroundings { Input = null, Output = _stdout, Error = TextWriter.Null }, inputs, outputs);

    private string Refused(string input, params ReadOnlySpan<(string, string?)> outputs)
    {
        try
        {
            using var set = Open([new InputFile(input, "the job")], outputs);
            return "";
        }
        catch (UsageProblem problem)
        {
            return problem.Message.Replace(_folder + "/", "", StringComparison.Ordinal);
        }
    }

    [Fact]
    public void All_files_appear_together_and_only_at_the_end()
    {
        using var set = Open([], ("--out", In("a.txt")), ("--series", In("a.csv")), ("--plot", null));
        set["--out"].Stream.Write("text"u8);
        set["--series"].Stream.Write("rows"u8);
        Assert.All(Names(), static name => Assert.Matches(@"^\.fumecast-[0-9a-f]{8}\.part$", name));
        set.Commit();
        Assert.Equal(["a.csv", "a.txt"], Names());
        Assert.Equal(("text", "rows"), (File.ReadAllText(In("a.txt")), File.ReadAllText(In("a.csv"))));
    }

    [Fact]
    public void Without_success_nothing_is_left_and_older_files_stay()
    {
        Put("a.txt", "old");
        using (var set = Open([], ("--out", In("a.txt")), ("--series", In("a.csv"))))
        {
            set["--out"].Stream.Write("new"u8);
        }

        Assert.Equal(["a.txt"], Names());
        Assert.Equal("old", File.ReadAllText(In("a.txt")));
    }

    [Fact]
    public void When_one_of_several_cannot_be_opened_none_is()
    {
        Assert.Throws<InputProblem>(() => Open([], ("--out", In("a.txt")), ("--series", In("no", "a.csv"))));
        Assert.Empty(Names());
    }

    [Fact]
    public void When_one_of_several_cannot_be_moved_the_others_are_taken_back()
    {
        Put("a.txt", "old");
        using (var set = Open([], ("--out", In("a.txt")), ("--series", In("a.csv")), ("--plot", In("a.svg"))))
        {
            set["--out"].Stream.Write("new"u8);

            // Somebody else puts a folder where the last file should go.
            Directory.CreateDirectory(In("a.svg", "in the way"));
            Assert.Contains("a.svg: cannot write this file", Assert.Throws<InputProblem>(set.Commit).Message);
        }

        Assert.Equal(["a.svg", "a.txt"], Names());
        Assert.Equal("old", File.ReadAllText(In("a.txt")));
    }

    [Fact]
    public void An_output_over_an_input_is_refused_whatever_the_names_are()
    {
        if (!OperatingSystem.IsLinux())
        {
            return;
        }

        var job = Put("job.gcode", "G28");
        File.CreateSymbolicLink(In("link"), job);
        File.CreateSymbolicLink(In("far"), In("link"));
        Directory.CreateSymbolicLink(In("folder"), _folder);
        Assert.Equal("--out: 'job.gcode' is also the job; name another file", Refused(job, ("--out", job)));
        foreach (var name in new[] { "link", "far", "folder/job.gcode", "folder/link", "./job.gcode" })
        {
            Assert.StartsWith("--out: '", Refused(job, ("--out", In(name))));
        }

        Assert.Equal("--series: 'job.gcode' is the same file as the job link; name another file", Refused(In("link"), ("--out", In("x")), ("--series", job)));
        Assert.Equal("G28", File.ReadAllText(job));
    }

    [Fact]
    public void Two_outputs_in_one_file_are_refused_also_before_it_exists()
    {
        var job = Put("job.gcode", "G28");
        Assert.Equal("--series: 'a' is also --out; name another file", Refused(job, ("--out", In("a")), ("--series", In("a"))));
        Assert.Equal("--series: found '-', but the result goes to stdout already; send it elsewhere with --out FILE", Refused(job, ("--out", "-"), ("--series", "-")));
        if (OperatingSystem.IsLinux())
        {
            File.CreateSymbolicLink(In("to-a"), In("a"));
            Directory.CreateSymbolicLink(In("folder"), _folder);
            Assert.Equal("--series: 'to-a' is the same file as --out a; name another file", Refused(job, ("--out", In("a")), ("--series", In("to-a"))));
            Assert.Equal("--series: 'folder/a' is the same file as --out a; name another file", Refused(job, ("--out", In("a")), ("--series", In("folder", "a"))));
            Assert.Equal("", Refused(job, ("--out", "/dev/null"), ("--series", "/dev/null")));
            Assert.StartsWith("--series: found '/dev/stdout', but", Refused(job, ("--out", "-"), ("--series", "/dev/stdout")));
        }
    }

    [Fact]
    public void The_file_behind_a_link_is_replaced_and_the_link_stays()
    {
        Put("real", "old");
        File.CreateSymbolicLink(In("link"), In("real"));
        using var set = Open([], ("--out", In("link")));
        set["--out"].Stream.Write("new"u8);
        set.Commit();
        Assert.Equal("new", File.ReadAllText(In("real")));
        Assert.NotNull(new FileInfo(In("link")).LinkTarget);
    }

    [Fact]
    public void The_permissions_of_a_file_that_is_replaced_are_kept()
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        const UnixFileMode Private = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        File.SetUnixFileMode(Put("a", "old"), Private);
        using var set = Open([], ("--out", In("a")));
        set.Commit();
        Assert.Equal(Private, File.GetUnixFileMode(In("a")));
    }

    [Fact]
    public void A_long_name_works_and_one_that_is_too_long_is_refused_before_the_work()
    {
        var name = new string('n', 255);
        using (var set = Open([], ("--out", In(name))))
        {
            set.Commit();
        }

        Assert.Equal([name], Names());
        Assert.Contains("longer than 255 bytes", Assert.Throws<InputProblem>(() => Open([], ("--out", In(name + "n")))).Message);
    }

    [Fact]
    public void Devices_and_stdout_get_all_at_the_end()
    {
        using var set = Open([], ("--out", OperatingSystem.IsWindows() ? "-" : "/dev/stdout"));
        set["--out"].Stream.Write("some"u8);
        Assert.Equal(0, _stdout.Length);
        set.Commit();
        Assert.Equal("some"u8, _stdout.ToArray());
    }

    [Fact]
    public void More_than_fits_in_memory_is_held_all_the_same()
    {
        using var set = Open([], ("--out", "-"));
        var part = new byte[3 << 20];
        for (var i = 0; i < 3; i++)
        {
            part.AsSpan().Fill((byte)i);
            set["--out"].Stream.Write(part);
        }

        set.Commit();
        Assert.Equal(3 * part.Length, _stdout.Length);
        Assert.Equal([0, 1, 2], _stdout.ToArray().Where((_, i) => i % part.Length == 7));
    }

    [Theory]
    [InlineData("no/a.csv", "cannot write here, the folder")]
    [InlineData("", "cannot write here, it is a folder")]
    [InlineData("new/", "cannot write here, it is a folder")]
    [InlineData("a\uFFFDb", "the name is not UTF-8")]
    public void What_cannot_be_written_is_said_before_the_work(string name, string reason) =>
        Assert.Contains(reason, Assert.Throws<InputProblem>(() => Open([], ("--out", In(name)))).Message);
}
