// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Tests.Unit.Air;

public class AirRunTests
{
    private static AirModel BoxInHall(double changesPerH = 1, double deposition = 0.3) => new()
    {
        Zones =
        [
            new Zone { Id = "box", VolumeM3 = 0.05, DepositionPerH = ByAgent.All(deposition) },
            new Zone { Id = "hall", VolumeM3 = 5000, DepositionPerH = ByAgent.All(deposition) },
        ],
        Loops =
        [
            new AirLoop { Through = ["box", "hall"], FlowM3PerH = 400 },
            new AirLoop { Through = [Zone.Outdoors, "hall"], FlowM3PerH = 5000 * changesPerH },
        ],
    };

    // Two zones have a closed form; both eigenvalues are written so that the slow one keeps its digits beside a fast one 8000 times as large.
    [Theory]
    [InlineData(1)]
    [InlineData(60)]
    [InlineData(3600)]
    [InlineData(86400)]
    [InlineData(3e7)]
    public void A_small_box_with_a_strong_fan_beside_a_hall_is_exact(double seconds)
    {
        var (box, hall) = (0.05, 5000.0);
        var (a, b) = ((400 + 0.3 * box) / 3600, (400 + 5000 + 0.3 * hall) / 3600);
        var flow = 400 / 3600.0;
        var (trace, det) = (-(a / box + b / hall), (a * b - flow * flow) / (box * hall));
        var fast = (trace - Math.Sqrt(trace * trace - 4 * det)) / 2;
        var slow = det / fast;
        var steadyHall = flow / (a * b - flow * flow);
        var steadyBox = b / (a * b - flow * flow);

        // From clean air at a rate of 1: C = Cs + p exp(fast t) + q exp(slow t), with C(0) = 0 and dC/dt(0) = 1 / V in the box, 0 in the hall.
        double Level(double steady, double slope)
        {
            var p = (slope + slow * steady) / (fast - slow);
            return steady * -Math.Exp(slow * seconds) + steady + p * (Math.Exp(fast * seconds) - Math.Exp(slow * seconds));
        }

        var run = new AirRun(BoxInHall(), [Agent.Tvoc], default);
        run.SetSource(Agent.Tvoc, "box", 1);
        run.Advance(seconds);
        Close.To(Level(steadyBox, 1 / box), run.LevelPerM3(Agent.Tvoc, "box"), 1e-9);

        // The closed form itself cancels in the hall within the first seconds.
        Close.To(Level(steadyHall, 0), run.LevelPerM3(Agent.Tvoc, "hall"), seconds < 100 ? 1e-6 : 1e-9);
    }

    [Fact]
    public void Nothing_is_lost_where_nothing_loses()
    {
        var run = new AirRun(BoxInHall(0, 0), [Agent.Tvoc], default);
        run.SetSource(Agent.Tvoc, "box", 1);
        for (var i = 0; i < 24; i++)
        {
            run.Advance(3600);
        }

        var balance = run.Balance()[0];
        Close.To(86400, balance.Airborne, 1e-12);
        Assert.Equal(0, balance.Vented + balance.Deposited + balance.Filtered);
        Assert.Null(SteadyAir.LevelsPerM3(BoxInHall(0, 0), Agent.Tvoc, [1, 0]));
    }

    [Fact]
    public void A_day_of_seconds_ends_as_one_step_of_a_day()
    {
        var (seconds, day) = (new AirRun(BoxInHall(), [Agent.Tvoc], default), new AirRun(BoxInHall(), [Agent.Tvoc], default));
        seconds.SetSource(Agent.Tvoc, "box", 1);
        day.SetSource(Agent.Tvoc, "box", 1);
        for (var i = 0; i < 86400; i++)
        {
            seconds.Advance(1);
        }

        day.Advance(86400);
        Close.To(day.LevelPerM3(Agent.Tvoc, "hall"), seconds.LevelPerM3(Agent.Tvoc, "hall"), 1e-9);
        Assert.InRange(Math.Abs(seconds.Balance()[0].Gap), 0, 1e-11);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Steps_allocate_nothing(bool bySize)
    {
        var model = BoxInHall() with { Particles = bySize ? new ParticleGrowth { DensityGPerCm3 = 1.1, SourceGsd = 1.8 } : null };
        var run = new AirRun(model, [Agent.Tvoc, Agent.ParticleNumber, Agent.ParticleMass], default, new LevelWatch(0, 1, [new MovingMean(900)]));
        run.SetSource(Agent.ParticleNumber, "box", 1e9);
        run.SetSource(Agent.ParticleMass, "box", 1);
        Steps(2000);
        var before = GC.GetAllocatedBytesForCurrentThread();
        Steps(2000);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);

        void Steps(int count)
        {
            for (var i = 0; i < count; i++)
            {
                run.Advance(1 + i % 3);
            }
        }
    }

