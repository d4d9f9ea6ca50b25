// SPDX-License-Identifier: MIT
using Fumecast.Trial;

namespace Fumecast.Tests.Published;

/// <summary>Decays, means and measures of agreement against values worked by a general statistics language.</summary>
public class StatisticsChecks
{
    private const string Source = "air reference, computed there in closed form and by a general statistics language";

    private static readonly double[] Series = [10.2, 10.6, 10.9, 11.3, 11.0, 10.7, 10.1, 9.8, 9.9, 10.4, 10.8, 11.1];

    private static double[] Hours(params double[] minutes) => [.. minutes.Select(static minute => minute / 60)];

    [Published(Source, "W1.1 to W1.5: rate and total of a source in a chamber")]
    [Fact]
    public void What_was_given_off_by_mass_balance()
    {
        double[] levels = [0, 9876.035, 19508.230, 28902.605, 38065.033, 47001.239, 45840.774, 44708.961, 43605.093, 42528.480, 41478.448];
        double[] minutes = [.. Enumerable.Range(0, 11).Select(static i => (double)i)];
        for (var i = 1; i < levels.Length; i++)
        {
            var rate = MassBalance.Rate(1e6, 0.025, levels[i - 1], levels[i], 1);
            var reported = MassBalance.RateOfReports(1e6, 0.025, levels[i - 1], levels[i], 1);
            if (i <= 5)
            {
                Close.To(1.000000e10, rate, 1e-6);
                Close.To(1.0126048e10, reported, 1e-6);
            }
            else
            {
                Assert.InRange(rate, -1e4, 1e4);
            }
        }

        Close.To(4.9997552e10, MassBalance.Emitted(1e6, 0.025, minutes.AsSpan(..6), levels.AsSpan(..6)), 1e-7);
        Close.To(4.9997840e10, MassBalance.Emitted(1e6, 0.025, minutes, levels), 1e-7);
    }

    [Published(Source, "W1.6: two points of a decay")]
    [Fact]
    public void A_decay_by_two_points() => Close.ToDigits(1.532477, 7, DecayLine.Through(Hours(5, 25), [50000, 30000]).LossPerH);

    [Published(Source, "W1.7: reports put all of an interval's emission at its beginning")]
    [Theory]
    [InlineData(0.001, 1.000500)]
    [InlineData(0.025, 1.012605)]
    [InlineData(0.1, 1.051709)]
    public void Rates_of_reports_are_higher(double lossTimesInterval, double printed) =>
        Close.ToDigits(printed, 7, MassBalance.RateOfReports(1, lossTimesInterval, 0, 1, 1) / MassBalance.Rate(1, lossTimesInterval, 0, 1, 1));

    [Published(Source, "W1.8: a room, 5 ug/m3 in the background")]
    [Fact]
    public void What_was_given_off_in_a_room()
    {
        double[] hours = [0, 0.5, 1, 1.5, 2];
        double[] net = [0, 4.2, 7.1, 9.1, 10.5];
        Close.ToDigits(12.825, 5, MassBalance.Integral(hours, net));
        Close.ToDigits(622.8, 4, MassBalance.Emitted(30, 0.8, hours, net));
        Close.ToDigits(30.78, 4, MassBalance.Emitted(30, 0.88, hours, net) - MassBalance.Emitted(30, 0.8, hours, net));
    }

    [Published(Source, "W4.1: cleaner on")]
    [Fact]
    public void A_decay_by_its_line()
    {
        var line = DecayLine.Through(Hours(0, 10, 20, 30, 40, 50, 60), [100, 62.5, 39.2, 24.3, 15.4, 9.5, 6.0]);
        Close.ToDigits(2.816205, 7, line.LossPerH);
        Close.ToDigits(0.00620583, 6, line.PlainError);
        Close.ToDigits(4.60480383, 9, line.LogLevelAtStart);
        var interval = line.Interval(0.95, counted: false);
        Close.ToDigits(2.800253, 7, interval.Low);
        Close.ToDigits(2.832158, 7, interval.High);
    }

