// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Uncertainty;

namespace Fumecast.Pictures;

/// <summary>A picture of one job: flow, nozzle temperature and emission with its interval, over one time axis.</summary>
/// <remarks>Receives the series while it is computed, in bounded memory; a long series is drawn as means over longer stretches.</remarks>
public sealed class EstimatePicture : ISeriesSink
{
    private const int Kept = 4000;
    private SeriesBuffer _series = new(Kept);
    private int _number = -1;
    private int _vapours = -1;

    /// <summary>Makes an empty picture.</summary>
    /// <exception cref="Inputs.InputProblem">The drawing library is missing.</exception>
    public EstimatePicture() => DrawingLibrary.Require();

    /// <inheritdoc/>
    public void Begin(IReadOnlyList<Agent> agents)
    {
        // It may come again, when the job is read once more; what came before is then void.
        _series = new SeriesBuffer(Kept);
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

        _series.Add(new SeriesPoint
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

    /// <summary>Draws the picture of the series received; call once, at the end.</summary>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="format">SVG or PNG.</param>
    /// <param name="estimate">The estimate that goes with the series.</param>
    public void Write(Stream output, PictureFormat format, JobEstimate estimate)
    {
        using var page = new EstimatePage(_series, estimate, _number >= 0, _vapours >= 0);
        page.Write(output, format);
    }
}
