// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Uncertainty;

public class FigureTextTests
{
    private static readonly FigureOrigin Origin = FigureReader.StatedIn("a test");

    private static Figure Read(string text, Quantity quantity, double max = 1e6)
    {
        Assert.True(FigureText.TryParse(text, quantity, 0, max, Origin, out var figure, out var problem), problem);
        return figure;
    }

    private static string Complaint(string text, Quantity quantity)
    {
        Assert.False(FigureText.TryParse(text, quantity, 0, 100, Origin, out _, out var problem));
        return problem;
    }

    [Theory]
    [InlineData("0.3 to 2 m3/h")]
    [InlineData("0.3 m3/h to 2 m3/h")]
    [InlineData("5 l/min to 2 m3/h")]
    public void Two_ends_over_nothing_are_the_middle_95_percent_of_a_lognormal(string text)
    {
        var figure = Read(text, Quantity.AirFlow);
        Close.To(Math.Sqrt(0.3 * 2), figure.Value, 1e-12);
        Close.To(0.3, figure.At(-Figure.RangeEndZ), 1e-12);
        Close.To(2, figure.At(Figure.RangeEndZ), 1e-12);
    }

    [Fact]
    public void The_unit_of_the_second_end_counts_for_a_bare_first_one()
    {
        Close.To(Math.Sqrt(14), Read("2 to 7 1/h", Quantity.RatePerH).Value, 1e-12);
        Close.To(Math.Sqrt(14), Read("2 to 7 /h", Quantity.RatePerH).Value, 1e-12);
        Close.To(Math.Sqrt(1e3 * 2e4), Read("1e3 to 2e4 /cm3", Quantity.NumberConcentration).Value, 1e-12);
        Assert.Equal((0.05, 0.15), Read("5 to 15 %", Quantity.Share, 1).Range);
    }

    [Fact]
    public void A_share_keeps_to_its_ends_on_a_straight_scale()
    {
        var share = Read("0.2 to 1", Quantity.Share, 1);
        Assert.Null(share.Gsd);
        Assert.Equal((0.6, 1.0), (share.Value, share.At(5)));
    }

    [Fact]
    public void A_range_that_begins_at_nothing_is_straight_too()
    {
        var flow = Read("0 to 10 m3/h", Quantity.AirFlow);
        Assert.Equal((5.0, (0.0, 10.0)), (flow.Value, flow.Range!.Value));
        Assert.Equal(0, flow.At(-6));
    }

    [Fact]
    public void One_number_has_no_spread()
    {
        var figure = Read("20 m3/h", Quantity.AirFlow);
        Assert.Equal((20.0, null, null), (figure.Value, figure.Gsd, figure.Range));
        Assert.Same(Origin, figure.Origin);
    }

    [Theory]
    [InlineData("2 to 0.3 m3/h", "expected the lower end first and the ends to differ")]
    [InlineData("2 to 2 m3/h", "expected the lower end first and the ends to differ")]
    [InlineData("20", "without a unit")]
    [InlineData("1 to 2", "without a unit")]
    [InlineData("-1 to 2 m3/h", "found '-1 to 2 m3/h', expected 0 m3/h to 100 m3/h")]
    [InlineData("1 to 1e9 m3/h", "expected 0 m3/h to 100 m3/h")]
    [InlineData("a to b", "expected an air flow such as")]
    [InlineData("1 to 2 to 3 m3/h", "expected")]
    public void What_is_no_figure_is_told(string text, string expected) => Assert.Contains(expected, Complaint(text, Quantity.AirFlow));

    [Theory]
    [InlineData("0.3 to 2 m3/h", "0.775 m3/h (0.3 to 2)")]
    [InlineData("20 m3/h", "20 m3/h")]
    public void A_figure_is_shown_as_it_is_written(string text, string shown) => Assert.Equal(shown, FigureText.Show(Read(text, Quantity.AirFlow)));

    [Fact]
    public void A_share_near_one_shows_what_is_left() =>
        Assert.Equal("0.9995 (0.99 to 0.99995)", FigureText.Show(new Figure { Quantity = Quantity.Share, Value = 0.9995, Range = (0.99, 0.99995), Origin = Origin }));
}
