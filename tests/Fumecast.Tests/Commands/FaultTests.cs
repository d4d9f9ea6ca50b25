// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace Fumecast.Tests.Commands;

/// <summary>The built command where disks are full, streams are closed and people lose patience. Linux, since each case is made with its means.</summary>
public sealed class FaultTests : IDisposable
{
    private const string Job = "; filament_type = PLA\nM109 S210\nM83\nG1 X10 E1 F600\nG1 X20 E1\n";

    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-").FullName;

    public FaultTests()
    {
        Put("a.gcode", Job);
        Put("b.gcode", Job);
        Directory.CreateDirectory(In("tmp"));
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string In(string name) => Path.Combine(_folder, name);

    private void Put(string name, string text) => File.WriteAllText(In(name), text);

    /// <summary>Runs a line of shell in which <c>$F</c> is the command; null where there is no such shell.</summary>
    private FumecastProcess.Ended? Shell(string line)
    {
        if (!OperatingSystem.IsLinux())
        {
            return null;
        }

        var start = new ProcessStartInfo("bash", ["-c", line])
        {
            WorkingDirectory = _folder,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.Environment["F"] = $"timeout -s KILL 300 dotnet {Path.Combine(AppContext.BaseDirectory, "fumecast.dll")}";
        start.Environment["TMPDIR"] = In("tmp");
        start.Environment.Remove("FUMECAST_DATA");
        using var process = Process.Start(start)!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return new FumecastProcess.Ended(process.ExitCode, output, error.GetAwaiter().GetResult());
    }

    private void Ends(int code, string error, string line)
    {
        if (Shell(line) is { } ended)
        {
            Assert.Equal((code, error), (ended.ExitCode, ended.Error));
            Assert.Empty(Directory.GetFileSystemEntries(In("tmp")));
            Assert.Empty(Directory.GetFiles(_folder, ".*"));
        }
    }

    [Theory]
    [InlineData("estimate a.gcode")]
    [InlineData("estimate a.gcode b.gcode")]
    [InlineData("estimate a.gcode b.gcode --format json")]
    [InlineData("evenness a.gcode")]
    [InlineData("compare a.gcode b.gcode")]
    [InlineData("testprint --material pla --flow 3 --duration 10min --out -")]
    [InlineData("materials list")]
    [InlineData("estimate --help")]
    [InlineData("--version")]
    public void A_full_disk_behind_stdout_is_said(string command) =>
        Ends(1, "fumecast: stdout: cannot be written: No space left on device; make room, or choose another place\n", $"$F {command} > /dev/full");

    [Theory]
    [InlineData("estimate a.gcode --out /dev/full")]
    [InlineData("estimate a.gcode --series /dev/full")]
    [InlineData("estimate a.gcode --plot x.svg --out /dev/full")]
    [InlineData("estimate a.gcode b.gcode --out /dev/full")]
    [InlineData("evenness a.gcode --out /dev/full")]
    [InlineData("testprint --material pla --flow 3 --duration 10min --out /dev/full")]
    public void A_full_device_is_named_and_no_other_output_is_left(string command)
    {
        Ends(1, "fumecast: /dev/full: cannot write this file: No space left on device; make room, or choose another place\n", $"$F {command}");
        Assert.False(File.Exists(In("x.svg")));
    }

    [Fact]
    public void A_full_disk_leaves_nothing_behind_and_a_full_temporary_folder_is_named_as_that()
    {
        // Needs the right to mount: skipped without it.
        const string Line = """
            mkdir small && unshare -m true 2>/dev/null || { echo skipped: may not mount; exit 0; }
            unshare -m bash -c '
              mount -t tmpfs -o size=64k tmpfs small || { echo skipped: may not mount; exit 0; }
              head -c 62000 /dev/zero > small/fill
              $F estimate a.gcode --series small/s.csv --out small/o.txt --bin 0.1 --quiet; echo $?
              $F testprint --material pla --flow 3 --duration 10min --out small/p.gcode; echo $?
              TMPDIR=$PWD/small $F testprint --material pla --flow 3 --duration 3h --out - | tail -c 100; echo ${PIPESTATUS[0]}
              ls -A small'
            """;
        if (Shell(Line) is { } ended && !ended.Output.StartsWith("skipped", StringComparison.Ordinal))
        {
            Assert.Equal("1\n1\n1\nfill\n", ended.Output);
            var lines = ended.Error.TrimEnd('\n').Split('\n');
            Assert.Equal(3, lines.Length);
            Assert.StartsWith("fumecast: small/s.csv: cannot write this file: No space left on device", lines[0]);
            Assert.StartsWith("fumecast: small/p.gcode: cannot write this file: No space left on device", lines[1]);
            Assert.Contains("small/: the temporary folder cannot keep the result: No space left on device", lines[2]);
        }
    }

    [Fact]
    public void A_missing_temporary_folder_is_named_as_that_and_not_as_a_damaged_input()
    {
        using (var zip = System.IO.Compression.ZipFile.Open(In("c.zip"), System.IO.Compression.ZipArchiveMode.Create))
        {
            using var entry = zip.CreateEntry("a.gcode").Open();
            entry.Write(Encoding.ASCII.GetBytes(Job));
        }

        Ends(1, "fumecast: /nowhere/: the temporary folder cannot keep the container -: the folder does not exist; make room there, or name another folder in TMPDIR\n",
            "cat c.zip | TMPDIR=/nowhere $F estimate -");
        File.Copy(RepositoryRoot.Of("examples", "radio-knob", "job.gcode"), In("knob.gcode"));
        if (Shell("cat knob.gcode | TMPDIR=/nowhere $F estimate -") is { } ended)
        {
            Assert.Equal(1, ended.ExitCode);
            Assert.Contains("save the job to a file", ended.Error);
            Assert.Contains("/nowhere/: the temporary folder cannot keep standard input", ended.Error);
        }
    }

    [Theory]
    [InlineData("estimate - --material pla <&-", "standard input is not available here; name a file instead of -")]
    [InlineData("estimate /dev/stdin --material pla <&-", "standard input is not available here; name a file instead of -")]
    [InlineData("estimate - < .", "standard input is not available here; name a file instead of -")]
    [InlineData("evenness - <&-", "standard input is not available here; name a file instead of -")]
    [InlineData("estimate a.gcode >&-", "stdout is closed, so the result has nowhere to go; open it, or name a file with --out where there is such an option")]
    [InlineData("--version >&-", "stdout is closed, so the result has nowhere to go; open it, or name a file with --out where there is such an option")]
    public void A_closed_stream_is_said_and_never_waited_for(string command, string message) => Ends(1, $"fumecast: {message}\n", "$F " + command);

    [Theory]
    [InlineData(">&-")]
    [InlineData(">/dev/full")]
    public void A_test_print_whose_description_cannot_be_written_leaves_no_file(string stdout)
    {
        if (Shell("$F testprint --material pla --flow 3 --duration 10min --out p.gcode " + stdout) is { } ended)
        {
            Assert.Equal((1, 1), (ended.ExitCode, ended.Error.Count(static letter => letter == '\n')));
            Assert.Contains("stdout", ended.Error);
            Assert.DoesNotContain("--out", ended.Error);
            Assert.False(File.Exists(In("p.gcode")));
            Assert.Empty(Directory.GetFiles(_folder, ".*"));
        }
    }

    [Fact]
    public void A_refused_job_does_not_cut_the_table_where_both_go_to_one_pipe()
    {
        Put("bad.gcode", "no job at all\n");
        if (Shell("$F estimate a.gcode bad.gcode b.gcode 2>&1") is { } ended)
        {
            var refused = ended.Output.IndexOf("fumecast: bad.gcode", StringComparison.Ordinal);
            Assert.True(refused > ended.Output.IndexOf("together", StringComparison.Ordinal), ended.Output);
        }
    }

    [Fact]
    public void A_closed_stream_that_is_not_needed_is_no_mistake()
    {
        Ends(0, "", "$F estimate a.gcode --quiet --out x.txt >&- <&- 2>&-");
        Assert.True(!OperatingSystem.IsLinux() || File.Exists(In("x.txt")));
    }

    [Theory]
    [InlineData("estimate nope 2>/dev/full")]
    [InlineData("estimate nope 2>&-")]
    [InlineData("estimate w.gcode --format csv 2>/dev/full")]
    public void What_cannot_be_said_on_stderr_is_told_by_the_exit_code(string command)
    {
        Put("w.gcode", Job + "M220 S0\n");
        Ends(1, "", "$F " + command);
    }

    [Fact]
    public void A_named_pipe_stays_one_and_gets_the_result()
    {
        if (Shell("mkfifo p; cat p > got & $F estimate a.gcode --series p --out x.txt --quiet; code=$?; wait; test -p p && head -c 7 got; exit $code") is { } ended)
        {
            Assert.Equal((0, "time_s,", ""), (ended.ExitCode, ended.Output, ended.Error));
        }
    }

    [Fact]
    public void A_file_in_shared_memory_is_a_file()
    {
        var name = $"/dev/shm/fumecast-{Environment.ProcessId}.txt";
        if (OperatingSystem.IsLinux() && Directory.Exists("/dev/shm"))
        {
            File.WriteAllText(name, new string('x', 100_000));
            try
            {
                Ends(0, "", $"$F estimate a.gcode --quiet --out {name}");
                Assert.DoesNotContain("xxx", File.ReadAllText(name));
            }
            finally
            {
                File.Delete(name);
            }
        }
    }

    [Fact]
    public void Dev_stdout_is_stdout_and_a_file_behind_it_is_not_replaced()
    {
        if (Shell("echo before > o; $F estimate a.gcode --series /dev/stdout --out /dev/null --quiet >> o; head -c 14 o") is { } ended)
        {
            Assert.Equal((0, "before\ntime_s,", ""), (ended.ExitCode, ended.Output, ended.Error));
        }
    }

    [Theory]
    [InlineData("estimate - --out a.gcode < a.gcode", "--out: 'a.gcode' is the same file as the job on /dev/stdin; name another file")]
    [InlineData("estimate a.gcode >> a.gcode", "stdout is the same file as the job a.gcode; send the result to another file")]
    [InlineData("estimate 'x#1.gcode' --out 'x#1.gcode'", "--out: 'x#1.gcode' is also the job; name another file")]
    [InlineData("estimate c.zip#in.gcode --out c.zip", "--out: 'c.zip' is also the job; name another file")]
    [InlineData("estimate a.gcode --material my.yaml --out my.yaml", "--out: 'my.yaml' is also the material; name another file")]
    [InlineData("estimate a.gcode --printer my.yaml --series my.yaml", "--series: 'my.yaml' is also the printer; name another file")]
    [InlineData("compare a.gcode --material my.yaml,pla --out my.yaml", "--out: 'my.yaml' is also the material; name another file")]
    [InlineData("testprint --material my.yaml --flow 3 --duration 10min --out my.yaml", "--out: 'my.yaml' is also the material; name another file")]
    [InlineData("estimate a.gcode b.gcode --out hard.gcode", "--out: 'hard.gcode' is the same file as the job a.gcode; name another file")]
    [InlineData("evenness a.gcode --out hard.gcode", "--out: 'hard.gcode' is the same file as the job a.gcode; name another file")]
    public void Nothing_that_is_read_is_written_over(string command, string message)
    {
        Put("x#1.gcode", Job);
        Put("c.zip", "whatever");
        File.Copy(RepositoryRoot.Of("materials", "pla.yaml"), In("my.yaml"));
        Ends(2, $"fumecast: {message}\n", "ln a.gcode hard.gcode; $F " + command);
        Assert.Equal((Job, Job, "whatever"), (File.ReadAllText(In("a.gcode")), File.ReadAllText(In("x#1.gcode")), File.ReadAllText(In("c.zip"))));
    }

    [Fact]
    public void A_pipe_is_read_twice_where_it_must_be_and_refused_where_it_cannot()
    {
        File.Copy(RepositoryRoot.Of("examples", "radio-knob", "job.gcode"), In("knob.gcode"));
        if (Shell("diff <($F estimate <(cat knob.gcode) --format csv | cut -d, -f2-) <($F estimate knob.gcode --format csv | cut -d, -f2-) && echo same") is { } ended)
        {
            Assert.Equal(("same\n", ""), (ended.Output, ended.Error));
        }

        Ends(1, "fumecast: p: is a pipe, which can be read only once; save the job to a file to compare variants of it\n", "mkfifo p; $F compare p --nozzle 200,210");
        Ends(1, "fumecast: p: is a pipe, which can be read only once; give it once, or save the job to a file\n", "$F evenness p p");
    }

    [Theory]
    [InlineData("HUP")]
    [InlineData("QUIT")]
    [InlineData("TERM")]
    [InlineData("INT")]
    public void A_signal_ends_a_test_print_that_is_being_written_and_leaves_nothing(string signal) =>
        Interrupts(signal, () => Directory.GetFiles(_folder, ".fumecast-*.part").Length > 0, "testprint", "--material", "pla", "--flow", "3", "--duration", "14d", "--out", "x.gcode");

    [Fact]
    public void A_signal_ends_a_command_that_waits_for_a_silent_pipe() =>
        Interrupts("INT", () => Directory.GetFiles(_folder, ".fumecast-*.part").Length > 0, "estimate", "-", "--material", "pla", "--out", "x.txt");

    [Fact]
    public void Not_even_a_kill_leaves_what_was_kept_of_a_pipe()
    {
        if (!OperatingSystem.IsLinux())
        {
            return;
        }

        // A container that never ends, kept since its list of entries stands at the end.
        using var process = FumecastProcess.Start(_folder, [("TMPDIR", In("tmp"))], "estimate", "-");
        process.StandardInput.BaseStream.Write([(byte)'P', (byte)'K', 3, 4, .. new byte[1_000_000]]);
        process.StandardInput.BaseStream.Flush();
        var patience = Stopwatch.StartNew();
        while (!IsKept() && patience.Elapsed < TimeSpan.FromSeconds(60))
        {
            Thread.Sleep(10);
        }

        Assert.True(IsKept());
        process.Kill();
        process.WaitForExit();

        // The runtime's own sockets stay after a kill.
        Assert.Empty(Directory.GetFileSystemEntries(In("tmp"), "fumecast*"));

        bool IsKept() => Directory.GetFileSystemEntries($"/proc/{process.Id}/fd")
            .Any(open => new FileInfo(open).LinkTarget?.StartsWith(In("tmp"), StringComparison.Ordinal) == true);
    }

    [Fact]
    public void A_signal_ends_a_job_of_very_long_moves()
    {
        Put("long.gcode", Job + string.Concat(Enumerable.Repeat("G1 X9000 F0.6\nG1 X0 F0.6\n", 19)));
        Interrupts("TERM", () => new DirectoryInfo(_folder).GetFiles(".fumecast-*.part").Any(static part => part.Length > 0), "estimate", "long.gcode", "--bin", "35s", "--series", "x.csv");
    }

    private void Interrupts(string signal, Func<bool> isUnderWay, params string[] args)
    {
        if (!OperatingSystem.IsLinux())
        {
            return;
        }

        // What started the tests may have had signals ignored, and children inherit that.
        var host = "dotnet";
        string[] all = ["--default-signal", host, Path.Combine(AppContext.BaseDirectory, "fumecast.dll"), .. args];
        var start = new ProcessStartInfo("env", all)
        {
            WorkingDirectory = _folder,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.Environment["TMPDIR"] = In("tmp");
        using var process = Process.Start(start)!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEndAsync();
        var patience = Stopwatch.StartNew();
        while (!isUnderWay() && !process.HasExited && patience.Elapsed < TimeSpan.FromSeconds(60))
        {
            Thread.Sleep(10);
        }

        Assert.False(process.HasExited);
        using (var kill = Process.Start("kill", ["-" + signal, process.Id.ToString(CultureInfo.InvariantCulture)]))
        {
            kill.WaitForExit();
        }

        Assert.True(process.WaitForExit(60_000));
        Assert.Equal((130, "", "fumecast: interrupted; nothing was written\n"), (process.ExitCode, output.GetAwaiter().GetResult(), error.GetAwaiter().GetResult()));
        Assert.Empty(Directory.GetFileSystemEntries(In("tmp")));
        Assert.Empty(Directory.GetFiles(_folder, ".*"));
        Assert.Empty(Directory.GetFiles(_folder, "x.*"));
    }

    [Fact]
    public void A_pause_of_a_year_does_not_fill_the_disk_with_rows()
    {
        Put("year.gcode", Job + "M104 S0\nG4 S31536000\nG1 X1 E1\n");
        Ends(1, $"fumecast: year.gcode:{Job.Count(static letter => letter == '\n') + 2}:1: G4 makes the job too long: the series would have over 1000000 rows of 10 s, since the job lasts over 115.7 days; check its pauses (G4), or give longer bins, such as --bin 400s\n",
            "$F estimate year.gcode --series x.csv");
        Ends(0, "", "$F estimate year.gcode --series y.csv --bin 400s --out y.txt --quiet");
        Assert.False(File.Exists(In("x.csv")));
    }

    [Theory]
    [InlineData("2 l milk\nBread\n6 eggs\nflour 500 g\n\nButter!\nSALT\n")]
    [InlineData("Dear reader,\nthis is a letter.\nTomorrow more.\n")]
    [InlineData("; only a remark\n")]
    public void A_text_that_is_no_job_is_no_all_clear(string text)
    {
        Put("list.txt", text);
        Ends(1, "fumecast: list.txt: holds no known command; expected G-code: check that it is the right file\n", "$F estimate list.txt");
        Ends(1, "fumecast: list.txt: holds no known command; expected G-code: check that it is the right file\n", "$F evenness list.txt");
    }

    [Fact]
    public void A_name_that_is_not_UTF_8_is_said_to_be_so_and_the_others_go_on()
    {
        Ends(1, "fumecast: bad\uFFFD.gcode: cannot be opened, since its name is not UTF-8 (shown with \uFFFD for what is not); rename it\n",
            "cp a.gcode $'bad\\xff.gcode'; $F estimate $'bad\\xff.gcode'");
        if (Shell("$F estimate . --format csv | wc -l; rm bad*") is { } ended)
        {
            Assert.Equal("3\n", ended.Output);
            Assert.Contains("its name is not UTF-8", ended.Error);
        }
    }

    [Fact]
    public void Signs_that_turn_text_around_are_shown_by_their_number()
    {
        Put("x\u202Egpj.gcode", Job);
        if (Shell("$F estimate x*") is { } ended)
        {
            Assert.StartsWith("x<U+202E>gpj.gcode will give off", ended.Output);
            Assert.DoesNotContain("\u202E", ended.Output, StringComparison.Ordinal);
        }

        Ends(1, "fumecast: y<U+202E>gpj.gcode: no such file; did you mean x<U+202E>gpj.gcode?\n", "$F estimate $'y\\u202egpj.gcode'");
    }

    [Fact]
    public void A_folder_that_may_not_be_read_is_said()
    {
        // Root may read everything, so somebody else has to try: skipped where that cannot be had.
        if (Shell("mkdir shut; chmod 000 shut; id -u") is not { } who)
        {
            return;
        }

        var run = who.Output.Trim() == "0"
            ? "chmod a+x . && command -v setpriv > /dev/null && DOTNET_CLI_HOME=/tmp setpriv --reuid 65534 --clear-groups $F estimate shut"
            : "$F estimate shut";
        if (Shell(run) is { ExitCode: 1, Error: var error } && !error.Contains("dotnet", StringComparison.OrdinalIgnoreCase))
        {
            Assert.Equal("fumecast: shut: the folder cannot be read: permission denied; check its permissions, or name the files in it\n", error);
        }

        Shell("chmod 700 shut");
    }
}
