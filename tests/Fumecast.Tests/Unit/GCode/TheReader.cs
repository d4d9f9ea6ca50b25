// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.GCode;

namespace Fumecast.Tests.Unit.GCode;

public class TheReader
{
    [Theory]
    [InlineData("G1 X1 Y2 E.5", "G1 E=0.5 X=1 Y=2")]
    [InlineData("G0005 X-0", "G5 X=-0")]
    [InlineData("  G1\tX1\t\tY5.  ", "G1 X=1 Y=5")]
    [InlineData("/G1 X1", "/ G1 X=1")]
    [InlineData("G 28 W", "G28 W spaced")]
    [InlineData("G28 X Y", "G28 X Y")]
    [InlineData("G28 XY", "G28 X Y")]
    [InlineData("M84XYE", "M84 E X Y")]
    [InlineData("G92.1", "G92.1")]
    [InlineData("G59.3 X0", "G59.3 X=0")]
    [InlineData("M862.3 P \"ONE TWO\"", "M862.3 P \"ONE TWO\"")]
    [InlineData("M862.4 P3.1.0", "M862.4 P=3.1")]
    [InlineData("M862.3 P ONE2X", "M862.3 P")]
    [InlineData("M115 U3.1.0-RC2 ; version", "M115 \"U3.1.0-RC2\"")]
    [InlineData("M620 M", "M620 M")]
    [InlineData("M620 S0A", "M620 A S=0")]
    [InlineData("M1002 some_word : 2", "M1002")]
    [InlineData("M900 K0.04 L1000 M10", "M900 K=0.04 L=1000 | M10")]
    [InlineData("X10 Y20", "modal X=10 Y=20")]
    [InlineData("F3000", "modal F=3000")]
    [InlineData("X10 G1 F3000", "G1 F=3000 X=10")]
    [InlineData("G90 G1 X5 M106 S255", "G90 | G1 X=5 | M106 S=255")]
    [InlineData("M104 T1 S200", "M104 S=200 T=1")]
    [InlineData("T?", "T-1 \"?\"")]
    [InlineData("Tx", "T-1 \"x\"")]
    [InlineData("Tc", "T-1 \"c\"")]
    [InlineData("T-1", "T-1")]
    [InlineData("T", "T-1")]
    [InlineData("M108 R2.5", "M108 R=2.5")]
    [InlineData("M101", "M101")]
    [InlineData("G1 X1 A2 B3", "G1 A=2 B=3 X=1")]
    [InlineData("M73 P50 (half)", "M73 P=50")]
    [InlineData("M70 P5 ( a text )", "M70 P=5")]
    [InlineData("(before) G1 X1 (between) Y2", "G1 X=1 Y=2")]
    [InlineData("(<setting> x_(mm): 2.0 </setting>)", "")]
    [InlineData("M117 3/98", "M117 \"3/98\"")]
    [InlineData("M117", "M117")]
    [InlineData("M117 text ; and a comment", "M117 \"text\"")]
    [InlineData("G28 M117 homing", "G28 | M117 \"homing\"")]
    [InlineData("M0 S5 change the spool", "M0 S=5 \"S5 change the spool\"")]
    [InlineData("M486 S3", "M486 S=3")]
    [InlineData("M486 Atower.stl", "M486 A \"tower.stl\"")]
    [InlineData("M486 A\"a; b\"", "M486 A \"a; b\"")]
    [InlineData("M486 S-1", "M486 S=-1")]
    [InlineData("START_PRINT BED=60 EXTRUDER=210 ; go", "START_PRINT BED=60 EXTRUDER=210")]
    [InlineData("print_start bed=70 material=ABS", "PRINT_START BED=70 MATERIAL=ABS")]
    [InlineData("EXCLUDE_OBJECT_DEFINE NAME=x CENTER=1,2 POLYGON=[[1,2],[3,4]]", "EXCLUDE_OBJECT_DEFINE NAME=x CENTER=1,2 POLYGON=[[1,2],[3,4]]")]
    [InlineData("RESPOND MSG=\"two words; one text\"", "RESPOND MSG=two words; one text")]
    [InlineData("STATUS_TEXT hello there", "STATUS_TEXT \"hello there\"")]
    [InlineData("EXCLUDE_OBJECT_START NAME=part*2.stl", "EXCLUDE_OBJECT_START NAME=part*2.stl")]
    [InlineData("N5 M117 5*3*100", "N5 M117 \"5*3\"")]
    [InlineData("N5 M110 N0", "N5 M110 N=0")]
    [InlineData("N7", "")]
    [InlineData("%", "")]
    [InlineData("@Object tower", "")]
    [InlineData(" Total estimated (pre-cool) minutes: 0.99", "")]
    [InlineData("A total of 5 parts", "")]
    [InlineData("// a remark", "")]
    [InlineData("M300 S440 P200 beep", "M300 P=200 S=440")]
    [InlineData("M566 E1200:1100", "M566 E=1200")]
    [InlineData("G1 X5*71", "G1 X=5")]
    [InlineData("g1x10e5", "G1 E=5 X=10")]
    [InlineData("M600_HOT S=5", "M600_HOT S=5")]
    [InlineData("[start_code]", "")]
    [InlineData("G1X1E3", "G1 E=3 X=1")]
    public void Line_yields(string line, string expected) => Assert.Equal(expected, Reading.Line(line));

