// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using CsCheck;
using Fumecast.GCode;
using Fumecast.Tests.Unit.GCode;

namespace Fumecast.Tests.Properties;

public class GCodeReading
{
    private static readonly string[] Samples =
    [
        "G28\nG1 X1.5 Y-2 E.05 F1800 ; go\n;LAYER:0\nM104 S200 T1\nN12 G1 X5*77\nSTART_PRINT BED=60\nM117 a \"b\n",
        "G1X1Y2E.5(a(b)c)X3\r\n(x)\r\r\n/M486 A\"n;m\" ;q\r@Object b\n%\nT?\nM862.3 P \"X\"\nG1 X{y} Z[1]\n\tG 28 W\n;; --- layer 0 (0.25 @ 0.25) ---",
        "EXCLUDE_OBJECT_DEFINE NAME=x CENTER=1,2 POLYGON=[[1,2],[3,4]]\nM73 P5 R30\nX1 Y2\nF30.\ng1 x1e5\nG1 X1E-5.e2\nM0 S5 wait\nwhile true\n",
    ];

    private static readonly Gen<string> Number = Gen.OneOf(
        Gen.Int[-999, 999].Select(value => value.ToString(CultureInfo.InvariantCulture)),
        Gen.Double[-300, 300].Select(value => value.ToString("F3", CultureInfo.InvariantCulture)),
        Gen.OneOf(".5", "-.5", "+5", "5.", "005", "0", "-0", "+.0", "123456789012345", "1234567890123456789", ".000000000000000000001", "", "-", ".", "1,5", "1.2.3"));

    private static readonly Gen<string> Word = Gen.Select(
        Gen.Frequency((20, Gen.Char['A', 'Z']), (1, Gen.Char['a', 'z'])), Gen.Frequency((9, Gen.Const("")), (1, Gen.Const(" "))), Number,
        (letter, blank, number) => letter + blank + number);

    private static readonly Gen<string> Head = Gen.OneOf(
        "G0", "G1", "G1", "G1", "G01", "G2", "G28", "G92", "G92.1", "M104", "M82", "M106", "M117", "M0", "M486", "M73", "M110", "T0", "T", "T?", "N5 G1", "N6", "/G1", "", "", " ", "\t",
        "START_PRINT", "abc", "O5", "M030", "M1170", "G1234567", "N1234567890123456", "N3.0", "G1.0", "%", "@x", "(a)", "(", "if");

    private static readonly Gen<string> Tail = Gen.OneOf(
        "", "", "", "", ";", "; c", " ;LAYER:1", "*33", " *99", "(c)", "(c", "(a(b)c)", " A=1 B=\"x y\"", " \"q\"", "\t", " foo", "{1}", "é");

    private static readonly Gen<string> Line = Gen.Select(
        Head, Gen.OneOf("", " ", "  ", "\t"), Word.Array[0, 4], Gen.OneOf("", " ", "\t"), Tail, Gen.OneOf("\n", "\n", "\n", "\r\n", "\r", "\r\r\n", "\n\n"),
        (head, blank, words, between, tail, end) => head + blank + string.Join(between, words) + tail + end);

    private static readonly Gen<byte[]> Program = Line.Array[0, 12].Select(lines => Encoding.UTF8.GetBytes(string.Concat(lines)));

    private static readonly Gen<byte[]> RandomBytes = Gen.Frequency(
        (1, Gen.Byte.Array[0, 300]),
        (3, Gen.OneOf(Encoding.Latin1.GetBytes("GMTNXYEF0123456789.-+ \t;()*\"\r\n\0,{}[]#%/@=_abe\u00e9")).Array[0, 300]));

    [Fact]
    public void Scanner_and_grammar_agree_on_every_generated_program() => Program.Sample(AssertSame, iter: 20_000);

    [Fact]
    public void Scanner_and_grammar_agree_on_random_bytes_and_neither_throws() => RandomBytes.Sample(AssertSame, iter: 20_000);

    [Fact]
    public void Scanner_and_grammar_agree_on_every_prefix()
    {
        foreach (var sample in Samples)
        {
            var bytes = Encoding.Latin1.GetBytes(sample);
            for (var length = 0; length <= bytes.Length; length++)
            {
                AssertSame(bytes[..length]);
            }
        }
    }

    [Fact]
    public void Size_of_the_buffer_and_of_the_pieces_read_changes_nothing() => Gen.Select(Program, Gen.Int[1, 40], Gen.Int[1, 7]).Sample((bytes, bufferSize, piece) =>
    {
        var expected = Reading.Of(bytes);
        var actual = Reading.Of(new Pieces(bytes, piece), bufferSize: bufferSize);
        AssertEqual(expected, actual);
    });

