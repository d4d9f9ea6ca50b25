// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Uncertainty;

/// <summary>Numbers that are known up to a factor, put together as two normals on the scale of logarithms; worked by hand.</summary>
public class LognormalTests
{
    // Deviations of 0.6 and 0.3 weigh 1 to 4, so the logarithm lies a fifth of the way from ln 25 back to ln 100: 25 * 4^(1/5); 1 / 0.36 + 1 / 0.09 = 1 / 0.072.
    [Fact]
    public void A_wide_and_a_narrow_source_weigh_one_over_their_variances()
    {
        var both = Lognormal.Combined([new(100, 0.6), new(25, 0.3)]);
        Assert.Equal(25 * Math.Pow(4, 0.2), both.Median, 1e-9);
        Assert.Equal(Math.Sqrt(0.072), both.LogDeviation, 1e-12);
    }

    [Fact]
    public void One_source_after_the_other_gives_what_all_at_once_give()
    {
        Lognormal[] all = [new(3, 1.1), new(7, 0.4), new(5, 0.2)];
        var atOnce = Lognormal.Combined(all);
        var inTurn = Lognormal.Combined([Lognormal.Combined([all[0], all[1]]), all[2]]);
        Assert.Equal(atOnce.Median, inTurn.Median, 1e-9);
        Assert.Equal(atOnce.LogDeviation, inTurn.LogDeviation, 1e-12);
    }

    // 90 % of a normal lie within 1.644854 deviations.
    [Fact]
    public void An_interval_comes_back_as_it_was()
    {
        var value = new Lognormal(10, 0.25).ToUncertain(0.9);
        Assert.Equal(10 * Math.Exp(1.644854 * 0.25), value.High, 1e-4);
        Assert.Equal(0.25, Lognormal.Of(value, 0.9).LogDeviation, 1e-12);
    }

    // Each 0.3 from the middle, 3 deviations of 0.1: chi square 18 for one degree of freedom.
    [Fact]
    public void Sources_that_differ_by_more_than_they_may_say_by_how_much()
    {
        Assert.Equal(Math.Sqrt(18), Lognormal.Disagreement([new(10 * Math.Exp(0.3), 0.1), new(10 * Math.Exp(-0.3), 0.1)]), 1e-9);
        Assert.Equal(1, Lognormal.Disagreement([new(10, 0.1), new(10.5, 0.1)]));
        Assert.Equal(1, Lognormal.Disagreement([new(10, 0.1)]));
    }
}