    [Theory]
    [InlineData("G1 X", "1:4 missing-value")]
    [InlineData("G1 X10 E", "1:8 missing-value")]
    [InlineData("G1 X1.2.3", "1:4 malformed-number")]
    [InlineData("G1 X+-1", "1:4 malformed-number")]
    [InlineData("G1 X.", "1:4 malformed-number")]
    [InlineData("G1 X1O", "1:4 malformed-number")]
    [InlineData("G1 X1 Y1,25 Z3", "1:7 decimal-comma")]
    [InlineData("G1 X1 E1.5e-7", "1:7 exponent")]
    [InlineData("G1 X1 E1.5E-7", "1:7 exponent")]
    [InlineData("G1 X{pos}", "1:4 computed-value")]
    [InlineData("G1 X#5", "1:4 computed-value")]
    [InlineData("G1 X[1+2]", "1:4 computed-value")]
    [InlineData("M104 S{temp}", "1:6 computed-value")]
    [InlineData("G1 E1:2", "1:4 computed-value")]
    [InlineData("M104 S2O", "1:6 malformed-number")]
    [InlineData("G1 X5 Yfoo", "1:7 broken-line")]
    [InlineData("G X5", "1:1 missing-command-number")]
    [InlineData("G1.55 X5", "1:1 wrong-command-number")]
    [InlineData("G-1", "1:1 wrong-command-number")]
    [InlineData("M9999999", "1:1 wrong-command-number")]
    [InlineData("if x < 3", "1:1 flow-control")]
    [InlineData("  while true", "1:3 flow-control")]
    [InlineData("var a = 3", "1:1 flow-control")]
    [InlineData("O100 sub", "1:1 flow-control")]
    [InlineData("#1=5", "1:1 flow-control")]
    [InlineData("{if layer > 1}", "1:1 flow-control")]
    [InlineData("N1 N2 G1 X5", "1:4 broken-line")]
    [InlineData("G1 X5 *3 Y6", "1:10 broken-line")]
    [InlineData("G1 X5 \"a\"", "1:7 broken-line")]
    [InlineData("G1 \0X5", "1:4 nul-byte")]
    [InlineData("G1 nan", "1:4 broken-line")]
    public void Line_is_an_error(string line, string expected) => Assert.Equal(expected, Reading.ErrorOf(line));

    [Theory]
    [InlineData("\n")]
    [InlineData("\r")]
    [InlineData("\r\n")]
    [InlineData("\r\r\n")]
    public void Line_ends_of_any_kind_give_the_same(string end)
    {
        var lines = new[] { "G28", "", "G1 X1 ; a", "; b", "(c)", "M117 d", "G1 X2*", "", "", "G1 X3" };
        var expected = Reading.Of(string.Join("\n", lines) + "\n");
        var actual = Reading.Of(string.Join(end, lines) + end);
        Assert.Equal(5 - 1, expected.Commands.Count);
        Assert.Equal(expected.Commands, actual.Commands);
        Assert.Equal(lines.Length, expected.Lines);
        Assert.Equal(expected.Lines, actual.Lines);
        Assert.Equal(expected.Findings, actual.Findings);
    }

    [Fact]
    public void Last_line_needs_no_end()
    {
        Assert.Equal(2, Reading.Of("G28\nG1 X1").Lines);
        Assert.Equal(["1:1:0 G28", "2:1:0 G1 X=1"], Reading.Of("G28\nG1 X1").Commands);
        Assert.Equal(0, Reading.Of("").Lines);
    }

    [Fact]
    public void Byte_order_mark_is_stripped_and_noted()
    {
        var reading = Reading.Of([0xEF, 0xBB, 0xBF, .. "G28\n"u8]);
        Assert.Equal(["1:1:0 G28"], reading.Commands);
        Assert.Contains(reading.Findings, finding => finding.Code == "byte-order-mark");
    }

    [Fact]
    public void Text_that_is_not_utf8_is_read_byte_by_byte()
    {
        Assert.Equal(["1:1:0 M117 \"grün\""], Reading.Of(Encoding.UTF8.GetBytes("M117 grün")).Commands);
        Assert.Equal(["1:1:0 M117 \"grün\""], Reading.Of(Encoding.Latin1.GetBytes("M117 grün")).Commands);
    }

    [Fact]
    public void Error_says_where_what_was_found_what_was_expected_and_how_to_mend_it()
    {
        var error = Reading.Of("G28\nG1 X1,5 Y2\nG1 X2,5\n").Findings.Single();
        Assert.Equal(
            new Diagnostic(
                "decimal-comma", Severity.Error, 2, 4, 2,
                "found \"X1,5\"; expected a decimal point: write 1.5 instead of 1,5 (set the generator to decimal points)", true),
            error);
    }

