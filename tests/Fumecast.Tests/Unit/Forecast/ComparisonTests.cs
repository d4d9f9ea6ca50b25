// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Tests.Commands;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Forecast;

public sealed class ComparisonTests : IDisposable
{
    private readonly TrialJobs _jobs = new();

    public void Dispose() => _jobs.Dispose();

    [Fact]
    public void A_job_against_itself_is_1_whatever_it_holds()
    {
        var job = _jobs.Wall("a.gcode", rounds: 30, pauseS: 5);
        var same = Comparison.Compare([job, job], new()).Variants[1];
        Assert.All(same.Ratios, static ratio =>
        {
            Assert.Equal(new EmissionRatio(new Uncertain(1, 1, 1), 0), ratio.PerJob);
            Assert.Equal(new EmissionRatio(new Uncertain(1, 1, 1), 0), ratio.PerGram);
        });
        Assert.All(same.Effects, static effect => Assert.Equal(1, effect.Factor));
    }

    [Published("emissions reference, 9a", "yield x exp(b (T - T_ref)) with one b for a run, so that yield and particle size cancel")]
    [Theory]
    [InlineData("pla", "particle_number")]
    [InlineData("abs", "particle_number")]
    [InlineData("abs", "particle_mass")]
    [InlineData("abs", "tvoc")]
    [InlineData("abs", "styrene")]
    public void Ten_kelvin_move_every_agent_by_its_sensitivity_alone(string material, string agent)
    {
        var job = _jobs.Wall("a.gcode", nozzleC: 225, rounds: 50);
        var options = new CompareOptions
        {
            // Slow, so that no draw reaches the highest rate that is believed of a nozzle: there the temperature no longer counts.
            Estimate = new() { Material = material, StartDose = false, SpeedFactor = 0.1 },
            NozzleShiftK = [0, 10],
        };
        var ratio = Comparison.Compare([job], options).Variants[1].Ratios.Single(ratio => ratio.Agent.Id == agent).PerJob!.Ratio;

        // 5 % and 95 % of the sensitivity; the tolerances are those of the heating-up and of the draws, see CompareCommandTests.
        var rules = new MaterialCatalogue().Load(material).Rules;
        var slope = agent.StartsWith("particle", StringComparison.Ordinal) ? rules.NumberSlopePerK : rules.TvocSlopePerK;
        const double z = 1.6448536;
        Close.To(Math.Exp(10 * slope.Value), ratio.Median, 1e-3);
        Close.To(Math.Exp(10 * slope.At(-z)), ratio.Low, 0.01);
        Close.To(Math.Exp(10 * slope.At(z)), ratio.High, 0.01);
    }

    // What is not known of two materials cancels only where both make as much of the one print as of the other.
    [Fact]
    public void Prints_of_two_materials_in_other_shares_do_not_share_them()
    {
        string Two(string name, int ofFirst)
        {
            File.WriteAllText(_jobs.In(name), $"G21\nG90\nM83\nG28\nM104 T1 S240\nM109 S240\nG1 X20 Y20 Z0.2 F6000\nG1 X80 E{ofFirst} F600\nT1\nM109 S240\nG1 X20 E{100 - ofFirst} F600\nM104 S0\n");
            return _jobs.In(name);
        }

        var options = new CompareOptions { Estimate = new() { MaterialByTool = new Dictionary<int, string> { [0] = "abs", [1] = "petg" } } };
        var variants = Comparison.Compare([Two("a.gcode", 80), Two("same.gcode", 80), Two("other.gcode", 20)], options).Variants;
        Assert.Equal([true, true, false], variants.Select(static variant => variant.SharesMaterials));
    }

    [Fact]
    public void A_material_without_a_source_says_so_with_every_estimate()
    {
        var job = _jobs.Wall("a.gcode", nozzleC: 400, rounds: 5);
        var cautions = PrintForecast.Estimate(job, new EstimateOptions { Material = "peek" }).Cautions;
        Assert.Superset(new MaterialCatalogue().Load("peek").Cautions.ToHashSet(), cautions.ToHashSet());
        Assert.NotEmpty(new MaterialCatalogue().Load("peek").Cautions);
    }

    [Fact]
    public void Twice_the_plastic_gives_off_twice_as_much_and_the_same_per_gram()
    {
        var twice = Comparison.Compare(
            [_jobs.Wall("one.gcode", rounds: 100), _jobs.Wall("two.gcode", rounds: 200)], new() { Estimate = new() { StartDose = false } }).Variants[1];
        var tvoc = twice.Ratios.Single(static ratio => ratio.Agent == Agent.Tvoc);
        // Not to the last digit: the first heating-up is the same for both, and the nozzle gives off a little of its own in it.
        Close.To(2, tvoc.PerJob!.Ratio.Median, 0.01);
        Close.To(1, tvoc.PerGram!.Ratio.Median, 0.01);
        Close.To(tvoc.PerJob.Ratio.Low, tvoc.PerJob.Ratio.High, 0.03);
    }

    [Fact]
    public void Nothing_to_compare_with_is_refused() =>
        Assert.Contains("give a second job", Assert.Throws<InputProblem>(() => Comparison.Compare([_jobs.Wall("a.gcode", rounds: 2)], new())).Message);
}
