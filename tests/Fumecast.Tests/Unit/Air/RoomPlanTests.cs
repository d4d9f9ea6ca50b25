// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Air;

public class RoomPlanTests
{
    private static Figure Stated(double value, Quantity quantity) => new() { Quantity = quantity, Value = value, Origin = FigureReader.StatedIn("--option") };

    private static double Middle(Figure figure) => figure.Value;

    [Fact]
    public void A_room_of_a_volume_alone_assumes_the_rest_and_says_so()
    {
        var room = RoomRemedies.Simple(Stated(30, Quantity.AirVolume));
        var model = room.ModelAt(Middle);
        model.Validate();
        Assert.Equal("room", Assert.Single(model.Zones).Id);
        Close.To(30 * Math.Sqrt(0.9), Assert.Single(model.Loops).FlowM3PerH, 1e-12);
        Assert.Equal(["deposition of particles in room", "air changes of room, ventilation"], room.Ranges.Select(static r => r.Name));
        Assert.All(room.Ranges, static r =>
        {
            Assert.Equal(FigureKnown.Assumed, r.Figure.Origin.Known);
            Assert.NotEmpty(r.Figure.Origin.Where);
            Assert.NotNull(r.Figure.Origin.Why);
            Assert.Equal(r.Figure.Origin.Sources.Count, AirSources.Of(r.Figure.Origin.Sources, []).Count);
        });
    }

    [Fact]
    public void A_box_and_a_filter_come_by_their_options()
    {
        var room = RoomRemedies.Simple(
            Stated(30, Quantity.AirVolume), Stated(0.5, Quantity.RatePerH), Stated(0.12, Quantity.AirVolume), Stated(0.5, Quantity.AirFlow))
            .WithFilterByPrinter(AirData.Filters.Load("hepa"), Stated(10, Quantity.AirFlow));
        var model = room.ModelAt(Middle);
        model.Validate();
        Assert.Equal(["box", "room"], model.Zones.Select(static z => z.Id));
        Assert.Equal([0.5, 15.0], model.Loops.Select(static l => l.FlowM3PerH));
        Assert.Equal(("box", 10.0), (model.Filters[0].Zone, model.Filters[0].FlowM3PerH));

        var assumed = RoomRemedies.Simple(Stated(30, Quantity.AirVolume), boxM3: Stated(0.12, Quantity.AirVolume)).WithFilterByPrinter(AirData.Filters.Load("hepa"));
        Assert.Contains(assumed.Ranges, static r => r.Name == "air changes of box, leaks of the box" && r.Figure.Origin.Known == FigureKnown.Assumed);
        Assert.Contains(assumed.Ranges, static r => r.Name == "flow, hepa in box" && r.Figure.Origin.Known == FigureKnown.Assumed);
        Assert.Equal("room", RoomRemedies.Simple(Stated(30, Quantity.AirVolume)).WithFilterByPrinter(AirData.Filters.Load("hepa")).Filters[0].Zone);
    }

    [Fact]
    public void Remedies_leave_the_figures_of_all_else_alone()
    {
        var room = AirData.Rooms.Load("workshop-leaky-box");
        RoomPlan[] remedies =
        [
            room.WithFilter("box", AirData.Filters.Load("foam"), AssumedAir.BoxFilterFlowM3PerH),
            room.WithWindow("room", AssumedAir.WindowChangesPerH),
            room.WithExhaust("box", AssumedAir.ExhaustM3PerH),
        ];
        foreach (var remedy in remedies)
        {
            remedy.ModelAt(Middle).Validate();
            Assert.Equal(room.Ranges.Select(static r => r.Name), remedy.Ranges.Select(static r => r.Name).Intersect(room.Ranges.Select(static r => r.Name)));
            Assert.All(room.Ranges, r => Assert.Same(r.Figure, remedy.Ranges.Single(other => other.Name == r.Name).Figure));
            Assert.True(remedy.Ranges.Count > room.Ranges.Count);
        }
    }

    [Fact]
    public void An_exhaust_of_a_box_draws_the_air_of_the_room_through_it()
    {
        var room = AirData.Rooms.Load("bedroom-tight-box");
        Assert.Equal(["outdoors", "room", "box"], room.WithExhaust("box", AssumedAir.ExhaustM3PerH).Loops[^1].Through);
        Assert.Equal(["outdoors", "room"], room.WithExhaust("room", AssumedAir.ExhaustM3PerH).Loops[^1].Through);
    }

    [Fact]
    public void Without_its_box_the_print_stands_in_the_room()
    {
        var room = AirData.Rooms.Load("bedroom-leaky-box").WithFilter("box", AirData.Filters.Load("hepa"), AssumedAir.BoxFilterFlowM3PerH);
        var bare = room.WithoutBox()!;
        bare.ModelAt(Middle).Validate();
        Assert.Equal("room", Assert.Single(bare.Zones).Id);
        Assert.Empty(bare.Filters);
        Assert.Equal(["ventilation"], bare.Loops.Select(static l => l.Name));
        Assert.Null(bare.WithoutBox());
        var open = AirData.Rooms.Load("bedroom");
        Assert.Equal(open.Ranges.Select(static r => r.Name), bare.Ranges.Select(static r => r.Name));
        Assert.Equal(open.Ranges.Select(static r => r.Figure.Value), bare.Ranges.Select(static r => r.Figure.Value));
    }

