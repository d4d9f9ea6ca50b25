// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Uncertainty;
using MathNet.Numerics.Statistics;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>The air of a room with all that is drawn, against closed forms and plain draws.</summary>
public class AirForecastTests
{
    private const double H = 3600;
    private static readonly FigureOrigin Origin = new(["TEST"], "in a test", FigureKnown.Assumed, "D", "a test");
    private static readonly Agent Styrene = new("styrene", "styrene", "ug");

    [Fact]
    public void A_constant_source_in_one_zone_follows_the_closed_form()
    {
        // C(t) = E/(a V) (1 - exp(-a t)) while it lasts, then exp(-a t).
        var outcome = Run(Room(30, 2), [Steady(Agent.Tvoc, 0.5, 2 * H)], levels: [(Agent.Tvoc, 5)]);
        var tvoc = outcome.Zones[0].Agents.Single();
        var peak = 0.5 * H / (30 * 2) * (1 - Math.Exp(-4));
        Close.To(peak, tvoc.Peak.Median, 1e-9);
        Close.To(peak, tvoc.EndOfPrint.Low, 1e-9);
        Close.To(2 * H, tvoc.PeakAtS, 1e-9);
        Close.To(0.5 * 2 * H / (30 * 2), tvoc.TimeIntegralH.High, 1e-9);
        Close.To(0.5 * 2 * H / (30 * 2) / 24, tvoc.Mean24H.Median, 1e-6);
        Close.To(Math.Log(peak / 5) / 2 * H, outcome.ClearAfter.Single(c => c.Of == "added").AfterPrintS.Median, 2e-3);
        Assert.Null(tvoc.WithoutPrint);
    }

    // Drawn as a polygon, or over a logarithmic scale, a curve is only as good as the distance of its times.
    [Fact]
    public void Levels_over_time_are_close_enough_to_be_drawn()
    {
        var plan = Room(Between(25, 35, Quantity.AirVolume), Between(1, 4, Quantity.RatePerH));
        var outcome = AirForecastRun.Run(new AirRequest { Plan = plan, Sources = [Steady(Agent.Tvoc, 0.5, 2 * H, gsd: 2) with { Zone = plan.Zones[0].Id, StartS = 600 }], KeepSeries = true });
        var (times, levels) = (outcome.Series[0].TimesS, outcome.Series[0].Levels);
        Assert.InRange(times.Count, 300, 1000);
        Assert.True(times.Zip(times.Skip(1)).All(static pair => pair.Second > pair.First));

        // It begins with nothing, so what is told of one minute is read off times well below a minute.
        Assert.Equal(0, levels[times.Index().Last(static t => t.Item <= 600).Index].High);
        Assert.True(times.Count(static t => t is > 600 and < 660) >= 3);
        Assert.All(times.Zip(levels).Where(static at => at.First > 620), static at => Assert.True(at.Second.Low < at.Second.Median && at.Second.Median < at.Second.High, $"{at}"));

        // Between two times no level is further than 6 % from a straight line of logarithms through its neighbours.
        for (var t = 1; t + 1 < times.Count; t++)
        {
            if (times[t] > 700 && times[t + 1] < 2 * H)
            {
                var share = (times[t] - times[t - 1]) / (times[t + 1] - times[t - 1]);
                var straight = Math.Exp(((1 - share) * Math.Log(levels[t - 1].Median)) + (share * Math.Log(levels[t + 1].Median)));
                Assert.InRange(levels[t].Median / straight, 0.94, 1.06);
            }
        }
    }

    [Fact]
    public void Intervals_agree_with_plain_draws_of_the_closed_form()
    {
        var (volume, changes) = (Between(30, 60, Quantity.AirVolume), Between(0.3, 3, Quantity.RatePerH));
        var outcome = Run(Room(volume, changes), [Steady(Agent.Tvoc, 0.5, 3 * H, gsd: 3)]);

        var random = new Random(11);
        var (peaks, integrals) = (new double[200_000], new double[200_000]);
        for (var i = 0; i < peaks.Length; i++)
        {
            var (v, a, e) = (volume.At(Normal()), changes.At(Normal()), 0.5 * H * Math.Exp(Math.Log(3) * Normal()));
            peaks[i] = e / (a * v) * (1 - Math.Exp(-a * 3));
            integrals[i] = 3 * e / (a * v) - peaks[i] / a * Math.Exp(-a * 24);
        }

        Agree(peaks, outcome.Zones[0].Agents[0].Peak);
        Agree(integrals, outcome.Zones[0].Agents[0].TimeIntegralH);

        double Normal() => MathNet.Numerics.Distributions.Normal.Sample(random, 0, 1);

        static void Agree(double[] plain, Uncertain drawn)
        {
            Close.To(ArrayStatistics.QuantileInplace(plain, 0.05), drawn.Low, 0.05);
            Close.To(ArrayStatistics.QuantileInplace(plain, 0.5), drawn.Median, 0.05);
            Close.To(ArrayStatistics.QuantileInplace(plain, 0.95), drawn.High, 0.05);
        }
    }

