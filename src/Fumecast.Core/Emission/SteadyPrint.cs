// SPDX-License-Identifier: MIT
using Fumecast.Flow;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>Asks the model for published figures: what a material gives off in steady prints under the conditions of the studies.</summary>
/// <remarks>The nozzle is at its temperature from the first moment on, with its start dose. Equal conditions are calculated once. Not for use by several threads.</remarks>
internal sealed class SteadyPrint
{
    private readonly Material _material;
    private readonly EmissionOptions _options;
    private readonly Dictionary<(double NozzleC, double GPerH, double DurationS), IReadOnlyList<AgentEmission>> _done = [];

    /// <summary>Prepares prints of a material.</summary>
    /// <param name="material">The material.</param>
    /// <param name="options">How to calculate; among others the coverage of the intervals.</param>
    public SteadyPrint(Material material, EmissionOptions options)
    {
        ArgumentNullException.ThrowIfNull(material);
        ArgumentNullException.ThrowIfNull(options);
        (_material, _options) = (material, options);
    }

    /// <summary>What the model says where a study says its figures.</summary>
    /// <param name="replay">The conditions, and which figure.</param>
    /// <returns>The figure with its interval, in the unit of the replay.</returns>
    public Uncertain Replay(ObservationReplay replay)
    {
        ArgumentNullException.ThrowIfNull(replay);
        var referenceC = (replay.Agent.IsParticles ? _material.NumberYieldPerG : _material.TvocYieldUgPerG).AtC!.Value;
        var gPerH = replay.MassRateGPerH ?? _material.Rules.ReferenceRateGPerH.Value;
        var total = Print(replay.NozzleC ?? referenceC, gPerH, replay.DurationS).First(a => a.Agent == replay.Agent).Total;
        var per = replay.IsYield ? gPerH / 3600 * replay.DurationS : replay.DurationS / 60;
        return new Uncertain(total.Low / per, total.Median / per, total.High / per);
    }

    private IReadOnlyList<AgentEmission> Print(double nozzleC, double gPerH, double durationS)
    {
        if (_done.TryGetValue((nozzleC, gPerH, durationS), out var known))
        {
            return known;
        }

        var density = _material.DensityGPerCm3.Value;
        var accumulator = new EmissionAccumulator([_material], _options, durationS);
        var count = (int)Math.Ceiling(durationS);
        var stepS = durationS / count;
        for (var i = 0; i < count; i++)
        {
            var slice = new PrintSlice
            {
                StartS = i * stepS,
                DurationS = stepS,
                DepositedMm3 = gPerH / 3600 * stepS / density * 1000,
                ExtrudingS = stepS,
                NozzleC = nozzleC,
                IsActiveTool = true,
                HasStarted = true,
            };
            accumulator.Add(in slice, density);
        }

        accumulator.CloseBin(0, durationS);
        return _done[(nozzleC, gPerH, durationS)] = accumulator.Results(gPerH / 3600 * durationS);
    }
}
