// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>How much filament a job lays down over time, constant in stretches; times count from the start of the job.</summary>
internal sealed record FlowSteps
{
    /// <summary>When each stretch begins, rising [h]; the last lasts for ever.</summary>
    public double[] StartsH { get; }

    /// <summary>What is laid down in each stretch [g/h]; 0 in the last.</summary>
    public double[] FlowGPerH { get; }

    /// <summary>Mass laid down in all [g].</summary>
    public double TotalG { get; }

    /// <summary>When the last filament is laid down [h].</summary>
    public double EndH => StartsH[^1];

    /// <summary>A flow by its stretches.</summary>
    /// <param name="startsH">When each begins, rising [h].</param>
    /// <param name="flowGPerH">What is laid down in each [g/h], 0 or more; 0 in the last.</param>
    /// <exception cref="ArgumentException">The stretches do not rise, or the flow never ends.</exception>
    public FlowSteps(double[] startsH, double[] flowGPerH)
    {
        ArgumentNullException.ThrowIfNull(startsH);
        ArgumentNullException.ThrowIfNull(flowGPerH);
        if (startsH.Length < 2 || startsH.Length != flowGPerH.Length || flowGPerH[^1] != 0)
        {
            throw new ArgumentException("expected as many flows as starts, at least two, and no flow in the last stretch", nameof(flowGPerH));
        }

        for (var i = 0; i + 1 < startsH.Length; i++)
        {
            if (!(startsH[i] < startsH[i + 1]) || !(flowGPerH[i] >= 0 && double.IsFinite(flowGPerH[i])))
            {
                throw new ArgumentException("expected rising starts, and flows of 0 or more", nameof(startsH));
            }

            TotalG += flowGPerH[i] * (startsH[i + 1] - startsH[i]);
        }

        (StartsH, FlowGPerH) = (startsH, flowGPerH);
    }

    /// <summary>A steady flow.</summary>
    /// <param name="flowGPerH">What is laid down [g/h].</param>
    /// <param name="hours">How long [h].</param>
    public static FlowSteps Steady(double flowGPerH, double hours) => new([0, hours], [flowGPerH, 0]);
}
