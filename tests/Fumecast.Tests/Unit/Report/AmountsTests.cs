// SPDX-License-Identifier: MIT
using Fumecast.Report;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Report;

public class AmountsTests
{
    [Theory]
    [InlineData("5 s, 104 s, -", new double[] { 5, 104, -1 })]
    [InlineData("2 min, 42 min, 59 min", new double[] { 90, 2520, 3540 })]
    [InlineData("0:42 h, 1:03 h, 12:00 h", new double[] { 2520, 3780, 43_200 })]
    [InlineData("0:00:05, 0:55:00, 2:00:01", new double[] { 5, 3300, 7201 })]
    public void Durations_of_one_column_have_one_form(string expected, double[] seconds) =>
        Assert.Equal(expected, string.Join(", ", Amounts.InOneForm([.. seconds.Select(static s => s < 0 ? (double?)null : s)])));

    [Theory]
    [InlineData(0.23e12, 3.46e12, 52e12, "1", "3.5 trillion", "0.2 to 50 trillion")]
    [InlineData(1e6, 3e9, 9e12, "1", "3.0 billion", "1 million to 9 trillion")]
    [InlineData(900, 1000, 1111, "1", "1.0 thousand", "0.90 to 1.1 thousand")]
    [InlineData(0.98e3, 0.996e3, 1.01e3, "1", "996", "980 to 1.01 thousand")]
    [InlineData(500, 999.6e9, 2e15, "1", "1.0 trillion", "500 to 2 quadrillion")]
    [InlineData(1600, 6450, 25800, "ug", "6.5 mg", "2 to 30 mg")]
    [InlineData(0.02, 0.3, 4.5, "ug", "300 ng", "20 ng to 5 ug")]
    [InlineData(5, 5, 5, "ug", "5.000 ug", null)]
    [InlineData(0, 0, 0, "1", "0", null)]
    [InlineData(0, 12, 40, "1", "12", "0 to 40")]
    public void Are_put_with_the_digits_they_deserve(double low, double median, double high, string unit, string middle, string? range)
    {
        var value = new Uncertain(low, median, high);
        Assert.Equal(middle, Amounts.Middle(value, unit));
        Assert.Equal(range, Amounts.Range(value, unit));
    }

    [Theory]
    [InlineData(4.83e12, 2, "4.8e12")]
    [InlineData(9.96e11, 2, "1.0e12")]
    [InlineData(6.4e13, 1, "6e13")]
    [InlineData(1000, 2, "1.0e3")]
    [InlineData(996, 3, "996")]
    [InlineData(0, 2, "0")]
    public void Large_numbers_have_their_power_of_ten(double value, int digits, string expected) => Assert.Equal(expected, Amounts.Power(value, digits));

    [Theory]
    [InlineData(25, 7200, "under 1 min")]
    [InlineData(59, 7200, "1 min")]
    [InlineData(95, 7200, "2 min")]
    [InlineData(3660, 7200, "1 h 01 min")]
    [InlineData(25, 95, "25 s")]
    [InlineData(170, 95, "3 min")]
    public void Durations_side_by_side_have_one_form(double seconds, double besideS, string expected) =>
        Assert.Equal(expected, Amounts.DurationBeside(seconds, besideS));

    [Theory]
    [InlineData(0, 2, "0")]
    [InlineData(9.96, 2, "10")]
    [InlineData(9.94, 2, "9.9")]
    [InlineData(0.00123, 2, "0.0012")]
    [InlineData(123456, 2, "120000")]
    [InlineData(-2.25, 2, "-2.3")]
    [InlineData(99.95, 3, "100")]
    public void Round_to_significant_digits(double value, int digits, string expected) =>
        Assert.Equal(expected, Amounts.Significant(value, digits));

    [Theory]
    [InlineData(0, "0 s")]
    [InlineData(119, "119 s")]
    [InlineData(120, "2 min")]
    [InlineData(3569, "59 min")]
    [InlineData(3571, "1 h 00 min")]
    [InlineData(100_000, "27 h 47 min")]
    public void Durations_are_said_as_people_say_them(double seconds, string expected) =>
        Assert.Equal(expected, Amounts.Duration(seconds));
}
