// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Emission;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>One factor of an agent: so much of it for each unit of a stream.</summary>
/// <param name="Stream">Index of the stream.</param>
/// <param name="Middle">The factor at the middle of all figures.</param>
/// <param name="Draws">The factor for each draw; null where it is the same in all.</param>
internal sealed record StreamShare(int Stream, double Middle, double[]? Draws)
{
    /// <summary>The factor of a draw; that of the middle for less than 0.</summary>
    public double At(int draw) => draw < 0 || Draws is null ? Middle : Draws[draw];
}

/// <summary>Something that is drawn, for the question which of them makes a result uncertain.</summary>
/// <param name="Name">What it is, in plain words.</param>
/// <param name="Draws">Its value for each draw.</param>
internal sealed record DrawnInput(string Name, double[] Draws);

/// <summary>What all sources give off on a grid, for every draw: by material the particles and the vapours, of which all agents are multiples.</summary>
/// <remarks>
/// Draws of a material are those of its name and the seed, with one yield for each, whatever the air: what remedies share cancels in their ratio. A given source
/// has one factor for each agent, lognormal.
/// </remarks>
internal sealed class AirStreams
{
    private const string Given = "given source";
    private const int MostGivenDimensions = 12;

    private readonly List<AirStream> _streams = [];
    private readonly Dictionary<Agent, List<StreamShare>> _shares = [];
    private readonly List<DrawnInput> _inputs = [];
    private readonly int _zones;
    private FigureDraws? _leading;
    private GivenParticles? _given;

    /// <summary>Takes the sources.</summary>
    /// <param name="sources">The sources.</param>
    /// <param name="grid">The grid.</param>
    /// <param name="indexOf">Index of a zone by its id.</param>
    /// <param name="zones">Number of zones.</param>
    /// <param name="figures">Draws by material; filled here, so that several airs share them.</param>
    /// <param name="seed">Seed of the draws.</param>
    public AirStreams(
        IReadOnlyList<PlacedSource> sources, AirGrid grid, Func<string, int> indexOf, int zones, Dictionary<string, FigureDraws> figures, long seed)
    {
        _zones = zones;
        Cells = grid.Cells;
        SeesMeasured = IsMeasured(sources);
        AddPrints([.. sources.OfType<PlacedPrint>()], grid, indexOf, figures, seed);
        AddGiven([.. sources.OfType<PlacedSeries>()], grid, indexOf, seed);
        Agents = [.. _shares.Keys.OrderBy(static a => a == Agent.ParticleNumber ? 0 : a == Agent.ParticleMass ? 1 : a == Agent.Tvoc ? 2 : 3)];
    }

    /// <summary>Number of draws.</summary>
    public static int Draws => 1021;

    /// <summary>Number of cells.</summary>
    public int Cells { get; }

    /// <summary>Name of the lattice that the leading source is drawn from: the material that gives off most particles.</summary>
    public string Leading => _leading?.Material.Id ?? Given;

    /// <summary>What is given off: particle number and mass, TVOC, others.</summary>
    public IReadOnlyList<Agent> Agents { get; }

    /// <summary>Whether what optical meters see was measured for all that is printed; else it follows from the sizes of the particles.</summary>
    public bool SeesMeasured { get; private set; }

    /// <summary>Whether what optical meters see was measured for all that gives off particles.</summary>
    /// <param name="sources">What is followed.</param>
    public static bool IsMeasured(IEnumerable<PlacedSource> sources)
    {
        var some = false;
        foreach (var source in sources.Where(static source => source.Agents.Any(static agent => agent.IsParticles)))
        {
            some = true;
            if (!source.Agents.Contains(Agent.VisibleMass))
            {
                return false;
            }
        }

        return some;
    }

    /// <summary>The streams.</summary>
    public IReadOnlyList<AirStream> Streams => _streams;

    /// <summary>What is drawn.</summary>
    public IReadOnlyList<DrawnInput> Inputs => _inputs;

    /// <summary>Of which streams an agent is made.</summary>
    public IReadOnlyList<StreamShare> SharesOf(Agent agent) => _shares[agent];