    [Fact]
    public void Comment_of_many_kilobytes_is_only_a_comment()
    {
        var text = "; " + new string('a', 300_000) + "\nG1 X1\n;" + new string('(', 900_000) + "\nG1 X2";
        Assert.Equal(["2:1:0 G1 X=1", "4:1:0 G1 X=2"], Reading.Of(text).Commands);
        Assert.Empty(Reading.Of(text).Findings);
    }

    [Fact]
    public void Line_over_a_mebibyte_ends_the_reading()
    {
        foreach (var length in new[] { (1 << 20) + 1, 1_500_000, 3_000_000 })
        {
            foreach (var start in new[] { ";", "(", "M117", "" })
            {
                var reading = Reading.Of("G28\n" + start + new string('a', length - start.Length) + "\nG1 X1\n");
                Assert.Equal(["1:1:0 G28"], reading.Commands);
                var error = Assert.Single(reading.Findings);
                Assert.Equal(("line-too-long", 2L), (error.Code, error.Line));
            }
        }
    }

    [Fact]
    public void Endless_line_is_refused_without_being_kept()
    {
        var log = new DiagnosticLog();
        var reader = new GCodeReader(new Endless((byte)'x'), log);
        Assert.False(reader.Read());
        Assert.Equal("line-too-long", log.FirstError?.Code);
    }

    [Fact]
    public void Long_line_of_nonsense_is_quick_to_refuse()
    {
        // Quick means linear: with a square law these lines would take minutes.
        foreach (var piece in new[] { "(", ")", "X ", "(a)", "\"", "*5", "( ( a) ", "(a (b) ", ",", "=", "[", "G1", "ab ", "A=b " })
        {
            var text = string.Concat(Enumerable.Repeat(piece, 50_000 / piece.Length));
            Assert.True(Reading.Of(text).Lines == 1);
            Assert.True(Reading.Of("G1 X1 " + text).Lines == 1);
            Assert.True(Reading.Of("M104 " + text).Lines == 1);
        }
    }

    [Fact]
    public void Bytes_and_lines_are_counted()
    {
        var reading = Reading.Of("G28\r\n; a\r\n\r\nG1 X1");
        Assert.Equal(4, reading.Lines);
        Assert.Equal("G28\r\n; a\r\n\r\nG1 X1".Length, reading.Bytes);
    }

    [Fact]
    public void Numbers_that_go_back_are_noticed_once_but_may_be_reset()
    {
        Assert.Equal(2, Reading.Of("N1 G28\nN3 G1 X1\nN2 G1 X2\nN2 G1 X3\n").Findings.Single(finding => finding.Code == "line-numbers-go-back").Count);
        Assert.Empty(Reading.Of("N1 G28\nN3 G1 X1\nN4 M110 N0\nN1 G1 X2\n").Findings);
    }

    [Fact]
    public void Repeated_name_is_one_string()
    {
        var reader = new GCodeReader(new MemoryStream("pause_here\nPAUSE_HERE\n"u8.ToArray()), new DiagnosticLog());
        Assert.True(reader.Read());
        var first = reader.Command.Name;
        Assert.True(reader.Read());
        Assert.Same(first, reader.Command.Name);
    }

    [Fact]
    public void Plain_lines_take_no_memory()
    {
        var bytes = Encoding.ASCII.GetBytes(string.Concat(Enumerable.Repeat("G1 X1.5 Y-2.25 E.0321\nM106 S255 ; fan\r\n;TYPE:FILL\nX1\nT0\n", 20_000)));
        var reader = new GCodeReader(new MemoryStream(bytes), new DiagnosticLog(), new CommentClaims());
        Assert.True(reader.Read());
        var before = GC.GetAllocatedBytesForCurrentThread();
        while (reader.Read())
        {
        }

        // What the runtime itself takes now and then (some kilobytes) is less than one byte for each line; an object takes 24.
        Assert.Equal(80_000, reader.CommandCount);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, reader.LineCount);
    }

    [Fact]
    public void Layer_mark_counts_for_the_commands_behind_it()
    {
        var reader = new GCodeReader(new MemoryStream("G28\n;LAYER:0\nG1 X1\nG1 X2\n;LAYER:1\nG1 X3\n"u8.ToArray()), new DiagnosticLog());
        var marks = new List<int>();
        while (reader.Read())
        {
            marks.Add(reader.LayerMarkCount);
        }

        Assert.Equal([0, 1, 1, 2], marks);
    }

    private sealed class Endless(byte value) : Stream
    {
        private long _given;

        public override bool CanRead => true;

        public override bool CanSeek => false;

        public override bool CanWrite => false;

        public override long Length => throw new NotSupportedException();

        public override long Position { get => _given; set => throw new NotSupportedException(); }

        public override int Read(byte[] buffer, int offset, int count)
        {
            buffer.AsSpan(offset, count).Fill(value);
            _given += count;
            Assert.True(_given < 100_000_000);
            return count;
        }

        public override void Flush()
        {
        }

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }
}
