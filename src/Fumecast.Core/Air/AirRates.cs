// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using MathNet.Numerics.LinearAlgebra.Double;

namespace Fumecast.Air;

/// <summary>Where an agent goes, while no schedule changes: shares for each second of what each zone holds.</summary>
internal sealed class AirRates
{
    private const double PerSFromPerH = 1.0 / 3600;

    private readonly AirModel _model;
    private readonly Agent _agent;
    private readonly Func<Zone, double> _depositionPerH;

    /// <summary>Makes rates that are all 0.</summary>
    /// <param name="model">The air.</param>
    /// <param name="agent">The agent.</param>
    /// <param name="depositionPerH">Deposition in a zone [1/h], in place of that of the agent.</param>
    public AirRates(AirModel model, Agent agent, Func<Zone, double>? depositionPerH = null)
    {
        _model = model;
        _agent = agent;
        _depositionPerH = depositionPerH ?? (zone => zone.DepositionPerH.Of(agent));
        Zones = model.Zones.Count;
        PerS = new double[Zones * Zones];
        VentedPerS = new double[Zones];
        DepositedPerS = new double[Zones];
        FilteredPerS = new double[Zones];
        EnteringPerS = new double[Zones];
    }

    /// <summary>Number of zones [-].</summary>
    public int Zones { get; }

    /// <summary>Row by row: to zone i from zone j [1/s]; on the diagonal minus all that leaves.</summary>
    public double[] PerS { get; }

    /// <summary>To outdoors [1/s].</summary>
    public double[] VentedPerS { get; }

    /// <summary>To surfaces [1/s].</summary>
    public double[] DepositedPerS { get; }

    /// <summary>Into filters [1/s].</summary>
    public double[] FilteredPerS { get; }

    /// <summary>What comes in from outdoors [unit of the agent for each s].</summary>
    public double[] EnteringPerS { get; }

    /// <summary>Sets the rates to those of a time.</summary>
    /// <param name="timeS">Time of the run [s].</param>
    /// <param name="clock">What schedules are counted from.</param>
    public void SetTo(double timeS, RunClock clock)
    {
        foreach (var values in (ReadOnlySpan<double[]>)[PerS, VentedPerS, DepositedPerS, FilteredPerS, EnteringPerS])
        {
            Array.Clear(values);
        }

        foreach (var loop in _model.Loops)
        {
            var flow = loop.FlowM3PerH * PerSFromPerH * loop.On.ShareAt(timeS, clock);
            for (var leg = 0; leg < loop.Through.Count; leg++)
            {
                var to = loop.Through[(leg + 1) % loop.Through.Count];
                Flow(loop, flow, _model.IndexOf(loop.Through[leg]), _model.IndexOf(to), Passing(loop, to));
            }
        }

        foreach (var filter in _model.Filters)
        {
            var zone = _model.IndexOf(filter.Zone);
            FilteredPerS[zone] += filter.CleanAirM3PerH(_agent) * PerSFromPerH * filter.On.ShareAt(timeS, clock) / _model.Zones[zone].VolumeM3;
        }

        for (var i = 0; i < Zones; i++)
        {
            var zone = _model.Zones[i];
            DepositedPerS[i] = zone.DepositionBySize is not null && _agent.IsParticles ? 0 : _depositionPerH(zone) * PerSFromPerH;
            PerS[i * Zones + i] -= VentedPerS[i] + DepositedPerS[i] + FilteredPerS[i];
        }
    }

    /// <summary>The slowest rate at which what is in the air goes, once all faster ones have died away [1/h]; 0 where nothing leaves.</summary>
    public double SlowestPerH()
    {
        // Rates between zones are 0 or more, so that the slowest mode is real; rounding may leave a trace of another part.
        var slowest = Zones == 1 ? -PerS[0] : -DenseMatrix.Build.DenseOfRowMajor(Zones, Zones, PerS).Evd().EigenValues.Max(static value => value.Real);
        return Math.Max(0, slowest / PerSFromPerH);
    }

    private void Flow(AirLoop loop, double m3PerS, int from, int to, double passing)
    {
        if (from < 0)
        {
            EnteringPerS[to] += m3PerS * _model.OutdoorsPerM3.Of(_agent) * loop.Penetration.Of(_agent) * passing;
            return;
        }

        var leaving = m3PerS / _model.Zones[from].VolumeM3;
        FilteredPerS[from] += leaving * (1 - passing);
        if (to < 0)
        {
            VentedPerS[from] += leaving * passing;
            return;
        }

        PerS[to * Zones + from] += leaving * passing;
        PerS[from * Zones + from] -= leaving * passing;
    }

    private double Passing(AirLoop loop, string to)
    {
        var passing = 1.0;
        foreach (var filter in loop.Filters)
        {
            if (filter.Before == to)
            {
                passing *= 1 - filter.Efficiency.Of(_agent) * (1 - filter.Bypass);
            }
        }

        return passing;
    }
}
