// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Forecast;

/// <summary>Levels at the middle of all figures, from the sources in full resolution: peaks, means and a balance that the draws are held against.</summary>
internal sealed class AirMiddle : IAirSink
{
    // So that peaks within a long stretch are seen: the tail of a print, a steady source. A minute, more in runs of over two days.
    private const double LongestS = 60;
    private const int MostStretches = 2880;

    // What clears falls ever more slowly: after so many stretches since the last end they are twice as long.
    private const int StretchesBeforeTwice = 30;
    private const double Instant = 1e-6;

    private readonly AirRun _run;
    private readonly AirModel _model;
    private readonly AirQuestions _questions;
    private readonly double[] _keptTimesS;
    private readonly List<Agent> _followed;
    private readonly (int Followed, double Factor)[] _of;
    private readonly Watch[] _watches;
    private readonly double[] _visible;
    private readonly double[] _visibleMean;
    private readonly double[] _shareBefore;

    /// <summary>Follows the sources.</summary>
    /// <param name="model">The air at the middle of all figures, without background.</param>
    /// <param name="sources">The sources.</param>
    /// <param name="draws">The draws, for their agents.</param>
    /// <param name="questions">What is asked.</param>
    /// <param name="keptTimesS">Times at which levels are kept, in order [s]; none where nobody wants them.</param>
    public AirMiddle(AirModel model, IReadOnlyList<PlacedSource> sources, AirDraws draws, AirQuestions questions, double[] keptTimesS)
    {
        (_model, _questions, _keptTimesS) = (model, questions, keptTimesS);
        _followed = [];
        _of = new (int, double)[draws.Agents.Count];
        var given = draws.Agents.Where(a => a != Agent.VisibleMass || draws.Streams.SeesMeasured).ToList();
        foreach (var agent in given)
        {
            // An agent that is a multiple of another one, and behaves like it, need not be followed.
            var shares = draws.Streams.SharesOf(agent);
            var twin = agent.IsParticles || shares.Count != 1 ? -1 : _followed.FindIndex(f => !f.IsParticles && draws.Streams.SharesOf(f) is [var only]
                && only.Stream == shares[0].Stream && only.Middle > 0 && model.CarriesAlike(f, agent));
            if (twin < 0)
            {
                twin = _followed.Count;
                _followed.Add(agent);
            }

            _of[Index(draws.Agents, agent)] = (twin, agent == _followed[twin] ? 1 : shares[0].Middle / draws.Streams.SharesOf(_followed[twin])[0].Middle);
        }

        var zones = model.Zones.Count;
        (_visible, _visibleMean, _shareBefore) = (new double[zones], new double[zones], new double[zones]);
        var columns = _followed.Count;
        if (!draws.Streams.SeesMeasured && Index(draws.Agents, Agent.VisibleMass) is >= 0 and var visible)
        {
            _of[visible] = (columns++, 1);
            SeesParticles = true;
        }

        _watches = [.. Enumerable.Range(0, columns * zones).Select(i => new Watch(i / zones == _followed.Count ? 0 : i / zones, i % zones, questions, _keptTimesS))];
        var stretchS = Math.Max(LongestS, questions.SpanS / MostStretches);
        _run = new AirRun(model, _followed, questions.Clock, this, stretchS);
        _run.Follow([.. sources.Select(static s => s.ToAir())], questions.Clock.EndS);
        while (questions.SpanS - _run.TimeS is > Instant and var left)
        {
            if (_run.TimeS - questions.Clock.EndS >= StretchesBeforeTwice * _run.LongestS)
            {
                _run.LongestS *= 2;
            }

            _run.Advance(Math.Min(left, _run.LongestS));
        }
    }

    private bool SeesParticles { get; }

    /// <summary>A figure, as in <see cref="AirFigure"/>.</summary>
    public double FigureOf(int agent, int zone, int figure) => WatchOf(agent, zone).FigureOf(figure) * _of[agent].Factor;

    /// <summary>When the peak is reached [s].</summary>
    public double PeakAtS(int agent, int zone) => WatchOf(agent, zone).Levels.PeakAtS;

    /// <summary>When the stretch with the largest mean over an averaging time ends [s].</summary>
    /// <param name="agent">Index of the agent.</param>
    /// <param name="zone">Index of the zone.</param>
    /// <param name="mean">Index of the averaging time.</param>
    public double MeanEndsS(int agent, int zone, int mean) => WatchOf(agent, zone).Means[mean].LargestEndsS;

