// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>Reads material files, the file of common rules and the list of sources.</summary>
internal static class MaterialFile
{
    public const string MaterialSchema = "fumecast/material/1";
    private const string RulesSchema = "fumecast/material-rules/1";

    private static readonly string[] Ends = ["low", "high"];

    private static readonly (string Old, string Now)[] ReplacedRules =
    [
        ("flow_exponent", "give 'nozzle_share' instead, the share of the particle rate that does not follow the flow"),
        ("flow_exponent_case", "give 'nozzle_share' instead, with its range"),
        ("burst_size", "give 'start_dose' instead, with the same value"),
        ("burst_decay", "give 'start_dose_decay' instead, with the same value at the reference temperature"),
        ("idle_share", "give 'nozzle_share' instead, which also counts while printing, from 0 to 1"),
    ];

    public static Material ReadMaterial(DataFile data, Func<MaterialRules> common) => YamlMap.Read(data, map =>
    {
        map.Schema(MaterialSchema);
        var filament = map.Map("filament");
        var density = Number(filament, "density", Quantity.Density, 0.1, 25);
        var factors = map.Map("factors");
        SpeciesFactor[] species = [.. factors.Maps("species").Select(Species)];
        return new Material
        {
            Id = map.Id(),
            Name = map.Text("name"),
            Description = map.Text("description"),
            File = data.Name,
            OwnFile = data.IsShipped ? null : data.Name,
            Unfilled = data.IsShipped ? "" : data.UnfilledWords,
            DensityGPerCm3 = density,
            NozzleC = NozzleRange(filament),
            OnsetC = Number(filament, "onset", Quantity.Temperature, -150, 400),
            SpecificHeatJPerGK = SpecificHeat(filament, density.Value),
            NumberYieldPerG = Yield(factors, "particle_number", Quantity.NumberYield, 1e18),
            TvocYieldUgPerG = Yield(factors, "tvoc", Quantity.MassYield, 1e6),
            VisibleYieldUgPerG = factors.Has("visible_mass") ? Yield(factors, "visible_mass", Quantity.MassYield, 1e6) : null,
            Species = species,
            Rules = map.OptionalMap("rules") is { } own ? Rules(own, common()) : common(),
            AlsoFound = [.. map.Maps("also_found").Select(m => new FoundSpecies(m.Texts("species"), m.Text("source"), m.Choice<FigureKnown>("known")))],
            Observations = Observations(map, [.. species.Select(s => s.Agent)]),
            OwnSources = map.OptionalMap("sources") is { } sources ? SourceList.Of(sources) : [],
            Cautions = map.Texts("cautions"),
        };
    });

    public static (MaterialRules Rules, IReadOnlyList<Observation> Observations) ReadRules(DataFile data) => YamlMap.Read(data, map =>
    {
        map.Schema(RulesSchema);
        return (Rules(map.Map("rules"), null), Observations(map, []));
    });

    private static MaterialRules Rules(YamlMap map, MaterialRules? common)
    {
        RefuseReplaced(map);
        return new MaterialRules
        {
            NumberSlopePerK = Rule(map, "number_slope", Quantity.PerKelvin, 0, 1, common?.NumberSlopePerK),
            NumberCapPerMin = Rule(map, "number_cap", Quantity.NumberRate, 1, 1e20, common?.NumberCapPerMin),
            NozzleShare = Rule(map, "nozzle_share", Quantity.Share, 0, 1, common?.NozzleShare),
            ReferenceRateGPerH = Rule(map, "reference_rate", Quantity.MassRate, 0.01, 10_000, common?.ReferenceRateGPerH),
            StartDose = Rule(map, "start_dose", Quantity.Number, 0, 1000, common?.StartDose),
            StartDoseDecayS = Rule(map, "start_dose_decay", Quantity.Time, 1, 86_400, common?.StartDoseDecayS),
            TvocSlopePerK = Rule(map, "tvoc_slope", Quantity.PerKelvin, -1, 1, common?.TvocSlopePerK),
            TvocNozzleShare = Rule(map, "tvoc_nozzle_share", Quantity.Share, 0, 1, common?.TvocNozzleShare),
            GmdNm = Rule(map, "particle_gmd", Quantity.ParticleDiameter, 1, 10_000, common?.GmdNm),
            Gsd = Rule(map, "particle_gsd", Quantity.Number, 1, 5, common?.Gsd),
            ParticleDensityGPerCm3 = Rule(map, "particle_density", Quantity.Density, 0.1, 25, common?.ParticleDensityGPerCm3),
        };
    }

    /// <summary>A file written for the first model gets told what became of its rules; the nearest known word would mislead.</summary>
    private static void RefuseReplaced(YamlMap map)
    {
        foreach (var (old, now) in ReplacedRules)
        {
            if (map.Has(old))
            {
                throw map.Problem(old, $"this rule was replaced; {now}");
            }
        }
    }

    private static Figure Rule(YamlMap map, string key, Quantity quantity, double min, double max, Figure? common) =>
        common is null || map.Has(key) ? Number(map, key, quantity, min, max) : common;

    private static Figure Number(YamlMap map, string key, Quantity quantity, double min, double max) => ReadFigure(map.Map(key), quantity, min, max);

    private static Figure Yield(YamlMap map, string key, Quantity quantity, double max)
    {
        var inner = map.Map(key);
        var atC = inner.Number("at", Quantity.Temperature, 0, 600);
        return ReadFigure(inner, quantity, 0, max) with { AtC = atC };
    }

