// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Air;

/// <summary>What is shipped about air: every file is read and sound, every figure carries its source.</summary>
public class AirDataTests
{
    public static TheoryData<string> Rooms => [.. AirData.Rooms.Ids];

    public static TheoryData<string> Filters => [.. AirData.Filters.Ids];

    public static TheoryData<string> Meters => [.. AirData.Meters.Ids];

    public static TheoryData<string> Guidelines => [.. AirData.Guidelines.Ids];

    [Theory]
    [MemberData(nameof(Rooms))]
    public void A_shipped_room_is_sound(string id)
    {
        var room = AirData.Rooms.Load(id);
        Assert.Equal(id, room.Id);
        Assert.NotEmpty(room.Cautions);
        Sound(room.Figures.Select(static named => named.Figure), room.OwnSources);
        foreach (var z in new[] { -3.5, 0, 3.5 })
        {
            room.ModelAt(f => f.At(z)).Validate();
        }

        // Nothing given off stays for ever.
        Assert.NotNull(SteadyAir.LevelsPerM3(room.ModelAt(static f => f.Value), Agent.Tvoc, new double[room.Zones.Count]));
    }

    [Theory]
    [MemberData(nameof(Filters))]
    public void A_shipped_filter_is_sound(string id)
    {
        var filter = AirData.Filters.Load(id);
        Assert.Equal(id, filter.Id);
        Assert.NotNull(filter.Efficiency.Particles);
        Assert.NotNull(filter.Efficiency.Vapours);
        Assert.NotEmpty(filter.Cautions);
        Sound(filter.Figures().Select(static named => named.Figure), filter.OwnSources);
    }

    [Fact]
    public void A_carbon_bed_is_no_particle_filter_and_a_particle_filter_takes_no_vapours()
    {
        Assert.Equal(["deep-carbon", "fine-filter", "foam", "hepa", "hepa-and-carbon", "thin-carbon"], AirData.Filters.Ids);
        double Particles(string id) => AirData.Filters.Load(id).Efficiency.Particles!.Value;
        double Vapours(string id) => AirData.Filters.Load(id).Efficiency.Vapours!.Value;
        Assert.True(Particles("deep-carbon") < 0.2 && Particles("thin-carbon") < 0.2 && Particles("hepa") > 0.99);
        Assert.Equal((0.0, 0.0, 0.0), (Vapours("hepa"), Vapours("fine-filter"), Vapours("foam")));
        Assert.True(Vapours("thin-carbon") < Vapours("hepa-and-carbon") && Vapours("hepa-and-carbon") < Vapours("deep-carbon"));
    }

    [Theory]
    [MemberData(nameof(Meters))]
    public void A_shipped_meter_is_sound(string id)
    {
        var meter = AirData.Meters.Load(id);
        Assert.Equal(id, meter.Id);
        Assert.NotEmpty(meter.Cautions);
        Sound(meter.Figures().Select(static named => named.Figure), meter.OwnSources);
        Assert.All(meter.Channels, static c => Assert.True(c.Response.Gsd > 1, "no unit is exact"));
    }

    [Fact]
    public void Meters_for_particles_and_for_vapours_are_shipped()
    {
        Assert.Equal(["metal-oxide", "optical-pm", "particle-counter", "photo-ionisation"], AirData.Meters.Ids);
        Assert.Equal([MeterQuantity.Pm1, MeterQuantity.Pm25, MeterQuantity.Pm10], AirData.Meters.Load("optical-pm").Channels.Select(static c => c.Quantity));
        Assert.Equal(MeterQuantity.Number, Assert.Single(AirData.Meters.Load("particle-counter").Channels).Quantity);
        Assert.Equal(MeterQuantity.Tvoc, Assert.Single(AirData.Meters.Load("metal-oxide").Channels).Quantity);
        Assert.All(AirData.Meters.Load("optical-pm").Channels, static c => Assert.Equal(Agent.VisibleFromNm, c.LowerCutNm));
    }

    [Theory]
    [MemberData(nameof(Guidelines))]
    public void A_shipped_guideline_was_read_and_not_recalled(string id)
    {
        var guideline = AirData.Guidelines.Load(id);
        Assert.Equal(id, guideline.Id);
        Assert.Contains(guideline.Level.Origin.Known, new[] { FigureKnown.Read, FigureKnown.Derived });
        Assert.True(guideline.Level.Gsd is null && guideline.Level.Range is null);
        Sound([guideline.Level], guideline.OwnSources);

        // Who reads it must not think that a limit at work holds at home.
        Assert.Equal(guideline.Body.Contains("NIOSH", StringComparison.Ordinal) || guideline.Body.Contains("OSHA", StringComparison.Ordinal), guideline.Population == GuidelinePopulation.Occupational);
    }

    [Fact]
    public void There_is_no_guideline_for_lactide() => Assert.DoesNotContain("lactide", AirData.Guidelines.Ids.Select(static id => AirData.Guidelines.Load(id).Quantity));