    /// <summary>Sizes of the particles where they leave the sources: those of the material that gives off most; null without particles.</summary>
    /// <param name="draw">The draw; less than 0 for the middle of all figures.</param>
    public RoomAerosol? AerosolAt(int draw)
    {
        if (_leading is not { } figures)
        {
            return _given is { } given ? new RoomAerosol(given.Size, given.DensityGPerCm3) : null;
        }

        if (draw >= 0)
        {
            var (size, density) = figures.ParticlesAt(draw);
            return new RoomAerosol(size, density);
        }

        var rules = figures.Material.Rules;
        return new RoomAerosol(new ParticleSize(rules.GmdNm.Value, rules.Gsd.Value), rules.ParticleDensityGPerCm3.Value);
    }

    /// <summary>Mean mass of a particle of a material, at the middle of its figures [ug].</summary>
    /// <param name="material">The material.</param>
    public static double MeanMassUg(Material material)
    {
        var rules = material.Rules;
        return new ParticleSize(rules.GmdNm.Value, rules.Gsd.Value).MeanMassUg(rules.ParticleDensityGPerCm3.Value);
    }

    private void AddPrints(List<PlacedPrint> prints, AirGrid grid, Func<string, int> indexOf, Dictionary<string, FigureDraws> figures, long seed)
    {
        var most = 0.0;
        foreach (var material in prints.SelectMany(static p => p.Print.Tools).Select(static t => t.Material).DistinctBy(static m => m.Id))
        {
            if (!figures.TryGetValue(material.Id, out var drawn))
            {
                drawn = new FigureDraws(material, StandardDraws.OfAir(material.Id, seed));
                figures.Add(material.Id, drawn);
            }

            var (particles, vapours) = (new MaterialStream(drawn, true, Cells, _zones), new MaterialStream(drawn, false, Cells, _zones));
            foreach (var print in prints)
            {
                Place(print, material, grid, indexOf(print.Zone), particles, vapours);
            }

            var (ofParticles, ofVapours) = (Add(particles), Add(vapours));
            Share(Agent.ParticleNumber, new StreamShare(ofParticles, 1, null));
            Share(Agent.ParticleMass, new StreamShare(ofParticles, MeanMassUg(material), drawn.ParticleMassUg()));
            if (SeesMeasured)
            {
                var visible = drawn.VisibleYield();
                var perNumber = VisibleMass.MiddleUgPerG(material) / material.NumberYieldPerG.Value;
                Share(Agent.VisibleMass, new StreamShare(Add(new VisibleStream(particles, visible, perNumber, Cells, _zones)), 1, null));
                _inputs.Add(new DrawnInput($"how much of each gram of {material.Name} an optical meter sees", visible));
            }

            Share(Agent.Tvoc, new StreamShare(ofVapours, 1, null));
            for (var i = 0; i < material.Species.Count; i++)
            {
                Share(material.Species[i].Agent, new StreamShare(ofVapours, material.Species[i].ShareOfTvoc.Value, drawn.ShareOf(i)));
                _inputs.Add(new DrawnInput($"the share of {material.Species[i].Name} in what {material.Name} gives off", drawn.ShareOf(i)));
            }

            AddInputs(material.Name, drawn, particles.Middle.Sum() > 0, vapours.Middle.Sum() > 0);
            if (particles.Middle.Sum() is var number && number > most)
            {
                (most, _leading) = (number, drawn);
            }
        }
    }

    private void AddInputs(string name, FigureDraws drawn, bool hasParticles, bool hasVapours)
    {
        if (hasParticles)
        {
            _inputs.AddRange(
            [
                new DrawnInput($"how many particles a gram of {name} gives off", drawn.NumberYield()),
                new DrawnInput($"how steeply the particles of {name} rise with the nozzle's temperature", drawn.Slope),
                new DrawnInput($"the residue in the nozzle at the start, {name}", drawn.Dose),
                new DrawnInput($"the hot nozzle's own share of the particles, {name}", drawn.OwnShare),
                new DrawnInput($"the size of the particles of {name}", drawn.ParticleMassUg()),
            ]);
        }

        if (hasVapours)
        {
            _inputs.AddRange(
            [
                new DrawnInput($"how much vapour a gram of {name} gives off", drawn.TvocYield()),
                new DrawnInput($"how steeply the vapours of {name} rise with the nozzle's temperature", drawn.TvocSlope),
                new DrawnInput($"the hot nozzle's own share of the vapours, {name}", drawn.TvocOwnShare),
            ]);
        }
    }

