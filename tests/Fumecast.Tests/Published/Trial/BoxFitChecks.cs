// SPDX-License-Identifier: MIT
using Fumecast.Trial;

namespace Fumecast.Tests.Published;

/// <summary>The fit of the box model against values computed independently, by dense matrices, for this project; not published.</summary>
public class BoxFitChecks
{
    private const string Source = "trial methods, computed independently for this project by dense matrices; not published";

    private static readonly double[] Grid = [.. Enumerable.Range(0, 28).Select(static i => i * 0.25)];

    private static readonly double[] Readings =
    [
        2.5, 2.7, 3.6, 3.4, 2.5, 4.4, 5.5, 6.8, 6.8, 8.2, 8.9, 10.3, 10.3, 10.7, 9.9, 12.0, 9.9, 9.8, 8.0, 6.6, 5.9, 5.2, 5.3, 4.7, 5.2, 3.5, 3.8, 3.4,
    ];

    private static readonly BoxRun Run = new()
    {
        Records = new RunRecords(Grid, Readings, 0.25, 0.1),
        Flow = new FlowSteps([0, 1.5, 3], [7, 8, 0]),
        JobStartH = 1,
        VolumeM3 = 30,
    };

    private static BoxRun Half(params double[] values) => new()
    {
        Records = new RunRecords([.. Enumerable.Range(0, 15).Select(static i => i * 0.5)], values, 0.5, 0.1),
        Flow = FlowSteps.Steady(7.5, 3),
        JobStartH = 1,
        VolumeM3 = 30,
    };

    private static double[] At(double emission, double loss, double delayH) => [emission, Math.Log(loss), delayH, 0, 0];

    [Published(Source, "7 H: mean response over records of 0.1 h, without and with an enclosure")]
    [Theory]
    [InlineData(null, new[] { 0, 0.0863449, 2.8831354, 4.8419930, 6.9376008, 8.2482975, 3.7574293, 1.6883218 })]
    [InlineData(12.0, new[] { 0, 0.0150063, 2.4657175, 4.5407091, 6.6300420, 8.1335420, 4.0258118, 1.8089162 })]
    public void The_air_of_two_flows_rises_and_falls(double? boxLossPerH, double[] expected)
    {
        var records = new RunRecords([0.5, 1, 1.5, 2, 2.5, 3, 4, 5], new double[8], 0.1, 0);
        var response = new double[8];
        AirResponse.Fill(new FlowSteps([0, 1, 2], [7, 9, 0]), 1.05, 0.8, boxLossPerH, records, response);
        Assert.Equal(0, response[0]);
        for (var i = 1; i < response.Length; i++)
        {
            Close.To(expected[i], response[i], 2e-8 + 1e-7 / expected[i]);
        }
    }

    [Published(Source, "7 W: six rows, three deviations, a step of 1")]
    [Fact]
    public void Errors_that_hang_together_become_independent()
    {
        var whitening = new Whitening([0, 1, 2, 3, 4, 5], 3, 1, [.7, .7, .8, .9, .8, .7]);
        var white = new double[6];
        whitening.Apply([.5, .9, -.3, -1.1, .2, .6], white);
        double[] expected = [0.6603382, 0.9919902, -1.3966186, -1.3849987, 1.2279744, 0.9716357];
        for (var i = 0; i < white.Length; i++)
        {
            Assert.Equal(expected[i], white[i], 7);
        }

        Assert.Equal(-4.9758014, whitening.LogDeterminant, 7);
        Assert.Equal(7.7408529, white.Sum(static one => one * one), 7);
    }

    [Published(Source, "7 N: 480 rows, a memory of three of them")]
    [Theory]
    [InlineData(1, 90.214563, 85.214563)]
    [InlineData(0.1, 79.379913, 74.379913)]
    public void Readings_that_hang_together_count_less(double step, double independent, double freedom)
    {
        var records = new RunRecords([.. Enumerable.Range(0, 480).Select(static i => (double)i)], new double[480], 1, step);
        var found = BoxFit.Freedom(records, new ReadingNoise(0.7, 0, 3), 5);
        Close.ToDigits(independent, 8, found.Independent);
        Close.ToDigits(freedom, 8, found.Freedom);
    }

