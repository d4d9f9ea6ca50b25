// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>Keeps flow, temperature and the rates of particles and of vapours while they are computed, in bounded memory, for curves.</summary>
/// <param name="kept">Most stretches that are kept [-], even; more are joined.</param>
/// <param name="isOptional">Whether a very long job may go without curves.</param>
internal sealed class SeriesCurves(int kept, bool isOptional = false) : ISeriesSink
{
    /// <summary>A week of the usual bins; they are held in memory until the totals are known.</summary>
    private const long MostOptionalRows = 60_000;

    private int _number = -1;
    private int _vapours = -1;

    /// <inheritdoc/>
    public long MostRows => isOptional ? MostOptionalRows : long.MaxValue;

    /// <inheritdoc/>
    public bool IsOptional => isOptional;

    /// <summary>What was received: of the two rates the first is of particles by number, the second of TVOC.</summary>
    public SeriesBuffer Buffer { get; private set; } = new(kept);

    /// <summary>Whether there are particles.</summary>
    public bool HasNumber => _number >= 0;

    /// <summary>Whether there are vapours.</summary>
    public bool HasVapours => _vapours >= 0;

    /// <inheritdoc/>
    public void Begin(IReadOnlyList<Agent> agents)
    {
        // It may come again, when the job is read once more; what came before is then void.
        Buffer = new SeriesBuffer(kept);
        _number = _vapours = -1;
        for (var i = 0; i < agents.Count; i++)
        {
            _number = agents[i] == Agent.ParticleNumber ? i : _number;
            _vapours = agents[i] == Agent.Tvoc ? i : _vapours;
        }
    }

    /// <inheritdoc/>
    public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin)
    {
        if (!(row.DurationS > 0))
        {
            return;
        }

        Buffer.Add(new SeriesPoint
        {
            StartS = row.TimeS,
            EndS = row.TimeS + row.DurationS,
            FlowMm3PerS = row.FlowMm3PerS,
            FlowLow = row.FlowMm3PerS,
            FlowHigh = row.FlowMm3PerS,
            NozzleC = row.NozzleC,
            First = _number < 0 ? default : ratesPerMin[_number],
            Second = _vapours < 0 ? default : ratesPerMin[_vapours],
        });
    }
}
