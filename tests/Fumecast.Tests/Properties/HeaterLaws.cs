// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Heat;

namespace Fumecast.Tests.Properties;

/// <summary>What holds for any heater, any target and any stretch of time.</summary>
public class HeaterLaws
{
    private static readonly Gen<HeaterModel> Models =
        from power in Gen.Double[1, 500]
        from capacity in Gen.Double[1, 2000]
        from loss in Gen.OneOf(Gen.Const(0.0), Gen.Double[1e-9, 1e-6], Gen.Double[0.01, 2])
        from fan in Gen.Double[0, 1]
        from dead in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 60])
        select new HeaterModel
        {
            PowerW = power,
            HeatCapacityJPerK = capacity,
            LossWPerK = loss,
            LossFanFullWPerK = loss + fan,
            DeadTimeS = dead,
        };

    private static readonly Gen<double?> Targets = Gen.OneOf(Gen.Const((double?)null), Gen.Double[1, 350].Select(c => (double?)c));

    private static readonly Gen<(HeaterModel Model, double StartC, double? Before, double? Target, double Seconds, double Fan, double Flow)> Cases =
        Gen.Select(Models, Gen.Double[-20, 350], Targets, Targets, Gen.Double[0, 500], Gen.Double[0, 1], Gen.Double[0, 0.5]);

    private static Heater Make((HeaterModel Model, double StartC, double? Before, double? Target, double Seconds, double Fan, double Flow) at)
    {
        var heater = new Heater(at.Model, 23);
        heater.StartAt(at.StartC);
        heater.SetTarget(at.Before);
        heater.Advance(17, at.Fan, at.Flow);
        heater.SetTarget(at.Target);
        return heater;
    }

    [Fact]
    public void Two_parts_of_a_step_equal_the_whole_and_so_do_their_means() =>
        Gen.Select(Cases, Gen.Double[0, 1]).Sample((at, part) =>
        {
            var (whole, split) = (Make(at), Make(at));
            whole.Advance(at.Seconds, at.Fan, at.Flow);
            split.Advance(at.Seconds * part, at.Fan, at.Flow);
            var firstC = split.LastMeanC;
            split.Advance(at.Seconds * (1 - part), at.Fan, at.Flow);
            Near(whole.TemperatureC, split.TemperatureC);
            Near(whole.LastMeanC, firstC * part + split.LastMeanC * (1 - part));
        });

    [Fact]
    public void Mean_lies_between_extremes_that_the_block_passed() =>
        Cases.Sample(at =>
        {
            var (heater, fine) = (Make(at), Make(at));
            heater.Advance(at.Seconds, at.Fan, at.Flow);
            var (lowC, highC) = (fine.TemperatureC, fine.TemperatureC);
            for (var i = 0; i < 64; i++)
            {
                fine.Advance(at.Seconds / 64, at.Fan, at.Flow);
                (lowC, highC) = (Math.Min(lowC, fine.TemperatureC), Math.Max(highC, fine.TemperatureC));
            }

            // Between two looks the block can turn only at its target.
            var turnC = at.Target ?? lowC;
            Assert.InRange(heater.LastMeanC, Math.Min(lowC, turnC) - 1e-6, Math.Max(highC, turnC) + 1e-6);
        });

    [Fact]
    public void Temperature_moves_one_way_once_the_dead_time_is_over() =>
        Cases.Sample(at =>
        {
            var heater = Make(at with { Model = at.Model with { DeadTimeS = 0 } });
            var temperatures = new List<double> { heater.TemperatureC };
            for (var i = 0; i < 40; i++)
            {
                heater.Advance(at.Seconds / 40, at.Fan, at.Flow);
                temperatures.Add(heater.TemperatureC);
            }

            var up = temperatures[^1] >= temperatures[0];
            Assert.All(temperatures.Zip(temperatures.Skip(1)), pair =>
                Assert.True((up ? pair.Second - pair.First : pair.First - pair.Second) >= -1e-9));
        });

    [Fact]
    public void Time_until_a_level_is_where_the_block_has_it() =>
        Gen.Select(Cases, Gen.Double[-20, 350]).Sample((at, levelC) =>
        {
            var heater = Make(at);
            var seconds = heater.SecondsUntil(levelC, at.Fan, at.Flow);
            Assert.True(seconds >= 0);
            if (double.IsFinite(seconds) && seconds < 1e6)
            {
                heater.Advance(seconds, at.Fan, at.Flow);
                Near(levelC, heater.TemperatureC, 1e-7);
            }
        });

    [Fact]
    public void Nothing_finite_makes_it_lose_its_number() =>
        Gen.Select(Models, Gen.Double[-273, 1000], Gen.Double[-1e300, 1e6], Gen.Double[0, double.MaxValue], Gen.Double, Gen.Double).Sample(
            (model, startC, targetC, seconds, fan, flow) =>
            {
                var heater = new Heater(model, 23);
                heater.StartAt(startC);
                heater.SetTarget(targetC);
                heater.Advance(seconds, fan, flow);
                heater.Advance(1, fan, flow);
                Assert.True(double.IsFinite(heater.TemperatureC) && double.IsFinite(heater.LastMeanC));
                Assert.False(double.IsNaN(heater.SecondsUntil(startC + 1, fan, flow)));
            });

    private static void Near(double expectedC, double actualC, double toleranceK = 1e-8) =>
        Assert.True(Math.Abs(expectedC - actualC) <= toleranceK * (1 + Math.Abs(expectedC)), FormattableString.Invariant($"{expectedC:R} and {actualC:R}"));
}