    [Fact]
    public void Everything_given_off_is_somewhere()
    {
        var outcome = Run(Boxed(), [Particles(1e9, H)]);
        foreach (var b in outcome.Balance)
        {
            Close.To(b.Emitted, b.Airborne + b.Vented + b.Deposited + b.Filtered + b.Coagulated, 1e-9);
        }

        Assert.True(outcome.Balance.Single(static b => b.Agent == Agent.ParticleNumber).Coagulated > 0);
    }

    [Fact]
    public void Twice_the_source_is_twice_the_mass_and_vapour_but_less_than_twice_the_number()
    {
        var one = Run(Boxed(), [Particles(1e10, H), Steady(Agent.Tvoc, 1, H)]);
        var two = Run(Boxed(), [Particles(2e10, H), Steady(Agent.Tvoc, 2, H)]);
        for (var z = 0; z < 2; z++)
        {
            var (tvoc, twice) = (Of(one, z, Agent.Tvoc), Of(two, z, Agent.Tvoc));
            Close.To(2 * tvoc.Peak.Median, twice.Peak.Median, 1e-9);
            Close.To(2 * tvoc.Mean8H.High, twice.Mean8H.High, 1e-9);
            Assert.InRange(Of(two, z, Agent.ParticleNumber).Peak.High / Of(one, z, Agent.ParticleNumber).Peak.High, 1.0, 1.9);
        }

        // Deposition follows the size, which coagulation changes: without it mass is in proportion.
        var (plain, doubled) = (Run(Room(30, 1), [Particles(1e10, H)]), Run(Room(30, 1), [Particles(2e10, H)]));
        Close.To(2 * Of(plain, 0, Agent.ParticleMass).TimeIntegralH.Median, Of(doubled, 0, Agent.ParticleMass).TimeIntegralH.Median, 1e-9);
    }

    [Fact]
    public void The_room_as_it_is_compares_as_exactly_one()
    {
        var outcome = Run(Boxed(), [Particles(1e9, H), Steady(Agent.Tvoc, 1, H, gsd: 4)], remedies: true);
        var asItIs = outcome.Remedies.Where(static r => r.Remedy == RoomChanges.AsItIs).ToList();
        Assert.Equal(2 * 4, asItIs.Count);
        Assert.All(asItIs, static r => Assert.Equal((new Uncertain(1, 1, 1), new Uncertain(1, 1, 1)), (r.IntegralRatio, r.PeakRatio)));
    }

    [Fact]
    public void What_remedies_share_cancels()
    {
        var outcome = Run(Boxed(), [Steady(Agent.Tvoc, 1, H, gsd: 20)], remedies: true);
        var peak = Of(outcome, 1, Agent.Tvoc).Peak;
        var window = outcome.Remedies.Single(static r => r.Remedy == "window open" && r.Zone == "room").IntegralRatio;
        Assert.True(peak.High / peak.Low > 1000);
        Assert.True(window.High / window.Low < 20, $"{window}");

        // A particle filter leaves vapours alone, whatever it is.
        var hepa = outcome.Remedies.Single(static r => r.Remedy == "test filter in the box" && r.Zone == "room").IntegralRatio;
        Assert.Equal(new Uncertain(1, 1, 1), hepa);
    }

    [Fact]
    public void The_order_of_zones_and_loops_changes_nothing()
    {
        var plan = Boxed();
        var turned = plan with { Zones = [.. plan.Zones.Reverse()], Loops = [.. plan.Loops.Reverse()] };
        IReadOnlyList<PlacedSource> sources = [Particles(1e9, H) with { Zone = "box" }, Steady(Agent.Tvoc, 1, H, gsd: 4) with { Zone = "box" }];
        var (one, other) = (Run(plan, sources, place: false), Run(turned, sources, place: false));
        foreach (var agent in new[] { Agent.ParticleNumber, Agent.VisibleMass, Agent.Tvoc })
        {
            var (a, b) = (Of(one, 1, agent), Of(other, 0, agent));
            Close.To(a.Peak.Low, b.Peak.Low, 1e-6);
            Close.To(a.Mean1H.Median, b.Mean1H.Median, 1e-6);
            Close.To(a.TimeIntegralH.High, b.TimeIntegralH.High, 1e-6);
        }
    }

