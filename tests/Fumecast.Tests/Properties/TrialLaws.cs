// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Tests.Referees;
using Xunit.Abstractions;

namespace Fumecast.Tests.Properties;

/// <summary>
/// Intervals and verdicts over simulated trials with fixed seeds. A small study runs with the tests, its limits wide enough for its size; <c>FUMECAST_STUDY=500</c> makes the one that
/// DEVELOPERS.md tells of, and prints it.
/// </summary>
public class TrialLaws(ITestOutputHelper output)
{
    private static readonly int Trials = int.TryParse(Environment.GetEnvironmentVariable("FUMECAST_STUDY"), CultureInfo.InvariantCulture, out var trials) ? trials : 40;

    /// <summary>How far a share of the study may stray by chance: three standard errors.</summary>
    private static double Chance(double share) => 3 * Math.Sqrt(share * (1 - share) / Trials);

    [Theory]
    [InlineData("base")]
    [InlineData("display step 1")]
    [InlineData("enclosure")]
    [InlineData("uneven flow")]
    [InlineData("loss 3 per h")]
    public void Ninety_percent_intervals_hold_the_truth_in_nine_of_ten_trials(string what)
    {
        var found = TrialStudy.Runs(Trials, 1000, (run, random) => what switch
        {
            "display step 1" => run with { DisplayStep = 1 },
            "enclosure" => run with { BoxLossPerH = run.LossPerH + 12 * Math.Exp(0.5 * Samples.SimulatedRun.Normal(random)) },
            "uneven flow" => run with { Flow = [(0.6, 4.5), (1.3, 10.5), (2.1, 5.25), (3, 9)] },
            "loss 3 per h" => run with { LossPerH = 3 },
            _ => run,
        });
        output.WriteLine(FormattableString.Invariant($"{what}: emission {found.Emission:P1} loss {found.Loss:P1} integral {found.Integral:P1}; strange {found.Strange:P1}; width {found.MedianWidth:0.00}"));
        foreach (var share in new[] { found.Emission, found.Loss, found.Integral })
        {
            Assert.InRange(share, 0.90 - 0.03 - Chance(0.9), 1);
        }

        Assert.InRange(found.Strange, 0, 0.02 + Chance(0.02));
    }

    [Fact]
    public void Clean_air_and_ratio_hold_the_truth_in_nine_of_ten_trials()
    {
        var found = TrialStudy.Pairs(Trials, 5000, static random => 25 + 65 * random.NextDouble());
        output.WriteLine(FormattableString.Invariant($"pairs: clean air {found.CleanAir:P1} ratio {found.Ratio:P1}; called effective {found.CalledEffective:P1}"));
        Assert.InRange(found.CleanAir, 0.90 - 0.03 - Chance(0.9), 1);
        Assert.InRange(found.Ratio, 0.90 - 0.03 - Chance(0.9), 1);
    }

    [Fact]
    public void A_filter_without_effect_is_seldom_called_effective()
    {
        var found = TrialStudy.Pairs(Trials, 6000, static _ => 0);
        output.WriteLine(FormattableString.Invariant($"no effect: clean air {found.CleanAir:P1} ratio {found.Ratio:P1}; called effective {found.CalledEffective:P1}"));
        Assert.InRange(found.CalledEffective, 0, 0.05);
    }

    [Theory]
    [InlineData("before", 3, 0.90)]
    [InlineData("during", 5, 0.90)]
    [InlineData("after", 3, 0.85)]
    public void Steps_are_found_and_seldom_imagined(string when, double deviations, double least)
    {
        var (found, imagined) = TrialStudy.Events(Trials / 2, 9000, random => (when switch { "before" => 3 + 2 * random.NextDouble(), "during" => 9.2 + 1.5 * random.NextDouble(), _ => 14 + 3 * random.NextDouble() }, deviations));
        output.WriteLine(FormattableString.Invariant($"step of {deviations} sigma {when} the print: found {found:P1}, false in 24 h {imagined:0.00}"));
        Assert.InRange(found, least - Chance(least), 1);
        Assert.InRange(imagined, 0, 1);
    }

    [Theory]
    [InlineData(16)]
    [InlineData(40)]
    public void Starts_are_found_within_five_minutes(double plateauDeviations)
    {
        var (answered, within, wrong) = TrialStudy.Starts(Trials / 2, 3000, plateauDeviations);
        output.WriteLine(FormattableString.Invariant($"start, plateau of {plateauDeviations} sigma: answered {answered:P1}, within 5 min {within:P1}, wrong by 30 min {wrong:P1}"));
        Assert.InRange(answered, 0.95, 1);
        Assert.InRange(within, 0.90 - 0.05 - Chance(0.9), 1);
        Assert.Equal(0, wrong);
    }
}
