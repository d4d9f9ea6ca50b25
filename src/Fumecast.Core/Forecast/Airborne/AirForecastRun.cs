// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Emission;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>Follows the air of a room: the middle of all figures in full resolution, draws on a grid, and what is told of them.</summary>
/// <remarks>A figure of a result is its draws on the grid, times what the full resolution makes of the middle over what the grid makes of it.</remarks>
internal sealed class AirForecastRun
{
    // At least a day, and long enough after the last print for what it left to be gone.
    private const double AfterS = 86_400;
    private const int CellsForStart = 16;
    private const int MostStarts = 20;
    private const int MostInfluences = 3;

    /// <summary>How well the clean air of a draw is found: far better than the draws tell it [-].</summary>
    private const double CleanAirTolerance = 1e-3;
    private const double LeastInfluence = 0.02;
    private const int MostTimes = 600;
    private const int MostPieces = 8;
    private const int HalvingsFromNothing = 8;
    private static readonly double[] UsualMeansS = [900, 3600, 8 * 3600, 24 * 3600];

    private readonly AirRequest _request;
    private readonly CancellationToken _cancel;
    private readonly AirQuestions _questions;
    private readonly Dictionary<string, FigureDraws> _figures = [];
    private readonly IReadOnlyList<ClearingQuestion> _clearings;
    private readonly List<(ClearingQuestion Question, double Level, string Of, double? WithoutPrint)> _asked = [];
    private readonly Dictionary<string, double[]> _inputRanks = [];
    private RoomLattice? _lattice;
    private LognormalKernel? _kernel;
    private readonly AirGrid _grid;
    private readonly AirDraws _draws;
    private readonly AirMiddle _middle;
    private readonly double[] _seriesTimesS;

    private AirForecastRun(AirRequest request, CancellationToken cancel)
    {
        (_request, _cancel) = (request, cancel);
        var (startS, endS) = (request.Sources.Min(static s => s.StartS), request.Sources.Max(static s => s.StartS + s.LengthS));
        var clock = new RunClock(startS, endS, request.Plan.TimeOfDayS);
        double[] means = [.. UsualMeansS.Concat(request.Guidelines.Where(g => g.IsForADay && GivenOff(g.Agent)).Select(static g => g.AveragingS)).Distinct().Order()];
        _clearings = Clearings(clock, endS + AfterS);
        _questions = new AirQuestions(clock, endS + AfterS, means, _clearings);
        _grid = GridFor(request.Plan);
        _draws = DrawsOf(request.Plan, request.Sources, _grid, request.KeepSeries);
        _seriesTimesS = SeriesTimes(_draws.KeptTimesS, request.Sources);
        _middle = new AirMiddle(MiddleModel(), request.Sources, _draws, _questions, _seriesTimesS);
    }

    /// <summary>Forecasts.</summary>
    /// <param name="request">What is asked.</param>
    /// <param name="cancel">Stops the work.</param>
    public static AirOutcome Run(AirRequest request, CancellationToken cancel = default) => new AirForecastRun(request, cancel).Outcome();

    /// <summary>Forecasts, and tells what the meters show in each draw, as it is and in a changed room.</summary>
    /// <param name="request">What is asked.</param>
    /// <param name="changed">The changed room; its fans and windows change when those of the room do.</param>
    /// <param name="zone">Zone that the meters stand in.</param>
    /// <param name="cancel">Stops the work.</param>
    public static (AirOutcome Outcome, IReadOnlyList<MeterDraws> Seen) RunThrough(AirRequest request, RoomPlan changed, string zone, CancellationToken cancel)
    {
        var run = new AirForecastRun(request, cancel);
        return (run.Outcome(), run.Through(changed, zone));
    }

