// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>Levels in the zones of a model over time, from sources that are constant in stretches. Exact for every linear agent, whatever the length of the stretches.</summary>
/// <remarks>
/// Nothing is kept but the state: stretches go to a sink. Advancing allocates nothing, except when a schedule changes for the first time or with the clock of a
/// source. Number and mass of particles are followed by size, with coagulation, where the model says how (<see cref="AirModel.Particles"/>).
/// </remarks>
internal sealed class AirRun
{
    private readonly AirModel _model;
    private readonly RunClock _clock;
    private readonly IAirSink? _sink;
    private readonly int _zones;

    private readonly AirRates[] _rates;
    private readonly StepCache[] _cacheOf;
    private readonly StepCache[] _caches;
    private readonly double[] _amounts;
    private readonly double[] _printPerS;
    private readonly double[] _indoorsPerS;
    private readonly double[] _allPerS;
    private readonly double[] _integralS;
    private readonly double[] _endPerM3;
    private readonly double[] _meanPerM3;
    private readonly double[] _scratch;
    private readonly AirTally[] _tallies;
    private readonly ParticleSplitting? _particles;
    private double _nextChangeS;

    /// <summary>Makes a run at time 0 in clean air.</summary>
    /// <param name="model">The air; checked here.</param>
    /// <param name="agents">What is followed, each once.</param>
    /// <param name="clock">What schedules are counted from.</param>
    /// <param name="sink">Takes the stretches, or null.</param>
    /// <param name="longestS">Longer stretches are cut into equal parts, so that a sink sees peaks within them [s], over 0.</param>
    /// <exception cref="ArgumentException">The model is not sound, or particles are followed by size without number and mass.</exception>
    public AirRun(AirModel model, IReadOnlyList<Agent> agents, RunClock clock, IAirSink? sink = null, double longestS = double.PositiveInfinity)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(longestS);
        model.Validate();
        (_model, _clock, _sink, LongestS, Agents) = (model, clock, sink, longestS, agents);
        _zones = model.Zones.Count;
        var count = agents.Count * _zones;
        (_amounts, _printPerS, _indoorsPerS, _allPerS, _integralS) = (new double[count], new double[count], new double[count], new double[count], new double[count]);
        (_endPerM3, _meanPerM3, _scratch) = (new double[count], new double[count], new double[_zones]);
        _tallies = [.. agents.Select(static agent => new AirTally(agent))];
        _rates = [.. agents.Select(agent => new AirRates(model, agent))];
        foreach (var source in model.Indoors)
        {
            if (Index(source.Agent) is >= 0 and var agent)
            {
                _indoorsPerS[agent * _zones + model.IndexOf(source.Zone)] += source.PerS;
            }
        }

