// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Tests.Published;

/// <summary>Levels in one and two zones against values worked outside the project, in closed form and by a general integrator of differential equations.</summary>
public class AirChecks
{
    private const string Source = "air reference, computed there in closed form and by numerical integration";
    private const double PerCm3 = 1e-6;
    private const double HourS = 3600;
    private static readonly Agent Vapour = Agent.Tvoc;
    private static readonly Agent Number = Agent.ParticleNumber;

    private static AirModel OneZone(double volumeM3, double changesPerH, double depositionPerH = 0, double cleanAirM3PerH = 0) => new AirModel
    {
        Zones = [new Zone { Id = "room", VolumeM3 = volumeM3, DepositionPerH = ByAgent.All(depositionPerH) }],
        Loops = [new AirLoop { Through = [Zone.Outdoors, "room"], FlowM3PerH = changesPerH * volumeM3 }],
    }.WithCleanAir("room", cleanAirM3PerH);

    private static AirModel Enclosure(double boxLossPerH = 0, double roomLossPerH = 0, double cleanAirInBoxM3PerH = 0) => new AirModel
    {
        Zones =
        [
            new Zone { Id = "box", VolumeM3 = 0.1, DepositionPerH = ByAgent.All(boxLossPerH) },
            new Zone { Id = "room", VolumeM3 = 30, DepositionPerH = ByAgent.All(roomLossPerH) },
        ],
        Loops =
        [
            new AirLoop { Through = ["box", "room"], FlowM3PerH = 0.5 },
            new AirLoop { Through = [Zone.Outdoors, "room"], FlowM3PerH = 15 },
        ],
    }.WithCleanAir("box", cleanAirInBoxM3PerH);

    private static AirRun Run(AirModel model, Agent agent, IAirSink? sink = null) => new(model, [agent], default, sink);

    private static double[] Steady(AirModel model, double inFirstZonePerH)
    {
        var sources = new double[model.Zones.Count];
        sources[0] = inFirstZonePerH / HourS;
        return SteadyAir.LevelsPerM3(model, Vapour, sources)!;
    }

    [Published(Source, "W1.1: 1 m3, 0.025 1/min, 1e10 per minute for 5 min")]
    [Fact]
    public void Particles_in_a_chamber_rise_and_fall()
    {
        var run = Run(OneZone(1, 0, 0.025 * 60), Number);
        double[] printed = [9876.035, 19508.230, 28902.605, 38065.033, 47001.239, 45840.774, 44708.961, 43605.093, 42528.480, 41478.448];
        for (var minute = 0; minute < printed.Length; minute++)
        {
            run.SetSource(Number, "room", minute < 5 ? 1e10 / 60 : 0);
            run.Advance(60);
            Close.ToDigits(printed[minute], minute == 0 ? 7 : 8, run.LevelPerM3(Number, "room") * PerCm3);
        }
    }

    [Published(Source, "W1.9: 1 m3, 1 1/h, 20 ug/m3 outdoors")]
    [Fact]
    public void A_source_settles_and_is_near_that_after_four_hours()
    {
        var chamber = OneZone(1, 1) with { OutdoorsPerM3 = ByAgent.All(20) };
        Close.ToDigits(120.0, 7, Steady(chamber, 100)[0]);

        var run = Run(chamber, Vapour);
        run.StartAt(Vapour, "room", 20);
        run.SetSource(Vapour, "room", 101.8657 / HourS);
        run.Advance(4 * HourS);
        Close.ToDigits(120.0, 7, run.LevelPerM3(Vapour, "room"));
    }

    [Published(Source, "W1.10: mean over the fourth hour")]
    [Fact]
    public void A_tube_samples_the_mean_while_the_level_rises()
    {
        var watch = new MeanOfLastStretch();
        var run = Run(OneZone(1, 1), Vapour, watch);
        run.SetSource(Vapour, "room", 100 / HourS);
        run.Advance(3 * HourS);
        run.Advance(HourS);
        Close.ToDigits(96.85286, 7, watch.Mean);
    }

