// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>Joins the slices of a print with the material table, and hands out closed bins.</summary>
internal sealed class EmissionRecorder : ISliceSink
{
    private const int NoTool = -1;

    private readonly JobSetup _setup;
    private readonly EmissionAccumulator _emission;
    private readonly SeriesSpool? _series;
    private readonly ToolCells? _cells;
    private readonly CancellationToken _cancel;
    private readonly SourceSeries _source;
    private volatile int _toolWithoutMaterial = NoTool;
    private double _binMm3;
    private double _binG;
    private double _binNozzle;

    /// <summary>Readies an empty record.</summary>
    /// <param name="setup">Materials and densities by tool.</param>
    /// <param name="emission">The emission model.</param>
    /// <param name="series">Keeps the bins, or null.</param>
    /// <param name="cells">Keeps what is given off by component, for the air; or null.</param>
    /// <param name="cancel">Looked at with every bin: a single move or pause may last for months.</param>
    public EmissionRecorder(JobSetup setup, EmissionAccumulator emission, SeriesSpool? series, ToolCells? cells, CancellationToken cancel)
    {
        _cancel = cancel;
        _setup = setup;
        _emission = emission;
        _series = series;
        _cells = cells;
        _source = new SourceSeries(emission.BinS);
    }

    /// <summary>The first tool that deposited without a known material, or null; may be asked while another thread records.</summary>
    public int? ToolWithoutMaterial => _toolWithoutMaterial is var tool and not NoTool ? tool : null;

    /// <summary>What the job gives off against time, or null when a tool prints a material that is not known.</summary>
    public SourceSeries? Source => ToolWithoutMaterial is null ? _source : null;

    /// <inheritdoc/>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Slice(ref readonly PrintSlice slice)
    {
        if (slice.DepositedMm3 > 0 && _setup.Materials[slice.Tool] is null)
        {
            if (_toolWithoutMaterial == NoTool)
            {
                _toolWithoutMaterial = slice.Tool;
            }

            return;
        }

        var density = _setup.DensityGPerCm3[slice.Tool];
        if (slice.IsActiveTool)
        {
            _binNozzle += slice.NozzleC * slice.DurationS;
            if (slice.DepositedMm3 > 0)
            {
                _binMm3 += slice.DepositedMm3;
                _binG += slice.DepositedMm3 * density * 1e-3;
            }
        }

        _emission.Add(in slice, density);
    }

    /// <inheritdoc/>
    public void BinClosed(double startS, double durationS)
    {
        _cancel.ThrowIfCancellationRequested();
        var components = _emission.CloseBin(startS, durationS);
        _source.Add(startS, durationS, _emission.BinNumber, _emission.BinTvocUg);
        _cells?.Add(startS, durationS, components);
        if (_series is not null)
        {
            var row = new SeriesRow
            {
                TimeS = startS,
                DurationS = durationS,
                FlowMm3PerS = _binMm3 / durationS,
                MassRateGPerH = _binG / durationS * 3600,
                NozzleC = _binNozzle / durationS,
            };
            _series.Add(in row, components);
        }

        _binMm3 = 0;
        _binG = 0;
        _binNozzle = 0;
    }
}
