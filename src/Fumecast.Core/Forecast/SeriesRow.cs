// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>One bin of the series: means over the bin.</summary>
public struct SeriesRow
{
    /// <summary>Start of the bin since the start of the job [s].</summary>
    public double TimeS;

    /// <summary>Length of the bin; the last one may be shorter [s].</summary>
    public double DurationS;

    /// <summary>Mean volumetric flow of deposited filament [mm3/s].</summary>
    public double FlowMm3PerS;

    /// <summary>Mean mass rate of deposited filament [g/h].</summary>
    public double MassRateGPerH;

    /// <summary>Mean temperature of the active nozzle [degC].</summary>
    public double NozzleC;
}

/// <summary>Receives the bins of a job's series as they close, in the order of time.</summary>
public interface ISeriesSink
{
    /// <summary>Most rows that it takes [-]; a job that is seen to have more is refused before the work.</summary>
    long MostRows => long.MaxValue;

    /// <summary>Whether a job of more rows is forecast without a series, and not refused; nothing is called then.</summary>
    bool IsOptional => false;

    /// <summary>Called once, before the first row.</summary>
    /// <param name="agents">The agents, in the order in which every row gives their rates.</param>
    void Begin(IReadOnlyList<Agent> agents);

    /// <summary>Takes a closed bin.</summary>
    /// <param name="row">The bin; valid during the call only.</param>
    /// <param name="ratesPerMin">Emission rate of each agent with its interval, median summing to the total [unit of the agent per min].</param>
    void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin);
}
