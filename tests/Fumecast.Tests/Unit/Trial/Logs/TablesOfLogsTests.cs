// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Trial;
using static Fumecast.Tests.Unit.Trial.Logs.SmallLog;

namespace Fumecast.Tests.Unit.Trial.Logs;

/// <summary>Delimiters, encodings, preambles, headers and forms of the tables that meters write.</summary>
public class TablesOfLogsTests
{
    private static string Plain => "time,pm2.5,co2\n" + Rows(8, static i => $"2026-11-27 {Clock(60 * i)},{10 + i}.5,{400 + i}");

    private static void IsThePlainOne(MeterLog log)
    {
        Holds(log, "pm25", "co2");
        Assert.Equal((8, LogForm.Wide, 60.0), (log.Rows, log.Form, log.IntervalS));
        Assert.Equal([10.5, 11.5, 12.5, 13.5, 14.5, 15.5, 16.5, 17.5], Values(log, "pm25"));
        Assert.Equal([400.0, 401, 402, 403, 404, 405, 406, 407], Values(log, "co2"));
        Assert.Equal([0.0, 60, 120, 180, 240, 300, 360, 420], Times(log, "co2"));
        Assert.Equal("2026-11-27T14:05:00", log.Time.Show(log.FromS));
    }

    [Fact] public void Commas() => IsThePlainOne(Read(Plain));

    [Fact] public void Carriage_returns_alone() => IsThePlainOne(Read(Plain.Replace('\n', '\r')));

    [Fact] public void Carriage_returns_and_line_feeds() => IsThePlainOne(Read(Plain.Replace("\n", "\r\n")));

    [Fact] public void No_line_end_after_the_last_row() => IsThePlainOne(Read(Plain.TrimEnd('\n')));

    [Fact] public void Commas_after_the_last_column() => IsThePlainOne(Read(Plain.Replace("\n", ",\n")));

    [Fact] public void Blanks_after_commas() => IsThePlainOne(Read(Plain.Replace(",", ", ")));

    [Fact] public void Blank_lines_between_rows() => IsThePlainOne(Read(Plain.Replace("\n", "\n\n")));

    [Fact] public void Tabs_in_UTF_16() => IsThePlainOne(Read(Plain.Replace(',', '\t'), encoding: Encoding.Unicode));

    [Fact] public void UTF_16_without_a_mark() => IsThePlainOne(Read(Plain, encoding: new UnicodeEncoding(bigEndian: true, byteOrderMark: false)));

    [Fact] public void A_mark_before_UTF_8() => IsThePlainOne(Read(Plain, encoding: new UTF8Encoding(encoderShouldEmitUTF8Identifier: true)));

    [Fact] public void Quotes_around_everything() => IsThePlainOne(Read(string.Join('\n', Plain.TrimEnd('\n').Split('\n').Select(static line => '"' + line.Replace(",", "\",\"") + '"'))));

    [Fact] public void Semicolons_and_decimal_commas() => IsThePlainOne(Read(Plain.Replace(',', ';').Replace("pm2.5", "pm2,5").Replace(".5", ",5")));

    [Fact] public void Decimal_commas_between_quotes() => IsThePlainOne(Read("time,pm25,co2\n" + Rows(8, static i => $"2026-11-27 {Clock(60 * i)},\"{10 + i},5\",{400 + i}")));

    [Fact] public void Upright_strokes() => IsThePlainOne(Read(Plain.Replace(',', '|')));

    [Fact]
    public void One_byte_for_a_letter()
    {
        var log = Read("Zeit;PM2,5 (µg/m³);Temperatur (°C)\n" + Rows(6, static i => $"27.11.2026 {Clock(60 * i)};{10 + i},5;21,{i}"), encoding: Encoding.Latin1);
        Holds(log, "pm25", "temperature");
        Assert.Equal("ug/m3", log.Find("pm25")!.WrittenUnit);
        Assert.Equal([21, 21.1, 21.2, 21.3, 21.4, 21.5], Values(log, "temperature"));
    }