    // Small plain steps of the equations of two zones, with coagulation at a fixed rate, are the referee; the run takes minutes at a time.
    [Theory]
    [InlineData(0.5, 60)]
    [InlineData(0.5, 600)]
    [InlineData(400, 60)]
    [InlineData(400, 3600)]
    public void Coagulation_beside_fast_air_agrees_with_small_plain_steps(double flowM3PerH, double stepS)
    {
        const double SourcePerS = 2e10, MeetingM3PerS = 1e-15, Box = 0.05, Hall = 50, HallPerS = 1 / 3600.0;
        var flow = flowM3PerH / 3600;
        var (box, room, boxSum) = (0.0, 0.0, 0.0);
        const double H = 0.02;
        for (var i = 0; i < 3600 / H; i++)
        {
            var (b1, r1) = Slope(box, room);
            var (b2, r2) = Slope(box + H / 2 * b1, room + H / 2 * r1);
            var (b3, r3) = Slope(box + H / 2 * b2, room + H / 2 * r2);
            var (b4, r4) = Slope(box + H * b3, room + H * r3);
            var next = box + H / 6 * (b1 + 2 * b2 + 2 * b3 + b4);
            boxSum += H * (box + next) / 2;
            box = next;
            room += H / 6 * (r1 + 2 * r2 + 2 * r3 + r4);
        }

        var watch = new LevelWatch(0, 0);
        var run = new AirRun(
            new AirModel
            {
                Zones = [new Zone { Id = "box", VolumeM3 = Box }, new Zone { Id = "hall", VolumeM3 = Hall }],
                Loops = [new AirLoop { Through = ["box", "hall"], FlowM3PerH = flowM3PerH }, new AirLoop { Through = [Zone.Outdoors, "hall"], FlowM3PerH = Hall }],
                Particles = new ParticleGrowth { DensityGPerCm3 = 1, SourceGsd = 1.5, Kernel = new Fixed(2 * MeetingM3PerS) },
            },
            [Agent.ParticleNumber, Agent.ParticleMass],
            default,
            watch);
        run.SetSource(Agent.ParticleNumber, "box", SourcePerS);
        run.SetSource(Agent.ParticleMass, "box", 1);
        for (var t = 0.0; t < 3600; t += stepS)
        {
            run.Advance(stepS);
        }

        Close.To(box, run.LevelPerM3(Agent.ParticleNumber, "box"), 1e-3);
        Close.To(room, run.LevelPerM3(Agent.ParticleNumber, "hall"), 1e-3);
        Close.To(boxSum / 3600, watch.IntegralHPerM3, 1e-3);

        (double Box, double Room) Slope(double b, double r) =>
            ((SourcePerS - flow * (b - r)) / Box - MeetingM3PerS * b * b, flow * (b - r) / Hall - HallPerS * r - MeetingM3PerS * r * r);
    }

    [Fact]
    public void A_schedule_changes_the_air_when_it_says()
    {
        // A fan from the start until 30 min after the end; the run is asked for in steps that know nothing of it.
        var model = new AirModel
        {
            Zones = [new Zone { Id = "room", VolumeM3 = 30 }],
            Loops =
            [
                new AirLoop
                {
                    Through = [Zone.Outdoors, "room"],
                    FlowM3PerH = 60,
                    On = Schedule.Between(new ScheduleTime(ScheduleAnchor.Start, 0), new ScheduleTime(ScheduleAnchor.End, 1800)),
                },
            ],
        };
        var run = new AirRun(model, [Agent.Tvoc], new RunClock(600, 3000));
        run.StartAt(Agent.Tvoc, "room", 100);
        run.Advance(1e4);
        Close.To(100 * Math.Exp(-2.0 * (4800 - 600) / 3600), run.LevelPerM3(Agent.Tvoc, "room"), 1e-12);
    }