    private static Figure ReadFigure(YamlMap map, Quantity quantity, double min, double max) => FigureReader.ReadMap(map, quantity, min, max) with
    {
        ValidC = map.OptionalRange("valid", Quantity.Temperature, -100, 600),
    };

    private static Figure NozzleRange(YamlMap filament)
    {
        var map = filament.Map("nozzle");
        var (low, high) = map.Range("range", Quantity.Temperature, 0, 600);
        return new Figure { Quantity = Quantity.Temperature, Value = low, Range = (low, high), Origin = FigureReader.Origin(map) };
    }

    /// <summary>Either as such, or as published for each mm of the usual filament, 1.75 mm thick.</summary>
    private static Figure SpecificHeat(YamlMap filament, double densityGPerCm3)
    {
        if (!filament.Has("heat_per_mm"))
        {
            return Number(filament, "specific_heat", Quantity.SpecificHeat, 0.1, 10);
        }

        var perMm = Number(filament, "heat_per_mm", Quantity.FilamentHeat, 1e-5, 1);
        const double GPerMmOfUnitDensity = 1.75 * 1.75 * Math.PI / 4 / 1000;
        return perMm with { Quantity = Quantity.SpecificHeat, Value = perMm.Value / (GPerMmOfUnitDensity * densityGPerCm3), Range = null };
    }

    private static SpeciesFactor Species(YamlMap map)
    {
        var cas = map.Text("cas");
        if (map.Has("cas") && !IsCas(cas))
        {
            map.Refuse("cas", $"found '{cas}', which is no CAS registry number: its check digit must fit");
        }

        return new SpeciesFactor(map.Text("name"), cas, ReadFigure(map, Quantity.Share, 0, 1));
    }

    /// <summary>The last digit is the sum of the others, weighted 1, 2, 3 ... from the right, modulo 10.</summary>
    internal static bool IsCas(string text)
    {
        var parts = text.Split('-');
        if (parts.Length != 3 || parts[0].Length is < 2 or > 7 || parts[1].Length != 2 || parts[2].Length != 1 || !parts.All(p => p.All(char.IsAsciiDigit)))
        {
            return false;
        }

        var sum = (parts[0] + parts[1]).Reverse().Select((c, i) => (i + 1) * (c - '0')).Sum();
        return sum % 10 == parts[2][0] - '0';
    }

    private static IReadOnlyList<Observation> Observations(YamlMap map, IReadOnlyList<Agent> species) =>
        [.. map.Maps("observations").Select(o => Observation(o, species))];

    private static Observation Observation(YamlMap map, IReadOnlyList<Agent> species)
    {
        var observation = new Observation
        {
            Quantity = map.Text("quantity"),
            Value = map.OptionalText("value"),
            Low = map.OptionalText("low"),
            High = map.OptionalText("high"),
            Source = map.Text("source"),
            Where = map.Text("where"),
            Known = map.Choice<FigureKnown>("known"),
            Note = map.OptionalText("note"),
        };
        if (observation is { Value: null, Low: null, High: null })
        {
            map.Refuse("quantity", "an observation needs 'value', 'low' or 'high'");
            return observation;
        }

        return map.OptionalMap("replay") is { } replay ? observation with { Replay = Replay(map, replay, species) } : observation;
    }

    /// <summary>The figures to compare are those of the observation itself, so they stand once; their unit tells whether they are rates or yields.</summary>
    private static ObservationReplay Replay(YamlMap observation, YamlMap replay, IReadOnlyList<Agent> species)
    {
        var id = replay.Text("agent");
        Agent[] agents = [Agent.ParticleNumber, Agent.ParticleMass, Agent.Tvoc, .. species];
        var agent = Array.Find(agents, agent => agent.Id == id);
        if (agent is null && replay.Has("agent"))
        {
            replay.Refuse("agent", $"found '{id}', which this file gives no figure for{Nearest.Hint(id, [.. agents.Select(static agent => agent.Id)])}");
        }

        agent ??= agents[0];
        var (rate, yield) = agent == Agent.ParticleNumber
            ? (Quantity.NumberRate, Quantity.NumberYield)
            : (Quantity.EmittedMassRate, Quantity.MassYield);
        string[] keys = observation.Has("value") ? ["value"] : [.. Ends.Where(observation.Has)];
        var isYield = QuantityText.TryParse(observation.Text(keys[0]), yield, null, out _, out _);
        var quantity = isYield ? yield : rate;
        return new ObservationReplay
        {
            Agent = agent,
            Quantity = quantity,
            IsYield = isYield,
            Points = [.. keys.Select(key => new ReplayPoint(key, Published(observation, key, quantity)))],
            NozzleC = replay.OptionalNumber("nozzle", Quantity.Temperature, 0, 600),
            MassRateGPerH = replay.OptionalNumber("mass_rate", Quantity.MassRate, 0.01, 10_000),
            DurationS = replay.OptionalNumber("time", Quantity.Time, 60, 86_400) ?? ObservationReplay.UsualDurationS,
        };
    }

    private static double Published(YamlMap observation, string key, Quantity quantity)
    {
        var value = observation.Number(key, quantity, 0, double.PositiveInfinity);
        if (!(value > 0))
        {
            observation.Refuse(key, "found 0, expected more than that, since nothing can be compared with it; remove 'replay'");
        }

        return value;
    }
}
