// SPDX-License-Identifier: MIT
using Fumecast.Emission;

namespace Fumecast.Forecast;

/// <summary>An estimate with what a comparison needs beside it.</summary>
/// <param name="Estimate">The estimate.</param>
/// <param name="Draws">Totals by draw, aligned with those of other jobs of the run; null unless asked for.</param>
/// <param name="Parts">What the particle number is made of.</param>
/// <param name="SharesByMaterial">What each material makes of the particle number and of the volatile organic compounds, at the middle of all figures.</param>
internal sealed record ForecastOutcome(
    JobEstimate Estimate, EmissionDraws? Draws, NumberParts Parts, IReadOnlyDictionary<string, (double Number, double Tvoc)> SharesByMaterial)
{
    /// <summary>What was given off over time by component, for the air; null unless asked for.</summary>
    public FollowedJob? Followed { get; init; }
}
