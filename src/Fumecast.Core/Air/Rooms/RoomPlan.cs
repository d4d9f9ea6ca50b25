// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>A room as it is described, each number with its spread and its origin. The engine's <see cref="AirModel"/> follows from one value of each.</summary>
internal sealed record RoomPlan
{
    private const double SPerMin = 60;
    private const double Cm3PerM3 = 1e6;
    private const double FarZ = 4;

    /// <summary>Id, such as <c>bedroom-leaky-box</c>.</summary>
    public required string Id { get; init; }

    /// <summary>One line on what it stands for.</summary>
    public required string Description { get; init; }

    /// <summary>The file it was read from; empty when it was made of options.</summary>
    public string File { get; init; } = "";

    /// <summary>What to do about places of a template that are still to be filled in; empty where there is none, and for shipped files.</summary>
    public string Unfilled { get; init; } = "";

    /// <summary>The zones; the printer stands in the first, unless <see cref="Prints"/> say otherwise.</summary>
    public required IReadOnlyList<ZonePlan> Zones { get; init; }

    /// <summary>The air between zones and outdoors.</summary>
    public IReadOnlyList<LoopPlan> Loops { get; init; } = [];

    /// <summary>Filters with fans of their own.</summary>
    public IReadOnlyList<FilterPlan> Filters { get; init; } = [];

    /// <summary>Levels outdoors.</summary>
    public IReadOnlyList<OutdoorLevel> Outdoors { get; init; } = [];

    /// <summary>Steady sources that are not the printer.</summary>
    public IReadOnlyList<IndoorSource> Indoors { get; init; } = [];

    /// <summary>What is printed when and where; empty where the command line says it.</summary>
    public IReadOnlyList<PrintPlan> Prints { get; init; } = [];

    /// <summary>Time of day at the beginning of the run, for schedules by the clock [s], 0 to 86400.</summary>
    public double TimeOfDayS { get; init; }

    /// <summary>Sources that the file brings along itself; others are in the shared list.</summary>
    public IReadOnlyList<SourceReference> OwnSources { get; init; } = [];

    /// <summary>What to know before relying on it.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>The box around the printer; null when there is none.</summary>
    public ZonePlan? Box => Zones.FirstOrDefault(static zone => zone.IsEnclosure);

    /// <summary>The kinds of its filters, in loops and with fans of their own, each once.</summary>
    public IReadOnlyList<FilterKind> Kinds => [.. Loops.SelectMany(static l => l.Filters).Select(static f => f.Kind).Concat(Filters.Select(static f => f.Kind)).Distinct()];

    /// <summary>Sources that its file and those of its filters bring along themselves.</summary>
    public IReadOnlyList<SourceReference> BroughtSources => [.. OwnSources, .. Kinds.SelectMany(static kind => kind.OwnSources)];

    /// <summary>Every figure, in a stable order; a figure that is used at several places, such as that of a filter, stands once.</summary>
    public IReadOnlyList<RoomFigure> Figures => Named();

    /// <summary>Every figure that has a spread, in a stable order.</summary>
    public IReadOnlyList<RoomFigure> Ranges => [.. Named().Where(static named => named.Figure.Gsd is > 1 || named.Figure.Range is not null)];

    /// <summary>What the engine would refuse, at the middle of all figures or far out at their ends; null for nothing.</summary>
    public string? ProblemAtEnds()
    {
        foreach (var z in new[] { 0, FarZ, -FarZ })
        {
            try
            {
                ModelAt(f => f.At(z)).Validate();
            }
            catch (ArgumentException problem)
            {
                return problem.Message;
            }
        }

        return null;
    }