    [Published(Source, "W1.11 and W1.12: sampled over print and follow-up, standby before")]
    [Theory]
    [InlineData(1, 1, 0.5, 1.5, 10, 0.2, 2.568338)]
    [InlineData(5, 2, 1.0 / 6, 2.0 / 3, 12, 0.5, 0.2561459)]
    public void A_print_phase_is_sampled_with_its_follow_up(double volumeM3, double changes, double printH, double sampledH, double perH, double standbyPerH, double printed)
    {
        var mean = new MovingMean(sampledH * HourS);
        var run = Run(
            OneZone(volumeM3, changes) with { Indoors = [new SteadySource("room", Vapour, standbyPerH / HourS)] }, Vapour, new LevelWatch(0, 0, [mean]));
        run.StartAt(Vapour, "room", standbyPerH / (changes * volumeM3));
        run.SetSource(Vapour, "room", perH / HourS);
        run.Advance(printH * HourS);
        run.SetSource(Vapour, "room", 0);
        run.Advance((sampledH - printH) * HourS);
        Close.ToDigits(printed, 7, mean.Largest);
    }

    [Published("air reference, 2.3; the first two agree with what NIOSH prints", "W2.1 to W2.3: mg/m3 of 1 ppm at 25 degC and 101.325 kPa")]
    [Theory]
    [InlineData(104.15, 4.2597)]
    [InlineData(113.16, 4.6282)]
    [InlineData(92.14, 3.7685)]
    [InlineData(30.03, 1.2282)]
    public void A_ppm_weighs_by_its_molar_mass(double gPerMol, double printed) => Close.ToDigits(printed, 5, VapourUnits.MgPerM3OfPpm(gPerMol));

    [Published("air reference, computed there in closed form", "W4.7: 80 m3/h")]
    [Theory]
    [InlineData(0.9995, 0.1, 71.964)]
    [InlineData(0.995, 0.1, 71.640)]
    [InlineData(0.85, 0.1, 61.200)]
    [InlineData(0.9995, 0, 79.960)]
    public void A_leak_beside_the_filter_matters_more_than_its_last_nine(double efficiency, double bypass, double printed) =>
        Close.ToDigits(printed, 5, new ZoneFilter { Zone = "room", FlowM3PerH = 80, Efficiency = ByAgent.All(efficiency), Bypass = bypass }.CleanAirM3PerH(Number));

    [Published("air reference, computed there in closed form", "W4.8: 60 m3/h of clean air beside 24 m3/h of other losses")]
    [Fact]
    public void A_filter_takes_its_share_of_all_losses() =>
        Close.ToDigits(0.7142857, 7, 1 - Steady(OneZone(30, 0.8, 0, 60), 1)[0] / Steady(OneZone(30, 0.8), 1)[0]);

    [Published("air reference, computed there in closed form", "W4.9: from plateaus of 41666.667 and 11904.762 per cm3")]
    [Fact]
    public void The_clean_air_for_a_plateau_is_that_of_the_two_plateaus() =>
        Close.To(60, SteadyAir.CleanAirM3PerH(OneZone(30, 0.8), Number, [1e12 / HourS], "room", 11904.762e6)!.Value, 1e-7);

    [Published(Source, "W5.1: 30 m3, 0.5 1/h, 6 mg/h")]
    [Fact]
    public void Vapours_build_up()
    {
        Close.ToDigits(0.4, 7, Steady(OneZone(30, 0.5), 6)[0]);
        Close.ToDigits(0.1573877, 7, After(1));
        Close.ToDigits(0.3458659, 7, After(4));
        Close.ToDigits(0.3926737, 7, After(8));
        Close.To(0.4 * 0.90, After(4.605170), 1e-6);
        Close.To(0.4 * 0.95, After(5.991465), 1e-6);
        Close.To(0.4 * 0.99, After(9.210340), 1e-6);

        static double After(double hours)
        {
            var run = Run(OneZone(30, 0.5), Vapour);
            run.SetSource(Vapour, "room", 6 / HourS);
            run.Advance(hours * HourS);
            return run.LevelPerM3(Vapour, "room");
        }
    }

