// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using Fumecast.Report;

namespace Fumecast.Tests.Commands;

public sealed class LogCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-log-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string File(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        System.IO.File.WriteAllText(path, text);
        return path;
    }

    private static string Minutes(int rows, Func<int, string> cells) =>
        string.Concat(Enumerable.Range(0, rows).Select(i => string.Create(CultureInfo.InvariantCulture, $"2026-11-27 {14 + (i / 60)}:{i % 60:00}:00,{cells(i)}\n")));

    /// <summary>An hour of a meter in the repair café: someone prints from the tenth minute on.</summary>
    private string Cafe() => File("cafe.csv", "Time,PM2.5 (µg/m³),TVOC (mg/m3),Temp (°F),IAQ,>0.3\n"
        + Minutes(60, static i => string.Create(CultureInfo.InvariantCulture, $"{(i < 10 ? 3 + (i % 2) : 3 + (i % 2) + (40 * (1 - Math.Exp(-(i - 10) / 15.0)))):0.0},0.{100 + i},68.0,{30 + i},{(i == 40 ? 65535 : 900 + (31 * i))}")));

    [Fact]
    public void The_text_says_what_was_understood()
    {
        var ended = FumecastProcess.Run("log", Cafe());
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        foreach (var expected in new[]
        {
            "holds PM2.5, TVOC, temperature and particles > 0.3 um: 60 rows over 59 min, one every 60 s, from 2026-11-27 14:00:00.",
            "QUANTITY", "as written in mg/m3, times 1000", "converted from degF", "NOT USED", "IAQ: an index, which is never a concentration",
            "Time: date and time of day, year first", "not stated; give it with --zone", "no gaps", ">0.3: 1 reading is at the end of the meter's range and does not count",
        })
        {
            Assert.Contains(expected, Regex.Replace(ended.Output, @"\s+", " "), StringComparison.Ordinal);
        }

        Assert.DoesNotContain('█', ended.Output);
    }

    [Fact]
    public void The_json_has_the_keys_that_were_agreed_on()
    {
        var ended = FumecastProcess.Run("log", Cafe(), "--format", "json", "--zone", "+01:00");
        Assert.Equal(0, ended.ExitCode);
        using var json = JsonDocument.Parse(ended.Output);
        Assert.Equal("fumecast/log/1", json.RootElement.GetProperty("schema").GetString());
        var log = json.RootElement.GetProperty("logs")[0];
        foreach (var key in new[] { "file", "rows", "form", "header_line", "time", "from", "to", "interval_s", "gaps", "backward_steps", "repeated_times", "quantities", "other_columns" })
        {
            Assert.True(log.TryGetProperty(key, out _), key);
        }

        Assert.Equal((60, "wide", 1, 60.0, "2026-11-27T14:00:00+01:00", "2026-11-27T14:59:00+01:00"),
            (log.GetProperty("rows").GetInt32(), log.GetProperty("form").GetString(), log.GetProperty("header_line").GetInt32(), log.GetProperty("interval_s").GetDouble(), log.GetProperty("from").GetString(), log.GetProperty("to").GetString()));
        Assert.Equal(("Time", "+01:00"), (log.GetProperty("time").GetProperty("column").GetString(), log.GetProperty("time").GetProperty("zone").GetString()));
        var tvoc = log.GetProperty("quantities")[1];
        Assert.Equal(("tvoc", "TVOC (mg/m3)", "ug_per_m3", 60, 0, 0), (tvoc.GetProperty("quantity").GetString(), tvoc.GetProperty("column").GetString(), tvoc.GetProperty("unit").GetString(),
            tvoc.GetProperty("rows").GetInt32(), tvoc.GetProperty("held").GetInt32(), tvoc.GetProperty("over_range").GetInt32()));
        Close.To(129.5, tvoc.GetProperty("mean").GetDouble(), 1e-9);
        Assert.Equal("IAQ", log.GetProperty("other_columns")[0].GetProperty("column").GetString());
        Assert.Contains(json.RootElement.GetProperty("diagnostics").EnumerateArray(), static finding => finding.GetProperty("code").GetString() == "over-range");
    }

    [Fact]
    public void The_clean_form_and_the_picture_are_written_together()
    {
        var (csv, svg, png) = (Path.Combine(_folder, "clean.csv"), Path.Combine(_folder, "log.svg"), Path.Combine(_folder, "log.png"));
        Assert.Equal(0, FumecastProcess.Run("log", Cafe(), "--csv", csv, "--plot", svg).ExitCode);
        Assert.Equal(0, FumecastProcess.Run("log", Cafe(), "--plot", png, "--quiet").ExitCode);
        var lines = System.IO.File.ReadAllLines(csv);
        Assert.Equal("time,pm25_ug_per_m3,tvoc_ug_per_m3,temperature_c,number_above_0.3um_per_cm3", lines[0]);
        Assert.Equal((61, "2026-11-27T14:00:00,3,100,20,9"), (lines.Length, lines[1]));
        Assert.EndsWith(",", lines[41]);
        Assert.StartsWith("<", System.IO.File.ReadAllText(svg));
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], System.IO.File.ReadAllBytes(png)[..4]);
    }

    [Fact]
    public void Standard_input_is_read()
    {
        var ended = FumecastProcess.Run(null, Encoding.UTF8.GetBytes("time;PM2,5\n27.11.2026 14:05;12,5\n27.11.2026 14:06;13,5\n"), "log", "-", "--csv", "-", "--out", "/dev/null");
        Assert.Equal((0, "time,pm25_ug_per_m3\n2026-11-27T14:05:00,12.5\n2026-11-27T14:06:00,13.5\n"), (ended.ExitCode, ended.Output));
    }

    [Fact]
    public void A_terminal_sees_the_readings_in_its_width()
    {
        var ended = InMemory.OnTerminal(80, "log", Cafe());
        Assert.Equal(0, ended.ExitCode);
        var drawn = ended.Output.Split('\n').Where(static line => line.Contains('█', StringComparison.Ordinal)).ToList();
        Assert.NotEmpty(drawn);
        Assert.All(drawn, static line => Assert.InRange(ColumnWidth.Of(line), 1, 80));
        Assert.Contains('█', InMemory.Real("log", Cafe(), "--sketch").Output);
    }

    [Fact]
    public void Of_several_logs_those_that_can_be_read_are_shown()
    {
        var broken = File("broken.csv", "hello\nworld\n");
        var ended = FumecastProcess.Run("log", Cafe(), broken, Cafe());
        Assert.Equal(1, ended.ExitCode);
        Assert.Contains("broken.csv:1:1: found no table", ended.Error, StringComparison.Ordinal);
        Assert.Equal(2, Regex.Count(ended.Output, "QUANTITY"));
        Assert.DoesNotContain('\n', ended.Error.TrimEnd('\n'));
    }

    [Theory]
    [InlineData("time,pm2.5\n05/08/2026 14:00,1\n05/08/2026 14:01,2\n", "cafe.csv:2:1: found '05/08/2026 14:00', of which either number may be the day, and nothing in the log decides it; add --date-order day-first or --date-order month-first")]
    [InlineData("a,b\n2026-11-27 14:00,1\n2026-11-27 14:01,2\n", "cafe.csv:1:1: found times but no quantity; the columns are a, b; say what a column holds, such as --columns 'pm25=b'")]
    [InlineData("", "cafe.csv: is empty; expected a table with times and readings")]
    public void What_cannot_be_understood_is_asked_for_in_one_line(string text, string message)
    {
        var file = File("cafe.csv", text);
        var ended = FumecastProcess.Run("log", file, "--csv", Path.Combine(_folder, "clean.csv"));
        Assert.Equal((1, "", $"fumecast: {_folder}/{message}\n"), (ended.ExitCode, ended.Output, ended.Error));
        Assert.Equal([file], Directory.GetFiles(_folder));
    }

    [Theory]
    [InlineData("the LOG is missing", "log")]
    [InlineData("--date-order: found 'american', expected day-first or month-first", "log", "LOG", "--date-order", "american")]
    [InlineData("--zone: found 'Atlantis', expected an offset such as +01:00", "log", "LOG", "--zone", "Atlantis")]
    [InlineData("--columns: found 'pm=3', expected entries such as time=Zeit,pm25=PM2.5", "log", "LOG", "--columns", "pm=3")]
    [InlineData("--csv is for one log, found 2", "log", "LOG", "LOG", "--csv", "x.csv")]
    [InlineData("--plot: found 'x.gif', expected a name that ends in .svg or .png", "log", "LOG", "--plot", "x.gif")]
    [InlineData("--format: found 'xml', expected text, json", "log", "LOG", "--format", "xml")]
    [InlineData("--csv: 'LOG' is also the log; name another file", "log", "LOG", "--csv", "LOG")]
    [InlineData("unknown option '--date-oder'; did you mean '--date-order'?", "log", "LOG", "--date-oder", "day-first")]
    public void Wrong_usage_is_told(string message, params string[] args)
    {
        var log = Cafe();
        var ended = InMemory.Real([.. args.Select(arg => arg == "LOG" ? log : arg)]);
        Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
        Assert.Contains(message.Replace("LOG'", $"{log}'"), ended.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_missing_file_is_told() =>
        Assert.Equal((1, "", "fumecast: nowhere.csv: found no such file; check the path\n"), InMemory.Real("log", "nowhere.csv") is var ended ? (ended.ExitCode, ended.Output, ended.Error) : default);

    [Fact]
    public void Strict_refuses_what_had_to_be_assumed()
    {
        var ended = FumecastProcess.Run("log", Cafe(), "--strict");
        Assert.Equal(1, ended.ExitCode);
        Assert.Contains(":1:6: >0.3 states no unit and is taken as counts in 0.1 litres", ended.Error, StringComparison.Ordinal);
        Assert.Contains("(an error because of --strict)", ended.Error, StringComparison.Ordinal);
        Assert.Equal(0, FumecastProcess.Run("log", Cafe(), "--strict", "--columns", "number=>0.3[#/0.1l]").ExitCode);
    }

    [Fact]
    public void The_help_shows_an_example() => Assert.Contains("fumecast log day1.csv --columns 'time=Zeit,pm25=Feinstaub'", FumecastProcess.Run("log", "--help").Output, StringComparison.Ordinal);

    [Fact]
    public void Warnings_go_to_stderr_where_the_text_does_not_say_them()
    {
        var ended = FumecastProcess.Run("log", Cafe(), "--format", "json");
        Assert.Contains("fumecast: warning: >0.3: 1 reading is at the end of the meter's range", ended.Error, StringComparison.Ordinal);
        Assert.Equal("", FumecastProcess.Run("log", Cafe(), "--format", "json", "--quiet").Error);
    }
}