    private AirOutcome Outcome() => new()
    {
        Room = _request.Plan.Id,
        Interval = _request.Interval,
        DurationS = _questions.SpanS,
        PrintStartS = _questions.Clock.StartS,
        PrintEndS = _questions.Clock.EndS,
        TimeOfDayS = _request.Plan.TimeOfDayS,
        Zones = [.. _request.Plan.Zones.Select(ZoneOf)],
        ClearAfter = [.. _asked.Select((asked, i) => new ClearedAir(
            asked.Question.Zone, asked.Question.Agent, asked.Level, asked.Of,
            asked.Question.AddedPerM3 > 0 ? IntervalOf([.. _draws.ClearedS(i)]) : new Uncertain(double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity))
        {
            WithoutPrint = asked.WithoutPrint,
        })],
        Remedies = Remedies(),
        Needed = Needed(),
        Balance = [.. _middle.Balance(_draws.Agents).Select(static b => new AgentBalance(b.Agent, b.Emitted, b.Airborne, b.Vented, b.Deposited, b.Filtered, b.Coagulated))],
        Sorbents = Sorbents(),
        Series = _request.KeepSeries ? Series() : [],
        SourceTimes = [.. _request.Sources.Select(static s => s.Time())],
    };

    private ZoneAir ZoneOf(ZonePlan zone, int index) => new()
    {
        Zone = zone.Id,
        VolumeM3 = zone.VolumeAt(static f => f.Value),
        IsEnclosure = zone.IsEnclosure,
        Agents = [.. _draws.Agents.Select((agent, a) => LevelsOf(agent, a, index))],
        Guidelines = [.. _request.Guidelines.Where(static g => g.IsForADay).Select(g => Against(g, index)).OfType<GuidelineRatio>()],
        Meters = [.. _request.Meters.SelectMany(meter => meter.Channels.Select(channel => Shown(meter, channel, index))).OfType<MeterReading>()],
    };

    private AgentLevels LevelsOf(Agent agent, int a, int zone)
    {
        var per = AirUnits.PerM3(agent);
        return new AgentLevels
        {
            Agent = agent,
            WithoutPrint = WithoutPrint(agent, _questions.Clock.StartS, _questions.Clock)?[zone] / per,
            Peak = Figure(AirFigure.Peak),
            PeakAtS = _middle.PeakAtS(a, zone),
            Mean15Min = Figure(_questions.MeanOver(900)),
            Mean1H = Figure(_questions.MeanOver(3600)),
            WorstHourAtS = Math.Max(0, _middle.MeanEndsS(a, zone, _questions.MeanOver(3600) - AirFigure.FirstMean) - 3600),
            Mean8H = Figure(_questions.MeanOver(8 * 3600)),
            Mean24H = Figure(_questions.MeanOver(24 * 3600)),
            MeanPrint = Figure(AirFigure.MeanPrint),
            EndOfPrint = Figure(AirFigure.EndOfPrint),
            TimeIntegralH = Figure(AirFigure.Integral, 3600),
            Influences = Influences(_draws.Drawn(a, zone, AirFigure.Peak)),
        };

        Uncertain Figure(int figure, double over = 1) => IntervalOf(Scaled(a, zone, figure, 1 / (per * over)));
    }

    // The draws of a figure, times what the full resolution makes of the middle over what the grid makes of it.
    private double[] Scaled(int agent, int zone, int figure, double factor)
    {
        var scale = factor * FineOverGrid(agent, zone, figure);
        var scaled = _draws.Drawn(agent, zone, figure).ToArray();
        for (var k = 0; k < scaled.Length; k++)
        {
            scaled[k] *= scale;
        }

        return scaled;
    }

    private double FineOverGrid(int agent, int zone, int figure) =>
        (_middle.FigureOf(agent, zone, figure), _draws.MiddleOf(agent, zone, figure)) is ( > 0 and var fine, > 0 and var grid) ? fine / grid : 1;

    private Uncertain IntervalOf(double[] draws) => EmissionDraws.IntervalOf(draws, _request.Interval);

    private GuidelineRatio? Against(Guideline guideline, int zone)
    {
        var agent = _draws.Agents.ToList().IndexOf(guideline.Agent);
        if (agent < 0)
        {
            return null;
        }

        var value = guideline.Level.Value;
        return new GuidelineRatio
        {
            Agent = guideline.Agent,
            Guideline = guideline.Id,
            Value = value,
            Averaging = guideline.Averaging,
            Body = guideline.Body,
            Year = guideline.Year,
            Population = guideline.Population.ToString().ToLowerInvariant(),
            Status = guideline.Status.ToString().ToLowerInvariant(),
            Description = guideline.Description,
            Ratio = IntervalOf(Scaled(agent, zone, _questions.MeanOver(guideline.AveragingS), 1 / (AirUnits.PerM3(guideline.Agent) * value))),
        };
    }

