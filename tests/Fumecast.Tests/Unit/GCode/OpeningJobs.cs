// SPDX-License-Identifier: MIT
using System.IO.Compression;
using System.Text;
using Fumecast.GCode;
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.GCode;

public sealed class OpeningJobs : IDisposable
{
    private const string Job = "G28\nG1 X1 E1\n; filament_type = ABS\n";

    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-test-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Plain_file_gives_its_bytes()
    {
        var path = Put("a.gcode", Job);
        using var job = JobFile.Open(path);
        Assert.Equal(path, job.Name);
        Assert.Equal(Job, Text(job));
        Assert.Equal(1, job.ShareRead);
        Assert.True(job.CanBeReadAgain);
    }

    [Fact]
    public void Gzip_is_known_by_its_content()
    {
        Assert.Equal(Job, TextOf(Put("a.gcode", Gzip(Job))));
        Assert.Equal(Job + Job, TextOf(Put("two-members.gz", [.. Gzip(Job), .. Gzip(Job)])));
        var large = Large();
        Assert.Equal(large, TextOf(Put("large.gz", Gzip(large))));
    }

    [Fact]
    public void Standard_input_may_be_plain_gzip_or_a_container()
    {
        foreach (var bytes in new[] { Encoding.ASCII.GetBytes(Job), Gzip(Job), Zip(("a.gcode", Job)) })
        {
            using var job = JobFile.Open("-", new ForwardOnly(bytes));
            Assert.Equal(Job, Text(job));
            Assert.False(job.CanBeReadAgain);
        }

        using var entry = JobFile.Open("-#b.gcode", new ForwardOnly(Zip(("a.gcode", "G28"), ("b.gcode", Job))));
        Assert.Equal(Job, Text(entry));
        Assert.Null(JobFile.PeekClaims("-"));
        Assert.Equal("standard input is not available here; name a file instead of -", Problem("-"));
    }

    [Fact]
    public void A_file_that_gets_shorter_while_it_is_read_is_no_whole_job()
    {
        var path = Put("a.gcode", System.Text.Encoding.ASCII.GetBytes(string.Concat(Enumerable.Repeat("G1 X1 E1 F600\n", 10_000))));
        using var job = JobFile.Open(path);
        using (var other = new FileStream(path, FileMode.Open, FileAccess.Write, FileShare.ReadWrite))
        {
            other.SetLength(50_000);
        }

        var problem = Assert.Throws<InputProblem>(() => Text(job));
        Assert.Equal($"{path}: became shorter while it was read; wait until the program that writes it is done, or copy it again", problem.Message);
    }

    [Fact]
    public void Container_with_one_job_needs_no_choice()
    {
        var path = Put("a.3mf", Zip(("3D/model.model", "<x/>"), ("Metadata/plate_1.gcode", Job), ("twins/._plate_1.gcode", "x")));
        using var job = JobFile.Open(path);
        Assert.Equal(Job, Text(job));
        Assert.Equal(1, job.ShareRead);
    }

    [Fact]
    public void Container_with_several_jobs_asks_which()
    {
        var path = Put("a.zip", Zip(("b/two.gcode", "G28"), ("one.GCO", Job), ("readme.txt", "x")));
        Assert.Equal($"{path}: the container holds several jobs; pick one as {path}#b/two.gcode; there are: b/two.gcode, one.GCO", Problem(path));
        Assert.Equal(Job, TextOf(path + "#one.GCO"));
        Assert.Equal(Job, TextOf(path + "#ONE.gco"));
        Assert.Equal("G28", TextOf(path + "#two.gcode"));
        Assert.Equal($"{path}#three: the container has no G-code of that name, or several; there are: b/two.gcode, one.GCO", Problem(path + "#three"));
    }

    [Fact]
    public void Container_without_a_job_says_so()
    {
        var path = Put("a.3mf", Zip(("3D/model.model", "<x/>")));
        Assert.Equal($"{path}: the container holds no G-code (.gcode .gco .g .gc .nc); export the sliced job, not only the model", Problem(path));
    }

    [Fact]
    public void Name_with_a_number_sign_is_a_file_first()
    {
        var path = Put("part #2.gcode", Job);
        Assert.Equal(Job, TextOf(path));
        var container = Put("parts #3.zip", Zip(("x#1.gcode", Job), ("y.gcode", "G28")));
        Assert.Equal(Job, TextOf(container + "#x#1.gcode"));
        Assert.Equal($"{path}#x: the part behind # names an entry of a ZIP or 3MF container, but the file is none; leave it out", Problem(path + "#x"));
    }

    [Fact]
    public void Missing_file_offers_the_nearest_name()
    {
        var path = Put("tower.gcode", Job);
        var wrong = Path.Combine(_folder, "towr.gcode");
        Assert.Equal($"{wrong}: no such file; did you mean {path}?", Problem(wrong));
        Assert.Equal($"{_folder}/zzz: no such file", Problem(_folder + "/zzz"));
        Assert.Equal($"{_folder}/no/a.gcode: no such file, and no folder {_folder}/no", Problem(_folder + "/no/a.gcode"));
    }

