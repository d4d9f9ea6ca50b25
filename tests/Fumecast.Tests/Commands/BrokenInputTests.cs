// SPDX-License-Identifier: MIT
using System.IO.Compression;
using System.Text;

namespace Fumecast.Tests.Commands;

/// <summary>The whole command on inputs that cannot be used: one line that says what to do, the right exit code, nothing left behind.</summary>
public sealed class BrokenInputTests : IDisposable
{
    private const string Good = "; filament_type = PLA\nM109 S210\nM83\nG1 X10 E1 F600\nG1 X20 E1\n";

    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string In(string name) => Path.Combine(_folder, name);

    private string Save(string name, string text)
    {
        File.WriteAllText(In(name), text);
        return In(name);
    }

    private string Save(string name, byte[] content)
    {
        File.WriteAllBytes(In(name), content);
        return In(name);
    }

    private InMemory.Ended Run(params string[] args)
    {
        var ended = InMemory.RunReal(args);
        return ended with { Error = ended.Error.Replace(_folder + "/", "", StringComparison.Ordinal), Output = ended.Output };
    }

    private void Refuses(int exitCode, string line, params string[] args)
    {
        var before = Directory.GetFileSystemEntries(_folder).Order().ToArray();
        var ended = Run(["estimate", .. args]);
        Assert.Equal($"fumecast: {line}\n", ended.Error);
        Assert.Equal((exitCode, ""), (ended.ExitCode, ended.Output));
        Assert.Equal(before, Directory.GetFileSystemEntries(_folder).Order());
    }

    [Fact]
    public void A_missing_file_offers_the_nearest_name()
    {
        Save("pen-cup.gcode", Good);
        Refuses(1, "pencup.gcode: no such file; did you mean pen-cup.gcode?", In("pencup.gcode"));
        Refuses(1, "no/a.gcode: no such file, and no folder no", In("no/a.gcode"));
    }

    [Fact]
    public void A_folder_without_jobs_is_refused()
    {
        Directory.CreateDirectory(In("jobs"));
        var ended = Run("estimate", In("jobs"));
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Matches(@"^fumecast: jobs: the folder itself holds no G-code file, and folders in it are not searched \(endings: [^\n]+\)\n$", ended.Error);
    }

    [Fact]
    public void What_is_no_text_is_refused()
    {
        Refuses(1, "a: is empty; expected G-code", Save("a", ""));
        Refuses(1, "b: is a binary file (it holds bytes of value 0); expected G-code as text, gzip, ZIP or 3MF", Save("b", [1, 0, 2, 0, 3]));
        Refuses(1, "c: is UTF-16 text; expected plain G-code: save it as UTF-8 or ASCII", Save("c", [.. Encoding.Unicode.Preamble, .. Encoding.Unicode.GetBytes(Good)]));
        Refuses(1, "d: is a binary G-code container, which cannot be read; export the job as plain G-code", Save("d", "GCDE\u0001\0\0"));
    }