    private MeterReading? Shown(MeterKind meter, MeterChannel channel, int zone)
    {
        if (SeenBy(channel) is not { } seen)
        {
            return null;
        }

        var agent = _draws.Agents.ToList().IndexOf(seen);
        var factors = ShownOf(meter, channel, seen);
        var (peak, mean) = (Scaled(agent, zone, AirFigure.Peak, 1 / AirUnits.PerM3(seen)), Scaled(agent, zone, AirFigure.MeanPrint, 1 / AirUnits.PerM3(seen)));
        var (printS, probability) = (_questions.Clock.EndS - _questions.Clock.StartS, 0.0);
        var without = (WithoutPrint(seen, _questions.Clock.StartS, _questions.Clock)?[zone] ?? 0) / AirUnits.PerM3(seen);
        for (var k = 0; k < peak.Length; k++)
        {
            peak[k] *= factors[k].Shown;
            mean[k] *= factors[k].Shown;
            probability += MeterNoise.Of(channel, factors[k].Response * without + mean[k], static f => f.Value).ProbabilitySeen(mean[k], printS, printS);
        }

        return new MeterReading(meter.Id, channel.Quantity.ToString().ToLowerInvariant(), AirUnits.Of(seen), IntervalOf(peak), IntervalOf(mean), probability / AirStreams.Draws);
    }

    /// <summary>What a channel looks at; null where nothing of it is given off.</summary>
    /// <remarks>Mass above 0.3 um is followed as it grows; of smaller cuts, and of the number, counts what is larger than the cut where it is given off.</remarks>
    private Agent? SeenBy(MeterChannel channel)
    {
        var seen = channel.Quantity switch
        {
            MeterQuantity.Tvoc => Agent.Tvoc,
            MeterQuantity.Number => Agent.ParticleNumber,
            _ when channel.LowerCutNm < Agent.VisibleFromNm => Agent.ParticleMass,
            _ => Agent.VisibleMass,
        };
        return _draws.Agents.Contains(seen) ? seen : null;
    }

    /// <summary>What one unit shows of all that it looks at, by draw: all that it shows is off together.</summary>
    private (double Response, double Shown)[] ShownOf(MeterKind meter, MeterChannel channel, Agent seen)
    {
        var response = Array.ConvertAll(StandardDraws.OfAir($"meter: {meter.Id}", _request.Seed).Of(1), channel.Response.At);

        // What was measured is what a meter showed: its middle response and its cut are in it already.
        if (seen == Agent.VisibleMass && _draws.Streams.SeesMeasured)
        {
            return [.. response.Select(one => (one / channel.Response.Value, one / channel.Response.Value))];
        }

        return [.. response.Select((one, k) => (one, one * ((seen.IsParticles || seen == Agent.VisibleMass) && _draws.Streams.AerosolAt(k) is { } aerosol
            ? seen == Agent.VisibleMass ? MeterView.ShareOfVisible(channel, aerosol.Size) : MeterView.ShareSeen(channel, aerosol.Size)
            : 1)))];
    }

    /// <summary>What the meters show of the air in each draw, as it is and in a changed room; what both share is drawn alike.</summary>
    private List<MeterDraws> Through(RoomPlan changed, string zone)
    {
        var other = DrawsOf(changed, _request.Sources, _grid, keepSeries: false);
        var (z, there) = (_request.Plan.Zones.ToList().FindIndex(one => one.Id == zone), changed.Zones.ToList().FindIndex(one => one.Id == zone));
        Dictionary<Agent, (double[] AsItIs, double[] Changed)> losses = [];
        List<MeterDraws> all = [];
        foreach (var (meter, channel) in _request.Meters.SelectMany(static meter => meter.Channels.Select(channel => (meter, channel))))
        {
            if (SeenBy(channel) is not { } seen)
            {
                continue;
            }

            var agent = _draws.Agents.ToList().IndexOf(seen);
            var (factors, per) = (ShownOf(meter, channel, seen), AirUnits.PerM3(seen));
            if (!losses.TryGetValue(seen, out var loss))
            {
                losses[seen] = loss = (Losses(_request.Plan, _draws, seen), Losses(changed, other, seen));
            }

            all.Add(new MeterDraws
            {
                Meter = meter,
                Channel = channel,
                Unit = AirUnits.Of(seen),
                WithoutPrint = channel.Response.Value * (WithoutPrint(seen, _questions.Clock.StartS, _questions.Clock)?[z] ?? 0) / per,
                AsItIs = Of(_draws, z, loss.AsItIs),
                Changed = Of(other, there, loss.Changed),
            });

            DrawnFall[] Of(AirDraws draws, int at, double[] lossPerH) =>
                [.. draws.Drawn(agent, at, AirFigure.Integral).ToArray().Select((integral, k) => new DrawnFall(factors[k].Shown * integral * FineOverGrid(agent, z, AirFigure.Integral) / (3600 * per), lossPerH[k]))];
        }

        return all;
    }

