// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Forecast;
using Xunit.Abstractions;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>Particles over a grid of few cells, against steps that are halved until they agree.</summary>
public class GridAerosolTests(ITestOutputHelper output)
{
    private const double Day = 86_400;

    // A print of weeks has cells of hours, in which the strongest sources make every particle meet others hundreds of times over.
    [Theory]
    [InlineData(1, 1e8, 30)]
    [InlineData(1, 1e11, 30)]
    [InlineData(1, 1e12, 1)]
    [InlineData(2, 1e6, 30)]
    [InlineData(2, 1e9, 30)]
    [InlineData(2, 1e10, 3)]
    [InlineData(2, 1e11, 30)]
    [InlineData(3, 1e10, 10)]
    public void Levels_that_settle_in_are_right_however_long_the_cells(int zones, double perS, double days)
    {
        var (model, endS) = (Air(zones), days * Day);
        var ugPerS = perS * new ParticleSize(35, 1.7).MeanMassUg(1.1);
        var series = new GivenSeries([Agent.ParticleNumber, Agent.ParticleMass], [1, 1], null, [(endS, (IReadOnlyList<double>)[perS, ugPerS])]);
        var grid = AirGrid.Of(endS + Day, [new PlacedSeries { Zone = model.Zones[0].Id, StartS = 0, Series = series }], [], 160);
        var (numbers, masses) = (new double[grid.Cells * zones], new double[grid.Cells * zones]);
        var lastS = grid.TimesS[grid.EdgeOf(endS)];
        for (var cell = 0; cell < grid.Cells && grid.TimesS[cell] < lastS; cell++)
        {
            (numbers[cell * zones], masses[cell * zones]) = (perS * grid.Seconds(cell), ugPerS * grid.Seconds(cell));
        }

        var (number, mass, visible) = (new GridLevels(grid.Cells, zones), new GridLevels(grid.Cells, zones), new GridLevels(grid.Cells, zones));
        new GridAerosol(grid, zones, new LognormalKernel(1.1)).Follow(model, default, numbers, masses, number, mass, visible);

        var run = new AirRun(model, [Agent.ParticleNumber, Agent.ParticleMass], default);
        run.SetSource(Agent.ParticleNumber, model.Zones[0].Id, perS);
        run.SetSource(Agent.ParticleMass, model.Zones[0].Id, ugPerS);
        var (atFirst, later, last, worstMass) = (0.0, 0.0, 0.0, 0.0);
        for (var cell = 0; grid.TimesS[cell] < lastS; cell++)
        {
            run.Advance(grid.Seconds(cell));
            for (var z = 0; z < zones; z++)
            {
                last = Math.Abs(number.PerM3(z)[cell + 1] / run.LevelPerM3(Agent.ParticleNumber, model.Zones[z].Id) - 1);
                (atFirst, later) = cell < 2 ? (Math.Max(atFirst, last), later) : (atFirst, Math.Max(later, last));
                worstMass = Math.Max(worstMass, Math.Abs(mass.PerM3(z)[cell + 1] / run.LevelPerM3(Agent.ParticleMass, model.Zones[z].Id) - 1));
            }
        }

        output.WriteLine(FormattableString.Invariant($"{zones} zones, {perS:G1} 1/s, {days} days: number off by {atFirst:P1} in the first two cells, {later:P1} later, {last:P2} at the end; mass by {worstMass:P1}"));
        Assert.InRange(atFirst, 0, 0.25);
        Assert.InRange(later, 0, 0.06);
        Assert.InRange(last, 0, 0.01);

        // Mass that deposits by size comes into a zone evenly over each cell, in several zones.
        Assert.InRange(worstMass, 0, zones < 3 ? 0.001 : 0.08);
    }

    // So much clean air leaves numbers of which no size follows any more, and before a print there is nothing at all.
    [Theory]
    [InlineData(1, 10)]
    [InlineData(1, 1e6)]
    [InlineData(3, 1e6)]
    public void Air_that_holds_nothing_or_next_to_nothing_has_levels(int zones, double cleanAirM3PerH)
    {
        var model = Air(zones);
        model = (model with { Zones = [.. model.Zones.Select(static zone => zone with { DepositionBySize = SizeDeposition.Working })] }).WithCleanAir(model.Zones[0].Id, cleanAirM3PerH);
        var series = new GivenSeries([Agent.ParticleNumber, Agent.ParticleMass], [1, 1], null, [(7200, (IReadOnlyList<double>)[1e12, 1e12 * new ParticleSize(35, 1.7).MeanMassUg(1.1)])]);
        var grid = AirGrid.Of(2 * Day, [new PlacedSeries { Zone = model.Zones[0].Id, StartS = Day / 2, Series = series }], [], 160);
        var (numbers, masses) = (new double[grid.Cells * zones], new double[grid.Cells * zones]);
        for (var cell = grid.EdgeOf(Day / 2); cell < grid.EdgeOf(Day / 2 + 7200); cell++)
        {
            (numbers[cell * zones], masses[cell * zones]) = (1e12 * grid.Seconds(cell), 1e12 * new ParticleSize(35, 1.7).MeanMassUg(1.1) * grid.Seconds(cell));
        }

        var (number, mass, visible) = (new GridLevels(grid.Cells, zones), new GridLevels(grid.Cells, zones), new GridLevels(grid.Cells, zones));
        new GridAerosol(grid, zones, new LognormalKernel(1.1)).Follow(model, default, numbers, masses, number, mass, visible);
        var before = grid.EdgeOf(Day / 2);
        foreach (var levels in (GridLevels[])[number, mass, visible])
        {
            for (var z = 0; z < zones; z++)
            {
                Assert.Equal(0, levels.PerM3(z)[before]);
                Assert.True(levels.PerM3(z)[before + 1] > 0 && levels.PerM3(z)[^1] >= 0 && double.IsFinite(levels.DoseSPerM3(z)[^1]));
            }
        }
    }

    private static AirModel Air(int zones)
    {
        Zone[] all = [new Zone { Id = "box", VolumeM3 = 0.12 }, new Zone { Id = "room", VolumeM3 = 30 }, new Zone { Id = "hall", VolumeM3 = 300, DepositionBySize = SizeDeposition.Working }];
        AirLoop[] loops =
        [
            zones == 1 ? new AirLoop { Through = [Zone.Outdoors, "room"], FlowM3PerH = 15 } : new AirLoop { Through = ["box", "room"], FlowM3PerH = 1 },
            new AirLoop { Through = [Zone.Outdoors, "room"], FlowM3PerH = 10 },
            new AirLoop { Through = [Zone.Outdoors, "room", "hall"], FlowM3PerH = 30 },
        ];
        return new AirModel
        {
            Zones = zones == 1 ? [all[1]] : all[..zones],
            Loops = zones < 3 ? loops[..2] : loops,
            Particles = new ParticleGrowth { DensityGPerCm3 = 1.1, SourceGsd = 1.7 },
        };
    }
}