    [Published(Source, "W5.2: source of W5.1 off at 4 h")]
    [Fact]
    public void Vapours_decay()
    {
        var run = Run(OneZone(30, 0.5), Vapour);
        run.SetSource(Vapour, "room", 6 / HourS);
        run.Advance(4 * HourS);
        run.SetSource(Vapour, "room", 0);
        run.Advance(2 * HourS);
        Close.ToDigits(0.1272369, 7, run.LevelPerM3(Vapour, "room"));
        run.Advance(2 * HourS);
        Close.ToDigits(0.04680786, 7, run.LevelPerM3(Vapour, "room"));
    }

    [Published(Source, "W5.3: 40 m3, 0.7 1/h, deposition 0.2 1/h, penetration 0.8, 12 ug/m3 outdoors, 5 ug/m3 at the start, 90 ug/h")]
    [Fact]
    public void Particles_come_from_outdoors_too()
    {
        var room = OneZone(40, 0.7, 0.2);
        room = room with { OutdoorsPerM3 = ByAgent.All(12), Loops = [room.Loops[0] with { Penetration = ByAgent.All(0.8) }] };
        Close.ToDigits(9.966667, 7, Steady(room, 90)[0]);

        var run = Run(room, Agent.ParticleMass);
        run.StartAt(Agent.ParticleMass, "room", 5);
        run.SetSource(Agent.ParticleMass, "room", 90 / HourS);
        foreach (var (hours, printed) in new[] { (0.5, 6.799780), (1.5, 9.145682), (4, 9.944234) })
        {
            run.Advance(hours * HourS);
            Close.ToDigits(printed, 7, run.LevelPerM3(Agent.ParticleMass, "room"));
        }
    }

    [Published(Source, "W5.4: 30 m3, 0.5 and 0.3 1/h, 1e12 per h, clean air 0 and 60 m3/h")]
    [Fact]
    public void A_recirculating_filter_lowers_the_plateau_and_hastens_it()
    {
        var (without, with) = (OneZone(30, 0.5, 0.3), OneZone(30, 0.5, 0.3, 60));
        Close.ToDigits(41666.67, 7, Steady(without, 1e12)[0] * PerCm3);
        Close.ToDigits(11904.76, 7, Steady(with, 1e12)[0] * PerCm3);
        foreach (var (model, printedH) in new[] { (without, 3.744665), (with, 1.069904) })
        {
            var run = Run(model, Number);
            run.SetSource(Number, "room", 1e12 / HourS);
            run.Advance(printedH * HourS);
            Close.To(0.95, run.LevelPerM3(Number, "room") / Steady(model, 1e12)[0], 1e-6);
        }
    }

    [Published(Source, "W5.5: 25 m3, 0.6 1/h; 4 mg/h for 1 h, pause of 0.5 h, 8 mg/h for 1.5 h")]
    [Fact]
    public void A_print_pauses()
    {
        var mean = new MovingMean(8 * HourS);
        var watch = new LevelWatch(0, 0, [mean]);
        var run = Run(OneZone(25, 0.6), Vapour, watch);
        foreach (var (perH, hours, printed, digits) in new[] { (4.0, 1.0, 0.1203169, 7), (0, 0.5, 0.08913295, 7), (8, 1.5, 0.3527349, 7), (0, 2, 0.1062417, 7), (0, 3, 0.01756164, 7) })
        {
            run.SetSource(Vapour, "room", perH / HourS);
            run.Advance(hours * HourS);
            Close.ToDigits(printed, digits, run.LevelPerM3(Vapour, "room"));
        }

        Close.ToDigits(1.037397, 7, watch.IntegralHPerM3);
        Close.ToDigits(0.1296747, 6, mean.Largest);
    }