    [Fact]
    public void What_is_no_text_is_refused()
    {
        Assert.Equal($"{_folder}: this is a folder; name one G-code file in it", Problem(_folder));
        Refused("empty.gcode", [], "is empty; expected G-code");
        Refused("a.gcode", [0x47, 0, 0x31], "is a binary file (it holds bytes of value 0); expected G-code as text, gzip, ZIP or 3MF");
        Refused("b.gcode", "GCDE\u0001\0"u8.ToArray(), "is a binary G-code container, which cannot be read; export the job as plain G-code");
        Refused("c.gcode", [0xFF, 0xFE, 0x47, 0], "is UTF-16 text; expected plain G-code: save it as UTF-8 or ASCII");
        Refused("d.stl", "solid x\nfacet normal 0 0 1\n"u8.ToArray(), "is a model, not a job; slice it and name the G-code");
        Refused("e.gz", Gzip(""), "is empty; expected G-code");
        Assert.Equal("the job has no name; name a G-code file, or - for standard input", Problem(""));
    }

    [UnprivilegedFact]
    public void File_without_permission_is_refused()
    {
        var path = Put("a.gcode", Job);
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(path, UnixFileMode.None);
        }

        Assert.Equal($"{path}: may not be read; check its permissions", Problem(path));
    }

    [Fact]
    public void Cut_or_damaged_gzip_is_noticed_at_the_line_reached()
    {
        var large = Large();
        var whole = Gzip(large);
        for (var cut = 1; cut < 40; cut++)
        {
            AssertBreaksOff(whole[..(whole.Length * cut / 40)]);
        }

        var half = Assert.Throws<InputProblem>(() => ClaimsOf(Put("half", whole[..(whole.Length / 2)])));
        var line = int.Parse(half.Message.Split(':')[1], System.Globalization.CultureInfo.InvariantCulture);
        Assert.InRange(line, 8_000, 12_000);
        foreach (var missing in new[] { 1, 4, 5, 8, 9 })
        {
            AssertBreaksOff(whole[..^missing]);
        }

        var damaged = (byte[])whole.Clone();
        damaged[whole.Length / 2] ^= 0x55;
        AssertBreaksOff(damaged);
        var wrongSum = (byte[])whole.Clone();
        wrongSum[^6] ^= 1;
        AssertBreaksOff(wrongSum);
    }

    [Fact]
    public void Cut_or_damaged_container_is_noticed()
    {
        var large = Large();
        var whole = Zip(("a.gcode", large));
        AssertBreaksOff(whole[..(whole.Length / 2)]);
        AssertBreaksOff(whole[..30]);
        var damaged = (byte[])whole.Clone();
        damaged[whole.Length / 2] ^= 0x55;
        AssertBreaksOff(damaged);
        var stored = Zip(CompressionLevel.NoCompression, ("a.gcode", large));
        stored[stored.Length / 2] ^= 1;
        AssertBreaksOff(stored);
    }

    [Fact]
    public void Encrypted_entry_is_refused()
    {
        var bytes = Zip(("a.gcode", Job));
        var path = Put("a.zip", MarkEncrypted(bytes));
        Assert.Equal($"{path}: the entry a.gcode is encrypted; unpack it first", Problem(path));
    }

    [Fact]
    public void Summary_of_a_container_gives_claims()
    {
        const string Summary = """
            <config>
              <plate><metadata key="index" value="1"/><filament id="1" type="PLA" used_m="6.81" used_g="20.64" /></plate>
              <plate><metadata key="index" value="2"/><filament id="2" type="PETG" used_m="1" used_g="3" /><filament id="3" type="PVA" used_m="2" used_g="6" /></plate>
            </config>
            """;
        var path = Put("a.3mf", Zip(("Metadata/plate_1.gcode", Job), ("Metadata/plate_2.gcode", Job), ("Metadata/summary.config", Summary)));
        var first = ClaimsOf(path + "#Metadata/plate_1.gcode");
        Assert.Equal(("PLA", 6810.0, 20.64), (first.MaterialOf(0), first.FilamentMm, first.FilamentG));
        var second = ClaimsOf(path + "#Metadata/plate_2.gcode");
        Assert.Equal((null, "PETG", "PVA", 3000.0), (second.MaterialOf(0), second.MaterialOf(1), second.MaterialOf(2), second.FilamentMm));
        var none = ClaimsOf(Put("b.3mf", Zip(("a.gcode", Job), ("x.config", "<config><filament id="), ("y.xml", "no xml"))));
        Assert.Equal("ABS", none.MaterialOf(0));
    }

    [Fact]
    public void Claims_at_both_ends_are_seen_without_reading_between()
    {
        var middle = string.Concat(Enumerable.Range(0, 40_000).Select(i => FormattableString.Invariant($"G1 X{i % 100}.5 Y{i % 77} E0.5\n")));
        var path = Put("a.gcode", ";TIME:12\n" + middle + "; filament_diameter = 1.7\n" + middle + "; filament_type = ABS\n");
        var claims = JobFile.PeekClaims(path)!;
        Assert.Equal(12, claims.TimeS);
        Assert.Equal(1, claims.TimeLine);
        Assert.Equal("ABS", claims.MaterialOf(0));
        Assert.Equal(0, claims.MaterialLine);
        Assert.Null(claims.DiameterMmOf(0));

        var small = JobFile.PeekClaims(Put("b.gcode", "G28\n" + middle[..400_000] + "\n; filament_type = PLA"))!;
        Assert.Equal("PLA", small.MaterialOf(0));
        Assert.Equal(middle[..400_000].Count(letter => letter == '\n') + 3, small.MaterialLine);
        Assert.Null(JobFile.PeekClaims(Put("c.gz", Gzip(Job))));
        Assert.Null(JobFile.PeekClaims(Put("d.zip", Zip(("a.gcode", Job)))));
        Assert.Throws<InputProblem>(() => JobFile.PeekClaims(_folder + "/none"));
    }

    [Fact]
    public void Peeked_claims_are_those_of_the_whole_file_where_it_is_short()
    {
        var path = Put("a.gcode", Job + ";TIME:5\r\n(Layer Height: 0.27)\n;LAYER:0");
        Assert.Equal(ClaimsOf(path).All, JobFile.PeekClaims(path)!.All);
    }

    private static CommentClaims ClaimsOf(string name)
    {
        using var job = JobFile.Open(name);
        var claims = new CommentClaims();
        var reader = new GCodeReader(job, new DiagnosticLog(), claims);
        while (reader.Read())
        {
        }

        return claims;
    }

    private void AssertBreaksOff(byte[] bytes)
    {
        var path = Put("broken", bytes);
        var problem = Assert.Throws<InputProblem>(() => ClaimsOf(path));
        Assert.Matches(@"^\S+broken:\d+:1: the input breaks off or is damaged here \([^)]+\); copy or export the file again$", problem.Message);
    }

    private void Refused(string name, byte[] bytes, string reason)
    {
        var path = Put(name, bytes);
        Assert.Equal($"{path}: {reason}", Problem(path));
        if (bytes is not ([0x1F, 0x8B, ..] or []))
        {
            Assert.Equal($"{path}: {reason}", Assert.Throws<InputProblem>(() => JobFile.PeekClaims(path)).Message);
        }
    }

    private static string Problem(string name) => Assert.Throws<InputProblem>(() => JobFile.Open(name).Dispose()).Message;

    private static string TextOf(string name)
    {
        using var job = JobFile.Open(name);
        return Text(job);
    }

    private static string Text(JobFile job)
    {
        using var reader = new StreamReader(job.Content, Encoding.Latin1, leaveOpen: true);
        return reader.ReadToEnd();
    }

    private static string Large()
    {
        var random = new Random(7);
        return string.Concat(Enumerable.Range(0, 20_000).Select(_ => FormattableString.Invariant($"G1 X{random.Next(1000)}.{random.Next(1000)} Y{random.Next(1000)}\n")));
    }

    private string Put(string name, string text) => Put(name, Encoding.ASCII.GetBytes(text));

    private string Put(string name, byte[] bytes)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllBytes(path, bytes);
        return path;
    }

    private static byte[] Gzip(string text)
    {
        var target = new MemoryStream();
        using (var gzip = new GZipStream(target, CompressionLevel.Fastest))
        {
            gzip.Write(Encoding.ASCII.GetBytes(text));
        }

        return target.ToArray();
    }

    private static byte[] Zip(params (string Name, string Text)[] entries) => Zip(CompressionLevel.Fastest, entries);

    private static byte[] Zip(CompressionLevel level, params (string Name, string Text)[] entries)
    {
        var target = new MemoryStream();
        using (var archive = new ZipArchive(target, ZipArchiveMode.Create))
        {
            foreach (var (name, text) in entries)
            {
                using var entry = archive.CreateEntry(name, level).Open();
                entry.Write(Encoding.ASCII.GetBytes(text));
            }
        }

        return target.ToArray();
    }

    /// <summary>Sets bit 0 of the general purpose flags in both headers (APPNOTE 4.4.4).</summary>
    private static byte[] MarkEncrypted(byte[] zip)
    {
        zip[6] |= 1;
        zip[zip.AsSpan().IndexOf("PK\u0001\u0002"u8) + 8] |= 1;
        return zip;
    }

    /// <summary>A test that needs a file it may not read; skipped for a user to whom nothing is forbidden.</summary>
    private sealed class UnprivilegedFactAttribute : FactAttribute
    {
        public UnprivilegedFactAttribute()
        {
            if (OperatingSystem.IsWindows() || Environment.IsPrivilegedProcess)
            {
                Skip = "to this user no file can be forbidden";
            }
        }
    }

    private sealed class ForwardOnly(byte[] bytes) : MemoryStream(bytes)
    {
        public override bool CanSeek => false;
    }
}
