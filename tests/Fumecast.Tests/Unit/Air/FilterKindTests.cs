// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.Air;

public class FilterKindTests
{
    private const string Good = """
        schema: fumecast/filter/1
        id: jar
        name: jar of carbon
        description: carbon in a jar
        efficiency:
          particles: 0.9
          vapours: 20 to 60 %
          styrene: 0.7
          by_size: [{diameter: 10 nm, taken_out: 0.99}, {diameter: 100 nm, taken_out: 0.9}, {diameter: 1 um, taken_out: 0.999}]
        bypass: 0.1
        sorbent_mass: 100 g
        capacity: 10 %
        """;

    private static FilterKind Read(string text) => AirData.Filters.Read(new DataFile("jar.yaml", text));

    [Fact]
    public void Efficiency_is_by_agent_and_by_the_size_of_the_particles()
    {
        var kind = Read(Good);
        var plain = kind.EfficiencyAt(static f => f.Value);
        Assert.Equal((0.9, 0.4, 0.7), (plain.Of(Agent.ParticleNumber), plain.Of(Agent.Tvoc), plain.Of(new Agent("styrene", "styrene", "ug"))));

        var narrow = kind.EfficiencyAt(static f => f.Value, new RoomAerosol(new ParticleSize(Math.Sqrt(1000), 1), 1));
        Close.To(1 - Math.Sqrt(0.01 * 0.1), narrow.Of(Agent.ParticleNumber), 1e-12);

        // Against a plain sum over the same sizes.
        var wide = kind.EfficiencyAt(static f => f.Value, new RoomAerosol(new ParticleSize(40, 1.8), 1));
        var curve = new FilterCurve(kind.BySize, 0.9, 0.9);
        double Sum(double medianNm)
        {
            var (sum, weight) = (0.0, 0.0);
            for (var z = -6.0; z <= 6; z += 1e-3)
            {
                weight += Math.Exp(-z * z / 2);
                sum += Math.Exp(-z * z / 2) * curve.At(medianNm * Math.Exp(z * Math.Log(1.8)));
            }

            return sum / weight;
        }

        Close.To(Sum(40), wide.Of(Agent.ParticleNumber), 1e-4);
        Close.To(Sum(new ParticleSize(40, 1.8).MassMedianNm), wide.Of(Agent.ParticleMass), 1e-4);
        Assert.InRange(wide.Of(Agent.VisibleMass), curve.At(300), 1);
        Assert.Equal(0.7, wide.Of(new Agent("styrene", "styrene", "ug")));
    }

    [Fact]
    public void A_medium_that_is_better_than_thought_lets_less_through_at_all_sizes()
    {
        var points = Read(Good).BySize;
        var twice = new FilterCurve(points, 0.9, 0.99);
        Assert.All(points, p => Close.To(Math.Pow(1 - p.Efficiency, 2), 1 - twice.At(p.DiameterNm), 1e-9));
        Assert.Equal(0, new FilterCurve(points, 0.9, 0).At(50));
        Close.To(1, new FilterCurve(points, 0.9, 1).At(50), 1e-5);
    }

    [Fact]
    public void A_sorbent_holds_its_capacity_at_the_most()
    {
        Close.To(10, Read(Good).HoldsG(static f => f.Value)!.Value, 1e-12);
        Assert.Null(AirData.Filters.Load("deep-carbon").HoldsG(static f => f.Value));
    }

    [Theory]
    [InlineData("particles: 0.9", "particles: 1.9", "jar.yaml:6:14: particles: found '1.9', expected 0 to 1")]
    [InlineData("particles: 0.9", "partikles: 0.9", "did you mean 'particles'?")]
    [InlineData("  particles: 0.9\n", "", "by_size: found sizes without a figure for 'particles' over 0 and below 1")]
    [InlineData("{diameter: 100 nm", "{diameter: 10 nm", "diameter: found 10 nm after 10 nm, expected sizes that rise")]
    [InlineData("sorbent_mass: 100 g\n", "", "capacity: found a capacity without 'sorbent_mass'")]
    [InlineData("bypass: 0.1\n", "", "key 'bypass' is missing, expected a share such as 0.2 or 20 %")]
    [InlineData("bypass: 0.1", "bypass: 0.1\ncolour: grey", "unknown key 'colour'")]
    public void What_cannot_be_is_told_with_its_place(string old, string with, string expected)
    {
        Assert.Equal(2, Good.Split(old).Length);
        Assert.Contains(expected, Assert.Throws<InputProblem>(() => Read(Good.Replace(old, with, StringComparison.Ordinal))).Message);
    }
}