    private static void Place(PlacedPrint print, Material material, AirGrid grid, int zone, MaterialStream particles, MaterialStream vapours)
    {
        var cells = print.Print.Cells;
        var fromS = grid.Snapped(print.StartS);
        for (var t = 0; t < Math.Min(cells.Tools, print.Print.Tools.Count); t++)
        {
            var tool = print.Print.Tools[t];
            if (tool.Material.Id != material.Id)
            {
                continue;
            }

            var (joined, at) = (default(ToolBin), -1);
            for (var i = 0; i < cells.Count; i++)
            {
                var bin = cells.At(t, i);
                var (startS, seconds) = (fromS + i * cells.CellS, cells.Seconds(i));
                if (ToolCells.IsEmpty(in bin) || !(seconds > 0))
                {
                    continue;
                }

                for (var cell = grid.CellOf(startS); cell < grid.Cells && (grid.TimesS[cell] < startS + seconds || cell == grid.Cells - 1); cell++)
                {
                    var part = (Math.Min(startS + seconds, grid.TimesS[cell + 1]) - Math.Max(startS, grid.TimesS[cell])) / seconds;
                    if (!(part > 0))
                    {
                        continue;
                    }

                    if (cell != at)
                    {
                        Close();
                        at = cell;
                    }

                    var piece = ToolCells.Part(in bin, part);
                    joined = ToolCells.Join(in joined, in piece);
                }
            }

            Close();

            void Close()
            {
                if (at >= 0)
                {
                    var drawn = new DrawnCell(in joined, tool);
                    particles.Add(at, zone, print.Copies, drawn);
                    vapours.Add(at, zone, print.Copies, drawn);
                }

                joined = default;
            }
        }
    }

    private void AddGiven(List<PlacedSeries> given, AirGrid grid, Func<string, int> indexOf, long seed)
    {
        var lattice = StandardDraws.OfAir(Given, seed);
        foreach (var (place, agent) in given.SelectMany(static g => g.Agents).Distinct().OrderBy(static a => a.Id, StringComparer.Ordinal).Index())
        {
            // Number and mass of particles are off together: they belong to one source and one size.
            var z = lattice.Of(agent.IsParticles ? 1 : Math.Min(2 + place, MostGivenDimensions));
            foreach (var source in given.Where(s => s.Agents.Contains(agent)).Select((s, i) => (Source: s, Index: i)))
            {
                var ofAgent = source.Source.Agents.Index().First(a => a.Item == agent).Index;
                var gsd = source.Source.Series.GsdOf(ofAgent);
                var stream = new GivenStream(Array.ConvertAll(z, d => Math.Exp(d * Math.Log(gsd))), Cells, _zones);
                var fromS = grid.Snapped(source.Source.StartS);
                var series = source.Source.Series;
                for (var i = 0; i < series.Count; i++)
                {
                    stream.Add(grid, indexOf(source.Source.Zone), fromS + i * series.CellS, series.Seconds(i), series.Amount(ofAgent, i));
                }

                Share(agent, new StreamShare(Add(stream), 1, null));
                if (gsd > 1 && source.Index == 0)
                {
                    _inputs.Add(new DrawnInput($"how much of {agent.Name} the given source gives off", Array.ConvertAll(z, d => Math.Exp(d * Math.Log(gsd)))));
                }
            }
        }

        _given = given.Select(static g => g.Series.Particles).FirstOrDefault(static p => p is not null);
    }

    private int Add(AirStream stream)
    {
        _streams.Add(stream);
        return _streams.Count - 1;
    }

    private void Share(Agent agent, StreamShare share)
    {
        if (!_shares.TryGetValue(agent, out var shares))
        {
            shares = [];
            _shares.Add(agent, shares);
        }

        shares.Add(share);
    }
}

/// <summary>Amounts over cells and zones that rise and fall together.</summary>
/// <param name="cells">Number of cells.</param>
/// <param name="zones">Number of zones.</param>
internal abstract class AirStream(int cells, int zones)
{
    /// <summary>Amounts at the middle of all figures, cell by cell, zone by zone.</summary>
    public double[] Middle { get; } = new double[cells * zones];

    /// <summary>Number of zones.</summary>
    protected int Zones => zones;

    /// <summary>Sets amounts to those of a draw.</summary>
    /// <param name="draw">The draw; less than 0 for the middle.</param>
    /// <param name="amounts">As many as <see cref="Middle"/> has.</param>
    public void Fill(int draw, Span<double> amounts)
    {
        if (draw < 0)
        {
            Middle.CopyTo(amounts);
            return;
        }

        amounts.Clear();
        AddDraw(draw, amounts);
    }

