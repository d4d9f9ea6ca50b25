// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Tests.Properties;

/// <summary>What holds for any zones, any air between them and any source.</summary>
public class AirLaws
{
    private static readonly Agent Styrene = new("styrene", "styrene", "ug");
    private static readonly Agent[] Linear = [Agent.Tvoc, Agent.ParticleMass, Styrene];
    private static readonly RunClock Clock = new(600, 7200, 3600 * 9);

    private static readonly Gen<double> Flows = Gen.OneOf(Gen.Const(0.0), Gen.Double[-2, 2.7].Select(p => Math.Pow(10, p)));

    private static readonly Gen<ByAgent> Shares =
        from particles in Gen.Double[0, 1]
        from vapours in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 1])
        from one in Gen.Double[0, 1]
        select new ByAgent { Particles = particles, Vapours = vapours, Single = new Dictionary<Agent, double> { [Styrene] = one } };

    private static readonly Gen<Schedule> Schedules = Gen.OneOf(
        Gen.Const(Schedule.Always),
        Gen.Const(Schedule.Between(new ScheduleTime(ScheduleAnchor.Start, -60), new ScheduleTime(ScheduleAnchor.End, 1800))),
        Gen.Const(new Schedule
        {
            Otherwise = 0.2,
            Pieces = [new SchedulePiece(new ScheduleTime(ScheduleAnchor.Midnight, 36000), new ScheduleTime(ScheduleAnchor.Midnight, 37000), 2)],
        }));

    private static readonly Gen<AirModel> Models =
        from count in Gen.Int[1, 8]
        from volumes in Gen.Double[-1.3, 3.7].Select(p => Math.Pow(10, p)).Array[count]
        from depositions in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 10]).Array[count]
        from loops in LoopOf(count).List[0, 8]
        from filters in FilterOf(count).List[0, 3]
        select new AirModel
        {
            Zones = [.. volumes.Select((v, i) => new Zone { Id = Id(i), VolumeM3 = v, DepositionPerH = new ByAgent { Particles = depositions[i] } })],
            Loops = loops,
            Filters = filters,
        };

    private static readonly Gen<(AirModel Model, (double Seconds, double[] PerS)[] Steps)> Cases =
        from model in Models
        from steps in Gen.Select(
            Gen.Double[0, 4].Select(p => Math.Pow(10, p)),
            Gen.OneOf(Gen.Const(0.0), Gen.Double[-3, 3].Select(p => Math.Pow(10, p))).Array[model.Zones.Count * Linear.Length]).Array[1, 6]
        select (model, steps);

    private static string Id(int zone) => $"zone {zone}";

    private static Gen<AirLoop> LoopOf(int zones) =>
        from order in Gen.Shuffle(Enumerable.Range(-1, zones + 1).ToArray())
        from length in Gen.Int[2, zones + 1]
        from flow in Flows
        from schedule in Schedules
        from through in Shares
        from bypass in Gen.Double[0, 1]
        from filters in Gen.Int[0, 1]
        let places = order.Take(length).Select(z => z < 0 ? Zone.Outdoors : Id(z)).ToArray()
        select new AirLoop { Through = places, FlowM3PerH = flow, On = schedule, Penetration = through, Filters = [.. places.Take(filters).Select(p => new LoopFilter(p, through, bypass))] };

    private static Gen<ZoneFilter> FilterOf(int zones) =>
        from zone in Gen.Int[0, zones - 1]
        from flow in Gen.Double[0.01, 400]
        from efficiency in Shares
        from bypass in Gen.Double[0, 1]
        from schedule in Schedules
        select new ZoneFilter { Zone = Id(zone), FlowM3PerH = flow, Efficiency = efficiency, Bypass = bypass, On = schedule };

    private static AirRun Run(AirModel model, (double Seconds, double[] PerS)[] steps, IReadOnlyList<int>? order = null, int parts = 1, double factor = 1, IAirSink? sink = null)
    {
        var run = new AirRun(model, Linear, Clock, sink);
        foreach (var (seconds, perS) in steps)
        {
            for (var i = 0; i < perS.Length; i++)
            {
                run.SetSource(Linear[i / model.Zones.Count], Id((order ?? Enumerable.Range(0, model.Zones.Count).ToArray())[i % model.Zones.Count]), factor * perS[i]);
            }

            for (var part = 0; part < parts; part++)
            {
                run.Advance(seconds / parts);
            }
        }

        return run;
    }

    // A zone that got a trace through many others is compared by what there is in all.
    private static void SameLevels(AirModel model, AirRun expected, AirRun actual, double factor = 1)
    {
        foreach (var agent in Linear)
        {
            var given = expected.Balance()[expected.Index(agent)];
            var all = given.Emitted + given.Entered;
            foreach (var zone in model.Zones)
            {
                var (one, other) = (factor * expected.LevelPerM3(agent, zone.Id) * zone.VolumeM3, actual.LevelPerM3(agent, zone.Id) * zone.VolumeM3);
                Assert.True(Math.Abs(one - other) <= 1e-9 * one + 1e-13 * factor * all, FormattableString.Invariant($"{agent} in {zone.Id}: {one:R} and {other:R}"));
            }
        }
    }

    [Fact]
    public void What_was_given_off_is_in_the_air_or_left_it() =>
        Cases.Sample((model, steps) =>
        {
            model = model with { OutdoorsPerM3 = new ByAgent { Vapours = 1e-4, Particles = 1e-3 }, Indoors = [new SteadySource(Id(0), Agent.Tvoc, 0.1)] };
            Assert.All(Run(model, steps).Balance(), balance =>
            {
                Assert.InRange(Math.Abs(balance.Gap), 0, 1e-9);
                Assert.All(new[] { balance.Airborne, balance.Vented, balance.Deposited, balance.Filtered }, amount => Assert.True(amount >= 0));
            });
        });

    [Fact]
    public void Particles_that_stick_together_are_accounted_for() =>
        Gen.Select(Cases, Gen.Double[6, 13], Gen.Bool).Sample(
            (at, power, bySize) =>
            {
                var model = at.Model with
                {
                    Particles = new ParticleGrowth { DensityGPerCm3 = 1.1, SourceGsd = 1.7 },
                    Zones = [.. at.Model.Zones.Select(z => z with { DepositionBySize = bySize ? SizeDeposition.Working : null })],
                };
                var run = new AirRun(model, [Agent.ParticleNumber, Agent.ParticleMass], Clock);
                foreach (var (seconds, perS) in at.Steps.Take(2))
                {
                    for (var z = 0; z < model.Zones.Count; z++)
                    {
                        var number = perS[z] * Math.Pow(10, power - 3);
                        run.SetSource(Agent.ParticleNumber, Id(z), number);
                        run.SetSource(Agent.ParticleMass, Id(z), number * new ParticleSize(30, 1.7).MeanMassUg(1.1));
                    }

                    run.Advance(Math.Min(seconds, 600));
                }

                Assert.All(run.Balance(), balance => Assert.InRange(Math.Abs(balance.Gap), 0, 1e-9));
                Assert.Equal(0, run.Balance()[1].Coagulated);
                Assert.True(run.Balance()[0].Coagulated >= 0);
            },
            iter: 30);

    [Fact]
    public void Two_half_steps_equal_one() =>
        Cases.Sample((model, steps) => SameLevels(model, Run(model, steps), Run(model, steps, parts: 2)));

    [Fact]
    public void Means_are_those_of_the_parts() =>
        Cases.Sample((model, steps) =>
        {
            var (whole, parts) = (new LevelWatch(0, model.Zones.Count - 1), new LevelWatch(0, model.Zones.Count - 1));
            var run = Run(model, steps, sink: whole);
            Run(model, steps, parts: 3, sink: parts);
            var all = run.Balance()[0].Emitted * run.TimeS / 3600 / model.Zones[^1].VolumeM3;
            Assert.True(Math.Abs(whole.IntegralHPerM3 - parts.IntegralHPerM3) <= 1e-9 * whole.IntegralHPerM3 + 1e-13 * all);
        });

    [Fact]
    public void Order_of_zones_and_loops_changes_nothing() =>
        Gen.Select(Cases, Gen.Int).Sample((at, seed) =>
        {
            var random = new Random(seed);
            var (zones, loops, filters) = (at.Model.Zones.ToArray(), at.Model.Loops.ToArray(), at.Model.Filters.ToArray());
            random.Shuffle(zones);
            random.Shuffle(loops);
            random.Shuffle(filters);
            SameLevels(at.Model, Run(at.Model, at.Steps), Run(at.Model with { Zones = zones, Loops = loops, Filters = filters }, at.Steps));
        });

    [Fact]
    public void A_loop_may_begin_anywhere() =>
        Cases.Sample((model, steps) => SameLevels(
            model,
            Run(model, steps),
            Run(model with { Loops = [.. model.Loops.Select(loop => loop with { Through = [.. loop.Through.Skip(1), loop.Through[0]] })] }, steps)));

    [Fact]
    public void Twice_the_source_is_twice_the_level_everywhere() =>
        Cases.Sample((model, steps) => SameLevels(model, Run(model, steps), Run(model, steps, factor: 2), factor: 2));

    [Fact]
    public void Zones_that_are_alike_are_one_however_they_mix() =>
        Gen.Select(Gen.Int[2, 8], Gen.Double[0.05, 1000], Gen.Double[0, 5], Gen.Double[0, 5], Flows, Gen.Double[0, 4].Select(p => Math.Pow(10, p))).Sample(
            (count, volume, changes, deposition, mixing, seconds) =>
            {
                var zones = Enumerable.Range(0, count).Select(i => new Zone { Id = Id(i), VolumeM3 = volume, DepositionPerH = ByAgent.All(deposition) }).ToArray();
                var model = new AirModel
                {
                    Zones = zones,
                    Loops =
                    [
                        new AirLoop { Through = [.. zones.Select(static z => z.Id)], FlowM3PerH = mixing },
                        .. zones.Select(z => new AirLoop { Through = [Zone.Outdoors, z.Id], FlowM3PerH = changes * volume }),
                    ],
                };
                var one = new AirModel
                {
                    Zones = [zones[0] with { VolumeM3 = count * volume }],
                    Loops = [new AirLoop { Through = [Zone.Outdoors, Id(0)], FlowM3PerH = changes * volume * count }],
                };
                var (many, single) = (new AirRun(model, [Agent.Tvoc], default), new AirRun(one, [Agent.Tvoc], default));
                single.SetSource(Agent.Tvoc, Id(0), count);
                foreach (var zone in zones)
                {
                    many.SetSource(Agent.Tvoc, zone.Id, 1);
                }

                many.Advance(seconds);
                single.Advance(seconds);
                Assert.All(zones, zone => Close.To(single.LevelPerM3(Agent.Tvoc, Id(0)), many.LevelPerM3(Agent.Tvoc, zone.Id), 1e-9));
            });

    [Fact]
    public void After_a_long_time_levels_are_the_steady_ones() =>
        Models.Sample(model =>
        {
            // Some way out of every zone, so that there is a steady level, and soon.
            model = model with { Zones = [.. model.Zones.Select(z => z with { DepositionPerH = ByAgent.All(0.5) })] };
            model = model with { Loops = [.. model.Loops.Select(static l => l with { On = Schedule.Always })], Filters = [.. model.Filters.Select(static f => f with { On = Schedule.Always })] };
            var sources = model.Zones.Select((_, i) => (double)(i % 3)).ToArray();
            sources[0] = 1;
            var run = new AirRun(model, [Agent.Tvoc], Clock);
            for (var i = 0; i < sources.Length; i++)
            {
                run.SetSource(Agent.Tvoc, Id(i), sources[i]);
            }

            run.Advance(1e6);
            var steady = SteadyAir.LevelsPerM3(model, Agent.Tvoc, sources, 0, Clock)!;
            for (var i = 0; i < sources.Length; i++)
            {
                var (one, other) = (steady[i] * model.Zones[i].VolumeM3, run.LevelPerM3(Agent.Tvoc, Id(i)) * model.Zones[i].VolumeM3);
                Assert.True(Math.Abs(one - other) <= 1e-8 * Math.Abs(one) + 1e-10, FormattableString.Invariant($"{one:R} and {other:R}"));
            }
        });
}