    [Published(Source, "7 A1: one run, weights held")]
    [Fact]
    public void A_run_with_given_weights()
    {
        var noise = new ReadingNoise(0.5, 0.04, 10.0 / 60);
        var model = new BoxModel(new RunCurve(Run), new BoxPriors(), noise);
        model.WeighBy(noise, At(30, 0.9, 5.0 / 60));
        Close.ToDigits(-37.013805, 8, model.Whitening.LogDeterminant);

        var best = BoxFit.BestOfStarts(model);
        var squares = new LeastSquares(model);
        var covariance = squares.Covariance(best.Values);
        Close.ToDigits(31.443256, 7, best.Q);
        double[] values = [30.02474, Math.Log(0.857338), 0.0869061, 2.776663];
        double[] errors = [2.314671, 0.1178516, 0.0308310, 0.2451489, 0.0718423];
        for (var i = 0; i < values.Length; i++)
        {
            Close.To(values[i], best.Values[i], 1e-5);
        }

        Assert.Equal(0.0000662, best.Values[BoxModel.Drift], 5);
        for (var i = 0; i < errors.Length; i++)
        {
            Close.To(errors[i], Math.Sqrt(covariance[i, i]), 1e-4);
        }

        Close.To(26.39794, squares.ProfileEnd(best, BoxModel.Emission, 1.70, -1, double.NegativeInfinity), 1e-5);
        Close.To(34.37483, squares.ProfileEnd(best, BoxModel.Emission, 1.70, 1, double.PositiveInfinity), 1e-5);
        Close.To(0.702223, Math.Exp(squares.ProfileEnd(best, BoxModel.LogLoss, 1.70, -1, double.NegativeInfinity)), 1e-5);
        Close.To(1.050266, Math.Exp(squares.ProfileEnd(best, BoxModel.LogLoss, 1.70, 1, double.PositiveInfinity)), 1e-5);

        var byIntegral = new LeastSquares(model.ByIntegral());
        var integral = best.Values[BoxModel.Emission] / Math.Exp(best.Values[BoxModel.LogLoss]);
        Close.To(35.02090, integral, 1e-5);
        var at = best with { Values = [integral, .. best.Values[1..]] };
        Close.To(2.503073, Math.Sqrt(byIntegral.Covariance(at.Values)[0, 0]), 1e-4);
        Close.To(31.05440, byIntegral.ProfileEnd(at, 0, 1.70, -1, double.NegativeInfinity), 1e-5);
        Close.To(39.62969, byIntegral.ProfileEnd(at, 0, 1.70, 1, double.PositiveInfinity), 1e-5);
    }

    [Published(Source, "7 A2: the restricted likelihood about A1, and where it is least")]
    [Fact]
    public void The_noise_that_a_run_shows()
    {
        var noise = new ReadingNoise(0.5, 0.04, 10.0 / 60);
        var model = new BoxModel(new RunCurve(Run), new BoxPriors(), noise);
        model.WeighBy(noise, At(30, 0.9, 5.0 / 60));
        var best = BoxFit.BestOfStarts(model);
        var likelihood = new NoiseLikelihood(model, Run.Records, best.Values);
        Close.To(17.574003, likelihood.At(new(0.5, 0.04, 10.0 / 60)), 1e-5);
        Close.To(16.312639, likelihood.At(new(0.7, 0.04, 3.0 / 60)), 1e-5);
        Close.To(20.370401, likelihood.At(new(0.4, 0.02, 5.0 / 60)), 1e-5);

        var least = NoiseLikelihood.Best(model, best.Values, ReadingNoise.Unknown);
        Close.To(12.767466, likelihood.At(least), 1e-5);
        Close.To(0.488849, least.Floor, 1e-3);
        Close.To(0.053231, least.Share, 1e-3);
        Close.To(2.93304 / 60, least.MemoryH, 1e-3);
    }

    [Published(Source, "7 A3: the whole fit, noise included")]
    [Fact]
    public void A_run_of_its_own()
    {
        var fit = BoxFit.Of(Run);
        Close.To(0.485690, fit.Noise.Floor, 1e-3);
        Close.To(0.0543135, fit.Noise.Share, 2e-3);
        Close.To(2.928638 / 60, fit.Noise.MemoryH, 1e-3);
        Close.To(29.99729, fit.EmissionPerG.Value, 1e-3);
        Close.To(0.863096, fit.LossPerH.Value, 1e-3);
        Close.To(24.823370, fit.Q, 1e-3);
        Close.To(22.669092, fit.DegreesOfFreedom, 1e-3);
        Close.To(1.714921, fit.T, 1e-3);
        Close.To(26.70956, fit.EmissionPerG.Low, 1e-3);
        Close.To(33.90778, fit.EmissionPerG.High, 1e-3);
        Close.To(0.717612, fit.LossPerH.Low, 1e-3);
        Close.To(1.039842, fit.LossPerH.High, 1e-3);
        Close.To(34.75545, fit.IntegralPerG.Value, 1e-3);
        Close.To(2.210458, fit.IntegralError, 1e-3);
        Assert.True(fit.IsSeen);
    }

