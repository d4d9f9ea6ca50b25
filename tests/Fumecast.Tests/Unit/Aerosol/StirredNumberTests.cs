// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Tests.Unit.Aerosol;

/// <summary>Source, loss and coagulation in one volume, against known special cases and plain small steps.</summary>
public class StirredNumberTests
{
    private const double H = 3600;

    [Theory]
    [InlineData(0, 1e12, 600, 6.25e11)]
    [InlineData(0, 1e12, 3600, 2.173913e11)]
    [InlineData(1, 1e12, 600, 5.451796e11)]
    [InlineData(1, 1e12, 3600, 1.123079e11)]
    public void Decay_agrees_with_the_worked_values(double lossPerH, double perM3, double seconds, double expected) =>
        Close.To(expected, StirredNumber.After(perM3, 0, lossPerH / H, 1e-15, seconds).End, 1e-6);

    [Theory]
    [InlineData(1e11 / 60, 5e-16, 1.4560171e12)]
    [InlineData(1e11 / 60, 2e-15, 8.14628e11)]
    public void A_source_settles_to_the_worked_level(double perS, double meetingM3PerS, double expected)
    {
        var (end, mean) = StirredNumber.After(0, perS, 1.5 / H, meetingM3PerS, 1e6);
        Close.To(expected, end, 1e-6);
        Close.To(expected, mean, 2e-3);
    }

    [Theory]
    [InlineData(0, 1e9, 0, 1e-15, 1000)]
    [InlineData(1e12, 0, 0, 1e-15, 1e5)]
    [InlineData(1e12, 1e9, 3e-3, 1e-15, 2000)]
    [InlineData(1e12, 1e6, 3e-3, 1e-15, 2000)]
    [InlineData(1e9, 1e6, 1e-3, 1e-15, 100)]
    [InlineData(1e6, 10, 1e-3, 1e-15, 100)]
    [InlineData(1e14, 1e10, 2e-2, 1e-15, 500)]
    public void It_agrees_with_plain_small_steps(double number, double perS, double lossPerS, double meetingM3PerS, double seconds)
    {
        const int Steps = 1 << 17;
        var (n, sum, h) = (number, 0.0, seconds / Steps);
        for (var i = 0; i < Steps; i++)
        {
            var k1 = Slope(n);
            var k2 = Slope(n + h / 2 * k1);
            var k3 = Slope(n + h / 2 * k2);
            var k4 = Slope(n + h * k3);
            var next = n + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
            sum += h * (n + next) / 2 + h * h / 12 * (Slope(n) - Slope(next));
            n = next;
        }

        var (end, mean) = StirredNumber.After(number, perS, lossPerS, meetingM3PerS, seconds);
        Close.To(n, end, 1e-6);
        Close.To(sum / seconds, mean, 1e-6);

        double Slope(double at) => perS - lossPerS * at - meetingM3PerS * at * at;
    }
}