    /// <summary>Adds the amounts of a draw.</summary>
    protected abstract void AddDraw(int draw, Span<double> amounts);
}

/// <summary>Particles or vapours of one material.</summary>
internal sealed class MaterialStream(FigureDraws figures, bool ofParticles, int cells, int zones) : AirStream(cells, zones)
{
    private readonly List<(int At, double Copies, DrawnCell Cell)> _entries = [];
    private readonly double _capPerS = figures.Material.Rules.NumberCapPerMin.Value / 60;
    private readonly double[] _yields = ofParticles ? figures.NumberYield() : figures.TvocYield();

    /// <summary>Adds a stretch of a tool.</summary>
    public void Add(int cell, int zone, double copies, DrawnCell drawn)
    {
        var at = cell * Zones + zone;
        _entries.Add((at, copies, drawn));
        Middle[at] += copies * (ofParticles ? drawn.MiddleNumber : drawn.MiddleTvocUg);

        // Made once here, since draws run on several threads.
        _ = ofParticles ? figures.Hotter(drawn.Tool) : figures.TvocHotter(drawn.Tool);
    }

    /// <summary>Adds the particles of a draw, as if they had another yield and cap.</summary>
    /// <param name="draw">The draw.</param>
    /// <param name="yield">The yield [1/g].</param>
    /// <param name="capPerS">No more than this leaves a nozzle [1/s].</param>
    /// <param name="amounts">What they are added to.</param>
    public void AddNumbers(int draw, double yield, double capPerS, Span<double> amounts)
    {
        foreach (var (at, copies, cell) in _entries)
        {
            amounts[at] += copies * cell.Number(figures, draw, yield, capPerS);
        }
    }

    /// <inheritdoc/>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    protected override void AddDraw(int draw, Span<double> amounts)
    {
        var yield = _yields[draw];
        foreach (ref readonly var entry in CollectionsMarshal.AsSpan(_entries))
        {
            amounts[entry.At] += entry.Copies * (ofParticles ? entry.Cell.Number(figures, draw, yield, _capPerS) : entry.Cell.TvocUg(figures, draw, yield));
        }
    }
}

/// <summary>Mass that an optical meter sees, of one material: it follows temperature, flow and start as the particles do, with a yield of its own and without their cap.</summary>
internal sealed class VisibleStream : AirStream
{
    // Finite, since moments without printing have a length of 0.
    private const double NoCapPerS = 1e300;

    private readonly MaterialStream _particles;
    private readonly double[] _yields;

    /// <summary>Takes the particles.</summary>
    /// <param name="particles">The particles, with all that was placed.</param>
    /// <param name="yields">Its yield for each draw [ug/g].</param>
    /// <param name="perNumber">Its yield over theirs, at the middle of all figures [ug].</param>
    /// <param name="cells">Number of cells.</param>
    /// <param name="zones">Number of zones.</param>
    public VisibleStream(MaterialStream particles, double[] yields, double perNumber, int cells, int zones) : base(cells, zones)
    {
        (_particles, _yields) = (particles, yields);
        for (var i = 0; i < Middle.Length; i++)
        {
            Middle[i] = particles.Middle[i] * perNumber;
        }
    }

    /// <inheritdoc/>
    protected override void AddDraw(int draw, Span<double> amounts) => _particles.AddNumbers(draw, _yields[draw], NoCapPerS, amounts);
}

/// <summary>One agent of a given source.</summary>
internal sealed class GivenStream(double[] factors, int cells, int zones) : AirStream(cells, zones)
{
    /// <summary>Adds an even stretch.</summary>
    public void Add(AirGrid grid, int zone, double startS, double seconds, double amount)
    {
        for (var cell = grid.CellOf(startS); cell < grid.Cells && grid.TimesS[cell] < startS + seconds; cell++)
        {
            var part = (Math.Min(startS + seconds, grid.TimesS[cell + 1]) - Math.Max(startS, grid.TimesS[cell])) / seconds;
            Middle[cell * Zones + zone] += amount * Math.Max(0, part);
        }
    }

    /// <inheritdoc/>
    protected override void AddDraw(int draw, Span<double> amounts)
    {
        for (var i = 0; i < amounts.Length; i++)
        {
            amounts[i] = Middle[i] * factors[draw];
        }
    }
}