    [Published(Source, "7 B: two runs, weights held, emission shared to 10 % and to 0.1 %")]
    [Theory]
    [InlineData(0.10, 49.34254, 8.535188, 36.75321, 65.12694, 0.334472, 0.288528, 0.384824, 41.65235, 0.810641, 0.0130152, 21.917596)]
    [InlineData(0.001, 48.45743, 5.676319, 39.90522, 58.90655, 0.334491, 0.288500, 0.384894, 41.70154, 0.811837, 0.0000016, 21.938804)]
    public void A_filter_by_two_runs(
        double emissionDeviation, double cleanAir, double error, double low, double high, double ratio, double ratioLow, double ratioHigh, double emission, double loss, double logRatio, double q)
    {
        var noise = new ReadingNoise(0.4, 0.04, 10.0 / 60);
        BoxFit Fit(BoxRun run, double lossPerH)
        {
            var model = new BoxModel(new RunCurve(run), new BoxPriors(), noise);
            model.WeighBy(noise, At(40, lossPerH, 5.0 / 60));
            return BoxFit.Judged(run, model, BoxFit.BestOfStarts(model), noise, 0.9);
        }

        Whitening Weights(BoxRun run, double lossPerH) => new BoxModel(new RunCurve(run), new BoxPriors(), noise).WhiteningAt(noise, At(40, lossPerH, 5.0 / 60));

        var (without, with) = (
            Half(3.3, 2.2, 4.4, 8.2, 9.8, 12.7, 13.4, 14.6, 13.5, 9.3, 7.1, 5.9, 5.3, 4.7, 3.6),
            Half(2.3, 2.2, 3.5, 5.6, 6.2, 7.4, 6.4, 6.4, 5.5, 3.0, 2.6, 2.6, 2.8, 2.0, 3.0));
        var pair = PairFit.Of([new(without), new(with)], [Weights(without, 0.8), Weights(with, 2.4)], [new(), new()], Fit(without, 0.8), Fit(with, 2.4), emissionDeviation, 1.68);

        Close.To(q, pair.Q, 1e-5);
        Close.To(cleanAir, pair.CleanAirM3PerH.Value, 1e-4);
        Close.To(error, pair.CleanAirError, 1e-3);
        Close.To(low, pair.CleanAirM3PerH.Low, 1e-4);
        Close.To(high, pair.CleanAirM3PerH.High, 1e-4);
        Close.To(ratio, pair.SharedRatio.Value, 1e-4);
        Close.To(ratioLow, pair.SharedRatio.Low, 1e-3);
        Close.To(ratioHigh, pair.SharedRatio.High, 1e-3);
        Close.To(emission, pair.Values[PairModel.Emission], 1e-4);
        Close.To(loss, Math.Exp(pair.Values[PairModel.LogLoss]), 1e-4);
        Assert.Equal(logRatio, pair.LogEmissionRatio, 5);
    }

    [Published(Source, "7 F: Fieller")]
    [Fact]
    public void A_ratio_has_an_interval_while_its_base_is_known()
    {
        var ratio = Fieller.Ratio(17, 1.6, 52, 3.5, 1.66)!.Value;
        Close.ToDigits(0.326923, 6, ratio.Value);
        Close.ToDigits(0.267731, 6, ratio.Low);
        Close.ToDigits(0.394381, 6, ratio.High);
        Close.ToDigits(0.0124838, 6, Fieller.Spread(52, 3.5, 1.66));

        var poor = Fieller.Ratio(2, 1.5, 8, 4.2, 1.66)!.Value;
        Close.ToDigits(0.759512, 6, Fieller.Spread(8, 4.2, 1.66));
        Close.ToDigits(-0.0666185, 6, poor.Low);
        Close.ToDigits(2.145727, 7, poor.High);

        Assert.Null(Fieller.Ratio(2, 1.5, 8, 5.0, 1.66));
        Close.ToDigits(1.076406, 7, Fieller.Spread(8, 5.0, 1.66));
    }
}