    [Fact]
    public void Lines_above_the_header_padded_with_commas()
    {
        var log = Read("Export,start:,2026/11/27 14:05,end:,\nSensors:,A_1,B_1,,\nInterval time,10,,,\n\n" + Plain);
        IsThePlainOne(log);
        Assert.Equal(5, log.HeaderLine);
    }

    [Fact]
    public void Lines_above_the_header_without_delimiters()
    {
        var log = Read("Session: B\nStart: 27.11.2026 14:05:00\nDuration: 8 minutes\n\n" + Plain);
        IsThePlainOne(log);
        Assert.Equal(5, log.HeaderLine);
    }

    [Fact] public void Comments_above_the_header() => IsThePlainOne(Read("# a logger of ours\n# interval 60\n" + Plain));

    [Fact] public void A_header_that_is_a_comment() => IsThePlainOne(Read("# a logger of ours\n#" + Plain));

    [Fact]
    public void A_row_of_units_below_the_header()
    {
        var log = Read(Plain.Replace("co2\n", "co2\n,mg/m³,ppm\n"));
        Holds(log, "pm25", "co2");
        Assert.Equal((1000, 10500), (log.Find("pm25")!.Factor, log.Find("pm25")!.Values[0]));
    }

    [Fact]
    public void A_unit_above_the_header()
    {
        var log = Read("Unit=mg/m3\n" + Plain);
        Assert.Equal((10500, 400), (log.Find("pm25")!.Values[0], log.Find("co2")!.Values[0]));
    }

    [Fact]
    public void A_header_without_line_end_before_the_first_row()
    {
        var log = Read(Plain.Replace("co2\n", "co2"));
        IsThePlainOne(log);
        Assert.Contains("glued-header", Codes(log));
    }

    [Fact]
    public void A_header_that_ends_in_digits_without_line_end_before_the_first_row()
    {
        var log = Read("time,co2,PM10" + Rows(8, static i => $"2026-11-27 {Clock(60 * i)},{400 + i},{10 + i}"));
        Holds(log, "co2", "pm10");
        Assert.Equal([10.0, 11, 12, 13, 14, 15, 16, 17], Values(log, "pm10"));
    }

    [Fact]
    public void A_header_that_is_repeated()
    {
        var lines = Plain.Split('\n');
        var log = Read(string.Join('\n', [.. lines[..5], lines[0], .. lines[5..]]));
        IsThePlainOne(log);
        Assert.Equal(1, log.RowsLeftOut);
        Assert.Contains(log.Diagnostics, static finding => finding is { Code: "repeated-header", Line: 6 });
    }

    [Fact]
    public void Rows_that_are_none_are_counted_with_their_place()
    {
        var log = Read(Plain + "power lost,,\nend of data\n");
        IsThePlainOne(log);
        Assert.Equal(2, log.RowsLeftOut);
        Assert.Contains(log.Diagnostics, static finding => finding is { Code: "row-without-time", Line: 10, Column: 1, Count: 2 } && finding.Message.Contains("'power lost'", StringComparison.Ordinal));
    }

    [Fact]
    public void Zero_bytes_where_the_power_failed()
    {
        var log = Read(Plain + new string('\0', 200) + "\n");
        IsThePlainOne(log);
        Assert.Equal(1, log.RowsLeftOut);
    }

    [Fact]
    public void Short_rows_miss_their_last_readings()
    {
        var log = Read(Plain + "2026-11-27 14:13:00,18.5\n");
        Assert.Equal((9, 8, 1), (log.Find("pm25")!.UsedCount, log.Find("co2")!.UsedCount, log.Find("co2")!.Count(ReadingState.Missing)));
    }

