// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Inputs;
using Fumecast.Machine;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>Keeps the bins of a job until its totals are known, since the rows of a series must sum to the median of the total.</summary>
/// <remarks>In memory up to some megabytes, then in a temporary file that is gone when it is closed.</remarks>
/// <param name="mostBins">Most bins that are wanted [-].</param>
/// <param name="binS">Length of a bin [s].</param>
/// <param name="isOptional">Whether more bins end the series, and not the work; they then stay in memory.</param>
internal sealed class SeriesSpool(long mostBins, double binS, bool isOptional = false) : IDisposable
{
    private const int MostInMemory = 4 << 20;
    private Stream _kept = new MemoryStream();
    private long _bins;

    /// <summary>Takes a bin.</summary>
    /// <param name="row">Its flow and temperature.</param>
    /// <param name="components">Its emission by component.</param>
    /// <exception cref="InputProblem">There are more than are wanted.</exception>
    public void Add(in SeriesRow row, ReadOnlySpan<double> components)
    {
        if (++_bins > mostBins)
        {
            if (isOptional)
            {
                _kept.SetLength(0);
                return;
            }

            throw new InputProblem(SeriesLength.TooLong(mostBins, binS));
        }

        if (!isOptional && _kept is MemoryStream && _kept.Length > MostInMemory)
        {
            MoveToFile();
        }

        Span<double> head = [row.TimeS, row.DurationS, row.FlowMm3PerS, row.MassRateGPerH, row.NozzleC, components.Length];
        _kept.Write(MemoryMarshal.AsBytes(head));
        _kept.Write(MemoryMarshal.AsBytes(components));
    }

    /// <summary>Hands the bins on, in the order of time.</summary>
    /// <param name="series">Receives them.</param>
    /// <param name="agents">The agents of the rates.</param>
    /// <param name="rates">Turns components into rates.</param>
    public void Replay(ISeriesSink series, IReadOnlyList<Agent> agents, BinRates rates)
    {
        if (_bins > mostBins)
        {
            return;
        }

        series.Begin(agents);
        _kept.Position = 0;
        var head = new double[6];
        var components = new double[64];
        var perMin = new Uncertain[agents.Count];
        while (_kept.ReadAtLeast(MemoryMarshal.AsBytes(head.AsSpan()), 6 * sizeof(double), throwOnEndOfStream: false) > 0)
        {
            var count = (int)head[5];
            components = components.Length < count ? new double[count] : components;
            _kept.ReadExactly(MemoryMarshal.AsBytes(components.AsSpan(0, count)));
            var row = new SeriesRow { TimeS = head[0], DurationS = head[1], FlowMm3PerS = head[2], MassRateGPerH = head[3], NozzleC = head[4] };
            rates.PerMin(components.AsSpan(0, count), row.DurationS, perMin);
            series.Row(in row, perMin);
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _kept.Dispose();

    private void MoveToFile()
    {
        var file = ScratchFile.Create("the series");
        ((MemoryStream)_kept).WriteTo(file);
        _kept.Dispose();
        _kept = file;
    }
}
