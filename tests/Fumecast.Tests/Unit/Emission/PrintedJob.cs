// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Emission;

/// <summary>Makes jobs for tests out of stretches of constant flow and temperature, in slices as the flow room makes them.</summary>
internal sealed class PrintedJob
{
    private readonly EmissionAccumulator _accumulator;
    private readonly List<(double[] Components, double DurationS)> _rows = [];
    private readonly double _binS;
    private readonly double _density;
    private double _now;
    private double _binStart;
    private bool _started;

    public PrintedJob(Material material, EmissionOptions? options = null, double binS = 10)
        : this([material], options, binS)
    {
    }

    public PrintedJob(IReadOnlyList<Material?> materials, EmissionOptions? options = null, double binS = 10)
    {
        _accumulator = new EmissionAccumulator(materials, options ?? new(), binS);
        _binS = binS;
        _density = materials.OfType<Material>().First().DensityGPerCm3.Value;
    }

    public static MaterialCatalogue Catalogue { get; } = new(new(typeof(Material).Assembly, "materials", null, "common", "sources", "words"));

    public EmissionAccumulator Accumulator => _accumulator;

    /// <summary>Whether all tools feed one nozzle.</summary>
    public bool SharesNozzle { get; init; }

    public double DepositedG { get; private set; }

    public double NowS => _now;

    /// <summary>Median rates per minute of each closed bin, agent by agent, times its length in minutes.</summary>
    public IReadOnlyList<double[]> Rows
    {
        get
        {
            Close();
            var rates = _accumulator.Rates();
            var perMin = new Uncertain[_accumulator.Agents.Count];
            return _rows.ConvertAll(row =>
            {
                rates.PerMin(row.Components, row.DurationS, perMin);
                return Array.ConvertAll(perMin, rate => rate.Median * row.DurationS / 60);
            });
        }
    }

    /// <summary>Rates of a closed bin with their intervals, agent by agent [1/min, ug/min].</summary>
    public Uncertain[] Rates(int row)
    {
        Close();
        var perMin = new Uncertain[_accumulator.Agents.Count];
        _accumulator.Rates().PerMin(_rows[row].Components, _rows[row].DurationS, perMin);
        return perMin;
    }

    public static Material Material(string id) => Catalogue.Load(id);

    /// <summary>A stretch of time at one temperature and mass rate.</summary>
    public PrintedJob For(double seconds, double nozzleC, double gPerH, int tool = 0, double sliceS = 1) =>
        Ramp(seconds, nozzleC, nozzleC, gPerH, tool, sliceS);

    /// <summary>A stretch of time with a nozzle that warms or cools evenly.</summary>
    public PrintedJob Ramp(double seconds, double fromC, double toC, double gPerH, int tool = 0, double sliceS = 1)
    {
        var slices = Math.Max(1, (int)Math.Ceiling(seconds / sliceS - 1e-9));
        for (var i = 0; i < slices; i++)
        {
            var duration = seconds / slices;
            var massG = gPerH / 3600 * duration;
            _started |= massG > 0;
            var slice = new PrintSlice
            {
                StartS = _now,
                DurationS = duration,
                DepositedMm3 = massG / _density * 1000,
                ExtrudingS = massG > 0 ? duration : 0,
                NozzleC = fromC + (toC - fromC) * (i + 0.5) / slices,
                Tool = tool,
                Nozzle = SharesNozzle ? 0 : tool,
                IsActiveTool = true,
                HasStarted = _started,
            };
            _accumulator.Add(in slice, _density);
            DepositedG += massG;
            _now += duration;
            if (_now - _binStart >= _binS - 1e-9)
            {
                Close();
            }
        }

        return this;
    }

    public IReadOnlyList<AgentEmission> Results()
    {
        Close();
        return _accumulator.Results(DepositedG);
    }

    public EmissionDraws Draws()
    {
        Close();
        return _accumulator.Draws(DepositedG);
    }

    private void Close()
    {
        if (_now > _binStart)
        {
            _rows.Add((_accumulator.CloseBin(_binStart, _now - _binStart).ToArray(), _now - _binStart));
            _binStart = _now;
        }
    }
}
