// SPDX-License-Identifier: MIT
using Fumecast.Flow;

namespace Fumecast.Tests.Unit.Flow;

public class EvennessAccumulatorTests
{
    /// <summary>One flow for each second.</summary>
    internal static FlowEvenness Judge(IEnumerable<double> secondsMm3PerS, double intervalS = 10, bool includeSpectrum = true)
    {
        var evenness = new EvennessAccumulator(intervalS);
        var startS = 30.0;
        foreach (var flow in secondsMm3PerS)
        {
            evenness.AddConstant(flow, 1);
            evenness.AddCell(startS++, 1, flow);
        }

        return evenness.Result(includeSpectrum);
    }

    internal static IEnumerable<double> Repeat(int times, params double[] flows) => Enumerable.Range(0, times).SelectMany(_ => flows);

    [Fact]
    public void Nothing_deposited_leaves_everything_undefined()
    {
        var flow = Judge(Repeat(100, 0));
        Assert.Equal(new() { IntervalS = 10, Allan = flow.Allan }, flow);
        Assert.Empty(flow.Allan);
    }

    [Fact]
    public void Steady_flow_has_no_variation_at_all()
    {
        var flow = Judge(Repeat(2000, 4.1));
        Assert.Equal(0, flow.CvInstant);
        Assert.Equal(0, flow.CvWhileExtruding);
        Assert.True(flow.Cv < 1e-12);
        Assert.Equal(0, flow.IdleShare);
        Assert.Equal(1, flow.ShareWithin10Percent);
        Assert.Equal(4.1, flow.MedianMm3PerS);
        Assert.Equal(2000, flow.LongestSteadyS);
        Assert.Null(flow.DominantPeriodS);
        Assert.Equal(EvennessGrade.Flat, flow.Grade);
    }

    [Fact]
    public void Time_after_the_last_deposit_does_not_count()
    {
        var with = Judge([.. Repeat(40, 4, 5, 0, 4), 5, .. Repeat(5000, 0)]);
        var without = Judge([.. Repeat(40, 4, 5, 0, 4), 5]);
        Assert.Equal(without with { Allan = [] }, with with { Allan = [] });
        Assert.Equal(without.Allan, with.Allan);
        Assert.Equal(161, with.PrintPhaseS);
    }

    [Fact]
    public void Time_before_the_first_deposit_does_not_count() =>
        Assert.Equal(50, Judge([.. Repeat(300, 0), .. Repeat(25, 3, 4)]).PrintPhaseS);

    [Fact]
    public void Last_partial_interval_is_left_out_of_the_means()
    {
        // 10 s at 2, 10 s at 4, then 5 s at 100 that do not fill an interval.
        var flow = Judge([.. Repeat(10, 2), .. Repeat(10, 4), .. Repeat(5, 100)]);
        Close.To(1 / 3.0, flow.Cv!.Value, 1e-12);
    }

    [Fact]
    public void Print_shorter_than_two_intervals_has_no_variation_of_means() => Assert.Null(Judge(Repeat(19, 3)).Cv);

    [Fact]
    public void Fewer_than_three_cells_have_no_curve_no_rhythm_and_no_grade()
    {
        var flow = Judge([3, 0.1], intervalS: 1);
        Assert.Empty(flow.Allan);
        Assert.Null(flow.DominantPeriodS);
        Assert.Null(flow.Grade);
        Assert.NotNull(flow.CvInstant);
    }

    [Fact]
    public void Median_between_two_values_is_the_lower() => Assert.Equal(4, Judge(Repeat(50, 6, 4)).MedianMm3PerS);

    [Fact]
    public void Curve_doubles_from_the_interval_to_a_quarter_of_the_time()
    {
        var flow = Judge(Repeat(100, 4, 5, 6, 0));
        Assert.Equal([10, 20, 40, 80], flow.Allan.Select(point => point.TauS));
    }

    [Fact]
    public void Spectrum_is_left_out_on_demand_and_nothing_else()
    {
        var seconds = Repeat(40, 5, 5, 5, 5, 5, 5, 0, 0).ToArray();
        var (with, without) = (Judge(seconds), Judge(seconds, includeSpectrum: false));
        Assert.Equal(8, with.DominantPeriodS);
        Assert.NotEmpty(with.Allan);
        Assert.Equal(with with { DominantPeriodS = null, DominantPeriodStrength = null, Allan = without.Allan }, without);
        Assert.Empty(without.Allan);
    }

    [Fact]
    public void Noise_has_no_rhythm()
    {
        // Seeded, so it is the same noise every time.
        var random = new Random(20260101);
        Assert.Null(Judge(Enumerable.Range(0, 5000).Select(_ => 1 + random.NextDouble())).DominantPeriodS);
    }

    [Fact]
    public void Layers_of_seconds_are_flat_and_slow_changes_are_not()
    {
        Assert.Equal(EvennessGrade.Flat, Judge(Repeat(1000, [.. Repeat(12, 5), 0, 0])).Grade);
        Assert.Equal(EvennessGrade.Fair, Judge([.. Repeat(3600, 5), .. Repeat(3600, 6)]).Grade);
        Assert.Equal(EvennessGrade.Uneven, Judge(Enumerable.Range(0, 7200).Select(second => 5 + second / 800.0)).Grade);
    }

