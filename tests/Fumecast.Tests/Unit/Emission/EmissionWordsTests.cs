// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Emission;

public class EmissionWordsTests
{
    [Theory]
    [InlineData(0.95, 1, 1.05, "within 6 % either way (90 % interval)")]
    [InlineData(0.5, 1, 2, "within a factor of 2 either way (90 % interval)")]
    [InlineData(1, 1.55, 2.2, "within a factor of 1.6 either way (90 % interval)")]
    [InlineData(0.05, 1, 20, "within a factor of 20 either way (90 % interval)")]
    [InlineData(0.0116, 1, 86, "within a factor of 90 either way (90 % interval)")]
    [InlineData(0.007, 1, 131.3, "within a factor of 150 either way (90 % interval)")]
    [InlineData(0.5, 1, 30, "up to 30 times as much, or 2 times less (90 % interval)")]
    [InlineData(0, 1, 5, "from next to nothing up to 5 times the value (90 % interval)")]
    [InlineData(0, 0, 0, "nothing is given off in this model; that is no proof of absence")]
    public void The_width_of_an_interval_is_said_in_plain_words(double low, double median, double high, string expected) =>
        Assert.Equal(expected, EmissionWords.HowSure(new Uncertain(low, median, high), 0.9));

    [Fact]
    public void The_coverage_is_named() =>
        Assert.EndsWith("(99.5 % interval)", EmissionWords.HowSure(new Uncertain(1, 2, 4), 0.995), StringComparison.Ordinal);

    [Fact]
    public void No_caution_calls_anything_safe() =>
        Assert.All(EmissionWords.Cautions, c => Assert.DoesNotContain(" safe", c, StringComparison.OrdinalIgnoreCase));
}