    [Fact]
    public void Times_late_in_a_day_are_as_right_as_early_ones()
    {
        var early = Run(Boxed(), [Steady(Agent.Tvoc, 1, H, gsd: 4)]);
        var late = Run(Boxed(), [Steady(Agent.Tvoc, 1, H, gsd: 4) with { StartS = 13 * H + 17 }]);
        Close.To(Of(early, 1, Agent.Tvoc).Peak.High, Of(late, 1, Agent.Tvoc).Peak.High, 0.015);
        Close.To(Of(early, 1, Agent.Tvoc).TimeIntegralH.Low, Of(late, 1, Agent.Tvoc).TimeIntegralH.Low, 0.015);
    }

    [Fact]
    public void Four_times_as_many_cells_move_the_ends_of_intervals_by_a_percent()
    {
        var sources = new PlacedSource[] { Particles(3e9, 4 * H), Steady(Agent.Tvoc, 1, 4 * H, gsd: 4) };
        var (usual, fine) = (Run(Boxed(), sources), Run(Boxed(), sources, cells: 640));
        foreach (var agent in new[] { Agent.ParticleNumber, Agent.ParticleMass, Agent.Tvoc })
        {
            for (var z = 0; z < 2; z++)
            {
                Close.To(Of(fine, z, agent).Peak.High, Of(usual, z, agent).Peak.High, 0.015);
                Close.To(Of(fine, z, agent).Mean15Min.Low, Of(usual, z, agent).Mean15Min.Low, 0.015);
                Close.To(Of(fine, z, agent).TimeIntegralH.Median, Of(usual, z, agent).TimeIntegralH.Median, 0.015);
            }
        }
    }

    [Fact]
    public void Clean_air_needed_is_what_the_steady_level_asks_for()
    {
        // After two days at 2 air changes an hour the level is steady: E / L = a V + x.
        var outcome = Run(Room(30, 2), [Steady(Styrene, 1, 48 * H)], levels: [(Styrene, 20)]);
        var needed = outcome.Needed.Single(static n => n.Averaging == "peak");
        Close.To(1 * H / 20 - 60, needed.CleanAirM3PerH.Median, 1e-3);
        Assert.Equal(needed.CleanAirM3PerH.Low, needed.CleanAirM3PerH.High);
    }

    [Fact]
    public void The_width_is_put_down_to_what_makes_it()
    {
        var outcome = Run(Room(Between(29, 31, Quantity.AirVolume), Between(0.1, 10, Quantity.RatePerH)), [Steady(Agent.Tvoc, 1, 12 * H, gsd: 1.05)]);
        var most = Of(outcome, 0, Agent.Tvoc).Influences[0];
        Assert.Equal("air changes of room, ventilation", most.Name);
        Assert.InRange(most.Share, 0.9, 1);
    }

    [Fact]
    public void A_meter_for_scattered_light_sees_the_coarse_aerosol_and_not_the_fine_one()
    {
        var meter = AirData.Meters.Load("optical-pm");
        var fine = Run(Room(30, 1), [Particles(1e10, 4 * H, medianNm: 20)], meters: [meter]);
        var coarse = Run(Room(30, 1), [Particles(1e10, 4 * H, medianNm: 120)], meters: [meter]);
        var (unseen, seen) = (fine.Zones[0].Meters.Single(static m => m.Quantity == "pm25"), coarse.Zones[0].Meters.Single(static m => m.Quantity == "pm25"));
        Assert.InRange(unseen.ProbabilitySeen, 0.05, 0.06);
        Assert.InRange(seen.ProbabilitySeen, 0.99, 1);
        Assert.True(seen.MeanPrint.Median < Of(coarse, 0, Agent.ParticleMass).MeanPrint.Median * 1.01);
    }

    [Fact]
    public void A_sorbent_lasts_as_long_as_its_capacity_over_what_it_catches()
    {
        var plan = Room(30, 0.001) is var open
            ? open.WithFilter("room", Filter(particles: 0, vapours: 1, sorbentG: 100, capacity: 0.1), Exact(300, Quantity.AirFlow))
            : open;
        var life = Run(plan, [Steady(Agent.Tvoc, 1, 10 * H)]).Sorbents.Single();

        // Next to all of 36 mg in 10 h ends in 10 g of room.
        Close.To(10e6 / (10 * H) * 10, life.PrintHours.Median, 2e-3);
    }