    // One limit at a time, just within and just beyond; air of 10 min, a print of an hour and a half, no plateau but where it is the matter.
    [Theory]
    [InlineData(EvennessGrade.Flat, 0.0500, 0, 0)]
    [InlineData(EvennessGrade.Fair, 0.0501, 0, 0)]
    [InlineData(EvennessGrade.Fair, 0.1500, 0, 0)]
    [InlineData(EvennessGrade.Uneven, 0.1501, 0, 0)]
    [InlineData(EvennessGrade.Flat, 0.01, 0, 0.3333)]
    [InlineData(EvennessGrade.Fair, 0.01, 0, 0.3334)]
    [InlineData(EvennessGrade.Fair, 0.01, 0, 0.6666)]
    [InlineData(EvennessGrade.Uneven, 0.01, 0, 0.6667)]
    [InlineData(EvennessGrade.Uneven, 0.5, 1799, 0)]
    [InlineData(EvennessGrade.Fair, 0.5, 1800, 0)]
    [InlineData(EvennessGrade.Fair, 0.5, 4319, 0)]
    [InlineData(EvennessGrade.Flat, 0.5, 4320, 0)]
    [InlineData(EvennessGrade.Uneven, 0.5, 5400, 0.6667)]
    public void Each_limit_of_the_grade_lies_where_it_is_said_to(EvennessGrade grade, double wander, double plateauS, double idleShare) =>
        Assert.Equal(grade, RoomSmoothing.Grade(wander, plateauS, timeConstantS: 600, printPhaseS: 5400, idleShare));

    [Fact]
    public void Idle_for_a_little_less_than_a_third_is_flat_and_for_a_little_more_is_not()
    {
        Assert.Equal(EvennessGrade.Flat, Judge(Repeat(600, 5, 5, 0)).Grade);
        Assert.Equal(EvennessGrade.Fair, Judge([.. Repeat(600, 5, 5, 0), 0, 5]).Grade);
    }

    [Fact]
    public void A_print_is_long_enough_for_a_trial_from_six_time_constants_on()
    {
        Assert.True(Judge(Repeat(3599, 5)).IsTooShort);
        Assert.False(Judge(Repeat(3600, 5)).IsTooShort);
        Assert.True(Judge([3, 0.5]) is { Grade: null, IsTooShort: true });
    }

    // A base at twice the flow, then a wall: the wall alone is judged once it is most of the print.
    [Fact]
    public void Steady_wall_is_not_held_to_its_base()
    {
        var vase = Judge([.. Repeat(600, 10), .. Repeat(3600, 5)]);
        Assert.Equal(EvennessGrade.Flat, vase.Grade);
        Assert.True(vase.PlateauWander < 1e-12);
        Assert.Equal(3600, vase.PlateauS);
        Assert.Equal(EvennessGrade.Fair, Judge([.. Repeat(1000, 10), .. Repeat(3600, 5)]).Grade);
    }

    // Layers with idle seconds are no steady stretch, but in the air they are: the base is gone to a tenth after ln(10) time constants.
    [Fact]
    public void Plateau_in_the_air_counts_where_the_flow_itself_is_never_steady()
    {
        var layers = Repeat(1500, [.. Repeat(12, 5), 0, 0, 5]).ToArray();
        var job = Judge([.. Repeat(900, 10), .. layers]);
        Assert.Equal(EvennessGrade.Flat, job.Grade);
        Assert.True(job.PlateauWander > RoomSmoothing.FlatWander);
        Assert.InRange(job.PlateauS!.Value, layers.Length - 600 * Math.Log(12), layers.Length);

        Assert.Equal(EvennessGrade.Uneven, Judge([.. Repeat(900, 10), .. Repeat(900, 5), .. Repeat(900, 8), .. Repeat(900, 3)]).Grade);
    }

    [Fact]
    public void Much_time_without_flow_costs_the_grade()
    {
        Assert.Equal(EvennessGrade.Fair, Judge(Repeat(2000, 5, 0)).Grade);
        Assert.Equal(EvennessGrade.Uneven, Judge(Repeat(2000, 5, 0, 0, 0)).Grade);
    }

    [Fact]
    public void Job_of_three_days_keeps_its_sums_in_a_fixed_store()
    {
        var evenness = new EvennessAccumulator(60);
        const int seconds = 3 * 24 * 3600;
        for (var second = 0; second < seconds; second++)
        {
            var flow = second % 40 < 30 ? 5.0 : 0;
            evenness.AddConstant(flow, 1);
            evenness.AddCell(second, 1, flow);
        }

        var result = evenness.Result();
        Assert.Equal(8, evenness.Series.CellS);
        Close.To(3.75, result.MeanMm3PerS!.Value, 1e-4);
        // The last 10 s are idle and do not count: 10 s of 3 days.
        Close.To(0.25, result.IdleShare!.Value, 2e-4);
        Close.To(seconds * 0.75 * 5, evenness.Series.VolumesMm3.ToArray().Sum(), 1e-12);
        Assert.Equal(40, result.DominantPeriodS);
    }

    [Fact]
    public void Absurd_pauses_neither_hang_nor_fill_the_memory()
    {
        var evenness = new EvennessAccumulator(0.1);
        foreach (var startS in new[] { 0, 1e6, 1e12, 1e15, 1e300 })
        {
            evenness.AddConstant(5, 1);
            evenness.AddCell(startS, 1, 5);
        }

        var result = evenness.Result();
        Assert.InRange(evenness.Series.Count, 1, 32768);
        Assert.True(double.IsFinite(result.MeanMm3PerS!.Value));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(double.NaN)]
    [InlineData(1e8)]
    public void Interval_out_of_range_is_refused(double intervalS) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new EvennessAccumulator(intervalS));

    [Fact]
    public void Steady_stretch_of_a_job_is_that_of_its_seconds() =>
        Assert.Equal(7, Judge([5, 5, 5, 9, .. Repeat(7, 5.4), 0, 5, 5]).LongestSteadyS);
}
