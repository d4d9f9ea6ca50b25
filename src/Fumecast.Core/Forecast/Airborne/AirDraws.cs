// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Forecast;

/// <summary>Levels in the zones of a room for every draw of the sources' and the room's figures, on a common grid.</summary>
/// <remarks>
/// Agents that behave alike in the air and come from one stream are one run, times their share. Particles are followed by size. What a draw makes of a figure is meant to be held against the
/// middle on the same grid: their ratio is what the grid is good for, the middle itself comes from a finer run (<see cref="AirMiddle"/>).
/// </remarks>
internal sealed class AirDraws
{
    private const int Middle = -1;
    private const long MostKept = 2_000_000;
    private const int FewestKept = 12;

    private readonly RoomPlan _plan;
    private readonly AirGrid _grid;
    private readonly AirStreams _streams;
    private readonly AirQuestions _questions;
    private readonly RoomDraws _room;
    private readonly LognormalKernel? _kernel;
    private readonly string[] _zones;
    private readonly GridWindow[] _windows;
    private readonly int _startEdge;
    private readonly int _endEdge;

    // Levels are followed as runs: some of linear agents, each one stream in one group of agents alike, then number, mass and visible mass.
    private readonly List<(Agent Alike, List<(int Run, int Stream)> Runs)> _groups = [];
    private readonly List<(int Run, StreamShare Share)>[] _runsOf;
    private readonly int _aerosolRun = -1;
    private readonly int _runs;


    // One array for all figures: it is large, so the collector leaves it where it is.
    private readonly double[] _drawn;
    private readonly double[] _middle;
    private readonly double[][] _clearedS;
    private readonly List<(FilterPlan Filter, int Zone)> _sorbents;
    private readonly double[][] _caughtUg;
    private readonly int[] _keptEdges = [];
    private readonly float[][] _kept = [];
    private readonly double[][] _keptMiddle = [];