    /// <summary>The engine's model at one value of each figure.</summary>
    /// <param name="valueOf">The value of a figure; <c>f => f.Value</c> for the middle of all. Asked by reference, several times for figures that are used at several places.</param>
    /// <param name="aerosol">The particles that are given off: deposition and filters that depend on size then follow from them. Null where they are not known.</param>
    /// <param name="coagulates">Whether particles are followed by size as they coagulate; needs <paramref name="aerosol"/>.</param>
    public AirModel ModelAt(Func<Figure, double> valueOf, RoomAerosol? aerosol = null, bool coagulates = false)
    {
        ArgumentNullException.ThrowIfNull(valueOf);
        coagulates &= aerosol is not null;
        return new AirModel
        {
            Zones = [.. Zones.Select(zone => zone.At(valueOf, aerosol, coagulates))],
            Loops = [.. Loops.Select(loop => LoopAt(loop, valueOf, aerosol))],
            Filters = [.. Filters.Select(filter => new ZoneFilter
            {
                Name = filter.Name,
                Zone = filter.Zone,
                FlowM3PerH = valueOf(filter.FlowM3PerH),
                Efficiency = filter.Kind.EfficiencyAt(valueOf, aerosol),
                Bypass = valueOf(filter.Bypass),
                Mixing = filter.Mixing is { } mixing ? valueOf(mixing) : 1,
                On = filter.On,
            })],
            OutdoorsPerM3 = new ByAgent { Single = OutdoorsAt(valueOf) },
            Indoors = [.. Indoors.Select(source => new SteadySource(source.Zone, source.Agent, valueOf(source.PerMin) / SPerMin))],
            Particles = coagulates ? new ParticleGrowth { DensityGPerCm3 = aerosol!.Value.DensityGPerCm3, SourceGsd = aerosol.Value.Size.Gsd } : null,
        };
    }

    private AirLoop LoopAt(LoopPlan loop, Func<Figure, double> valueOf, RoomAerosol? aerosol) => new()
    {
        Name = loop.Name,
        Through = loop.Through,
        FlowM3PerH = valueOf(loop.Flow) * (loop.ChangesOf is { } zone ? valueOf(Zones.First(z => z.Id == zone).VolumeM3) : 1),
        On = loop.On,
        Penetration = loop.Penetration.At(valueOf, 1),
        Filters = [.. loop.Filters.Select(filter => new LoopFilter(filter.Before, filter.Kind.EfficiencyAt(valueOf, aerosol), valueOf(filter.Bypass)))],
    };

    private Dictionary<Agent, double> OutdoorsAt(Func<Figure, double> valueOf)
    {
        var levels = new Dictionary<Agent, double>();
        foreach (var (_, agents, level) in Outdoors)
        {
            foreach (var agent in agents)
            {
                levels[agent] = valueOf(level) * (agent == Agent.ParticleNumber ? Cm3PerM3 : 1);
            }
        }

        return levels;
    }

    private List<RoomFigure> Named()
    {
        var named = new List<RoomFigure>();
        var seen = new HashSet<Figure>(ReferenceEqualityComparer.Instance);
        var names = new HashSet<string>();
        foreach (var zone in Zones)
        {
            Add($"volume of {zone.Id}", zone.VolumeM3);
            AddAll(zone.Deposition, of => $"deposition of {of} in {zone.Id}");
        }

        foreach (var loop in Loops)
        {
            Add(loop.ChangesOf is { } zone ? $"air changes of {zone}, {loop.Name}" : $"flow, {loop.Name}", loop.Flow);
            AddAll(loop.Penetration, of => $"{of} that come through, {loop.Name}");
            foreach (var filter in loop.Filters)
            {
                AddKind(filter.Kind);
                Add($"air that slips past {filter.Kind.Id}, {loop.Name}", filter.Bypass);
            }
        }

        foreach (var filter in Filters)
        {
            Add($"flow, {filter.Name}", filter.FlowM3PerH);
            AddKind(filter.Kind);
            Add($"air that slips past, {filter.Name}", filter.Bypass);
            if (filter.Mixing is { } mixing)
            {
                Add($"mixing, {filter.Name}", mixing);
            }
        }

        foreach (var level in Outdoors)
        {
            Add($"{level.Quantity} outdoors", level.Level);
        }

        foreach (var source in Indoors)
        {
            Add($"{source.Agent.Name} given off in {source.Zone} by other things", source.PerMin);
        }

        return named;

        void AddKind(FilterKind kind)
        {
            AddAll(kind.Efficiency, of => $"{of} taken out in one pass, {kind.Id}");
            if (kind is { SorbentMassG: { } mass, Capacity: { } share })
            {
                Add($"mass of the sorbent, {kind.Id}", mass);
                Add($"vapour the sorbent can hold, of its mass, {kind.Id}", share);
            }
        }

        void AddAll(FigureByAgent figures, Func<string, string> name)
        {
            foreach (var (of, figure) in figures.Figures())
            {
                Add(name(of), figure);
            }
        }

        void Add(string name, Figure figure)
        {
            if (!seen.Add(figure))
            {
                return;
            }

            var unique = name;
            for (var i = 2; !names.Add(unique); i++)
            {
                unique = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{name} ({i})");
            }

            named.Add(new RoomFigure(unique, figure));
        }
    }
}