    [Published(Source, "W5.6: box 0.1 m3, room 30 m3, 0.5 and 15 m3/h, 6 mg/h")]
    [Fact]
    public void A_box_without_losses_leaves_the_level_in_the_room_as_it_is()
    {
        var levels = Steady(Enclosure(), 6);
        Close.ToDigits(12.4, 7, levels[0]);
        Close.ToDigits(0.4, 7, levels[1]);
    }

    [Published(Source, "W5.7: deposition 2 and 0.3 1/h, 1e12 per h, clean air in the box 0 and 4 m3/h")]
    [Theory]
    [InlineData(0, 1.449704e12, 2.958580e10)]
    [InlineData(4, 2.132289e11, 4.351610e9)]
    public void A_filter_in_the_box_lowers_the_level_in_the_room(double cleanAirM3PerH, double box, double room)
    {
        var levels = Steady(Enclosure(2, 0.3, cleanAirM3PerH), 1e12);
        Close.ToDigits(box, 7, levels[0]);
        Close.ToDigits(room, 7, levels[1]);
    }

    [Published(Source, "W5.8 and W5.9: as W5.7, from clean air; and W5.10: when 95 % is reached")]
    [Theory]
    [InlineData(0, 0.25, 1.181243e12, 2.914796e9)]
    [InlineData(0, 1, 1.436349e12, 1.462434e10)]
    [InlineData(0, 4, 1.448619e12, 2.824126e10)]
    [InlineData(4, 0.25, 2.128362e11, 7.394028e8)]
    [InlineData(4, 1, 2.130167e11, 2.391163e9)]
    [InlineData(4, 4, 2.132105e11, 4.181518e9)]
    public void Box_and_room_fill(double cleanAirM3PerH, double hours, double box, double room)
    {
        var run = Run(Enclosure(2, 0.3, cleanAirM3PerH), Number);
        run.SetSource(Number, "box", 1e12 / HourS);
        run.Advance(hours * HourS);
        Close.ToDigits(box, 7, run.LevelPerM3(Number, "box"));
        Close.ToDigits(room, 7, run.LevelPerM3(Number, "room"));
    }

    [Published(Source, "W5.10: time to 95 %")]
    [Theory]
    [InlineData(0, "box", 0.466568)]
    [InlineData(0, "room", 3.881089)]
    [InlineData(4, "box", 0.064616)]
    [InlineData(4, "room", 3.697828)]
    public void Box_and_room_come_to_95_percent(double cleanAirM3PerH, string zone, double printedH)
    {
        var model = Enclosure(2, 0.3, cleanAirM3PerH);
        var run = Run(model, Number);
        run.SetSource(Number, "box", 1e12 / HourS);
        run.Advance(printedH * HourS);
        Close.To(0.95, run.LevelPerM3(Number, zone) / Steady(model, 1e12)[model.IndexOf(zone)], 1e-5);
    }

    [Published(Source, "W5.12: the box blows 5 m3/h outdoors")]
    [Fact]
    public void A_box_that_is_vented_outdoors_spares_the_room()
    {
        var model = Enclosure() with
        {
            Loops =
            [
                new AirLoop { Through = ["box", "room"], FlowM3PerH = 0.5 },
                new AirLoop { Through = [Zone.Outdoors, "room"], FlowM3PerH = 10 },
                new AirLoop { Through = [Zone.Outdoors, "room", "box"], FlowM3PerH = 5 },
            ],
        };
        var levels = Steady(model, 6);
        Close.ToDigits(1.127273, 7, levels[0]);
        Close.ToDigits(0.03636364, 7, levels[1]);
    }

