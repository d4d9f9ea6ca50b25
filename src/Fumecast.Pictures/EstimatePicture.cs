// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Report;
using Fumecast.Uncertainty;

namespace Fumecast.Pictures;

/// <summary>A picture of one job: flow, nozzle temperature and emission with its interval, over one time axis.</summary>
/// <remarks>Receives the series while it is computed, in bounded memory; a long series is drawn as means over longer stretches.</remarks>
public sealed class EstimatePicture : ISeriesSink
{
    private const int Kept = 4000;
    private readonly SeriesCurves _curves = new(Kept);

    /// <summary>Makes an empty picture.</summary>
    /// <exception cref="Inputs.InputProblem">The drawing library is missing.</exception>
    public EstimatePicture() => DrawingLibrary.Require();

    /// <inheritdoc/>
    public void Begin(IReadOnlyList<Agent> agents) => _curves.Begin(agents);

    /// <inheritdoc/>
    public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin) => _curves.Row(in row, ratesPerMin);

    /// <summary>Draws the picture of the series received; call once, at the end.</summary>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="format">SVG or PNG.</param>
    /// <param name="estimate">The estimate that goes with the series.</param>
    public void Write(Stream output, PictureFormat format, JobEstimate estimate)
    {
        using var page = new EstimatePage(_curves.Buffer, estimate, _curves.HasNumber, _curves.HasVapours);
        page.Write(output, format);
    }
}