    /// <summary>Draws.</summary>
    /// <param name="plan">The room.</param>
    /// <param name="grid">The grid.</param>
    /// <param name="streams">The sources on it.</param>
    /// <param name="questions">What is asked.</param>
    /// <param name="lattice">Deviates for the figures of the room.</param>
    /// <param name="kernel">How fast particles meet, with the table that other rooms have filled; null where none are given off.</param>
    /// <param name="keepSeries">Whether levels over time are kept.</param>
    /// <param name="cancel">Stops the work.</param>
    public AirDraws(RoomPlan plan, AirGrid grid, AirStreams streams, AirQuestions questions, RoomLattice lattice, LognormalKernel? kernel, bool keepSeries, CancellationToken cancel)
    {
        (_plan, _grid, _streams, _questions) = (plan, grid, streams, questions);
        _room = new RoomDraws(plan, lattice);
        _zones = [.. plan.Zones.Select(static z => z.Id)];
        _windows = [.. questions.MeansS.Select(s => new GridWindow(grid, s))];
        (_startEdge, _endEdge) = (grid.EdgeOf(questions.Clock.StartS), grid.EdgeOf(questions.Clock.EndS));
        _endEdge = Math.Max(_endEdge, Math.Min(_startEdge + 1, grid.Cells));
        Agents = [.. streams.Agents];
        if (kernel is not null && Agents.Contains(Agent.ParticleNumber) && Agents.Contains(Agent.ParticleMass))
        {
            _kernel = kernel;
            Agents = [Agent.ParticleNumber, Agent.ParticleMass, Agent.VisibleMass, .. Agents.Where(static a => !a.IsParticles)];
        }

        _runsOf = [.. Agents.Select(static _ => new List<(int, StreamShare)>())];
        AirModel[] models = [ModelAt(Middle), ModelAt(0), ModelAt(AirStreams.Draws / 2)];
        for (var a = 0; a < Agents.Count; a++)
        {
            if (!IsBySize(Agents[a]))
            {
                PlanRuns(a, models);
            }
        }

        _runs = _groups.Sum(static g => g.Runs.Count);
        if (_kernel is not null)
        {
            _aerosolRun = _runs;
            _runs += 3;
            for (var a = 0; a < (streams.SeesMeasured ? 2 : 3); a++)
            {
                _runsOf[a].Add((_aerosolRun + a, new StreamShare(0, 1, null)));
            }
        }

        _middle = new double[Agents.Count * _zones.Length * questions.Figures];
        _drawn = new double[_middle.Length * AirStreams.Draws];
        _clearedS = [.. questions.Clearings.Select(static _ => new double[AirStreams.Draws])];
        _sorbents = [.. plan.Filters.Where(static f => f.Kind.HoldsG(static x => x.Value) is not null).Select(f => (f, Array.IndexOf(_zones, f.Zone)))];
        _caughtUg = [.. _sorbents.Select(static _ => new double[AirStreams.Draws])];
        if (keepSeries)
        {
            var most = (int)Math.Clamp(MostKept / ((long)_runs * _zones.Length * AirStreams.Draws), FewestKept, grid.Cells + 1);
            _keptEdges = [.. Enumerable.Range(0, most).Select(i => (int)Math.Round((double)i * grid.Cells / (most - 1))).Distinct()];
            _kept = [.. Enumerable.Range(0, _runs * _zones.Length).Select(_ => new float[_keptEdges.Length * AirStreams.Draws])];
            _keptMiddle = [.. Enumerable.Range(0, _runs * _zones.Length).Select(_ => new double[_keptEdges.Length])];
        }

        Draw(Middle, new Worker(this));
        Parallel.For(
            0, AirStreams.Draws, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount, CancellationToken = cancel }, () => new Worker(this),
            (draw, _, worker) =>
            {
                Draw(draw, worker);
                return worker;
            },
            static _ => { });
    }

    /// <summary>What is followed: particles by number, mass, and mass an optical meter sees; TVOC; others.</summary>
    public IReadOnlyList<Agent> Agents { get; }

    /// <summary>Times of the kept levels [s]; empty when none are.</summary>
    public double[] KeptTimesS => Array.ConvertAll(_keptEdges, edge => _grid.TimesS[edge]);

    /// <summary>The sources.</summary>
    public AirStreams Streams => _streams;

    /// <summary>What is drawn, of the sources and of the room.</summary>
    public IEnumerable<DrawnInput> Inputs => _streams.Inputs.Concat(_room.Inputs);

    /// <summary>Filters with a sorbent of stated capacity, and what they catch of all vapours in each draw [ug].</summary>
    public IEnumerable<(FilterPlan Filter, double[] CaughtUg)> Sorbents => _sorbents.Select((s, i) => (s.Filter, _caughtUg[i]));

    /// <summary>The value of a figure of the room for a draw.</summary>
    public double RoomValue(Uncertainty.Figure figure, int draw) => _room.At(draw)(figure);

    /// <summary>A figure for every draw.</summary>
    /// <param name="agent">Index of the agent.</param>
    /// <param name="zone">Index of the zone.</param>
    /// <param name="figure">See <see cref="AirFigure"/>.</param>
    public ReadOnlySpan<double> Drawn(int agent, int zone, int figure) => _drawn.AsSpan(At(agent, zone, figure) * AirStreams.Draws, AirStreams.Draws);

    /// <summary>The same figure at the middle of all that is drawn, on this grid.</summary>
    public double MiddleOf(int agent, int zone, int figure) => _middle[At(agent, zone, figure)];

    /// <summary>Times after the last print at which a level is below another for good, for every draw [s]; infinite where it is not by the end.</summary>
    /// <param name="question">Index in the questions.</param>
    public double[] ClearedS(int question) => _clearedS[question];

    /// <summary>Levels of an agent in a zone at a kept time, for every draw, and at the middle.</summary>
    public (double[] Drawn, double Middle) KeptAt(int agent, int zone, int time)
    {
        var (drawn, middle) = (new double[AirStreams.Draws], 0.0);
        foreach (var (run, share) in _runsOf[agent])
        {
            var (kept, at) = (_kept[run * _zones.Length + zone], time * AirStreams.Draws);
            middle += share.Middle * _keptMiddle[run * _zones.Length + zone][time];
            for (var k = 0; k < drawn.Length; k++)
            {
                drawn[k] += share.At(k) * kept[at + k];
            }
        }

        return (drawn, middle);
    }

    /// <summary>Makes a way to ask for a figure with more clean air in a zone, draw by draw; for one thread.</summary>
    public Func<int, double, double> WithCleanAir(int agent, int zone, int figure)
    {
        var worker = new Worker(this);
        return (draw, cleanAirM3PerH) =>
        {
            Follow(draw, worker.ModelAt(this, draw).WithCleanAir(_zones[zone], cleanAirM3PerH), worker, agent);
            return FigureOf(LevelsOf(agent, draw, worker, out var factor), zone, figure) * factor;
        };
    }

    // What optical meters see is followed by itself where it was measured: the sizes then say nothing of it.
    private bool IsBySize(Agent agent) => _kernel is not null && agent.IsParticles && !(agent == Agent.VisibleMass && _streams.SeesMeasured);

    private int At(int agent, int zone, int figure) => (agent * _zones.Length + zone) * _questions.Figures + figure;

    private AirModel ModelAt(int draw) => _plan.ModelAt(_room.At(draw), _streams.AerosolAt(draw), coagulates: _kernel is not null).WithoutBackground();

    private void PlanRuns(int agent, AirModel[] models)
    {
        var group = _groups.FindIndex(g => models.All(m => m.CarriesAlike(g.Alike, Agents[agent])));
        if (group < 0)
        {
            group = _groups.Count;
            _groups.Add((Agents[agent], []));
        }

        foreach (var share in _streams.SharesOf(Agents[agent]))
        {
            var runs = _groups[group].Runs;
            var known = runs.FindIndex(r => r.Stream == share.Stream);
            if (known < 0)
            {
                known = runs.Count;
                runs.Add((_groups.Sum(static g => g.Runs.Count), share.Stream));
            }

            _runsOf[agent].Add((runs[known].Run, share));
        }
    }

    private void Draw(int draw, Worker worker)
    {
        var model = ModelAt(draw);
        Follow(draw, model, worker);
        for (var a = 0; a < Agents.Count; a++)
        {
            var levels = LevelsOf(a, draw, worker, out var factor);
            for (var z = 0; z < _zones.Length; z++)
            {
                for (var f = 0; f < _questions.Figures; f++)
                {
                    Store(At(a, z, f), draw, worker.Known(this, levels, z, f) * factor);
                }

                for (var q = 0; q < _clearedS.Length && draw >= 0; q++)
                {
                    if (_questions.Clearings[q] is var question && question.Agent == Agents[a] && question.Zone == _zones[z])
                    {
                        _clearedS[q][draw] = Cleared(levels.PerM3(z), question.AddedPerM3 / factor);
                    }
                }
            }

            if (draw >= 0 && Agents[a] == Agent.Tvoc)
            {
                Catch(draw, model, levels, factor);
            }
        }

        Keep(draw, worker);
    }

    private void Store(int at, int draw, double value)
    {
        if (draw < 0)
        {
            _middle[at] = value;
        }
        else
        {
            _drawn[at * AirStreams.Draws + draw] = value;
        }
    }

    // All agents, or only those that one of them is followed with.
    private void Follow(int draw, AirModel model, Worker worker, int? only = null)
    {
        var bySize = _kernel is not null && (only is null || IsBySize(Agents[only.Value]));
        worker.Forget();
        var isKnown = worker.Fill(_streams, draw);
        for (var g = 0; g < _groups.Count; g++)
        {
            if (only is { } asked && (bySize || !_groups[g].Runs.Exists(run => _runsOf[asked].Exists(of => of.Run == run.Run))))
            {
                continue;
            }

            GridRun.Follow(model, _groups[g].Alike, _grid, _questions.Clock, worker.Steps, worker.RunsOf[g]);
        }

        if (bySize)
        {
            if (!isKnown)
            {
                Sum(_streams.SharesOf(Agent.ParticleNumber), draw, worker, worker.Numbers);
                Sum(_streams.SharesOf(Agent.ParticleMass), draw, worker, worker.MassesUg);
            }

            worker.Aerosol!.Follow(
                model, _questions.Clock, worker.Numbers, worker.MassesUg,
                worker.Levels[_aerosolRun], worker.Levels[_aerosolRun + 1], worker.Levels[_aerosolRun + 2]);
        }
    }

    private static void Sum(IReadOnlyList<StreamShare> shares, int draw, Worker worker, double[] sums)
    {
        Array.Clear(sums);
        foreach (var share in shares)
        {
            var (amounts, factor) = (worker.Amounts[share.Stream], share.At(draw));
            for (var i = 0; i < sums.Length; i++)
            {
                sums[i] += factor * amounts[i];
            }
        }
    }

    // One run times a factor, or the sum of several.
    private GridLevels LevelsOf(int agent, int draw, Worker worker, out double factor)
    {
        if (_runsOf[agent] is [var (run, share)])
        {
            factor = share.At(draw);
            return worker.Levels[run];
        }

        factor = 1;
        worker.Mixed.Clear();
        worker.ForgetMixed();
        foreach (var (one, part) in _runsOf[agent])
        {
            worker.Mixed.Add(worker.Levels[one], part.At(draw));
        }

        return worker.Mixed;
    }

    private double FigureOf(GridLevels levels, int zone, int figure)
    {
        var perM3 = levels.PerM3(zone);
        var dose = levels.DoseSPerM3(zone);
        return figure switch
        {
            AirFigure.Peak => Largest(perM3),
            AirFigure.MeanPrint => (dose[_endEdge] - dose[_startEdge]) / (_grid.TimesS[_endEdge] - _grid.TimesS[_startEdge]),
            AirFigure.EndOfPrint => perM3[_endEdge],
            AirFigure.Integral => dose[^1],
            _ => _windows[figure - AirFigure.FirstMean].Largest(dose),
        };
    }

    private static double Largest(ReadOnlySpan<double> values)
    {
        var largest = 0.0;
        foreach (var value in values)
        {
            largest = Math.Max(largest, value);
        }

        return largest;
    }

    private double Cleared(ReadOnlySpan<double> perM3, double level)
    {
        var last = perM3.Length - 1;
        if (perM3[last] > level)
        {
            return double.PositiveInfinity;
        }

        while (last > _endEdge && !(perM3[last - 1] > level))
        {
            last--;
        }

        if (last == _endEdge)
        {
            return 0;
        }

        // Air clears exponentially, so the logarithm is what falls evenly within a cell.
        var (before, after) = (perM3[last - 1], perM3[last]);
        var part = after > 0 ? Math.Log(before / level) / Math.Log(before / after) : 1 - level / before;
        return _grid.TimesS[last - 1] + part * (_grid.TimesS[last] - _grid.TimesS[last - 1]) - _grid.TimesS[_endEdge];
    }

    private void Catch(int draw, AirModel model, GridLevels tvoc, double factor)
    {
        for (var i = 0; i < _sorbents.Count; i++)
        {
            var (filter, zone) = _sorbents[i];
            var engine = model.Filters.First(f => f.Name == filter.Name);
            var dose = tvoc.DoseSPerM3(zone);
            var sum = 0.0;
            for (var cell = 0; cell < _grid.Cells; cell++)
            {
                sum += (dose[cell + 1] - dose[cell]) * engine.On.ShareAt((_grid.TimesS[cell] + _grid.TimesS[cell + 1]) / 2, _questions.Clock);
            }

            _caughtUg[i][draw] = sum * factor * engine.CleanAirM3PerH(Agent.Tvoc) / 3600;
        }
    }

    private void Keep(int draw, Worker worker)
    {
        for (var i = 0; i < _kept.Length; i++)
        {
            var levels = worker.Levels[i / _zones.Length].PerM3(i % _zones.Length);
            for (var t = 0; t < _keptEdges.Length; t++)
            {
                if (draw < 0)
                {
                    _keptMiddle[i][t] = levels[_keptEdges[t]];
                }
                else
                {
                    _kept[i][t * AirStreams.Draws + draw] = (float)levels[_keptEdges[t]];
                }
            }
        }
    }

    // What one thread needs, made once.
    private sealed class Worker
    {
        private const int None = int.MinValue;

        private readonly Dictionary<GridLevels, double[]> _known = new(ReferenceEqualityComparer.Instance);
        private AirModel? _model;
        private int _modelled = None;
        private int _filled = None;

        public Worker(AirDraws draws)
        {
            var (cells, zones) = (draws._grid.Cells, draws._zones.Length);
            Amounts = [.. draws._streams.Streams.Select(_ => new double[cells * zones])];
            Steps = new GridSteps(zones);
            Aerosol = draws._kernel is { } kernel ? new GridAerosol(draws._grid, zones, kernel) : null;
            (Numbers, MassesUg) = (new double[cells * zones], new double[cells * zones]);
            Levels = [.. Enumerable.Range(0, draws._runs).Select(_ => new GridLevels(cells, zones))];
            Mixed = new GridLevels(cells, zones);
            foreach (var levels in Levels.Append(Mixed))
            {
                _known.Add(levels, new double[zones * draws._questions.Figures]);
            }

            RunsOf = [.. draws._groups.Select(group => group.Runs.Select(r => (Amounts[r.Stream], Levels[r.Run])).ToArray())];
        }

        public GridSteps Steps { get; }

        public GridAerosol? Aerosol { get; }

        public (double[] Amounts, GridLevels Levels)[][] RunsOf { get; }

        public double[][] Amounts { get; }

        public double[] Numbers { get; }

        public double[] MassesUg { get; }

        public GridLevels[] Levels { get; }

        public GridLevels Mixed { get; }

        // What a draw gives off is asked for several times when clean air is looked for. Returns whether it was there already.
        public bool Fill(AirStreams streams, int draw)
        {
            if (_filled == draw)
            {
                return true;
            }

            for (var s = 0; s < Amounts.Length; s++)
            {
                streams.Streams[s].Fill(draw, Amounts[s]);
            }

            _filled = draw;
            return false;
        }

        public AirModel ModelAt(AirDraws draws, int draw)
        {
            if (_modelled != draw || _model is null)
            {
                (_model, _modelled) = (draws.ModelAt(draw), draw);
            }

            return _model;
        }

        public void Forget()
        {
            foreach (var known in _known.Values)
            {
                Array.Fill(known, double.NaN);
            }
        }

        public void ForgetMixed() => Array.Fill(_known[Mixed], double.NaN);

        // Agents that are multiples of one run ask for the same figures.
        public double Known(AirDraws draws, GridLevels levels, int zone, int figure)
        {
            ref var known = ref _known[levels][zone * draws._questions.Figures + figure];
            known = double.IsNaN(known) ? draws.FigureOf(levels, zone, figure) : known;
            return known;
        }
    }
}