    [Fact]
    public void A_remark_of_several_lines()
    {
        var log = Read("time,pm2.5,comment\n2026-11-27 14:05:00,1,\"window, door\nopened\"\n" + Rows(6, static i => $"2026-11-27 {Clock(60 + (60 * i))},{2 + i},"));
        Assert.Equal([1.0, 2, 3, 4, 5, 6, 7], Values(log, "pm25"));
    }

    [Fact]
    public void Rows_for_each_reading_with_units()
    {
        var log = Read("Site,Param,Date (UTC),Time (UTC),Date (LST),Time (LST),Value,Unit,QC Code\n"
            + Rows(5, static i => $"A,PM2.5,8/1{i}/2026,5:00,8/1{i}/2026,0:00,{10 + i},MG/M3,0") + Rows(5, static i => $"A,TEMP,8/1{i}/2026,5:00,8/1{i}/2026,0:00,{20 + i},C,0") + Rows(5, static i => $"A,O3,8/1{i}/2026,5:00,8/1{i}/2026,0:00,{i},PPB,0"));
        Holds(log, "pm25", "temperature");
        Assert.Equal((LogForm.OneRowPerReading, 15, "+00:00", "Date (UTC) + Time (UTC)"), (log.Form, log.Rows, log.Time.Zone, log.Time.Column));
        Assert.Equal([10000.0, 11000, 12000, 13000, 14000], Values(log, "pm25"));
        Assert.Contains(log.OtherColumns, static column => column.Column == "O3" && column.Why.StartsWith("ozone", StringComparison.Ordinal));
    }

    [Fact]
    public void Rows_for_each_change_of_a_state()
    {
        var log = Read("entity_id,state,last_changed\n" + Rows(12, static i => $"sensor.workshop_pm25,{(i == 4 ? "unavailable" : 10 + i)},2026-11-27T14:{5 + (i * i % 40):00}:00.{i:000}Z\nsensor.workshop_humidity,{40 + i},2026-11-27T14:{5 + i}:20.000Z"));
        Holds(log, "pm25", "humidity");
        Assert.Equal((11, 1, 0, "+00:00"), (log.Find("pm25")!.UsedCount, log.Find("pm25")!.Count(ReadingState.ErrorMark), log.Gaps, log.Time.Zone));
    }

    [Fact]
    public void An_export_with_lines_of_types_and_repeated_tables()
    {
        static string Table(string field, int from) => "#group,false,false,true,false,true\n#datatype,string,long,dateTime:RFC3339,double,string\n#default,_result,,,,\n,result,table,_time,_value,_field\n"
            + Rows(6, i => $",,0,2026-11-27T14:{5 + i:00}:00Z,{from + i}.5,{field}") + "\n";
        var log = Read(Table("pm25", 10) + Table("co2", 400));
        Holds(log, "pm25", "co2");
        Assert.Equal([400.5, 401.5, 402.5, 403.5, 404.5, 405.5], Values(log, "co2"));
    }

    [Fact]
    public void Two_devices_in_one_table()
    {
        var log = Read("time,device,parameter,value\n" + Rows(12, static i => $"2026-11-27 {Clock(60 * (i / 2))},{(i % 2 == 0 ? "box" : "room")},pm2.5,{10 + i}"));
        Holds(log, "pm25", "pm25#2");
        Assert.Equal(("pm2.5 at box", "pm2.5 at room"), (log.Quantities[0].Column, log.Quantities[1].Column));
        Assert.Equal([11.0, 13, 15, 17, 19, 21], Values(log, "pm25#2"));
    }

    [Fact]
    public void A_table_with_one_column_for_each_time()
    {
        static string Across(string name, Func<int, int> value) => name + "," + string.Join(',', Enumerable.Range(0, 20).Select(i => FormattableString.Invariant($"{value(i)}"))) + "\n";
        var log = Read("Export of a meter\n" + Across("time", static i => 60 * i) + Across("PM2.5 (µg/m³)", static i => 10 + i) + Across("CO2 (ppm)", static i => 400 + i) + "end of export\n");
        Holds(log, "pm25", "co2");
        Assert.Equal((LogForm.Transposed, 20, 60.0), (log.Form, log.Rows, log.IntervalS));
        Assert.Equal((10, 29), (log.Find("pm25")!.Values[0], log.Find("pm25")!.Values[19]));
    }