        SetRates();
        (_caches, _cacheOf) = Group();
        if (model.Particles is { } growth && (Index(Agent.ParticleNumber), Index(Agent.ParticleMass)) is ( >= 0, >= 0) at)
        {
            _particles = new ParticleSplitting(model, growth, _cacheOf[at.Item1], _cacheOf[at.Item2]);
            _particles.SetTo(0, clock);
            (NumberIndex, MassIndex) = at;
        }
        else if (model.Particles is not null && agents.Any(static a => a.IsParticles))
        {
            throw new ArgumentException("particles can be followed by size only by number and mass together");
        }
    }

    /// <summary>What is followed, in order.</summary>
    public IReadOnlyList<Agent> Agents { get; }

    /// <summary>Time of the run [s].</summary>
    public double TimeS { get; private set; }

    /// <summary>Longer stretches are cut into equal parts, so that a sink sees peaks within them [s], over 0.</summary>
    public double LongestS { get; set; }

    /// <summary>Splitting steps taken for particles so far [-].</summary>
    public long ParticleSteps => _particles?.Steps ?? 0;

    private int NumberIndex { get; } = -1;

    private int MassIndex { get; } = -1;

    /// <summary>Where an agent stands in <see cref="Agents"/>; -1 when it is not followed.</summary>
    /// <param name="agent">The agent.</param>
    public int Index(Agent agent)
    {
        for (var i = 0; i < Agents.Count; i++)
        {
            if (Agents[i] == agent)
            {
                return i;
            }
        }

        return -1;
    }

    /// <summary>Level of an agent in a zone now [unit of the agent for each m3].</summary>
    /// <param name="agent">An agent of <see cref="Agents"/>.</param>
    /// <param name="zone">Id of the zone.</param>
    public double LevelPerM3(Agent agent, string zone) => _amounts[At(agent, zone)] / _model.Zones[_model.IndexOf(zone)].VolumeM3;

    /// <summary>Sizes of the particles in a zone now; null when there are none, or they are not followed by size.</summary>
    /// <param name="zone">Id of the zone.</param>
    public ParticleSize? SizeIn(string zone) => _particles?.SizeIn(_model.IndexOf(zone), AmountsOf(NumberIndex), AmountsOf(MassIndex));

    /// <summary>Starts with a level that is there already.</summary>
    /// <param name="agent">An agent of <see cref="Agents"/>.</param>
    /// <param name="zone">Id of the zone.</param>
    /// <param name="perM3">The level [unit of the agent for each m3], 0 or more. Particles are as wide in size as those of the sources.</param>
    /// <exception cref="InvalidOperationException">The run has begun.</exception>
    public void StartAt(Agent agent, string zone, double perM3)
    {
        if (TimeS > 0)
        {
            throw new InvalidOperationException("the run has begun");
        }

        if (!(perM3 >= 0 && perM3 < double.PositiveInfinity))
        {
            throw new ArgumentOutOfRangeException(nameof(perM3), perM3, "expected 0 or more");
        }

        var (at, index) = (At(agent, zone), Index(agent));
        var amount = perM3 * _model.Zones[_model.IndexOf(zone)].VolumeM3;
        _tallies[index].Start(amount - _amounts[at]);
        _amounts[at] = amount;
        _particles?.StartAt(AmountsOf(NumberIndex), AmountsOf(MassIndex));
    }

    /// <summary>Sets what the print gives off in a zone from now on.</summary>
    /// <param name="agent">An agent of <see cref="Agents"/>.</param>
    /// <param name="zone">Id of the zone.</param>
    /// <param name="perS">The rate [unit of the agent for each s], 0 or more.</param>
    public void SetSource(Agent agent, string zone, double perS) => SetSource(At(agent, zone), perS);

    /// <summary>Follows sources until a time, from now on.</summary>
    /// <param name="sources">The sources; any number, also several in one zone.</param>
    /// <param name="untilS">Time to stop at [s]; what a source would give off later is not asked for.</param>
    public void Follow(IReadOnlyList<AirSource> sources, double untilS)
    {
        using var feeds = new SourceFeeds(sources, this, _model);
        while (TimeS < untilS)
        {
            Array.Clear(_printPerS);
            var nextS = Math.Min(untilS, feeds.AddRates(TimeS, _printPerS, _zones));
            AdvanceTo(nextS);
        }

        Array.Clear(_printPerS);
    }

    /// <summary>Advances with the sources as they are set.</summary>
    /// <param name="seconds">How long [s], 0 or more.</param>
    public void Advance(double seconds)
    {
        if (!(seconds >= 0 && seconds < double.PositiveInfinity))
        {
            throw new ArgumentOutOfRangeException(nameof(seconds), seconds, "expected 0 s or more");
        }

        AdvanceTo(TimeS + seconds, seconds);
    }

    /// <summary>Where each agent went so far.</summary>
    public IReadOnlyList<AirBalance> Balance() =>
        [.. _tallies.Select((tally, a) => tally.Balance(Sum(AmountsOf(a)), a == NumberIndex ? _particles!.Coagulated : 0))];

    private void AdvanceTo(double untilS) => AdvanceTo(untilS, untilS - TimeS);

    // The length is handed on, since a difference of times late in a run is a little off and would miss the steps that were made.
    private void AdvanceTo(double untilS, double seconds)
    {
        if (untilS <= _nextChangeS)
        {
            Stretch(untilS, seconds);
            return;
        }

        while (TimeS < untilS)
        {
            var toS = Math.Min(untilS, _nextChangeS);
            Stretch(toS, toS - TimeS);
            if (TimeS >= _nextChangeS)
            {
                SetRates();
                _particles?.SetTo(TimeS, _clock);
                foreach (var cache in _caches)
                {
                    cache.Clear();
                }
            }
        }
    }

    private void Stretch(double untilS, double seconds)
    {
        if (!(seconds > 0))
        {
            TimeS = untilS;
            return;
        }

        // A difference of two times late in a run is a little off; brought back to what it was meant to be, it meets the step that was made before.
        var meant = Math.Round(seconds, 9);
        if (Math.Abs(meant - seconds) <= 4 * Math.BitIncrement(untilS) - 4 * untilS && meant > 0)
        {
            seconds = meant;
        }

        var parts = seconds > LongestS ? Math.Ceiling(seconds / LongestS) : 1;
        var fromS = TimeS;
        for (var i = 1; i <= parts; i++)
        {
            var toS = i == parts ? untilS : fromS + seconds * (i / parts);
            Step(seconds / parts);
            Report(TimeS, toS, seconds / parts);
            TimeS = toS;
        }
    }

    private void Step(double seconds)
    {
        Array.Clear(_integralS);
        for (var a = 0; a < _tallies.Length; a++)
        {
            var (given, entering) = (0.0, 0.0);
            for (var z = 0; z < _zones; z++)
            {
                var at = a * _zones + z;
                var fromOutdoors = _rates[a].EnteringPerS[z];
                _allPerS[at] = _printPerS[at] + _indoorsPerS[at] + fromOutdoors;
                given += _printPerS[at] + _indoorsPerS[at];
                entering += fromOutdoors;
            }

            _tallies[a].Gain(given * seconds, entering * seconds);
            if (_particles is null || (a != NumberIndex && a != MassIndex))
            {
                _cacheOf[a].Of(seconds).Take(AmountsOf(a), SourceOf(a), IntegralOf(a), _scratch);
            }
        }

        if (_particles is not null)
        {
            var settled = _particles.Advance(
                seconds,
                new ParticleSplitting.Agents(AmountsOf(NumberIndex), SourceOf(NumberIndex), IntegralOf(NumberIndex)),
                new ParticleSplitting.Agents(AmountsOf(MassIndex), SourceOf(MassIndex), IntegralOf(MassIndex)));
            _tallies[NumberIndex].Settle(settled.Number);
            _tallies[MassIndex].Settle(settled.MassUg);
        }

        for (var a = 0; a < _tallies.Length; a++)
        {
            _tallies[a].Lose(_rates[a], IntegralOf(a));
        }
    }

    private void Report(double fromS, double untilS, double seconds)
    {
        if (_sink is null)
        {
            return;
        }

        for (var i = 0; i < _amounts.Length; i++)
        {
            var volume = _model.Zones[i % _zones].VolumeM3;
            _endPerM3[i] = _amounts[i] / volume;
            _meanPerM3[i] = _integralS[i] / (volume * seconds);
        }

        _sink.Take(new AirStep { FromS = fromS, UntilS = untilS, Zones = _zones, EndPerM3 = _endPerM3, MeanPerM3 = _meanPerM3 });
    }

    private void SetRates()
    {
        _nextChangeS = double.PositiveInfinity;
        foreach (var loop in _model.Loops)
        {
            _nextChangeS = Math.Min(_nextChangeS, loop.On.NextChangeS(TimeS, _clock));
        }

        foreach (var filter in _model.Filters)
        {
            _nextChangeS = Math.Min(_nextChangeS, filter.On.NextChangeS(TimeS, _clock));
        }

        foreach (var rate in _rates)
        {
            rate.SetTo(TimeS, _clock);
        }
    }

    // Agents with equal filters, penetration and deposition stay alike whatever the schedules do, so they are told apart by what the model says, at full flow.
    private (StepCache[] All, StepCache[] OfAgent) Group()
    {
        var ofAgent = new StepCache[_rates.Length];
        for (var a = 0; a < _rates.Length; a++)
        {
            var twin = Enumerable.Range(0, a).FirstOrDefault(b => _model.CarriesAlike(Agents[a], Agents[b]), -1);
            ofAgent[a] = twin >= 0 ? ofAgent[twin] : new StepCache(_rates[a]);
        }

        return ([.. ofAgent.Distinct()], ofAgent);
    }

    private Span<double> AmountsOf(int agent) => _amounts.AsSpan(agent * _zones, _zones);

    private ReadOnlySpan<double> SourceOf(int agent) => _allPerS.AsSpan(agent * _zones, _zones);

    private Span<double> IntegralOf(int agent) => _integralS.AsSpan(agent * _zones, _zones);

    private int At(Agent agent, string zone) =>
        (Index(agent), _model.IndexOf(zone)) is ( >= 0 and var a, >= 0 and var z)
            ? a * _zones + z
            : throw new ArgumentException($"{agent.Id} in {zone} is not followed");

    private void SetSource(int at, double perS)
    {
        if (!(perS >= 0 && perS < double.PositiveInfinity))
        {
            throw new ArgumentOutOfRangeException(nameof(perS), perS, "expected 0 or more");
        }

        _printPerS[at] = perS;
    }

    private static double Sum(ReadOnlySpan<double> values)
    {
        var sum = 0.0;
        foreach (var value in values)
        {
            sum += value;
        }

        return sum;
    }
}
