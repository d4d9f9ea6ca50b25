// SPDX-License-Identifier: MIT
using Fumecast.Flow;

namespace Fumecast.Tests.Published;

/// <summary>Every figure on evenness against values worked outside the project.</summary>
public class EvennessChecks
{
    private const string Source = "gcode reference, computed independently";

    // Twelve means over a second, mm3/s.
    private static readonly double[] Signal = [0, 0, 4.8, 5.0, 5.0, 5.1, 4.9, 0, 5.0, 5.2, 4.2, 2.5];

    // 60 s at 5 and 5 s at 0, ten times.
    private static readonly double[] Periodic = [.. Enumerable.Range(0, 650).Select(second => second % 65 < 60 ? 5.0 : 0)];

    // The lead-in without flow belongs to the published signal, though not to a print phase: put a trace of flow there.
    private static FlowEvenness Judge(IEnumerable<double> secondsMm3PerS, double intervalS = 10, double traceMm3PerS = 0)
    {
        var evenness = new EvennessAccumulator(intervalS);
        var startS = 1000.0;
        foreach (var flow in secondsMm3PerS)
        {
            evenness.AddConstant(flow, 1);
            evenness.AddCell(startS, 1, startS == 1000 ? flow + traceMm3PerS : flow);
            startS += 1;
        }

        return evenness.Result();
    }

    private static FlowEvenness JudgeW3(double intervalS = 10)
    {
        const double perMm = 0.081415927;
        var evenness = new EvennessAccumulator(intervalS);
        evenness.AddRamp(0, 60 * perMm, 0.12);
        evenness.AddConstant(60 * perMm, 1.5466666666666667);
        evenness.AddRamp(60 * perMm, 0, 0.12);
        evenness.AddCell(0, 1, 4.5918583);
        evenness.AddCell(1, 0.7866666666666667, 3.5497344);
        return evenness.Result();
    }

    [Fact]
    [Published(Source, "Q1, Q2, Q3, Q5")]
    public void Moments_median_and_idle_share_of_the_test_signal()
    {
        var flow = Judge(Signal, traceMm3PerS: 1e-300);
        Close.ToDigits(3.475, 4, flow.MeanMm3PerS!.Value);
        Close.ToDigits(0.61091804, 8, flow.CvInstant!.Value);
        Close.ToDigits(2.1229402, 8, flow.CvInstant.Value * flow.MeanMm3PerS.Value);
        Close.ToDigits(0.17296137, 8, flow.CvWhileExtruding!.Value);
        Close.ToDigits(4.6333333, 8, flow.MeanMm3PerS.Value / (1 - flow.IdleShare!.Value));
        Close.To(5.0, flow.MedianMm3PerS!.Value, 1e-12);
        Close.ToDigits(0.77777778, 8, flow.ShareWithin10Percent!.Value);
        Close.ToDigits(0.58333333, 8, flow.ShareWithin10Percent.Value * (1 - flow.IdleShare.Value));
        Close.To(0.25, flow.IdleShare.Value, 1e-12);
    }

    [Fact]
    [Published(Source, "Q4")]
    public void Longest_steady_stretch_of_the_test_signal() => Close.To(5, Judge(Signal).LongestSteadyS!.Value, 1e-12);

    [Theory]
    [Published(Source, "Q6")]
    [InlineData(1, 0.53510691, 0.53510691)]
    [InlineData(2, 0.58181827, 0.51979212)]
    [InlineData(4, 0.19914548, 0.20985748)]
    public void Relative_Allan_deviation_of_the_test_signal(int seconds, double plain, double overlapping)
    {
        Close.ToDigits(plain, 8, AllanDeviation.Plain(Signal, seconds)!.Value / 3.475);
        Close.ToDigits(overlapping, 8, AllanDeviation.Overlapping(Signal, seconds)!.Value / 3.475);
    }

    [Theory]
    [Published(Source, "Q7")]
    [InlineData(1, 0.610918, 6)]
    [InlineData(2, 0.529238, 6)]
    [InlineData(3, 0.358744, 6)]
    [InlineData(4, 0.215907, 6)]
    [InlineData(6, 0.0455635, 6)]
    public void Variation_after_averaging_to_the_logging_interval(double intervalS, double printed, int digits) =>
        Close.ToDigits(printed, digits, Judge(Signal, intervalS, traceMm3PerS: 1e-300).Cv!.Value);

    [Fact]
    [Published(Source, "Q9")]
    public void Limits_of_an_individuals_chart()
    {
        // Bins 3 to 7: mean 4.96, mean moving range 0.125.
        var steady = Judge(Signal[2..7], 1);
        Close.ToDigits(4.6275, 5, steady.IndividualsLowMm3PerS!.Value);
        Close.ToDigits(5.2925, 5, steady.IndividualsHighMm3PerS!.Value);

        // The whole signal: mean moving range 1.6454545, printed to two decimals.
        var whole = Judge(Signal, 1, traceMm3PerS: 1e-300);
        Assert.Equal(-0.90, whole.IndividualsLowMm3PerS!.Value, 0.005);
        Assert.Equal(7.85, whole.IndividualsHighMm3PerS!.Value, 0.005);
        Close.ToDigits(1.6454545, 8, (whole.IndividualsHighMm3PerS!.Value - 3.475) / 2.66);
    }