    [Fact]
    public void Compressed_jobs_that_are_cut_say_where()
    {
        var text = Good + string.Concat(Enumerable.Range(0, 20_000).Select(static i => FormattableString.Invariant($"G1 X{i * 7919 % 200} Y{i * 104729 % 200} E0.05\n")));
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Optimal, leaveOpen: true))
        {
            gzip.Write(Encoding.UTF8.GetBytes(text));
        }

        var ended = Run("estimate", Save("a.gcode.gz", packed.ToArray()[..(int)(packed.Length / 2)]));
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Matches(@"^fumecast: a\.gcode\.gz:\d+:1: the input breaks off or is damaged here \([a-z0-9 ]+\); copy or export the file again\n$", ended.Error);
    }

    [Fact]
    public void Containers_are_refused_with_the_reason()
    {
        var two = Container("plate_1.gcode", "plate_2.gcode");
        Refuses(1, "a.3mf: the container holds several jobs; pick one as a.3mf#plate_1.gcode; there are: plate_1.gcode, plate_2.gcode", Save("a.3mf", two));
        Refuses(1, "a.3mf#plate_3.gcode: the container has no G-code of that name, or several; there are: plate_1.gcode, plate_2.gcode", In("a.3mf") + "#plate_3.gcode");
        Refuses(1, "b.zip: the container holds no G-code (.gcode .gco .g .gc .nc); export the sliced job, not only the model", Save("b.zip", Container("model.xml")));
        var ended = Run("estimate", Save("c.zip", two[..^40]));
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Matches(@"^fumecast: c\.zip:1:1: [^\n]+\n$", ended.Error);
        Assert.Equal(0, Run("estimate", In("a.3mf") + "#plate_2.gcode").ExitCode);
    }

    [Theory]
    [InlineData("G1 X1-2", "found \"X1-2\"; expected a number such as 10, -0.5 or .25: correct the number, or leave the word out", 4)]
    [InlineData("G1 X1,5", "found \"X1,5\"; expected a decimal point: write 1.5 instead of 1,5 (set the generator to decimal points)", 4)]
    [InlineData("G1 X1 E1.2e-05", "found \"E1.2e-05\"; expected a number without an exponent: write the number out (1.2e-05 becomes 0.000012); a printer would read a second E word", 7)]
    [InlineData("G1 X", "found \"X\"; expected a number behind this letter of a move: add the number, or leave the letter out", 4)]
    [InlineData("G1 X1000000000", "G1 moves over a kilometre at once; check the number", 1)]
    [InlineData("G2 X30 I5 P1000000", "G2 has P outside 0 to 1000 turns", 1)]
    [InlineData("G2 X30", "G2 has neither a centre (I, J, K) nor a radius (R)", 1)]
    [InlineData("if sensors.x > 5", "found \"if sensors.x > 5\"; expected a command: conditions, loops and variables are not evaluated: write the commands out", 1)]
    public void A_wrong_line_is_named_with_its_place(string wrong, string message, int column) =>
        Refuses(1, $"a.gcode:6:{column}: {message}", Save("a.gcode", Good + wrong + "\n"));

    [Fact]
    public void What_is_missing_is_asked_for_by_its_option()
    {
        var bare = Save("a.gcode", "G1 X10 E1 F600\nG1 X20 E2\n");
        Refuses(1, "a.gcode: the file does not say what material tool 0 prints; name it with --material ID (see: fumecast materials list)", bare, "--nozzle", "210");
        Refuses(1, "b.gcode: the comments call the material of tool 0 \"moon rock\", which stands for none of ours; name one with --material ID (see: fumecast materials list)",
            Save("b.gcode", "; filament_type = moon rock\nM109 S200\nG1 X10 E1 F600\n"));
        Assert.Equal(0, Run("estimate", bare, "--material", "pla", "--nozzle", "210").ExitCode);
    }

    [Fact]
    public void Unknown_materials_and_printers_offer_the_nearest()
    {
        var job = Save("a.gcode", Good);
        Refuses(1, "found no material 'petgg'; did you mean 'petg'? (a path to a .yaml file works too)", job, "--material", "petgg");
        Refuses(1, "found no printer 'desktop-defalt'; did you mean 'desktop-default'? (a path to a .yaml file works too)", job, "--printer", "desktop-defalt");
    }

    [Fact]
    public void A_broken_material_file_is_named_with_line_and_column()
    {
        var broken = File.ReadAllText(RepositoryRoot.Of("materials", "pla.yaml")).Replace("\n  density:", "\n  densty:", StringComparison.Ordinal);
        var material = Save("own.yaml", broken);
        Refuses(1, "own.yaml:10:3: unknown key 'densty'; did you mean 'density'?", Save("a.gcode", Good), "--material", material);
    }

    [Fact]
    public void Outputs_that_cannot_be_written_are_named()
    {
        var job = Save("a.gcode", Good);
        Directory.CreateDirectory(In("out"));
        Refuses(1, $"no/a.csv: cannot write here, the folder {In("no")} does not exist; create it first".Replace(_folder + "/", ""), job, "--series", In("no/a.csv"));
        Refuses(1, "out: cannot write here, it is a folder; name a file in it", job, "--out", In("out"));
        Refuses(2, "--out: 'a.gcode' is also the job; name another file", job, "--out", job);
        if (OperatingSystem.IsLinux())
        {
            Refuses(1, "/dev/full: cannot write this file: No space left on device; make room, or choose another place", job, "--series", "/dev/full");
            Refuses(1, "/dev/full: cannot write this file: No space left on device; make room, or choose another place", job, "--out", "/dev/full");
        }
    }

    [Theory]
    [InlineData("G1 X10 E2 F0", "line 6: F is not above 0; the speed before it stays")]
    [InlineData("M220 S0", "line 6: M220 S is not above 0 and was left out")]
    [InlineData("T99999", "line 6: tool 99999 is not a printing tool and was left out")]
    public void A_doubtful_value_is_left_out_and_said(string line, string warning)
    {
        var ended = Run("estimate", Save("a.gcode", Good + line + "\n"), "--format", "csv");
        Assert.Equal(0, ended.ExitCode);
        Assert.Contains($"fumecast: warning: {warning}", ended.Error);
    }

    [Theory]
    [InlineData("G4 S604800")]
    [InlineData("G4 P604800000")]
    public void A_pause_of_a_week_is_counted(string line)
    {
        var ended = Run("estimate", Save("a.gcode", Good + "M104 S0\n" + line + "\n"), "--format", "csv", "--bin", "1h");
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
    }

    [Fact]
    public void A_job_of_centuries_is_refused() =>
        Refuses(1, "a.gcode: the job would last over 400 days; check the speeds (F) and pauses (G4)", Save("a.gcode", Good + "G4 S10000000000\n"));

    [Fact]
    public void Macros_of_a_profile_that_call_themselves_or_grow_without_end_are_refused()
    {
        var job = Save("a.gcode", "START\n" + Good);
        Refuses(1, "a.gcode:1:1: START calls itself; mend the macros of the printer profile", job, "--printer", Save("p.yaml", Printer("{name: START, lines: [START]}")));
        var lines = string.Join(", ", Enumerable.Repeat("NEXT", 100));
        var chain = string.Join("\n  - ", Enumerable.Range(0, 6).Select(i => $"{{name: {(i == 0 ? "START" : $"LEVEL{i}")}, lines: [{lines.Replace("NEXT", $"LEVEL{i + 1}")}]}}"));
        var ended = Run("estimate", job, "--printer", Save("q.yaml", Printer(chain)));
        Assert.Equal((1, ""), (ended.ExitCode, ended.Output));
        Assert.Matches(@"^fumecast: a\.gcode:1:1: LEVEL\d becomes over 100 000 lines; mend the macros of the printer profile\n$", ended.Error);
    }

    [Fact]
    public void A_finding_inside_a_macro_points_at_its_call() =>
        Refuses(1, "a.gcode:3:1: G5 is motion that fumecast does not simulate; leaving it out would falsify the result",
            Save("a.gcode", "; a\n; b\nSTART\n" + Good), "--printer", Save("p.yaml", Printer("{name: START, lines: [M83, G5 X1 Y1]}")));

    private static string Printer(string macros) =>
        File.ReadAllText(RepositoryRoot.Of("src", "Fumecast.Core", "Data", "printers", "desktop-default.yaml")) + "\nmacros:\n  - " + macros + "\n";

    private static byte[] Container(params string[] names)
    {
        using var packed = new MemoryStream();
        using (var archive = new ZipArchive(packed, ZipArchiveMode.Create))
        {
            foreach (var name in names)
            {
                using var entry = archive.CreateEntry(name).Open();
                entry.Write(Encoding.UTF8.GetBytes(Good));
            }
        }

        return packed.ToArray();
    }
}