    [Published("air reference, computed there by numerical integration", "W5.13: W5.6 with the source on for 2 h")]
    [Fact]
    public void A_print_of_two_hours_in_a_box()
    {
        var (inBox, inRoom) = (new LevelWatch(0, 0), new LevelWatch(0, 1));
        var run = Run(Enclosure(), Vapour, new Both(inBox, inRoom));
        run.SetSource(Vapour, "box", 6 / HourS);
        run.Advance(2 * HourS);
        Check(12.21736, 0.2360299);
        Close.ToDigits(0.2464911, 7, inRoom.IntegralHPerM3);
        run.SetSource(Vapour, "box", 0);
        run.Advance(HourS);
        Check(0.2677953, 0.1699168);
        run.Advance(3 * HourS);
        Check(0.04241523, 0.03818933);
        Close.ToDigits(0.7233386, 7, inRoom.IntegralHPerM3);
        run.Advance(1000 * HourS);
        Close.ToDigits(0.8, 7, inRoom.IntegralHPerM3);
        Close.ToDigits(24.8, 7, inBox.IntegralHPerM3);

        void Check(double box, double room)
        {
            Close.ToDigits(box, 7, run.LevelPerM3(Vapour, "box"));
            Close.ToDigits(room, 7, run.LevelPerM3(Vapour, "room"));
        }
    }

    [Published(Source, "W5.14: W5.7 with a print of 0.5 h")]
    [Fact]
    public void A_remedy_changes_the_integral_as_it_changes_the_plateau()
    {
        var (off, on) = (Integral(0), Integral(4));
        Close.ToDigits(1.479290e10, 7, off);
        Close.ToDigits(2.175805e9, 7, on);
        Close.ToDigits(0.1470844, 7, on / off);

        static double Integral(double cleanAirM3PerH)
        {
            var watch = new LevelWatch(0, 1);
            var run = Run(Enclosure(2, 0.3, cleanAirM3PerH), Number, watch);
            run.SetSource(Number, "box", 1e12 / HourS);
            run.Advance(0.5 * HourS);
            run.SetSource(Number, "box", 0);
            run.Advance(1000 * HourS);
            return watch.IntegralHPerM3;
        }
    }

    [Published("air reference, computed there in closed form", "W5.15 and W5.16: near and far field")]
    [Theory]
    [InlineData(5, 15)]
    [InlineData(7.238229, 11.90777)]
    public void Near_the_source_it_is_worse(double betweenM3PerMin, double printedNear)
    {
        var model = new AirModel
        {
            Zones = [new Zone { Id = "near", VolumeM3 = 1 }, new Zone { Id = "far", VolumeM3 = 100 }],
            Loops =
            [
                new AirLoop { Through = ["near", "far"], FlowM3PerH = betweenM3PerMin * 60 },
                new AirLoop { Through = [Zone.Outdoors, "far"], FlowM3PerH = 600 },
            ],
        };
        var levels = Steady(model, 50 * 60);
        Close.ToDigits(printedNear, 7, levels[0]);
        Close.ToDigits(5, 7, levels[1]);
    }

    [Published(Source, "W9.1: CO2 from 1400 to 800 ppm in 1.5 h, 420 ppm outdoors")]
    [Fact]
    public void A_tracer_decays_to_the_level_outdoors()
    {
        var run = Run(OneZone(30, 0.6315875) with { OutdoorsPerM3 = ByAgent.All(420) }, Vapour);
        run.StartAt(Vapour, "room", 1400);
        run.Advance(1.5 * HourS);
        Close.To(800, run.LevelPerM3(Vapour, "room"), 1e-6);
    }

    [Published("air reference, computed there in closed form", "W9.2: an office of 20.7 m3/h")]
    [Fact]
    public void An_emission_of_6_21_mg_per_h_keeps_an_office_at_the_target() => Close.ToDigits(0.3, 7, Steady(OneZone(30.6, 20.7 / 30.6), 6.21)[0]);

    private sealed class MeanOfLastStretch : IAirSink
    {
        public double Mean { get; private set; }

        public void Take(in AirStep step) => Mean = step.Mean(0, 0);
    }

    private sealed class Both(IAirSink one, IAirSink other) : IAirSink
    {
        public void Take(in AirStep step)
        {
            one.Take(step);
            other.Take(step);
        }
    }
}