    [Fact]
    public void A_window_that_opens_every_morning_opens_every_day()
    {
        var window = Schedule.Between(new ScheduleTime(ScheduleAnchor.Midnight, 7 * 3600), new ScheduleTime(ScheduleAnchor.Midnight, 8 * 3600));
        var night = Schedule.Between(new ScheduleTime(ScheduleAnchor.Midnight, 22 * 3600), new ScheduleTime(ScheduleAnchor.Midnight, 6 * 3600));
        var clock = new RunClock(0, 0, 6.5 * 3600);
        double[] openAtH = [.. Enumerable.Range(0, 60).Select(i => (double)i).Where(h => window.ShareAt(h * 3600, clock) == 1)];
        Assert.Equal([1.0, 25, 49], openAtH);
        Assert.Equal(0.5 * 3600, window.NextChangeS(0, clock));
        Assert.Equal(24.5 * 3600, window.NextChangeS(1.5 * 3600, clock));
        Assert.Equal(1, night.ShareAt(23 * 3600, clock));
        Assert.Equal(0, night.ShareAt(0, clock));

        var run = new AirRun(
            new AirModel { Zones = [new Zone { Id = "room", VolumeM3 = 30 }], Loops = [new AirLoop { Through = [Zone.Outdoors, "room"], FlowM3PerH = 30, On = window }] },
            [Agent.Tvoc], clock);
        run.StartAt(Agent.Tvoc, "room", 1);
        run.Advance(60 * 3600);
        Close.To(Math.Exp(-3), run.LevelPerM3(Agent.Tvoc, "room"), 1e-12);
    }

    [Fact]
    public void Several_sources_add_up_each_at_its_own_time()
    {
        var model = new AirModel { Zones = [new Zone { Id = "a", VolumeM3 = 1 }, new Zone { Id = "b", VolumeM3 = 2 }] };
        var run = new AirRun(model, [Agent.ParticleMass, Agent.Tvoc], default);
        run.Follow(
        [
            new AirSource("a", 10, [Agent.Tvoc], [new SourceStep(5, new double[] { 2 }), new SourceStep(0, new double[] { 9 }), new SourceStep(5, new double[] { 4 })]),
            new AirSource("b", 0, [Agent.Tvoc, Agent.ParticleNumber, Agent.ParticleMass], [new SourceStep(30, new double[] { 1, 7, 3 })]),
            new AirSource("b", 12, [Agent.ParticleMass], Endless()),
        ],
            20);
        Assert.Equal(20, run.TimeS);
        Close.To(2 * 5 + 4 * 5, run.LevelPerM3(Agent.Tvoc, "a"), 1e-12);
        Close.To(20.0 / 2, run.LevelPerM3(Agent.Tvoc, "b"), 1e-12);
        Close.To((3 * 20 + 8 * 5) / 2.0, run.LevelPerM3(Agent.ParticleMass, "b"), 1e-12);

        static IEnumerable<SourceStep> Endless()
        {
            while (true)
            {
                yield return new SourceStep(1, new double[] { 5 });
            }
        }
    }

    [Fact]
    public void A_filter_on_the_way_out_of_the_box_spares_the_hall_by_its_efficiency()
    {
        var bare = BoxInHall(1, 0);
        var filtered = bare with { Loops = [bare.Loops[0] with { Filters = [new LoopFilter("hall", new ByAgent { Particles = 0.9 }, 0.1)] }, bare.Loops[1]] };
        var (particles, vapours) = (Ratio(Agent.ParticleMass), Ratio(Agent.Tvoc));

        // 81 % of what the fan moves stays in the filter, each time it goes round.
        Close.To(1, vapours, 1e-12);
        Close.To(0.19 * 5000 / (5000 + 400 * 0.81), particles, 1e-9);

        double Ratio(Agent agent) => SteadyAir.LevelsPerM3(filtered, agent, [1, 0])![1] / SteadyAir.LevelsPerM3(bare, agent, [1, 0])![1];
    }

    [Fact]
    public void Clean_air_for_a_steady_level_gives_that_level()
    {
        var model = BoxInHall() with { OutdoorsPerM3 = ByAgent.All(1e-5) };
        foreach (var zone in new[] { "box", "hall" })
        {
            var index = model.IndexOf(zone);
            var level = 0.4 * SteadyAir.LevelsPerM3(model, Agent.Tvoc, [1, 0])![index];
            var needed = SteadyAir.CleanAirM3PerH(model, Agent.Tvoc, [1, 0], zone, level)!.Value;
            Close.To(level, SteadyAir.LevelsPerM3(model.WithCleanAir(zone, needed), Agent.Tvoc, [1, 0])![index], 1e-9);
        }
    }

