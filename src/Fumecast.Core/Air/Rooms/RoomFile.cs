// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Aerosol;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Reads files that describe a room.</summary>
internal sealed class RoomFile
{
    public const string Schema = "fumecast/room/1";

    /// <summary>Largest volume of air that a zone may have [m3]: ten times the largest hall.</summary>
    public const double MostVolumeM3 = 1e6;

    /// <summary>Smallest volume: a litre [m3].</summary>
    public const double LeastVolumeM3 = 1e-3;

    /// <summary>Strongest flow of air [m3/h]: more than any fan of a building gives.</summary>
    public const double MostFlowM3PerH = 1e5;

    /// <summary>Most air changes [1/h]: a small box with a strong fan has some thousands.</summary>
    public const double MostChangesPerH = 1e4;

    private const double MostDepositionPerH = 1e3;
    private const double UsualBoxM3 = 2;
    private const double LongestDayS = 30 * 86_400;
    private const int MostTimes = 1000;
    private const int MostOfAKind = 1000;
    private const int MostPlaces = 100;

    private readonly YamlMap _map;
    private readonly FigureReader _figures;
    private readonly DataFile _data;
    private readonly string _folder;
    private readonly Dictionary<string, FilterKind> _kinds = [];
    private string[] _zones = [];

    private RoomFile(DataFile data, YamlMap map)
    {
        (_data, _map) = (data, map);
        _figures = AgentFigures.ReaderFor(map);
        _folder = data.IsShipped ? "" : Path.GetDirectoryName(data.Name) ?? "";
    }

    /// <summary>Reads one.</summary>
    /// <param name="data">The file; filters and jobs that it names by path are looked for from its folder.</param>
    /// <exception cref="InputProblem">The file is wrong, or a filter that it names is.</exception>
    public static RoomPlan Read(DataFile data) => YamlMap.Read(data, map =>
    {
        map.Schema(Schema);
        return new RoomFile(data, map).Room();
    });

    private RoomPlan Room()
    {
        var id = _map.Id();
        var description = _map.Text("description");
        var zones = Zones();
        var room = new RoomPlan
        {
            Id = id,
            Description = description,
            File = _data.Name,
            Unfilled = _data.IsShipped ? "" : _data.UnfilledWords,
            Zones = zones,
            Loops = [.. Few("air", _map.Maps("air")).Select(Loop)],
            Filters = Filters(),
            Outdoors = Outdoors(),
            Indoors = Indoors(),
            TimeOfDayS = Begins(),
            Prints = [.. Few("prints", _map.Maps("prints")).Select(Print)],
            OwnSources = _map.OptionalMap("sources") is { } sources ? SourceList.Of(sources) : [],
            Cautions = _map.Texts("cautions"),
        };
        CheckEnds(room);
        return room;
    }

    private List<ZonePlan> Zones()
    {
        var zones = _map.Map("zones");
        _zones = [.. zones.Keys];
        if (_zones.Length is 0 or > MostPlaces && _map.Has("zones"))
        {
            throw _map.Problem("zones", string.Create(CultureInfo.InvariantCulture, $"found {_zones.Length} zones, expected 1 to {MostPlaces}"));
        }

        var read = new List<ZonePlan>();
        foreach (var id in _zones)
        {
            if (id == Zone.Outdoors || !IsId(id))
            {
                zones.Refuse(id, $"found '{id}' as the name of a zone, expected small letters, digits, dashes and underscores, and not '{Zone.Outdoors}'");
            }

            read.Add(ZoneOf(id, zones.Map(id)));
        }

        return read;
    }

    private ZonePlan ZoneOf(string id, YamlMap map)
    {
        var volume = _figures.Required(map, "volume", Quantity.AirVolume, LeastVolumeM3, MostVolumeM3);
        var deposition = map.OptionalMap("deposition");
        return new ZonePlan
        {
            Id = id,
            VolumeM3 = volume,
            Deposition = deposition is null ? FigureByAgent.None : AgentFigures.Read(deposition, _figures, Quantity.RatePerH, 0, MostDepositionPerH, "at"),
            DepositionAtNm = deposition?.OptionalNumber("at", Quantity.ParticleDiameter, 1, 1e5),
            IsEnclosure = map.OptionalFlag("enclosure") ?? (_zones.Length > 1 && volume.Value <= UsualBoxM3),
        };
    }

