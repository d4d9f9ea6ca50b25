// SPDX-License-Identifier: MIT
using Fumecast.Report;

namespace Fumecast.Tests.Unit.Report;

public class ColumnWidthTests
{
    [Theory]
    [InlineData("", 0)]
    [InlineData("knob.gcode", 10)]
    [InlineData("grün", 4)]
    [InlineData("gru\u0308n", 4)]
    [InlineData("部品", 4)]
    [InlineData("ﾊﾝ", 2)]
    [InlineData("\U0001F527", 2)]
    public void Counts_columns_and_not_letters(string text, int expected) => Assert.Equal(expected, ColumnWidth.Of(text));

    [Fact]
    public void A_name_is_cut_in_its_middle() => Assert.Equal("cup-f....gcode", ColumnWidth.Cut("cup-for-loose-screws-v2.gcode", 14));

    [Theory]
    [InlineData("lamp-clip-with-spring-left.gcode", "lamp-clip-with-spring-right.gcode")]
    [InlineData("first-part-of-a-long-name.gcode", "other-part-of-a-long-name.gcode")]
    public void Two_names_that_differ_at_an_end_stay_apart(string one, string other)
    {
        Assert.NotEqual(ColumnWidth.Cut(one, 24), ColumnWidth.Cut(other, 24));
        Assert.Equal(24, ColumnWidth.Of(ColumnWidth.Cut(one, 24)));
    }

    [Fact]
    public void A_wide_letter_is_not_halved() => Assert.InRange(ColumnWidth.Of(ColumnWidth.Cut("部品部品部品部品.gcode", 12)), 10, 12);

    [Fact]
    public void A_sign_shown_by_its_number_is_not_cut()
    {
        var name = TextPage.Clean("lamp\u202Eclip-with\u200Bspring\u2066left.gcode");
        for (var most = 5; most < ColumnWidth.Of(name); most++)
        {
            var cut = ColumnWidth.Cut(name, most);
            Assert.InRange(ColumnWidth.Of(cut), 3, most);
            Assert.DoesNotMatch("<(?!U\\+[0-9A-F]{4}>)|(?<!<U\\+[0-9A-F]{4})>", cut);
        }
    }

    [Fact]
    public void A_name_that_fits_stays_whole() => Assert.Equal("cup.gcode", ColumnWidth.Cut("cup.gcode", 9));
}