    /// <summary>The slowest loss rate after the print in each draw [1/h]; what coagulates goes faster.</summary>
    private double[] Losses(RoomPlan plan, AirDraws draws, Agent agent) => [.. Enumerable.Range(0, AirStreams.Draws).Select(k =>
    {
        var rates = new AirRates(plan.ModelAt(figure => draws.RoomValue(figure, k), draws.Streams.AerosolAt(k)), agent);
        rates.SetTo(_questions.Clock.EndS, _questions.Clock);
        return rates.SlowestPerH();
    })];

    private List<ClearingQuestion> Clearings(RunClock clock, double untilS)
    {
        var plan = _request.Plan;
        if (_request.Levels.Select(static l => l.Agent).FirstOrDefault(agent => !GivenOff(agent)) is { } unknown)
        {
            // Of what nothing is known no level can be told, least of all that it is low.
            string[] known = [.. _request.Sources.SelectMany(static s => s.Agents).Append(Agent.VisibleMass).Distinct().Where(GivenOff).Select(static a => a.Id)];
            var meant = Nearest.To(unknown.Id, known) is { } near ? $"; did you mean '{near}'?" : "";
            var message = $"--level: found '{unknown.Id}', which nothing here is known to give off, so nothing can be said of its level; expected one of {string.Join(", ", known)}{meant}";
            throw new InputProblem(message) { IsOfOptions = true };
        }

        var without = _request.Levels.Select(static l => l.Agent).Distinct().ToDictionary(static a => a, a => WorstWithoutPrint(a, clock, untilS));
        for (var z = 0; z < plan.Zones.Count; z++)
        {
            foreach (var (agent, level) in _request.Levels)
            {
                var there = without[agent]?[z];
                Ask(plan.Zones[z].Id, agent, level, there is null ? "added" : "named", level * AirUnits.PerM3(agent) - (there ?? 0), there / AirUnits.PerM3(agent));
            }

            foreach (var (_, agents, level) in plan.Outdoors.Where(static l => l.Level.Value > 0))
            {
                foreach (var agent in agents.Where(GivenOff))
                {
                    Ask(plan.Zones[z].Id, agent, level.Value, "outdoors", level.Value * AirUnits.PerM3(agent));
                }
            }
        }

        return [.. _asked.Select(static a => a.Question)];

        void Ask(string zone, Agent agent, double level, string of, double addedPerM3, double? withoutPrint = null) =>
            _asked.Add((new ClearingQuestion(zone, agent, addedPerM3), level, of, withoutPrint));
    }

    private bool GivenOff(Agent agent) => agent == Agent.VisibleMass
        ? _request.Sources.Any(static s => s.Agents.Any(static a => a.IsParticles))
        : _request.Sources.Any(s => s.Agents.Contains(agent));

    // Steady levels in all zones; null where nothing is stated of the agent, or it rises for ever.
    private double[]? WithoutPrint(Agent agent, double timeS, RunClock clock)
    {
        var plan = _request.Plan;
        if (!plan.Outdoors.Any(l => l.Agents.Contains(agent)) && !plan.Indoors.Any(s => s.Agent == agent))
        {
            return null;
        }

        var model = plan.ModelAt(static f => f.Value);
        return SteadyAir.LevelsPerM3(model, agent, new double[plan.Zones.Count], timeS, clock);
    }

    // The largest of them that any state of fans and windows has from the last end on: what is below it then stays so.
    private double[]? WorstWithoutPrint(Agent agent, RunClock clock, double untilS)
    {
        double[]? worst = null;
        foreach (var timeS in ChangesOf([_request.Plan], clock.EndS, untilS, clock).Prepend(clock.EndS))
        {
            _cancel.ThrowIfCancellationRequested();
            if (WithoutPrint(agent, timeS, clock) is not { } levels)
            {
                return null;
            }

            worst = worst is null ? levels : [.. worst.Zip(levels, Math.Max)];
        }

        return worst;
    }