    [Fact]
    public void Near_the_printer_is_a_zone_of_its_own()
    {
        var near = AirData.Rooms.Load("bedroom").WithNearField("room")!;
        near.ModelAt(Middle).Validate();
        Assert.Equal(["near", "room"], near.Zones.Select(static z => z.Id));
        Assert.Contains(near.Ranges, static r => r.Name == "flow, air around the printer");
        var boxed = AirData.Rooms.Load("bedroom-leaky-box").WithNearField("room")!;
        boxed.ModelAt(Middle).Validate();
        Assert.Equal(["box", "near"], boxed.Loops.Single(static l => l.Name == "leaks of the box").Through);
        Assert.Null(AirData.Rooms.Load("bedroom").WithNearField("room", radiusM: 3));
    }

    [Fact]
    public void Near_the_printer_is_taken_off_the_room_and_its_air_from_outdoors_stays()
    {
        var plan = RoomRemedies.Simple(Stated(30, Quantity.AirVolume), Stated(0.5, Quantity.RatePerH));
        var near = plan.WithNearField("room")!.ModelAt(Middle);
        Close.To(30, near.Zones.Sum(static z => z.VolumeM3), 1e-12);
        Close.To(15, near.Loops.Single(static l => l.Name == "ventilation").FlowM3PerH, 1e-12);

        // However small the room is drawn, air is left in it.
        Assert.True(plan.WithNearField("room")!.ModelAt(static f => f.Value / 30).Zones.Single(static z => z.Id == "room").VolumeM3 > 0);
    }

    [Fact]
    public void What_a_sorbent_holds_is_among_the_figures_of_its_room()
    {
        var carbon = AirData.Filters.Load("hepa") with { SorbentMassG = FigureText.Between(50, 200, Quantity.Mass, AssumedAir.ExhaustM3PerH.Origin), Capacity = Stated(0.1, Quantity.Share) };
        var names = RoomRemedies.Simple(Stated(30, Quantity.AirVolume)).WithFilterByPrinter(carbon);
        Assert.Contains(names.Ranges, f => ReferenceEquals(f.Figure, carbon.SorbentMassG));
        Assert.Contains(names.Figures, f => ReferenceEquals(f.Figure, carbon.Capacity));
    }

    [Fact]
    public void Deposition_stated_for_a_diameter_follows_the_size_of_the_particles()
    {
        var room = RoomRemedies.Simple(Stated(30, Quantity.AirVolume));
        double Of(Agent agent, double cmd) => room.ModelAt(Middle, new RoomAerosol(new ParticleSize(cmd, 1.0001), 1.1)).Zones[0].DepositionPerH.Of(agent);
        var stated = AssumedAir.RoomDepositionPerH.Value;
        Close.To(stated, Of(Agent.ParticleNumber, 30), 1e-4);
        Close.To(stated * Math.Pow(100.0 / 30, -0.87), Of(Agent.ParticleNumber, 100), 1e-4);

        var wide = room.ModelAt(Middle, new RoomAerosol(new ParticleSize(30, 1.8), 1.1)).Zones[0].DepositionPerH;
        Assert.True(wide.Of(Agent.ParticleNumber) > wide.Of(Agent.ParticleMass) && wide.Of(Agent.ParticleMass) > wide.Of(Agent.VisibleMass));
        Assert.Equal(0, wide.Of(Agent.Tvoc));

        var grown = room.ModelAt(Middle, new RoomAerosol(new ParticleSize(30, 1.8), 1.1), coagulates: true);
        grown.Validate();
        Assert.Equal((1.1, 1.8), (grown.Particles!.DensityGPerCm3, grown.Particles.SourceGsd));
        Close.To(stated, grown.Zones[0].DepositionBySize!.AtPerH(30), 1e-12);
        Assert.Null(room.ModelAt(Middle).Particles);
    }

    [Fact]
    public void Each_shipped_room_stands_open_and_in_each_box()
    {
        string[] rooms = ["bedroom", "classroom", "hall", "office", "workshop"];
        Assert.Equal(rooms.SelectMany(static room => new[] { room, $"{room}-leaky-box", $"{room}-tight-box" }).Order(StringComparer.Ordinal), AirData.Rooms.Ids);
        foreach (var room in rooms)
        {
            var (open, leaky, tight) = (AirData.Rooms.Load(room), AirData.Rooms.Load($"{room}-leaky-box"), AirData.Rooms.Load($"{room}-tight-box"));
            Assert.Null(open.Box);
            Assert.Equal(("box", "box"), (leaky.Zones[0].Id, tight.Box!.Id));
            Assert.StartsWith(open.Description + ", printer in a box", leaky.Description, StringComparison.Ordinal);
            double Leak(RoomPlan plan) => plan.ModelAt(Middle).Loops[0].FlowM3PerH;
            Assert.True(Leak(leaky) > 3 * Leak(tight));
            Assert.Equal(open.ModelAt(Middle).Loops[^1].FlowM3PerH, leaky.ModelAt(Middle).Loops[^1].FlowM3PerH);
        }
    }

    [Fact]
    public void A_room_that_is_nearly_known_is_offered() =>
        Assert.Equal("found no room 'bedroom-leeky-box'; did you mean 'bedroom-leaky-box'? (a path to a .yaml file works too)", Assert.Throws<InputProblem>(() => AirData.Rooms.Load("bedroom-leeky-box")).Message);
}