    [Fact]
    public void Clean_air_for_a_peak_gives_that_peak()
    {
        var needed = SteadyAir.CleanAirM3PerH(Peak, 0.3 * Peak(0))!.Value;
        Close.To(0.3 * Peak(0), Peak(needed), 1e-3);
        Assert.Equal(0, SteadyAir.CleanAirM3PerH(Peak, 1.1 * Peak(0)));
        Assert.Null(SteadyAir.CleanAirM3PerH(static _ => 1, 0.5));

        static double Peak(double cleanAirM3PerH)
        {
            var watch = new LevelWatch(0, 1);
            var run = new AirRun(BoxInHall().WithCleanAir("hall", cleanAirM3PerH), [Agent.Tvoc], default, watch, 60);
            run.SetSource(Agent.Tvoc, "box", 1);
            run.Advance(7200);
            return watch.PeakPerM3;
        }
    }

    private static (string Message, AirModel Model)[] BadModels() =>
    [
        ("there is no zone 'attic'; expected room, or outdoors", Room() with { Loops = [new AirLoop { Through = ["room", "attic"], FlowM3PerH = 1 }] }),
        ("a loop needs two places, found room", Room() with { Loops = [new AirLoop { Through = ["room"], FlowM3PerH = 1 }] }),
        ("a loop goes through a place twice: room, outdoors, room", Room() with { Loops = [new AirLoop { Through = ["room", "outdoors", "room"], FlowM3PerH = 1 }] }),
        ("flow of 'window' [m3/h] is 1000000000; expected 0 to 1000000", Room() with { Loops = [new AirLoop { Name = "window", Through = ["room", "outdoors"], FlowM3PerH = 1e9 }] }),
        ("volume of room [m3] is -30; expected more than 0 to 10000000", Room(-30)),
        ("flow of a filter [m3/h] is 0; expected more than 0 to 1000000", Room() with { Filters = [new ZoneFilter { Zone = "room", FlowM3PerH = 0, Efficiency = ByAgent.One }] }),
        ("efficiency of a filter [-] is 95; expected 0 to 1", Room() with { Filters = [new ZoneFilter { Zone = "room", FlowM3PerH = 9, Efficiency = ByAgent.All(95) }] }),
        (
            "times of a filter: a stretch ends before it begins",
            Room() with
            {
                Filters =
                [
                    new ZoneFilter
                    {
                        Zone = "room",
                        FlowM3PerH = 9,
                        Efficiency = ByAgent.One,
                        On = Schedule.Between(new ScheduleTime(ScheduleAnchor.End, 60), new ScheduleTime(ScheduleAnchor.End, 0)),
                    },
                ],
            }),
        ("deposition in room [1/h] is NaN; expected 0 to 10000", Room() with { Zones = [new Zone { Id = "room", VolumeM3 = 3, DepositionPerH = ByAgent.All(double.NaN) }] }),
    ];

    [Fact]
    public void A_model_that_cannot_be_is_refused() =>
        Assert.All(BadModels(), static bad => Assert.Equal(bad.Message, Assert.Throws<ArgumentException>(() => new AirRun(bad.Model, [Agent.Tvoc], default)).Message));

    [Fact]
    public void Particles_that_are_followed_by_size_need_one()
    {
        var model = Room() with { Particles = new ParticleGrowth { DensityGPerCm3 = 1, SourceGsd = 1.8 } };
        Assert.Throws<ArgumentException>(() => new AirRun(model, [Agent.ParticleNumber], default));

        var run = new AirRun(model, [Agent.ParticleNumber, Agent.ParticleMass], default);
        run.SetSource(Agent.ParticleNumber, "room", 1e9);
        Assert.Equal("a source of particles that are followed by size needs both number and mass", Assert.Throws<ArgumentException>(() => run.Advance(1)).Message);
        run.SetSource(Agent.ParticleMass, "room", 1);
        run.SetSource(Agent.ParticleNumber, "room", 1e20);
        Assert.Throws<ArgumentException>(() => run.Advance(1));
    }

    private sealed class Fixed(double m3PerS) : ICoagulationRate
    {
        public CoagulationRate Of(double cmdNm, double lnGsdSquared) => new(m3PerS, 2 - Math.Cbrt(2));
    }

    private static AirModel Room(double volumeM3 = 30) => new() { Zones = [new Zone { Id = "room", VolumeM3 = volumeM3 }] };
}
