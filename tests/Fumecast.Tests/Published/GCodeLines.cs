// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.GCode;
using Fumecast.Tests.Unit.GCode;

namespace Fumecast.Tests.Published;

public class GCodeLines
{
    // N3 T0: 78^51=125, ^32=93, ^84=9, ^48=57
    [Theory]
    [InlineData("N3 T0", 57)]
    [InlineData("N4 G92 E0", 67)]
    [InlineData("N5 G28", 22)]
    [InlineData("N6 G1 F1500.0", 82)]
    [InlineData("N7 G1 X2.0 Y2.0 F3000.0", 85)]
    [InlineData("N8 G1 X3.0 Y3.0", 33)]
    [Published("a public wiki on printers, page G-code, revision of 18 July 2012 (oldid 61563)", "checksum examples; gcode reference L1, L2")]
    public void Checksum_is_the_exclusive_or_of_all_bytes_before_the_star(string line, int checksum)
    {
        Assert.Equal(checksum, LineChecksum.Xor(Encoding.ASCII.GetBytes(line)));
        Assert.Empty(Reading.Of(FormattableString.Invariant($"{line}*{checksum}")).Findings);
        Assert.Contains(
            Reading.Of(FormattableString.Invariant($"{line}*{checksum ^ 1}")).Findings, finding => finding.Code == "wrong-checksum");
    }

    [Fact]
    [Published("public G-code dictionary of firmware family D, commit 91f23488", "checksum example, printed as N100 G0 X100 F6000 *51369; gcode reference L3")]
    public void Crc_is_accepted_with_and_without_the_blank_before_the_star()
    {
        Assert.Equal(51369, LineChecksum.Crc16("N100 G0 X100 F6000"u8));
        Assert.Equal(54566, LineChecksum.Crc16("N100 G0 X100 F6000 "u8));
        Assert.Empty(Reading.Of("N100 G0 X100 F6000 *51369").Findings);
        Assert.Empty(Reading.Of("N100 G0 X100 F6000 *54566").Findings);
        Assert.Contains(Reading.Of("N100 G0 X100 F6000 *51368").Findings, finding => finding.Code == "wrong-checksum");
    }

    [Theory]
    [InlineData("G1X10Y-.5E+0.25F1800;c", "G1 E=0.25 F=1800 X=10 Y=-0.5")] // L4
    [InlineData("g01 x10", "G1 X=10")] // L5
    [InlineData("G28 X0 Y0", "G28 X=0 Y=0")] // L8
    [InlineData("M117 G1 X9 *3 (hi", "M117 \"G1 X9 *3 (hi\"")] // L9
    [InlineData("N10 G92 E0 ; zero", "N10 G92 E=0")] // L10
    [InlineData("SET_VELOCITY_LIMIT accel=3000", "SET_VELOCITY_LIMIT ACCEL=3000")] // L11
    [InlineData("T1 M104 S200", "T1 | M104 S=200")] // L12
    [InlineData("G1 X5 (a (b) Y6", "G1 X=5 Y=6")] // L13
    [InlineData("M104 S 210", "M104 S=210 spaced")] // L14
    [Published("NIST RS274NGC Interpreter, version 3 (NISTIR 6556, 2000), 3.3; a public wiki on printers, 2012; documentation of firmware families A, C and D", "gcode reference L4 to L14")]
    public void Line_reads_as_the_language_says(string line, string expected) => Assert.Equal(expected, Reading.Line(line));

    [Theory]
    [InlineData("G1 X10 E1.2e-05", "1:8 exponent")] // L6
    [InlineData("G1 X1,5", "1:4 decimal-comma")] // L7
    [Published("NIST RS274NGC Interpreter, version 3 (NISTIR 6556, 2000)", "3.3.2.1, numbers have neither exponent nor comma; gcode reference L6, L7")]
    public void Number_of_another_language_is_an_error(string line, string expected) => Assert.Equal(expected, Reading.ErrorOf(line));

    [Theory]
    [InlineData("g01 x10", "lower-case")] // L5
    [InlineData("G1 X5 (a (b) Y6", "nested-brackets")] // L13
    [InlineData("M104 S 210", "space-in-word")] // L14
    [Published("NIST RS274NGC Interpreter, version 3 (NISTIR 6556, 2000); documentation of firmware family A", "gcode reference L5, L13, L14")]
    public void What_only_some_firmware_accepts_is_noted(string line, string code) =>
        Assert.Contains(Reading.Of(line).Findings, finding => finding.Code == code && finding.Severity != Severity.Error);
}