    [Fact]
    public void A_source_of_the_shared_list_is_used_by_some_file_or_option()
    {
        var used = AirData.Rooms.Ids.SelectMany(static id => AirData.Rooms.Load(id).Figures.Select(static f => f.Figure))
            .Concat(AirData.Filters.Ids.SelectMany(static id => AirData.Filters.Load(id).Figures().Select(static f => f.Figure)))
            .Concat(AirData.Meters.Ids.SelectMany(static id => AirData.Meters.Load(id).Figures().Select(static f => f.Figure)))
            .Concat(AirData.Guidelines.Ids.Select(static id => AirData.Guidelines.Load(id).Level))
            .Concat([AssumedAir.RoomChangesPerH, AssumedAir.RoomDepositionPerH]);
        Assert.Equal(AirSources.Ids.Order(StringComparer.Ordinal), AirData.Sources(used).Append(FigureReader.Stated).Distinct().Order(StringComparer.Ordinal));
    }

    [Theory]
    [InlineData("averaging: 24 h", "averaging: noon", "averaging: found 'noon', expected a time such as 24 h, 8 h shift, 1 year or long term")]
    [InlineData("level: 15 ug/m3", "level: 15 1/cm3", "level: found '15 1/cm3' ('1/cm3' belongs to a number concentration)")]
    [InlineData("level: 15 ug/m3", "level: 0 ug/m3", "level: found '0 ug/m3', expected")]
    [InlineData("population: general", "population: everybody", "population: found 'everybody', expected one of general, occupational")]
    [InlineData("agent: pm25", "agent: pm255", "agent: found 'pm255', expected particle_number, particle_mass, visible_mass, tvoc, pm1, pm25, pm10 or the name of a substance such as styrene; did you mean 'pm25'?")]
    [InlineData("averaging: 24 h\n", "", "key 'averaging' is missing, expected a time such as 10 s")]
    [InlineData("year: 2021", "year: 21", "year: found '21', expected a whole number from 1900 to 2100")]
    public void A_wrong_guideline_is_told(string old, string with, string expected)
    {
        const string Good = "schema: fumecast/guideline/1\nid: mine\ndescription: PM2.5\nagent: pm25\nlevel: 15 ug/m3\naveraging: 24 h\nbody: the city\nyear: 2021\nedition: first\npopulation: general\nstatus: guideline\n";
        Assert.Equal((15.0, 86400.0), (AirData.Guidelines.Read(new DataFile("g.yaml", Good)).Level.Value, AirData.Guidelines.Read(new DataFile("g.yaml", Good)).AveragingS));
        Assert.Contains(expected, Assert.Throws<InputProblem>(() => AirData.Guidelines.Read(new DataFile("g.yaml", Good.Replace(old, with, StringComparison.Ordinal)))).Message);
    }

    [Theory]
    [InlineData("pm25:", "pm255:", "pm255: found 'pm255', expected one of pm1, pm25, pm10, number, tvoc")]
    [InlineData("to: 2.5 um", "to: 200 nm", "to: found 200 nm, expected more than 'from'")]
    [InlineData("    resolution: 1 ug/m3\n", "", "key 'resolution' is missing, expected a mass concentration such as 30 ug/m3")]
    [InlineData("interval: 1 min", "interval: 0 s", "interval: found '0 s', expected 0.1 s to 86400 s")]
    public void A_wrong_meter_is_told(string old, string with, string expected)
    {
        const string Good = "schema: fumecast/meter/1\nid: mine\nname: mine\ndescription: mine\nshows:\n  pm25:\n    from: 300 nm\n    to: 2.5 um\n    resolution: 1 ug/m3\n    noise_floor: 1 ug/m3\n    noise_share: 5 %\n    noise_time: 3 min\n    response: 1\n    zero_drift: 0 ug/m3\n    drift_share: 0\nwarm_up: 5 min\ninterval: 1 min\n";
        Assert.Equal(MeterQuantity.Pm25, AirData.Meters.Read(new DataFile("m.yaml", Good)).Channels[0].Quantity);
        Assert.Contains(expected, Assert.Throws<InputProblem>(() => AirData.Meters.Read(new DataFile("m.yaml", Good.Replace(old, with, StringComparison.Ordinal)))).Message);
    }

    private static void Sound(IEnumerable<Figure> figures, IReadOnlyList<SourceReference> own) => Assert.All(figures, figure =>
    {
        Assert.NotEqual(FigureReader.Stated, Assert.Single(figure.Origin.Sources.Take(1)));
        Assert.Equal(figure.Origin.Sources.Count, AirSources.Of(figure.Origin.Sources, own).Count);
        Assert.False(string.IsNullOrWhiteSpace(figure.Origin.Where));
        Assert.True(figure.Origin.Grade is "A" or "B" || figure.Origin.Why is { Length: > 0 });
    });
}