    /// <summary>Level at a time of those kept [unit of the agent for each m3].</summary>
    public double KeptAt(int agent, int zone, int time) => WatchOf(agent, zone).Kept[time] * _of[agent].Factor;

    /// <summary>Where each agent that was given off went.</summary>
    /// <param name="agents">The agents, as in the draws.</param>
    public IEnumerable<AirBalance> Balance(IReadOnlyList<Agent> agents)
    {
        var followed = _run.Balance();
        foreach (var agent in agents.Where(static a => a != Agent.VisibleMass))
        {
            var (at, factor) = _of[Index(agents, agent)];
            var b = followed[at];
            yield return new AirBalance(
                agent, factor * b.Initial, factor * b.Emitted, factor * b.Entered, factor * b.Airborne, factor * b.Vented, factor * b.Deposited, factor * b.Filtered, factor * b.Coagulated);
        }
    }

    /// <inheritdoc/>
    public void Take(in AirStep step)
    {
        var zones = step.Zones;
        for (var i = 0; i < _followed.Count * zones; i++)
        {
            _watches[i].Take(in step);
        }

        if (!SeesParticles)
        {
            return;
        }

        var mass = _run.Index(Agent.ParticleMass);
        for (var z = 0; z < zones; z++)
        {
            var share = _run.SizeIn(_model.Zones[z].Id)?.MassShareAbove(Agent.VisibleFromNm) ?? 0;
            _visible[z] = share * step.End(mass, z);
            _visibleMean[z] = (share + (_shareBefore[z] > 0 ? _shareBefore[z] : share)) / 2 * step.Mean(mass, z);
            _shareBefore[z] = share;
        }

        var seen = new AirStep { FromS = step.FromS, UntilS = step.UntilS, Zones = zones, EndPerM3 = _visible, MeanPerM3 = _visibleMean };
        for (var z = 0; z < zones; z++)
        {
            _watches[_followed.Count * zones + z].Take(in seen);
        }
    }

    private Watch WatchOf(int agent, int zone) => _watches[_of[agent].Followed * _model.Zones.Count + zone];

    private static int Index(IReadOnlyList<Agent> agents, Agent agent) => agents.ToList().IndexOf(agent);

    private sealed class Watch : IAirSink
    {
        private readonly int _agent;
        private readonly int _zone;
        private readonly AirQuestions _questions;
        private readonly double[] _timesS;
        private double _printDose;
        private double _atEnd;
        private int _next;

        public Watch(int agent, int zone, AirQuestions questions, double[] timesS)
        {
            (_agent, _zone, _questions, _timesS) = (agent, zone, questions, timesS);
            Means = [.. questions.MeansS.Select(static s => new MovingMean(s))];
            Levels = new LevelWatch(agent, zone, Means);
            Kept = new double[timesS.Length];
        }

        public MovingMean[] Means { get; }

        public LevelWatch Levels { get; }

        public double[] Kept { get; }

        public double FigureOf(int figure) => figure switch
        {
            AirFigure.Peak => Levels.PeakPerM3,
            AirFigure.MeanPrint => _printDose / (_questions.Clock.EndS - _questions.Clock.StartS),
            AirFigure.EndOfPrint => _atEnd,
            AirFigure.Integral => Levels.IntegralHPerM3 * 3600,
            _ => Means[figure - AirFigure.FirstMean].Largest,
        };

        public void Take(in AirStep step)
        {
            var (clock, before, end) = (_questions.Clock, Levels.LastPerM3, step.End(_agent, _zone));
            var part = Math.Min(step.UntilS, clock.EndS) - Math.Max(step.FromS, clock.StartS);
            _printDose += step.Mean(_agent, _zone) * Math.Max(0, part);
            _atEnd = step.UntilS <= clock.EndS + 1e-6 ? end : _atEnd;
            for (; _next < _timesS.Length && _timesS[_next] <= step.UntilS + 1e-6; _next++)
            {
                Kept[_next] = before + (end - before) * Math.Clamp((_timesS[_next] - step.FromS) / step.Seconds, 0, 1);
            }

            Levels.Take(in step);
        }
    }
}
