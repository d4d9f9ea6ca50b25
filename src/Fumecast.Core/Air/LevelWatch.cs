// SPDX-License-Identifier: MIT
namespace Fumecast.Air;

/// <summary>Watches one agent in one zone: its peak, its time integral, its largest moving means, and when it has fallen below levels for good.</summary>
internal sealed class LevelWatch : IAirSink
{
    private readonly int _agent;
    private readonly int _zone;
    private readonly MovingMean[] _means;
    private readonly LevelClearing[] _clearings;

    /// <summary>Makes a watch.</summary>
    /// <param name="agent">Index of the agent in the run.</param>
    /// <param name="zone">Index of the zone in the model.</param>
    /// <param name="means">Moving means to keep, one for each averaging time.</param>
    /// <param name="clearings">Levels to wait for.</param>
    /// <param name="startPerM3">Level at the beginning of the run [unit of the agent for each m3], 0 or more.</param>
    public LevelWatch(
        int agent, int zone, IReadOnlyList<MovingMean>? means = null, IReadOnlyList<LevelClearing>? clearings = null, double startPerM3 = 0)
    {
        (_agent, _zone) = (agent, zone);
        PeakPerM3 = LastPerM3 = startPerM3;
        _means = [.. means ?? []];
        _clearings = [.. clearings ?? []];
    }

    /// <summary>The highest level [unit of the agent for each m3].</summary>
    public double PeakPerM3 { get; private set; }

    /// <summary>When it is reached [s].</summary>
    public double PeakAtS { get; private set; }

    /// <summary>Time integral of the level [unit of the agent h/m3].</summary>
    public double IntegralHPerM3 { get; private set; }

    /// <summary>Level at the end of the last stretch [unit of the agent for each m3].</summary>
    public double LastPerM3 { get; private set; }

    /// <inheritdoc/>
    public void Take(in AirStep step)
    {
        var (end, mean) = (step.End(_agent, _zone), step.Mean(_agent, _zone));
        if (end > PeakPerM3)
        {
            (PeakPerM3, PeakAtS) = (end, step.UntilS);
        }

        IntegralHPerM3 += mean * step.Seconds / 3600;
        foreach (var moving in _means)
        {
            moving.Add(step.Seconds, mean);
        }

        foreach (var clearing in _clearings)
        {
            clearing.Add(step.FromS, LastPerM3, step.UntilS, end);
        }

        LastPerM3 = end;
    }
}

/// <summary>When a level has fallen below another for good, after some moment: the door may be opened, the room entered.</summary>
internal sealed class LevelClearing
{
    private readonly double _levelPerM3;
    private readonly double _fromMomentS;
    private double _clearAtS;

    /// <summary>Makes one that has seen nothing yet.</summary>
    /// <param name="levelPerM3">The level to fall below [unit of the agent for each m3], over 0.</param>
    /// <param name="fromMomentS">The moment to count from, the end of the print [s].</param>
    public LevelClearing(double levelPerM3, double fromMomentS)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(levelPerM3);
        (_levelPerM3, _fromMomentS) = (levelPerM3, fromMomentS);
        _clearAtS = fromMomentS;
    }

    /// <summary>Time after the moment [s]; 0 when it is below all the time, null when it is still above at the end of what was seen.</summary>
    public double? AfterS => double.IsPositiveInfinity(_clearAtS) ? null : _clearAtS - _fromMomentS;

    /// <summary>Adds a stretch after the last.</summary>
    /// <param name="fromS">Its start [s].</param>
    /// <param name="start">Level at its start.</param>
    /// <param name="untilS">Its end [s].</param>
    /// <param name="end">Level at its end.</param>
    public void Add(double fromS, double start, double untilS, double end)
    {
        if (untilS <= _fromMomentS)
        {
            return;
        }

        if (end > _levelPerM3)
        {
            _clearAtS = double.PositiveInfinity;
        }
        else if (start > _levelPerM3)
        {
            // Air clears exponentially, so the logarithm is what falls evenly within a stretch.
            var part = end > 0 ? Math.Log(start / _levelPerM3) / Math.Log(start / end) : 1 - _levelPerM3 / start;
            _clearAtS = Math.Max(_fromMomentS, fromS + part * (untilS - fromS));
        }
    }
}