    [Fact]
    public void Numbers_equal_those_of_the_runtime_bit_for_bit()
    {
        var digits = Gen.Char['0', '9'].Array[0, 22].Select(letters => new string(letters));
        Gen.Select(Gen.OneOf("", "-", "+"), digits, Gen.Bool, digits).Sample((sign, whole, hasPoint, fraction) =>
        {
            var text = sign + whole + (hasPoint ? "." : "") + fraction;
            var isNumber = whole.Length + fraction.Length > 0;
            Assert.Equal(isNumber, DecimalNumber.TryParse(Encoding.ASCII.GetBytes(text), out var value));
            if (isNumber)
            {
                var expected = double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);
                Assert.Equal(BitConverter.DoubleToInt64Bits(expected), BitConverter.DoubleToInt64Bits(value));
                var reader = new GCodeReader(new MemoryStream(Encoding.ASCII.GetBytes("G1 X" + text)), new DiagnosticLog());
                Assert.True(reader.Read());
                Assert.Equal(BitConverter.DoubleToInt64Bits(expected), BitConverter.DoubleToInt64Bits(reader.Command.Get('X')));
            }
        }, iter: 50_000);
    }

    // Up to one digit more than a usual line may have on either side of the point.
    [Fact]
    public void Usual_lines_are_read_as_the_scanner_of_all_words_reads_them()
    {
        var digits = Gen.Char['0', '9'].Array[0, 8].Select(letters => new string(letters));
        var number = Gen.Select(Gen.OneOf("", "", "-", "+"), digits, Gen.OneOf("", ".", "."), digits, (sign, whole, point, fraction) => sign + whole + point + fraction);
        var word = Gen.Select(Gen.OneOf("X", "Y", "Z", "E", "F", "I", "J", "T", "G", "é"), number, (letter, value) => $" {letter}{value}");
        Gen.Select(Gen.OneOf("G0", "G1", "G3", "G9", "G10", "M3"), word.Array[0, 6], Gen.OneOf("\n", "\r\n", ";\n", " \n", " ;x\n", "*5\n", "a\n")).Sample((head, words, end) =>
        {
            var bytes = Encoding.Latin1.GetBytes(head + string.Concat(words) + end + new string('7', UsualLine.Reach));
            var usual = new GCodeCommand();
            var stop = UsualLine.Scan(bytes, 0, usual);
            if (stop == UsualLine.IsOther)
            {
                return;
            }

            var command = new GCodeCommand();
            Assert.Equal(WordScanner.Scan(bytes, 0, command), stop);
            Assert.Equal((command.Kind, command.Letter, command.Number, command.Present), (usual.Kind, usual.Letter, usual.Number, usual.Present));
            Assert.Equal((command.LineNumber, command.Column), (usual.LineNumber, usual.Column));
            Assert.Equal(command.Values.ToArray().Select(BitConverter.DoubleToInt64Bits), usual.Values.ToArray().Select(BitConverter.DoubleToInt64Bits));
        }, iter: 50_000);
    }

    [Theory]
    [InlineData("G1 X149.451 Y41.115 E.039")]
    [InlineData("G0 X-1.5 Y2 F9000")]
    [InlineData("G1 X1 E12345.67891 ; loop")]
    [InlineData("G3 X47.199 Y11.805 I2.1 J-2.863 E.19125")]
    [InlineData("G1 X1234567.7654321 Y0 Z-0 E0.0000001 F1234567.")]
    public void Usual_lines_take_the_short_way(string line)
    {
        var bytes = Encoding.ASCII.GetBytes(line + "\n" + new string(' ', UsualLine.Reach));
        Assert.NotEqual(UsualLine.IsOther, UsualLine.Scan(bytes, 0, new GCodeCommand()));
    }

    [SkippableFolderFact]
    public void Scanner_and_grammar_agree_on_real_files()
    {
        foreach (var file in RealFiles.All())
        {
            var bytes = File.ReadAllBytes(file);
            AssertSame(bytes);
            Assert.DoesNotContain(Reading.Of(bytes).Findings, finding => finding.Severity == Severity.Error);
        }
    }

    private static void AssertSame(byte[] bytes) => AssertEqual(Reading.Of(bytes, usesGrammarOnly: true), Reading.Of(bytes));

    private static void AssertEqual(Reading expected, Reading actual)
    {
        Assert.Equal(expected.Commands, actual.Commands);
        Assert.Equal(expected.Findings, actual.Findings);
        Assert.Equal(expected.Lines, actual.Lines);
        Assert.Equal(expected.Bytes, actual.Bytes);
        Assert.Equal(expected.Claims.All, actual.Claims.All);
        Assert.Equal(expected.Claims.LayerMarkCount, actual.Claims.LayerMarkCount);
    }

    /// <summary>Gives out a few bytes at a time.</summary>
    private sealed class Pieces(byte[] bytes, int size) : MemoryStream(bytes)
    {
        public override int Read(Span<byte> buffer) => base.Read(buffer[..Math.Min(size, buffer.Length)]);

        public override int Read(byte[] buffer, int offset, int count) => base.Read(buffer, offset, Math.Min(size, count));
    }
}
