// SPDX-License-Identifier: MIT
using Fumecast.Trial;

namespace Fumecast.Tests.Published;

/// <summary>Events, starts, effects and decays in a log against values computed independently for this project; not published.</summary>
public class LogChecks
{
    private const string Source = "trial methods, computed independently for this project by dense matrices; not published";
    private const double MinuteH = 1.0 / 60;

    private static readonly ReadingNoise Noise = new(0.7, 0, 3 * MinuteH);

    private static readonly double[] Readings = [4.0, 4.6, 3.9, 4.4, 4.1, 4.9, 5.6, 6.1, 7.2, 7.0, 7.9, 8.4, 8.1, 8.8, 9.3, 9.0, 9.6, 9.1, 8.7, 8.2];

    private static RunRecords Minutes(double[] values, double step = 0.1) => new([.. Enumerable.Range(0, values.Length).Select(static i => i * MinuteH)], values, MinuteH, step);

    private static RunRecords Without(RunRecords records, int row) =>
        new([.. records.StartsH.Where((_, i) => i != row)], [.. records.Values.Where((_, i) => i != row)], records.LengthH, records.DisplayStep);

    private static WalkingBackground Filter(RunRecords records) => new(records, [.. Enumerable.Repeat(0.7, records.Values.Length)], Noise.MemoryH, 0.35);

    private static double[] Source1(RunRecords records)
    {
        var response = new double[records.Values.Length];
        AirResponse.Fill(FlowSteps.Steady(1, 10 * MinuteH), 5 * MinuteH, 1, null, records, response);
        return response;
    }

    [Published(Source, "13 A: twenty minutes, a background that walks")]
    [Fact]
    public void A_walking_background_is_taken_off()
    {
        var records = Minutes(Readings);
        var filter = Filter(records);
        double[] expected =
        [
            0, 1.130854, -1.169804, 0.885734, -0.474763, 1.536976, 1.652069, 1.513755, 2.851373, 0.709344, 2.710422, 2.256791, 0.819063, 2.578445, 2.437486, 1.003225, 2.566569,
            0.597217, 0.481379, 0.034473,
        ];
        var white = filter.Of(Readings);
        for (var i = 0; i < white.Length; i++)
        {
            Assert.Equal(expected[i], white[i], 6);
        }

        Assert.Equal(-25.538370, filter.LogDeterminant, 5);
    }

    [Published(Source, "13 A: the response to a source, its amplitude, and without row 7")]
    [Fact]
    public void A_source_is_found_in_a_walking_background()
    {
        var records = Minutes(Readings);
        var (filter, response) = (Filter(records), Source1(records));
        double[] rows = [0.008287, 0.024679, 0.040799, 0.056654, 0.072246];
        double[] whiteRows = [0.016076, 0.035045, 0.040764, 0.046097, 0.051126];
        var white = filter.Of(response);
        for (var i = 0; i < rows.Length; i++)
        {
            Assert.Equal(rows[i], response[5 + i], 6);
            Assert.Equal(whiteRows[i], white[5 + i], 6);
        }

        var readings = filter.Of(Readings);
        Assert.Equal(0.038557, LeastSquares.Dot(white, white), 6);
        Assert.Equal(1.223333, LeastSquares.Dot(white, readings), 6);
        var projection = Projection.Of([white]);
        Close.ToDigits(31.728149, 8, projection.Coefficients(readings)[0]);
        Close.ToDigits(5.092723, 7, Math.Sqrt(projection.Variance(0)));
        Close.ToDigits(14.743075, 7, projection.RestSquare(readings));

        var gap = Without(records, 7);
        var (gapFilter, gapWhite) = (Filter(gap), Filter(gap).Of(Source1(gap)));
        var without = Projection.Of([gapWhite]);
        Close.ToDigits(31.657227, 7, without.Coefficients(gapFilter.Of(gap.Values))[0]);
        Close.ToDigits(5.093842, 6, Math.Sqrt(without.Variance(0)));
    }

    [Published(Source, "13 A: an event beside the source")]
    [Fact]
    public void An_event_has_a_size_beside_the_source()
    {
        var records = Minutes(Readings);
        var filter = Filter(records);
        double[] shape = [.. Enumerable.Range(0, 20).Select(static k => Math.Clamp((k + .5 - 8) / 4, 0, 1) - Math.Clamp((k + .5 - 15) / 4, 0, 1))];
        var source = Projection.Of([filter.Of(Source1(records))]);
        var own = source.Rest(filter.Of(shape));
        var readings = source.Rest(filter.Of(Readings));
        Close.ToDigits(0.763736, 6, LeastSquares.Dot(own, readings));
        Close.ToDigits(1.827699, 7, LeastSquares.Dot(own, own));
        Close.ToDigits(0.417868, 6, LeastSquares.Dot(own, readings) / LeastSquares.Dot(own, own));
        Close.ToDigits(0.739687, 6, 1 / Math.Sqrt(LeastSquares.Dot(own, own)));
        Close.ToDigits(0.564926, 6, LeastSquares.Dot(own, readings) / Math.Sqrt(LeastSquares.Dot(own, own)));
    }

    [Published(Source, "13 B: one reading stands out, a lasting step does not")]
    [Fact]
    public void Single_readings_that_stand_out() =>
        Assert.Equal([6], Spikes.Single([4, 5, 4, 4, 5, 4, 14, 4, 5, 5, 4, 4, 9, 9, 10, 9, 10, 9, 9, 9], 0.7, 0));