    [Fact]
    public void A_level_of_what_nothing_is_known_of_is_refused()
    {
        var problem = Assert.Throws<InputProblem>(() => Run(Room(30, 1), [Steady(Styrene, 1, H)], levels: [(new Agent("stryene", "stryene", "ug"), 30)]));
        Assert.True(problem.IsOfOptions);
        Assert.EndsWith("expected one of styrene; did you mean 'styrene'?", problem.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_named_level_counts_what_is_there_where_that_is_known()
    {
        var outdoors = Room(30, 2) with { Outdoors = [new OutdoorLevel("tvoc", [Agent.Tvoc], Exact(50, Quantity.MassConcentration))] };
        var below = Run(outdoors, [Steady(Agent.Tvoc, 5, 2 * H)], levels: [(Agent.Tvoc, 60), (Agent.Tvoc, 40)]).ClearAfter.Where(static c => c.Of == "named").ToList();
        var peak = 5 * H / (30 * 2) * (1 - Math.Exp(-4));
        Close.To(Math.Log(peak / 10) / 2 * H, below[0].AfterPrintS.Median, 2e-3);
        Close.To(50, below[0].WithoutPrint!.Value, 1e-9);
        Assert.True(double.IsPositiveInfinity(below[1].AfterPrintS.Low));
    }

    [Fact]
    public void A_named_level_counts_the_worst_that_fans_and_windows_make_of_what_is_there()
    {
        // 60 ug/h into 30 m3: 1 ug/m3 at 2 changes an hour, and 10 ug/m3 once the window is closed, two hours after the end.
        var closed = new Schedule { Otherwise = 1, Pieces = [new SchedulePiece(new(ScheduleAnchor.End, 2 * H), new(ScheduleAnchor.End, 30 * H), Share: 0)] };
        var leaky = Room(30, 0.2);
        var plan = leaky with
        {
            Loops = [.. leaky.Loops, new LoopPlan { Name = "window", Through = [Zone.Outdoors, "room"], Flow = Exact(1.8, Quantity.RatePerH), ChangesOf = "room", On = closed }],
            Indoors = [new IndoorSource(Agent.Tvoc, "room", Exact(1, Quantity.MassConcentration))],
        };
        var outcome = Run(plan, [Steady(Agent.Tvoc, 1, H)], levels: [(Agent.Tvoc, 5)]);
        Close.To(1, outcome.Zones[0].Agents[0].WithoutPrint!.Value, 1e-9);
        Close.To(10, outcome.ClearAfter.Single(static c => c.Of == "named").WithoutPrint!.Value, 1e-9);
    }

    [Fact]
    public void What_remedies_bring_along_is_named_once_and_none_of_it_is_the_rooms_own()
    {
        var plan = Boxed();
        var brought = RoomChanges.Brought(plan, [AirData.Filters.Load("hepa"), AirData.Filters.Load("thin-carbon")]);
        foreach (var figure in new[] { AssumedAir.WindowChangesPerH, AssumedAir.ExhaustM3PerH, AssumedAir.BoxFilterFlowM3PerH })
        {
            Assert.Single(brought, f => ReferenceEquals(f.Figure, figure));
        }

        Assert.Contains(brought, static f => f.Name == "flow, each filter that is tried");
        Assert.DoesNotContain(brought, f => plan.Figures.Any(own => ReferenceEquals(own.Figure, f.Figure)));
    }

    [Fact]
    public void A_noisy_background_hides_a_print_from_a_meter()
    {
        var meter = AirData.Meters.Load("optical-pm");
        var clean = Run(Room(30, 1), [Particles(3e7, 4 * H, medianNm: 120)], meters: [meter]);
        var dusty = Room(30, 1) with { Outdoors = [new OutdoorLevel("pm25", [Agent.ParticleMass, Agent.VisibleMass], Exact(500, Quantity.MassConcentration))] };
        var hidden = Run(dusty, [Particles(3e7, 4 * H, medianNm: 120)], meters: [meter]);
        Assert.True(Seen(hidden) < Seen(clean) - 0.1, $"{Seen(hidden)} {Seen(clean)}");

        static double Seen(AirOutcome outcome) => outcome.Zones[0].Meters.Single(static m => m.Quantity == "pm25").ProbabilitySeen;
    }

    [Fact]
    public void A_meter_with_a_larger_cut_sees_less_and_one_with_a_smaller_cut_more()
    {
        var usual = AirData.Meters.Load("optical-pm");
        double Shown(double fromNm) => Run(Room(30, 1), [Particles(1e10, H, medianNm: 120)], meters: [usual with { Channels = [.. usual.Channels.Select(c => c with { LowerCutNm = fromNm })] }])
            .Zones[0].Meters.Single(static m => m.Quantity == "pm25").MeanPrint.Median;
        Assert.True(Shown(100) > Shown(300) && Shown(300) > 1.5 * Shown(500), $"{Shown(100)} {Shown(300)} {Shown(500)}");
    }

    [Fact]
    public void Guidelines_are_held_against_their_own_averaging_time()
    {
        var hour = AirData.Guidelines.Load("oehha-caprolactam-1h");
        var outcome = Run(Room(30, 1), [Steady(hour.Agent, 1, 20 * 60)], guidelines: [hour, AirData.Guidelines.Load("oehha-caprolactam-chronic")]);
        var ratio = outcome.Zones[0].Guidelines.Single();
        Close.To(outcome.Zones[0].Agents[0].Mean1H.Median / 50, ratio.Ratio.Median, 1e-9);
    }

    internal static Figure Exact(double value, Quantity quantity) => new() { Quantity = quantity, Value = value, Origin = Origin };

    internal static Figure Between(double low, double high, Quantity quantity) => FigureText.Between(low, high, quantity, Origin);

    internal static RoomPlan Room(double volumeM3, double changesPerH) => Room(Exact(volumeM3, Quantity.AirVolume), Exact(changesPerH, Quantity.RatePerH));

    internal static RoomPlan Room(Figure volumeM3, Figure changesPerH) => new()
    {
        Id = "test",
        Description = "a room of a test",
        Zones = [new ZonePlan { Id = "room", VolumeM3 = volumeM3 }],
        Loops = [new LoopPlan { Name = "ventilation", Through = [Zone.Outdoors, "room"], Flow = changesPerH, ChangesOf = "room" }],
    };

    private static RoomPlan Boxed() => RoomRemedies.Simple(
        Between(30, 60, Quantity.AirVolume), Between(0.3, 3, Quantity.RatePerH), Between(0.06, 0.2, Quantity.AirVolume), Between(0.3, 2, Quantity.AirFlow));

    private static FilterKind Filter(double particles, double vapours, double? sorbentG = null, double? capacity = null) => new()
    {
        Id = "test-filter",
        Name = "test filter",
        Description = "a filter of a test",
        File = "",
        Efficiency = new FigureByAgent { Particles = Exact(particles, Quantity.Share), Vapours = Exact(vapours, Quantity.Share) },
        Bypass = Exact(0, Quantity.Share),
        SorbentMassG = sorbentG is { } mass ? Exact(mass, Quantity.Mass) : null,
        Capacity = capacity is { } share ? Exact(share, Quantity.Share) : null,
    };

    private static PlacedSeries Steady(Agent agent, double perS, double seconds, double gsd = 1) => new()
    {
        Zone = "",
        StartS = 0,
        Series = new GivenSeries([agent], [gsd], null, [(seconds, [perS])]),
    };

    private static PlacedSeries Particles(double perS, double seconds, double medianNm = 35)
    {
        var size = new ParticleSize(medianNm, 1.75);
        return new PlacedSeries
        {
            Zone = "",
            StartS = 0,
            Series = new GivenSeries([Agent.ParticleNumber, Agent.ParticleMass], [1.5, 1.5], new GivenParticles(size, 1.1), [(seconds, [perS, perS * size.MeanMassUg(1.1)])]),
        };
    }

    private static AirOutcome Run(
        RoomPlan plan, IReadOnlyList<PlacedSource> sources, IReadOnlyList<(Agent, double)>? levels = null, bool remedies = false, int cells = 160,
        IReadOnlyList<MeterKind>? meters = null, IReadOnlyList<Guideline>? guidelines = null, bool place = true) => AirForecastRun.Run(new AirRequest
        {
            Plan = plan,
            Sources = place ? [.. sources.Select(s => s with { Zone = plan.Zones[0].Id })] : sources,
            Levels = levels ?? [],
            RemedyFilters = remedies ? [Filter(particles: 0.9, vapours: 0)] : null,
            GridCells = cells,
            Meters = meters ?? [],
            Guidelines = guidelines ?? [],
        });

    private static AgentLevels Of(AirOutcome outcome, int zone, Agent agent) => outcome.Zones[zone].Agents.Single(a => a.Agent == agent);
}