    private LoopPlan Loop(YamlMap map)
    {
        var through = Places(map);
        var changesOf = map.OptionalText("of");
        Figure flow;
        if (map.Has("changes"))
        {
            flow = _figures.Required(map, "changes", Quantity.RatePerH, 0, MostChangesPerH);
            if (map.Has("flow"))
            {
                map.Refuse("flow", "found beside 'changes', expected one of them; remove the other");
                _ = map.OptionalText("flow");
            }

            if (changesOf is null)
            {
                changesOf = map.Text("of");
            }
            else if (!_zones.Contains(changesOf))
            {
                map.Refuse("of", NoZone(changesOf));
            }
        }
        else
        {
            flow = _figures.Required(map, "flow", Quantity.AirFlow, 0, MostFlowM3PerH);
            if (changesOf is not null)
            {
                map.Refuse("of", "found without 'changes', which are counted in volumes of that zone; give 'changes' in place of 'flow', or remove it");
            }
        }

        var name = map.OptionalText("name") ?? $"air through {string.Join(", ", through)}";
        var penetration = map.OptionalMap("penetration");
        if (penetration is not null && !through.Contains(Zone.Outdoors))
        {
            map.Refuse("penetration", $"found in a loop that does not go through '{Zone.Outdoors}', where nothing comes in from; remove it, or use 'filters'");
        }

        return new LoopPlan
        {
            Name = name,
            Through = through,
            Flow = flow,
            ChangesOf = changesOf is not null && _zones.Contains(changesOf) ? changesOf : null,
            On = ScheduleText.Read(map),
            Penetration = penetration is null ? FigureByAgent.None : AgentFigures.Read(penetration, _figures, Quantity.Share, 0, 1),
            Filters = [.. Few("filters", map.Maps("filters")).Select(filter => LoopFilter(filter, through)).OfType<LoopFilterPlan>()],
        };
    }

    private IReadOnlyList<string> Places(YamlMap map)
    {
        const string Key = "loop";
        if (!map.Has(Key))
        {
            return map.RequiredTexts(Key, $"a list of zones that the air goes round, such as [{Zone.Outdoors}, {_zones.LastOrDefault() ?? "room"}]");
        }

        var through = map.Texts(Key);
        if (through.Count > MostPlaces + 1)
        {
            throw map.Problem(Key, string.Create(CultureInfo.InvariantCulture, $"found {through.Count} places, expected each zone once at the most"));
        }


        if (through.Count < 2)
        {
            map.Refuse(Key, $"found {(through.Count == 0 ? "no place" : $"'{through[0]}' alone")}, expected two places at least, since air that goes somewhere comes back; {Zone.Outdoors} is one");
        }

        for (var i = 0; i < through.Count; i++)
        {
            if (through[i] != Zone.Outdoors && !_zones.Contains(through[i]))
            {
                map.RefuseItem(Key, i, NoZone(through[i], Zone.Outdoors));
            }
            else if (through.Take(i).Contains(through[i]))
            {
                map.RefuseItem(Key, i, $"found '{through[i]}' a second time, expected each place once; write two loops");
            }
        }

        return through;
    }

    private LoopFilterPlan? LoopFilter(YamlMap map, IReadOnlyList<string> through)
    {
        var before = map.Text("before");
        if (map.Has("before") && !through.Contains(before))
        {
            map.Refuse("before", $"found '{before}', where this loop does not go{Nearest.Hint(before, [.. through])}");
        }

        return Kind(map) is { } kind ? new LoopFilterPlan(kind, before, _figures.Optional(map, "bypass", Quantity.Share, 0, 1) ?? kind.Bypass) : null;
    }