    [Published(Source, "W4.2: natural decay, and W4.3: clean air from both")]
    [Fact]
    public void Clean_air_from_two_decays()
    {
        var natural = DecayLine.Through(Hours(0, 15, 30, 45, 60, 75, 90), [100, 82.3, 66.8, 55.0, 45.2, 36.7, 30.3]);
        Close.ToDigits(0.798266, 6, natural.LossPerH);
        Close.ToDigits(0.00319631, 6, natural.PlainError);
        Close.ToDigits(0.790050, 6, natural.Interval(0.95, counted: false).Low);
        Close.ToDigits(0.806482, 6, natural.Interval(0.95, counted: false).High);

        var cleaned = DecayLine.Through(Hours(0, 10, 20, 30, 40, 50, 60), [100, 62.5, 39.2, 24.3, 15.4, 9.5, 6.0]);
        var pair = DecayPair.Of(natural, cleaned, 30, 0, 0.95, counted: false);
        Close.ToDigits(60.53818, 7, pair.CleanAirM3PerH.Value);
        Close.ToDigits(0.2094179, 6, pair.Error);
        Close.ToDigits(7.478352, 6, pair.DegreesOfFreedom);
        Close.ToDigits(60.04933, 6, pair.CleanAirM3PerH.Low);
        Close.ToDigits(61.02702, 6, pair.CleanAirM3PerH.High);
        Close.ToDigits(1.228741, 6, DecayPair.Of(natural, cleaned, 30, 0.6, 0.95, counted: false).Error);
    }

    [Published(Source, "W4.4: a decay to an unknown background")]
    [Fact]
    public void A_decay_with_its_background()
    {
        double[] values = [62.0, 45.1, 33.6, 25.7, 20.6, 16.9, 14.7, 12.9, 11.9];
        double[] times = [.. Enumerable.Range(0, 9).Select(static i => (double)i)];
        var curve = DecayCurve.Through(times, values);
        Close.ToDigits(9.570157, 6, curve.Background);
        Close.ToDigits(0.0868522, 4, curve.BackgroundError);
        Close.ToDigits(52.45645, 6, curve.Height);
        Close.ToDigits(0.0989280, 4, curve.HeightError);
        Close.ToDigits(0.3910756, 6, curve.LossPerH);
        Close.ToDigits(0.00203361, 4, curve.Error);
        Close.ToDigits(0.04336862, 6, curve.RestSquare);

        // What a wrong background does to the logarithm.
        Close.ToDigits(0.207165, 6, DecayLine.Through(times, values).LossPerH);
        Close.ToDigits(0.332561, 6, DecayLine.Through(times, [.. values.Select(static value => value - 8)]).LossPerH);
        Close.ToDigits(0.412792, 6, DecayLine.Through(times, [.. values.Select(static value => value - 10)]).LossPerH);
    }

    [Published(Source, "W8.1: five values, adequate by ASTM D5157 (thresholds from memory)")]
    [Fact]
    public void A_model_agrees_with_readings()
    {
        var agreement = ModelAgreement.Of([10, 20, 30, 40, 50], [12, 18, 33, 37, 55]);
        Close.ToDigits(0.9808373, 7, agreement.Correlation);
        Close.ToDigits(1.05, 7, agreement.Slope);
        Close.ToDigits(-0.50, 6, agreement.Intercept);
        Close.ToDigits(0.01096774, 7, agreement.NormalizedMeanSquareError);
        Close.ToDigits(0.03278689, 7, agreement.FractionalBias);
        Close.ToDigits(0.1360671, 7, agreement.FractionalVariance);
        Assert.True(agreement.IsAdequate);
        Assert.False(ModelAgreement.Of([10, 20, 30, 40, 50], [24, 36, 66, 74, 110]).IsAdequate);
    }