    private static SortedSet<double> ChangesOf(IEnumerable<RoomPlan> plans, double fromS, double untilS, RunClock clock)
    {
        var changes = new SortedSet<double>();
        foreach (var on in plans.SelectMany(static p => p.Loops.Select(static l => l.On).Concat(p.Filters.Select(static f => f.On))))
        {
            for (var at = on.NextChangeS(fromS, clock); at < untilS; at = on.NextChangeS(at, clock))
            {
                changes.Add(at);
            }
        }

        return changes;
    }

    private AirModel MiddleModel()
    {
        var aerosol = _draws.Streams.AerosolAt(-1);
        var model = _request.Plan.ModelAt(static f => f.Value, aerosol, coagulates: aerosol is not null).WithoutBackground();
        return model with { Particles = model.Particles is { } particles ? particles with { Kernel = _kernel } : null };
    }

    private AirGrid GridFor(params IEnumerable<RoomPlan> plans)
    {
        var changes = ChangesOf(plans, 0, _questions.SpanS, _questions.Clock);
        return AirGrid.Of(_questions.SpanS, _request.Sources, [.. changes], _request.GridCells + CellsForStart * Math.Min(MostStarts, _request.Sources.Select(static s => s.StartS).Distinct().Count() - 1));
    }

    private AirDraws DrawsOf(RoomPlan plan, IReadOnlyList<PlacedSource> sources, AirGrid grid, bool keepSeries)
    {
        var ids = plan.Zones.Select(static z => z.Id).ToList();
        var streams = new AirStreams(sources, grid, zone => ids.IndexOf(zone), ids.Count, _figures, _request.Seed);
        _kernel ??= streams.AerosolAt(-1) is { } aerosol ? new LognormalKernel(aerosol.DensityGPerCm3) : null;
        return new AirDraws(plan, grid, streams, _questions with { Clearings = ReferenceEquals(plan, _request.Plan) ? _clearings : [] }, _lattice ??= new RoomLattice(streams.Leading, _request.Seed), _kernel, keepSeries, _cancel);
    }

    private List<AirInfluence> Influences(ReadOnlySpan<double> drawn)
    {
        var ranks = Ranked(drawn.ToArray());
        var all = _draws.Inputs.Select(input => (input.Name, Share: Square(Correlation(ranks, _inputRanks.GetValueOrDefault(input.Name) ?? Remember(input)))))
            .Where(static i => i.Share > LeastInfluence).OrderByDescending(static i => i.Share).ToList();
        return [.. all.Take(MostInfluences).Select(static i => new AirInfluence(i.Name, i.Share))];

        double[] Remember(DrawnInput input) => _inputRanks[input.Name] = Ranked(input.Draws);
    }

    private static double[] Ranked(double[] values)
    {
        var order = new int[values.Length];
        for (var i = 0; i < order.Length; i++)
        {
            order[i] = i;
        }

        Array.Sort((double[])values.Clone(), order);
        var ranks = new double[values.Length];
        for (var i = 0; i < order.Length; i++)
        {
            ranks[order[i]] = i - (order.Length - 1) / 2.0;
        }

        return ranks;
    }

    private static double Correlation(double[] one, double[] other)
    {
        var (product, square) = (0.0, 0.0);
        for (var i = 0; i < one.Length; i++)
        {
            product += one[i] * other[i];
            square += one[i] * one[i];
        }

        return product / square;
    }

    private static double Square(double value) => value * value;

