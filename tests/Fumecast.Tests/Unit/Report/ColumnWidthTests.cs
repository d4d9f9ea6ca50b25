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

    [Theory]
    [InlineData(14)]
    [InlineData(20)]
    [InlineData(30)]
    [InlineData(40)]
    public void Names_of_one_table_stay_apart_wherever_they_differ(int width)
    {
        string[] names =
        [
            "a-lamp-clip-with-a-spring-for-thick-shelves-left-hand-and-a-long-name.gcode", "a-lamp-clip-with-a-spring-for-thick-shelves-right-hand-and-a-long-name.gcode",
            "a-lamp-clip-with-a-spring-for-thick-shelves-right-hand-and-a-long-name-v2.gcode", "cup-0.1-mm-for-loose-screws-and-nuts-of-all-kinds-in-the-workshop.gcode",
            "cup-0.3-mm-for-loose-screws-and-nuts-of-all-kinds-in-the-workshop.gcode", "short.g",
        ];
        var cut = JobNames.FitAll(names, width);
        Assert.Equal(names.Length, cut.Distinct().Count());
        Assert.All(cut, name => Assert.InRange(ColumnWidth.Of(name), 1, width - 2));
        Assert.Equal("short.g", cut[5]);
        Assert.All(cut[..5], static name => Assert.Contains("...", name));
    }

    [Fact]
    public void What_tells_names_apart_wins_over_their_ends() => Assert.Equal(
        ["brack...left-pla-0.2m...gcode", "brack...right-pla-0.2...gcode"],
        JobNames.FitAll(["bracket-for-the-shelf-in-the-hall-left-pla-0.2mm-draft-quality.gcode", "bracket-for-the-shelf-in-the-hall-right-pla-0.2mm-draft-quality.gcode"], 31));

    [Fact]
    public void Names_that_are_alike_stay_alike() => Assert.Single(JobNames.FitAll(["the-very-same-name-of-a-job.gcode", "the-very-same-name-of-a-job.gcode"], 16).Distinct());

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