    private List<FilterPlan> Filters()
    {
        var filters = new List<FilterPlan>();
        var names = new HashSet<string>();
        foreach (var map in Few("filters", _map.Maps("filters")))
        {
            var zone = ZoneIn(map, "zone", null);
            var kind = Kind(map);
            var plan = new FilterPlan
            {
                Name = map.OptionalText("name") ?? $"{kind?.Id ?? "filter"} in {zone}",
                Zone = zone,
                Kind = kind!,
                FlowM3PerH = _figures.Required(map, "flow", Quantity.AirFlow, 1e-3, MostFlowM3PerH),
                Bypass = _figures.Optional(map, "bypass", Quantity.Share, 0, 1) ?? kind?.Bypass!,
                Mixing = _figures.Optional(map, "mixing", Quantity.Share, 0, 1),
                On = ScheduleText.Read(map),
            };
            if (kind is null)
            {
                continue;
            }

            var name = plan.Name;
            for (var i = 2; !names.Add(name); i++)
            {
                name = string.Create(CultureInfo.InvariantCulture, $"{plan.Name} ({i})");
            }

            filters.Add(plan with { Name = name });
        }

        return filters;
    }

    /// <summary>The filter that the key <c>filter</c> names; one kind is read once, so that its figures are drawn alike wherever it stands.</summary>
    private FilterKind? Kind(YamlMap map)
    {
        var named = map.Text("filter");
        if (!map.Has("filter") || map.OptionalText("filter") is null)
        {
            return null;
        }

        if (_kinds.TryGetValue(named, out var known))
        {
            return known;
        }

        try
        {
            var beside = Path.Combine(_folder, named);
            var kind = AirData.Filters.Load(!AirData.Filters.Ids.Contains(named) && File.Exists(beside) ? beside : named);
            _kinds.Add(named, kind);
            return kind;
        }
        catch (InputProblem problem)
        {
            map.Refuse("filter", problem.Message);
            return null;
        }
    }

    private List<OutdoorLevel> Outdoors()
    {
        var levels = new List<OutdoorLevel>();
        if (_map.OptionalMap(Zone.Outdoors) is not { } map)
        {
            return levels;
        }

        foreach (var key in Few(Zone.Outdoors, map.Keys.ToArray()))
        {
            var agents = AgentWords.OfLevel(key, message => map.Refuse(key, message));
            if (levels.FirstOrDefault(level => level.Agents.Intersect(agents).Any()) is { } same)
            {
                map.Refuse(key, $"found beside '{same.Quantity}', which is a level of the same; remove one");
            }

            levels.Add(new OutdoorLevel(key, agents, _figures.Required(map, key, AgentWords.LevelOf(agents[0]), 0, 1e9)));
        }

        return levels;
    }

    private List<IndoorSource> Indoors()
    {
        var sources = new List<IndoorSource>();
        if (_map.OptionalMap("indoors") is not { } map)
        {
            return sources;
        }

        foreach (var key in Few("indoors", map.Keys.ToArray()))
        {
            var agent = AgentWords.OfKey(map, key);
            var quantity = agent == Agent.ParticleNumber ? Quantity.NumberRate : Quantity.EmittedMassRate;
            if (map.IsMap(key))
            {
                var inner = map.Map(key);
                sources.Add(new IndoorSource(agent, ZoneIn(inner, "in", null), FigureReader.ReadMap(inner, quantity, 0, 1e20)));
                continue;
            }

            foreach (var text in Few("indoors", map.Texts(key)))
            {
                var at = text.LastIndexOf(" in ", StringComparison.Ordinal);
                var zone = at < 0 ? "" : text[(at + 4)..].Trim();
                if (at < 0)
                {
                    map.Refuse(key, $"found '{text}', expected a rate and a zone such as {quantity.Example} in {_zones.LastOrDefault() ?? "room"}");
                }
                else if (!_zones.Contains(zone))
                {
                    map.Refuse(key, NoZone(zone));
                }
                else
                {
                    sources.Add(new IndoorSource(agent, zone, _figures.Plain(map, key, text[..at], quantity, 0, 1e20)));
                }
            }
        }

        return sources;
    }