    private List<RemedyRatio> Remedies()
    {
        var ratios = new List<RemedyRatio>();
        if (_request.RemedyFilters is not { } filters)
        {
            return ratios;
        }

        var plans = RoomChanges.Of(_request.Plan, filters).ToList();
        var grid = GridFor(plans.Select(static p => p.Plan));
        var asItIs = DrawsOf(_request.Plan, _request.Sources, grid, keepSeries: false);
        foreach (var (name, plan) in plans)
        {
            _cancel.ThrowIfCancellationRequested();
            var changed = ReferenceEquals(plan, _request.Plan)
                ? asItIs
                : DrawsOf(plan, [.. _request.Sources.Select(s => plan.Zones.Any(z => z.Id == s.Zone) ? s : s with { Zone = plan.Zones[0].Id })], grid, keepSeries: false);
            for (var z = 0; z < _request.Plan.Zones.Count; z++)
            {
                var there = plan.Zones.Select(static p => p.Id).ToList().IndexOf(_request.Plan.Zones[z].Id);
                for (var a = 0; a < _draws.Agents.Count && there >= 0; a++)
                {
                    var agent = _draws.Agents[a];
                    if ((agent.IsParticles || agent == Agent.Tvoc) && asItIs.MiddleOf(a, z, AirFigure.Integral) > 0)
                    {
                        ratios.Add(new RemedyRatio(name, _request.Plan.Zones[z].Id, agent, Ratio(AirFigure.Integral), Ratio(AirFigure.Peak)));
                    }

                    Uncertain Ratio(int figure) => IntervalOf(Ratios(changed.Drawn(a, there, figure), asItIs.Drawn(a, z, figure)));
                }
            }
        }

        return ratios;
    }

    private static double[] Ratios(ReadOnlySpan<double> values, ReadOnlySpan<double> basis)
    {
        var ratios = new List<double>(values.Length);
        for (var k = 0; k < values.Length; k++)
        {
            if (basis[k] > 0)
            {
                ratios.Add(values[k] / basis[k]);
            }
        }

        return [.. ratios];
    }

    private List<CleanAirNeed> Needed()
    {
        var asked = new List<(int Zone, Agent Agent, double Level, int Figure, string Averaging, string Of)>();
        for (var z = 0; z < _request.Plan.Zones.Count; z++)
        {
            if (_request.Plan.Zones[z].IsEnclosure)
            {
                continue;
            }

            foreach (var (agent, level) in _request.Levels)
            {
                asked.Add((z, agent, level, AirFigure.Peak, "peak", "named"));
            }

            foreach (var guideline in _request.Guidelines.Where(static g => g.IsForADay && g.Population == GuidelinePopulation.General && g.Status != GuidelineStatus.Superseded).Where(g => GivenOff(g.Agent)))
            {
                asked.Add((z, guideline.Agent, guideline.Level.Value, _questions.MeanOver(guideline.AveragingS), guideline.Averaging, guideline.Id));
            }
        }

        var agents = _draws.Agents.ToList();
        return [.. asked.Where(ask => agents.Contains(ask.Agent) && ask.Level > 0).AsParallel().AsOrdered().WithCancellation(_cancel)
            .Select(ask => NeededIn(agents.IndexOf(ask.Agent), ask.Zone, ask.Figure, ask.Level * AirUnits.PerM3(ask.Agent)) is { High: > 0 } m3PerH
                ? new CleanAirNeed(_request.Plan.Zones[ask.Zone].Id, ask.Agent, ask.Level, ask.Averaging, ask.Of, m3PerH)
                : null)
            .OfType<CleanAirNeed>()];
    }

    // What is needed rises with the figure itself, nearly: so it is looked for in the draws around the three quantiles of the figure.
    private Uncertain NeededIn(int agent, int zone, int figure, double level)
    {
        const int Around = 1;
        var (drawn, scale) = (_draws.Drawn(agent, zone, figure).ToArray(), FineOverGrid(agent, zone, figure));
        var order = new int[drawn.Length];
        for (var i = 0; i < order.Length; i++)
        {
            order[i] = i;
        }

        Array.Sort((double[])drawn.Clone(), order);
        if (drawn[order[^1]] * scale <= level)
        {
            return default;
        }

        var ask = _draws.WithCleanAir(agent, zone, figure);
        return new Uncertain(At((1 - _request.Interval) / 2), At(0.5), At((1 + _request.Interval) / 2));

        double At(double share)
        {
            var middle = (int)Math.Round(share * (order.Length - 1));
            var found = new List<double>();
            for (var i = Math.Max(0, middle - Around); i <= Math.Min(order.Length - 1, middle + Around); i++)
            {
                var draw = order[i];
                found.Add(drawn[draw] * scale <= level ? 0 : SteadyAir.CleanAirM3PerH(x => ask(draw, x) * scale, level, CleanAirTolerance) ?? double.PositiveInfinity);
            }

            found.Sort();
            return found[found.Count / 2];
        }
    }

