// SPDX-License-Identifier: MIT
using Fumecast.Flow;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>Asks the model for published figures: what a material gives off in steady prints under the conditions of the studies.</summary>
/// <remarks>The nozzle is at its temperature from the first moment on, with its start dose. Equal conditions are calculated once. Not for use by several threads.</remarks>
internal sealed class SteadyPrint
{
    private readonly Material material;
    private readonly EmissionOptions options;
    private readonly Dictionary<(double NozzleC, double GPerH, double DurationS), IReadOnlyList<AgentEmission>> done = [];

    /// <summary>Prepares prints of a material.</summary>
    /// <param name="material">The material.</param>
    /// <param name="options">How to calculate; among others the coverage of the intervals.</param>
    public SteadyPrint(Material material, EmissionOptions options)
    {
        ArgumentNullException.ThrowIfNull(material);
        ArgumentNullException.ThrowIfNull(options);
        (this.material, this.options) = (material, options);
    }

    /// <summary>What the model says where a study says its figures.</summary>
    /// <param name="replay">The conditions, and which figure.</param>
    /// <returns>The figure with its interval, in the unit of the replay.</returns>
    public Uncertain Replay(ObservationReplay replay)
    {
        ArgumentNullException.ThrowIfNull(replay);
        var referenceC = (replay.Agent.IsParticles ? material.NumberYieldPerG : material.TvocYieldUgPerG).AtC!.Value;
        var gPerH = replay.MassRateGPerH ?? material.Rules.ReferenceRateGPerH.Value;
        var total = Print(replay.NozzleC ?? referenceC, gPerH, replay.DurationS).First(a => a.Agent == replay.Agent).Total;
        var per = replay.IsYield ? gPerH / 3600 * replay.DurationS : replay.DurationS / 60;
        return new Uncertain(total.Low / per, total.Median / per, total.High / per);
    }

    private IReadOnlyList<AgentEmission> Print(double nozzleC, double gPerH, double durationS)
    {
        if (done.TryGetValue((nozzleC, gPerH, durationS), out var known))
        {
            return known;
        }

        var density = material.DensityGPerCm3.Value;
        var accumulator = new EmissionAccumulator([material], options, durationS);
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
        return done[(nozzleC, gPerH, durationS)] = accumulator.Results(gPerH / 3600 * durationS);
    }
}