    [Fact]
    [Published(Source, "8.2, exact figures of the single move W3")]
    public void Single_move_is_measured_exactly_and_not_sampled()
    {
        var flow = JudgeW3();
        Close.ToDigits(0.21510927, 8, flow.CvInstant!.Value);
        Close.ToDigits(0.21510927, 8, flow.CvWhileExtruding!.Value);
        Close.ToDigits(0.87910448, 8, flow.ShareWithin10Percent!.Value);
        Close.To(60 * 0.081415927, flow.MedianMm3PerS!.Value, 1e-12);

        // Mean speed 55.970149 mm/s and mean square 3277.6119 mm2/s2, in flow over 0.081415927 mm3/mm.
        var meanMmPerS = flow.MeanMm3PerS!.Value / 0.081415927;
        Close.ToDigits(55.970149, 8, meanMmPerS);
        Close.ToDigits(3277.6119, 8, meanMmPerS * meanMmPerS * (1 + flow.CvInstant.Value * flow.CvInstant.Value));

        var stretch = new SteadyStretch(54, 66);
        stretch.Add(0, 60, 0.12);
        stretch.Add(60, 60, 1.5466666666666667);
        stretch.Add(60, 0, 0.12);
        Close.ToDigits(1.5706667, 8, stretch.LongestS);
    }

    [Fact]
    [Published(Source, "8.2, weighting by time: 90 s at 5 and 10 s at 10 mm3/s")]
    public void Time_is_what_weighs_and_not_the_number_of_moves()
    {
        var evenness = new EvennessAccumulator(10);
        evenness.AddConstant(5, 90);
        evenness.AddConstant(10, 10);
        Close.ToDigits(0.27272727, 8, evenness.Result().CvInstant!.Value);
    }

    [Fact]
    [Published(Source, "Q8, 8.2 periodic signal")]
    public void Rhythm_of_the_periodic_signal()
    {
        var correlation = FlowRhythm.Autocorrelation(Periodic, Periodic.Average());
        Close.To(0.9, correlation[65], 1e-9);
        Close.To(0.8, correlation[130], 1e-9);
        var rhythm = FlowRhythm.Find(Periodic, 1)!.Value;
        Assert.Equal(65, rhythm.PeriodS);
        Close.To(1, rhythm.Strength, 1e-9);
    }

    [Theory]
    [Published(Source, "8.2 periodic signal")]
    [InlineData(1, 0.28867513, 8)]
    [InlineData(10, 0.19543399, 8)]
    [InlineData(60, 0.027027027, 8)]
    public void Averaging_of_the_periodic_signal(double intervalS, double printed, int digits)
    {
        var moments = new IntervalMoments(intervalS);
        for (var second = 0; second < Periodic.Length; second++)
        {
            moments.Add(second, 1, Periodic[second]);
        }

        Close.ToDigits(printed, digits, moments.Cv(650)!.Value);
    }

    [Fact]
    [Published(Source, "8.2 periodic signal, averaged over exactly one period")]
    public void Averaging_over_the_period_hides_it_altogether()
    {
        var moments = new IntervalMoments(65);
        for (var second = 0; second < Periodic.Length; second++)
        {
            moments.Add(second, 1, Periodic[second]);
        }

        Assert.True(moments.Cv(650) < 1e-12);
        Assert.True(AllanDeviation.Plain(Periodic, 65) < 1e-12);
    }

    [Theory]
    [Published(Source, "8.2 periodic signal, overlapping means")]
    [InlineData(1, 0.13106948, 8)]
    [InlineData(5, 0.21179521, 8)]
    [InlineData(10, 0.17976694, 8)]
    [InlineData(60, 0.018706865, 8)]
    public void Relative_Allan_deviation_of_the_periodic_signal(int seconds, double printed, int digits) =>
        Close.ToDigits(printed, digits, AllanDeviation.Overlapping(Periodic, seconds)!.Value / Periodic.Average());

    [Fact]
    [Published("W. J. Riley, Handbook of Frequency Stability Analysis, NIST SP 1065 (2008)", "nine-point test set, figures from memory, confirmed by computation")]
    public void Allan_deviation_of_the_nine_point_test_set()
    {
        double[] values = [892, 809, 823, 798, 671, 644, 883, 903, 677];
        Close.ToDigits(91.2294497, 9, AllanDeviation.Plain(values, 1)!.Value);
        Close.ToDigits(115.808211, 9, AllanDeviation.Plain(values, 2)!.Value);
        Close.ToDigits(85.9528698, 9, AllanDeviation.Overlapping(values, 2)!.Value);
    }

    // A sine of period P leaves a first-order low-pass of time constant T weakened by sqrt(1 + (2 pi T / P)^2).
    [Theory]
    [Published("textbook: frequency response of a first-order low-pass filter", "amplitude")]
    [InlineData(600, 3600)]
    [InlineData(600, 14400)]
    [InlineData(300, 3600)]
    public void Air_weakens_a_sine_like_a_low_pass_filter(double timeConstantS, double periodS)
    {
        // Forty periods, so that the start does not matter.
        var flows = Enumerable.Range(0, (int)(40 * periodS)).Select(second => 5 + Math.Sin(2 * Math.PI * second / periodS)).ToArray();
        var expected = 0.2 / Math.Sqrt(2) / Math.Sqrt(1 + Math.Pow(2 * Math.PI * timeConstantS / periodS, 2));
        Close.To(expected, RoomSmoothing.Wander(RoomSmoothing.Levels(flows, 1, timeConstantS)!), 0.01);
    }
}
