// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Emission;

public class UncertainTests
{
    [Theory]
    [InlineData("4.8e12 particles (0.90e12 to 26e12, 90 %)", 0.9e12, 4.8e12, 26e12, "particles")]
    [InlineData("1.7e12 particles (1.0e10 to 2.0e14, 90 %)", 1e10, 1.7e12, 2e14, "particles")]
    [InlineData("1600 ug (200 to 20000, 90 %)", 200, 1600, 20_000, "ug")]
    [InlineData("0.30 ug (0.0040 to 9.9, 90 %)", 0.004, 0.3, 9.94, "ug")]
    [InlineData("0 ug (0 to 0, 90 %)", 0, 0, 0, "ug")]
    [InlineData("1.0e12 particles (1.0e12 to 1.0e12, 90 %)", 0.999e12, 0.9999e12, 1.0e12, "particles")]
    public void A_number_reads_with_its_unit_and_interval(string expected, double low, double median, double high, string unit) =>
        Assert.Equal(expected, new Uncertain(low, median, high).ToString(unit, 0.9));

    [Fact]
    public void Without_a_unit_the_numbers_stand_alone() => Assert.Equal("0.63 (0.49 to 0.80)", new Uncertain(0.493, 0.634, 0.797).ToString());
}