    [Theory]
    [InlineData("", "-: is empty; expected a table with times and readings")]
    [InlineData("hello world\nthis is a letter\nand no table\n", "-:1:1: found no table: no comma, semicolon or tab parts the lines")]
    [InlineData("time,pm2.5\n", "-:1:1: found no rows of readings")]
    [InlineData("when,what\n14:05,much\n14:06,little\n", "-:1:1: found times but no quantity; the columns are when, what; say what a column holds, such as --columns 'pm25=")]
    [InlineData("place,pm2.5\nhall,1\nhall,2\nhall,3\n", "-:1:1: found no column of times; the columns are place, pm2.5; name it with --columns time=HEADER")]
    [InlineData("2026-11-27 14:05,1,2\n2026-11-27 14:06,1,2\n", "-:1:1: found times but no quantity; the columns are column 1, column 2, column 3; say what a column holds, such as --columns 'pm25=column 2'")]
    [InlineData("time,number (#/cm3)\n2026-11-27 14:05,\"1,200\"\n2026-11-27 14:06,\"1,300\"\n", "-:2:2: found '1,200', which may be a number with decimals or one in the thousands")]
    [InlineData("time,pm2.5\n2026-11-27 14:05,1\n2026-11-27 14:06,\"2\n2026-11-27 14:07,3\n2026-11-27 14:08,4\n", "-:3:2: a quote that is opened here is not closed before the next row")]
    public void What_is_no_log_is_told_in_one_line(string text, string message)
    {
        var problem = Problem(text);
        Assert.StartsWith(message, problem);
        Assert.DoesNotContain('\n', problem);
    }

    [Fact]
    public void Workbooks_and_archives_are_named()
    {
        Assert.Contains("workbook", Problem("PK\u0003\u0004xyz"), StringComparison.Ordinal);
        Assert.Contains("control characters", Problem(new string('\u0001', 500)), StringComparison.Ordinal);
        Assert.Contains("control characters", Problem(new string('\0', 500)), StringComparison.Ordinal);
    }

    [Fact]
    public void Lines_without_end_and_tables_too_wide_are_refused()
    {
        Assert.Equal("-: a line is longer than 4000000 letters, and it is the first; is it a log with line ends?", Problem("time,pm2.5" + new string('1', 4_200_000)));
        Assert.Contains("columns, expected at most 250000", Problem("time" + new string(',', 300_000) + "\n2026-11-27 14:05" + new string(',', 300_000) + "\n"), StringComparison.Ordinal);
    }

    [Fact]
    public void A_log_is_never_longer_than_what_the_memory_holds()
    {
        using var endless = new EndlessLog();
        var problem = Assert.Throws<Fumecast.Inputs.InputProblem>(() => MeterLogReader.Read("-", new LogOptions { Stdin = endless })).Message;
        Assert.Equal("-:5000002:1: the log goes on beyond 5000000 rows, which is more than is read; split it, or keep fewer rows", problem);
    }

    /// <summary>A meter that nobody turned off.</summary>
    private sealed class EndlessLog : MemoryStream
    {
        private static readonly byte[] Row = "2026-11-27 14:05:00,1\n"u8.ToArray();
        private static readonly byte[] Header = "t,pm25\n"u8.ToArray();
        private long _at;

        public override bool CanSeek => false;

        public override int Read(Span<byte> buffer)
        {
            for (var i = 0; i < buffer.Length; i++, _at++)
            {
                buffer[i] = _at < Header.Length ? Header[_at] : Row[(_at - Header.Length) % Row.Length];
            }

            return buffer.Length;
        }

        public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));
    }
}