    private List<SorbentLife> Sorbents()
    {
        var lives = new List<SorbentLife>();
        var hours = (_questions.Clock.EndS - _questions.Clock.StartS) / 3600;
        foreach (var (filter, caughtUg) in _draws.Sorbents)
        {
            var lasting = new double[caughtUg.Length];
            for (var k = 0; k < lasting.Length; k++)
            {
                var draw = k;
                var holdsG = filter.Kind.HoldsG(figure => _draws.RoomValue(figure, draw))!.Value;
                lasting[k] = caughtUg[k] > 0 ? holdsG * 1e6 / caughtUg[k] * hours : double.PositiveInfinity;
            }

            if (IntervalOf(lasting) is var life && double.IsFinite(life.High))
            {
                lives.Add(new SorbentLife(filter.Name, filter.Zone, filter.Kind.HoldsG(static f => f.Value)!.Value, life));
            }
        }

        return lives;
    }

    /// <summary>Times of the series: those at which draws were kept, with pieces between them, and ever shorter ones after something begins, since a level that rises from nothing is bent the most there.</summary>
    private static double[] SeriesTimes(double[] keptS, IReadOnlyList<PlacedSource> sources)
    {
        if (keptS.Length < 2)
        {
            return keptS;
        }

        double[] starts = [.. sources.Select(static source => source.StartS).Distinct().Take(MostStarts).Order()];
        var pieces = Math.Clamp(MostTimes / (keptS.Length - 1), 1, MostPieces);
        var times = new List<double>();
        for (var i = 0; i + 1 < keptS.Length; i++)
        {
            var (fromS, lengthS) = (keptS[i], keptS[i + 1] - keptS[i]);
            times.AddRange(Enumerable.Range(0, pieces).Select(k => fromS + lengthS * k / pieces));
            foreach (var startS in starts.Where(startS => startS >= fromS && startS < keptS[i + 1]))
            {
                times.AddRange(Enumerable.Range(0, HalvingsFromNothing).Select(k => startS + Math.ScaleB(keptS[i + 1] - startS, -k)));
            }
        }

        return [.. times.Append(keptS[^1]).Distinct().Order()];
    }

    private List<LevelSeries> Series()
    {
        var keptS = _draws.KeptTimesS;
        var wanted = Enumerable.Range(0, _draws.Agents.Count * _request.Plan.Zones.Count).ToList();
        return [.. wanted.AsParallel().AsOrdered().WithCancellation(_cancel).Select(i =>
        {
            var (a, z) = (i % _draws.Agents.Count, i / _draws.Agents.Count);
            var per = AirUnits.PerM3(_draws.Agents[a]);
            var spreads = new Spread?[keptS.Length];
            for (var t = 0; t < spreads.Length; t++)
            {
                var (drawn, middle) = _draws.KeptAt(a, z, t);
                spreads[t] = middle > 0 ? Spread.Of(IntervalOf(drawn), middle) : null;
            }

            var at = 0;
            return new LevelSeries(_request.Plan.Zones[z].Id, _draws.Agents[a], _seriesTimesS, [.. _seriesTimesS.Select((timeS, t) =>
            {
                while (at + 2 < keptS.Length && timeS >= keptS[at + 1])
                {
                    at++;
                }

                return Spread.Between(spreads[at], spreads[at + 1], (timeS - keptS[at]) / (keptS[at + 1] - keptS[at])).Around(_middle.KeptAt(a, z, t) / per);
            })]);
        })];
    }

    /// <summary>What draws make of a level, over what the middle of all figures makes of it on the same grid.</summary>
    private readonly record struct Spread(double Low, double Median, double High)
    {
        public static Spread Of(Uncertain drawn, double middle) => new(drawn.Low / middle, drawn.Median / middle, drawn.High / middle);

        /// <summary>At a share of the way from one to the other; of the other alone where there is nothing yet, or no more.</summary>
        public static Spread Between(Spread? from, Spread? to, double share)
        {
            return (from, to) is ({ } a, { } b)
                ? new Spread(Mix(a.Low, b.Low), Mix(a.Median, b.Median), Mix(a.High, b.High))
                : from ?? to ?? new Spread(1, 1, 1);

            double Mix(double first, double then) => first + (Math.Clamp(share, 0, 1) * (then - first));
        }

        public Uncertain Around(double middle) => new(Low * middle, Median * middle, High * middle);
    }
}
