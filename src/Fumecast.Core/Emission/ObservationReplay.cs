// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>How the model can be asked for a published figure: a steady print under the conditions of the study.</summary>
/// <remarks>Conditions that the study does not tell are the reference ones: the temperature of our yield, the mass rate of the rules, two hours.</remarks>
public sealed record ObservationReplay
{
    /// <summary>Length of the print when the study does not tell it [s].</summary>
    public const double UsualDurationS = 7200;

    /// <summary>The agent.</summary>
    public required Agent Agent { get; init; }

    /// <summary>What the figures are, a rate or a yield; they are in its <see cref="Quantity.HeldUnit"/>.</summary>
    public required Quantity Quantity { get; init; }

    /// <summary>Whether the figures are for each gram of filament; else they are rates, in the mean over the print.</summary>
    public required bool IsYield { get; init; }

    /// <summary>The published figures: the value, or for want of one the ends.</summary>
    public required IReadOnlyList<ReplayPoint> Points { get; init; }

    /// <summary>Nozzle temperature of the study [degC]; null when it is not known.</summary>
    public double? NozzleC { get; init; }

    /// <summary>Mass rate of the study [g/h], over 0; null when it is not known.</summary>
    public double? MassRateGPerH { get; init; }

    /// <summary>Length of the print [s], over 0.</summary>
    public double DurationS { get; init; } = UsualDurationS;
}

/// <summary>One published figure of an observation.</summary>
/// <param name="Key">Which of its figures: <c>value</c>, <c>low</c> or <c>high</c>.</param>
/// <param name="Published">The figure, over 0, in the <see cref="Quantity.HeldUnit"/> of the replay.</param>
public sealed record ReplayPoint(string Key, double Published)
{
    /// <summary>Whether an interval holds the figure.</summary>
    /// <param name="ours">The interval, in the same unit.</param>
    public bool LiesIn(Uncertain ours) => ours.Low <= Published && Published <= ours.High;
}
