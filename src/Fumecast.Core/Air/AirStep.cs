// SPDX-License-Identifier: MIT
namespace Fumecast.Air;

/// <summary>A stretch of a run: levels at its end, and means over it that are integrals of the solution, not guesses from the ends.</summary>
internal readonly ref struct AirStep
{
    /// <summary>Start of the stretch, in the time of the run [s].</summary>
    public required double FromS { get; init; }

    /// <summary>Its end [s].</summary>
    public required double UntilS { get; init; }

    /// <summary>Number of zones; values stand agent by agent, zone by zone.</summary>
    public required int Zones { get; init; }

    /// <summary>Levels at the end [unit of the agent for each m3].</summary>
    public required ReadOnlySpan<double> EndPerM3 { get; init; }

    /// <summary>Means over the stretch [unit of the agent for each m3].</summary>
    public required ReadOnlySpan<double> MeanPerM3 { get; init; }

    /// <summary>Length [s].</summary>
    public double Seconds => UntilS - FromS;

    /// <summary>Level of an agent in a zone at the end [unit of the agent for each m3].</summary>
    /// <param name="agent">Index of the agent in the run.</param>
    /// <param name="zone">Index of the zone in the model.</param>
    public double End(int agent, int zone) => EndPerM3[agent * Zones + zone];

    /// <summary>Mean level of an agent in a zone [unit of the agent for each m3].</summary>
    /// <param name="agent">Index of the agent in the run.</param>
    /// <param name="zone">Index of the zone in the model.</param>
    public double Mean(int agent, int zone) => MeanPerM3[agent * Zones + zone];
}

/// <summary>Takes the stretches of a run as they come; none is kept by the run.</summary>
internal interface IAirSink
{
    /// <summary>Takes a stretch; they follow each other without a gap.</summary>
    /// <param name="step">The stretch, valid during the call only.</param>
    void Take(in AirStep step);
}