    [Published("air reference, computed there in closed form and by a statistics language", "W8.2, W8.3")]
    [Fact]
    public void Readings_far_from_their_neighbours()
    {
        Assert.Equal([4], Spikes.Outstanding([1.0, 1.1, 0.9, 1.0, 5.0, 1.2, 1.1, 0.9, 1.0, 1.05], 2, 3, 0));
        Assert.Equal([0, 4], Spikes.Outstanding([200, 3, 5, 7, 123, 8, 50, 11], 2, 3, 0));
    }

    [Published(Source, "13 C: strengths of the starts 4 to 14")]
    [Fact]
    public void The_start_is_where_the_shape_fits_best()
    {
        var records = Minutes([5.0, 5.3, 4.8, 5.1, 5.6, 5.2, 4.9, 5.0, 5.4, 6.4, 7.5, 8.1, 9.4, 10.3, 10.9, 10.6, 10.8, 10.2, 10.4, 9.9, 10.1, 9.6, 9.8, 9.3]);
        var found = FoundStart.In(records, FlowSteps.Steady(60, 6 * MinuteH), Noise, losses: [1]);
        double[] expected = [5.427672, 6.222003, 7.111480, 7.830499, 8.126476, 7.866885, 7.252363, 6.533582, 5.688768, 4.750825, 3.918085];
        for (var i = 0; i < expected.Length; i++)
        {
            Close.To(expected[i], found.Strengths[4 + i], 1e-5);
        }

        Close.To(8 * MinuteH, found.StartH, 1e-12);
    }

    [Published(Source, "13 D: two plateaus")]
    [Fact]
    public void A_second_run_is_lower_by_more_than_chance_and_the_day()
    {
        var (first, second) = (new PlateauSize(12.0, .68), new PlateauSize(7.2, .66));
        Close.ToDigits(5.065275, 7, EffectTest.Deviations(first, second, 0));
        Close.ToDigits(2.840088, 7, EffectTest.Deviations(first, second, 0.10));
        Close.ToDigits(2.084122, 7, EffectTest.Deviations(first, second, 0.15));
        Assert.True(EffectTest.IsLower(first, second, 0.15));
        Assert.False(EffectTest.IsLower(first, second, 0.20));

        (double Low, double High, double RunToRun)[] printed = [(0.479752, 0.735235, 0), (0.415085, 0.849071, .10), (0.363767, 0.967744, .15)];
        foreach (var (low, high, runToRun) in printed)
        {
            var ratio = Fieller.Ratio(7.2, double.Hypot(.66, runToRun * 7.2), 12, double.Hypot(.68, runToRun * 12), EffectTest.Limit)!.Value;
            Close.ToDigits(low, 6, ratio.Low);
            Close.ToDigits(high, 6, ratio.High);
        }
    }

    [Published(Source, "13 E: power of a halving, first term, with the quantile 1.644854")]
    [Theory]
    [InlineData(0, 0.999879)]
    [InlineData(.10, 0.962255)]
    [InlineData(.15, 0.830357)]
    [InlineData(.20, 0.661413)]
    public void A_trial_shows_a_halving_more_or_less_surely(double runToRun, double printed) =>
        Close.ToDigits(printed, 6, EffectTest.Power(new(10, .67), new(5, .66), runToRun, 1.644854));

    [Published(Source, "13 F: error of the plateau to be expected of a planned run")]
    [Theory]
    [InlineData(0.8, 300, 4, 12.5, 0.695795, 0.515668, 0.681305)]
    [InlineData(1, 400, 3, 13.333333, 0.673668, 0.497648, 0.656594)]
    public void A_planned_run_has_an_error_to_be_expected(double loss, double emission, double hours, double height, double error, double lossKnown, double halved)
    {
        var rows = (int)Math.Round((1 + hours + Math.Min(3 / loss, 4)) * 60);
        var run = new BoxRun { Records = Minutes(new double[rows]), Flow = FlowSteps.Steady(1, hours), JobStartH = 1, VolumeM3 = 30 };
        var noise = Noise with { Share = 0.04 };
        var found = PlateauSize.Expected(run, noise, loss, emission);
        Close.ToDigits(height, 8, found.Height);
        Close.To(lossKnown, PlateauSize.Expected(run, noise, loss, emission, lossIsKnown: true).Error, 2e-4);
        // The other computation takes the slope of the loss rate by a forward step of 2 %, which makes its error 0.8 % less than that of the derivative itself.
        Close.To(error, found.Error, 0.01);
        Close.To(halved, PlateauSize.Expected(run, noise, loss, emission / 2).Error, 0.01);
    }

    [Published(Source, "13 G: windows of a decay, every pair of rows tried")]
    [Theory]
    [InlineData(46.75, 9, 19, 2.811096, 16.866578, 15.330600, 17.774706)]
    [InlineData(20, 8, 22, 3.861989, 16.551383, 0, 0)]
    [InlineData(10, 8, 24, 4.489557, 16.835838, 0, 0)]
    public void The_largest_drop_by_one_rate(double limit, int from, int to, double drop, double perH, double early, double late)
    {
        double[] values = [999, 999, 999, 999, 999, 940, 905, 858, 820, 790, 745, 560, 421, 318, 238, 180, 136, 102, 77, 58, 45, 34, 27, 21, 17, 14, 12, 11];
        var times = Minutes(values).StartsH;
        var end = Array.FindIndex(values, 5, value => value - 5 < limit);
        var best = DecayWindows.Candidates(times, values, 5, 5, end < 0 ? values.Length : end, 120, 5, 0.7).MaxBy(static window => window.Drop)!;
        Assert.Equal((from, to), (best.From, best.To));
        Close.ToDigits(drop, 7, best.Drop);
        Close.ToDigits(perH, 8, best.Line.LossPerH);
        if (early > 0)
        {
            Close.ToDigits(early, 8, best.FirstHalfPerH);
            Close.ToDigits(late, 8, best.SecondHalfPerH);
        }
    }
}
