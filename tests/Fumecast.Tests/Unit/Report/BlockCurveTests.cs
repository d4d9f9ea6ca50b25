// SPDX-License-Identifier: MIT
using Fumecast.Report;

namespace Fumecast.Tests.Unit.Report;

public class BlockCurveTests
{
    [Fact]
    public void The_highest_column_is_full_and_nothing_is_blank() =>
        Assert.Equal(["  ▄█", " ███"], BlockCurve.Lines([0, 8, 12, 16], 2));

    [Fact]
    public void Whatever_is_over_0_shows() => Assert.Equal(["▁█"], BlockCurve.Lines([1e-9, 1], 1));

    [Fact]
    public void Nothing_at_all_is_blank() => Assert.Equal(["   ", "   "], BlockCurve.Lines([0, 0, 0], 2));

    [Fact]
    public void Columns_are_means_over_their_time_and_keep_the_sum()
    {
        Stretch[] stretches = [new(0, 1, 4), new(1, 2.5, 2), new(3, 4, 8)];
        Assert.Equal([3, 4.5], BlockCurve.Columns(stretches, 4, 2));
        var fine = BlockCurve.Columns(stretches, 4, 37);
        Close.To(4 + (1.5 * 2) + 8, fine.Sum() * 4 / 37, 1e-12);
    }

    [Fact]
    public void What_lies_beyond_the_axis_or_is_no_number_is_left_out() =>
        Assert.Equal([1, 1], BlockCurve.Columns([new(0, 9, 1), new(0, 2, double.NaN), new(0, 2, double.PositiveInfinity), new(5, 6, 7)], 2, 2));

    [Theory]
    [InlineData(1800, 60, "'0                  '10 min             '20 min")]
    [InlineData(0.5, 40, "'0")]
    [InlineData(36000, 48, "'0            '3 h 00 min    '6 h 00 min")]
    public void Times_below_are_round_and_stand_in_their_columns(double endS, int columns, string expected)
    {
        var axis = BlockCurve.Axis(endS, columns);
        Assert.Equal(columns, axis.Length);
        Assert.StartsWith(expected, axis, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1e-3)]
    [InlineData(1e9)]
    public void An_axis_of_any_length_has_few_marks(double endS) =>
        Assert.InRange(BlockCurve.Axis(endS, 70).Count(static letter => letter == '\''), 1, 6);

    [Fact]
    public void Lines_fill_the_width_and_labels_are_cut()
    {
        using var text = new StringWriter { NewLine = "\n" };
        var curve = new BlockCurve(new TextPage(text, new TextStyle(Width: 60)), 10, 20);
        curve.Write(["a name that is far too long for it", "\u202Eb"], [new(0, 10, 1)]);
        curve.WriteAxis();
        var lines = text.ToString().TrimEnd('\n').Split('\n');
        Assert.Equal(3, lines.Length);
        Assert.All(lines[..2], static line => Assert.Equal(60, ColumnWidth.Of(line)));
        Assert.All(lines[..2], static line => Assert.Equal(new string('█', 40), line[20..]));
        Assert.StartsWith("<U+202E>b", lines[1], StringComparison.Ordinal);
        Assert.StartsWith(new string(' ', 20) + "'0", lines[2], StringComparison.Ordinal);
    }
}