    [Published("NIST/SEMATECH handbook of statistical methods, cumulative sums (series from memory); sums recomputed", "W8.5")]
    [Fact]
    public void A_small_lasting_shift_adds_up()
    {
        double[] values =
        [
            324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600, 324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
        ];
        var (up, down) = CumulativeSum.Of(values, 325, 0.3175);
        double[] printed = [3.0075, 4.94, 7.4475, 10.63, 11.9875, 14.445, 16.0025, 19.035];
        for (var i = 0; i < printed.Length; i++)
        {
            Close.ToDigits(printed[i], 5, up[12 + i]);
        }

        Close.ToDigits(0.715, 3, down.Max());
        Assert.Equal(7, Array.IndexOf(down, down.Max()));
        Assert.Equal(13, Array.FindIndex(up, static sum => sum > 4.1959));
    }

    [Published(Source, "W8.6: standardised values")]
    [Fact]
    public void Sums_of_standardised_values()
    {
        double[] printed = [0, 0, 0, 0, 0.9, 1.5, 2.6, 3.0, 3.8];
        var (up, _) = CumulativeSum.Of([0.2, -0.4, 0.1, 0.3, 1.4, 1.1, 1.6, 0.9, 1.3], 0, 0.5);
        for (var i = 0; i < printed.Length; i++)
        {
            Assert.Equal(printed[i], up[i], 9);
        }
    }

    [Published(Source, "W8.8: independent readings among 120")]
    [Theory]
    [InlineData(0.3, 64.61538, 64.97238)]
    [InlineData(0.6, 30.00000, 30.47619)]
    [InlineData(0.9, 6.315789, 6.857141)]
    public void Readings_that_hang_together(double neighbour, double approximate, double exact)
    {
        Close.ToDigits(approximate, 7, StretchMean.Independent(120, neighbour));
        Close.ToDigits(exact, 7, StretchMean.IndependentExactly(120, neighbour));
    }

    [Published(Source, "W8.9 to W8.12: the mean of a stretch")]
    [Fact]
    public void The_mean_of_a_stretch()
    {
        Close.ToDigits(0.6111115, 7, StretchMean.Variance(2, 5, 60));
        Close.ToDigits(0.6223359, 7, StretchMean.Correlation(Series, 1));
        Close.ToDigits(0.01321398, 6, StretchMean.Correlation(Series, 2));
        Close.ToDigits(-0.5485934, 7, StretchMean.Correlation(Series, 3));
        Close.ToDigits(2.793484, 6, StretchMean.Independent(12, StretchMean.Correlation(Series, 1)));

        var batches = StretchMean.ByBatches(Series, 3, 0.95);
        Close.ToDigits(10.56667, 7, batches.Mean);
        Close.ToDigits(0.2289266, 7, batches.Error);
        Close.ToDigits(9.838120, 7, batches.Low);
        Close.ToDigits(11.29521, 7, batches.High);

        Close.ToDigits(0.1824333, 7, StretchMean.ErrorByCovariances(Series, 2));
    }

    [Published(Source, "W8.14 to W8.16: a filter by net plateaus")]
    [Fact]
    public void A_ratio_of_net_plateaus()
    {
        var (with, without) = (double.Hypot(0.5, 0.2), double.Hypot(0.8, 0.25));
        Close.ToDigits(0.004317800, 7, Fieller.Spread(25, without, 1.959964));
        var normal = Fieller.Ratio(8, with, 25, without, 1.959964)!.Value;
        Close.ToDigits(0.32, 7, normal.Value);
        Close.ToDigits(0.2740997, 7, normal.Low);
        Close.ToDigits(0.3686757, 7, normal.High);
        var few = Fieller.Ratio(8, with, 25, without, 2.228139)!.Value;
        Close.ToDigits(0.2679966, 6, few.Low);
        Close.ToDigits(0.3755948, 7, few.High);
    }

    [Published(Source, "W9.1: carbon dioxide as a tracer")]
    [Fact]
    public void Air_changes_by_a_tracer() => Close.ToDigits(0.6315875, 7, DecayLine.Through([0, 1.5], [1400 - 420, 800 - 420]).LossPerH);
}