    private double Begins()
    {
        if (_map.OptionalText("begins") is not { } text)
        {
            return 0;
        }

        if (ScheduleText.TimeOfDay(text) is { } timeS)
        {
            return timeS;
        }

        _map.Refuse("begins", $"found '{text}', expected a time of day such as 08:00");
        return 0;
    }

    private PrintPlan Print(YamlMap map)
    {
        var job = map.Text("job");
        var print = new PrintPlan
        {
            Job = job,
            Path = Path.IsPathRooted(job) ? job : Path.Combine(_folder, job),
            Zone = ZoneIn(map, "zone", _zones.FirstOrDefault() ?? "room"),
            StartS = StartS(map),
            Copies = map.OptionalInteger("copies", 1, MostTimes) ?? 1,
            EveryS = map.OptionalNumber("every", Quantity.Time, 1, LongestDayS) ?? 0,
            Times = map.OptionalInteger("times", 1, MostTimes) ?? 1,
            At = map.PlaceOf("job"),
        };
        if (print.Times > 1 && !map.Has("every"))
        {
            map.Refuse("times", "found without 'every', the time from start to start; add it");
        }
        else if (map.Has("every") && !map.Has("times"))
        {
            map.Refuse("every", "found without 'times', how often it is printed; add it");
        }
        else if (print.StartS + print.EveryS * (print.Times - 1) > LongestDayS)
        {
            map.Refuse(map.Has("times") ? "times" : "start", "found a last start after 30 days, expected an earlier one");
        }

        return print;
    }

    private double StartS(YamlMap map)
    {
        if (map.IsText("start") && map.OptionalText("start") is { } text && ScheduleText.TimeOfDay(text) is { } clockS)
        {
            var beginsS = Begins();
            if (!_map.Has("begins"))
            {
                map.Refuse("start", $"found a time of day, '{text}', without 'begins', the time of day at which the run begins; add it at the top, such as begins: 08:00");
            }
            else if (clockS < beginsS)
            {
                map.Refuse("start", $"found '{text}', which is before the run begins; expected a later time");
            }

            return Math.Max(0, clockS - beginsS);
        }

        return map.OptionalNumber("start", Quantity.Time, 0, LongestDayS) ?? 0;
    }

    private string ZoneIn(YamlMap map, string key, string? otherwise)
    {
        if (otherwise is not null && !map.Has(key))
        {
            return otherwise;
        }

        var zone = map.Text(key);
        if (map.IsText(key) && !_zones.Contains(zone))
        {
            map.Refuse(key, NoZone(zone));
        }

        return zone;
    }

    /// <summary>A file that names more than any building has would take long for nothing.</summary>
    private IReadOnlyCollection<T> Few<T>(string key, IReadOnlyCollection<T> found) => found.Count <= MostOfAKind
        ? found
        : throw _map.Problem(key, string.Create(CultureInfo.InvariantCulture, $"found {found.Count} of them, expected {MostOfAKind} at the most"));

    private string NoZone(string found, params string[] further) => $"found '{found}', which is no zone of this room{Nearest.Hint(found, [.. _zones, .. further])}";

    private static bool IsId(string text) => text.Length is > 0 and <= 40 && text.All(static c => char.IsAsciiLetterLower(c) || char.IsAsciiDigit(c) || c is '-' or '_');

    /// <summary>The engine must not meet a number it refuses, however far a figure is drawn from its middle.</summary>
    private void CheckEnds(RoomPlan room)
    {
        if (room.Zones.Count == 0 || room.Loops.Any(l => l.Through.Count < 2 || l.Through.Any(p => p != Zone.Outdoors && !_zones.Contains(p)) || l.Through.Distinct().Count() != l.Through.Count
            || l.Filters.Any(f => !l.Through.Contains(f.Before))) || room.Filters.Any(f => !_zones.Contains(f.Zone)) || room.Indoors.Any(s => !_zones.Contains(s.Zone))
            || _zones.Any(static z => z == Zone.Outdoors))
        {
            return;
        }

        if (room.ProblemAtEnds() is { } problem)
        {
            _map.Refuse("zones", $"the numbers below cannot be taken together, or their ranges reach too far: {problem}");
        }
    }
}
