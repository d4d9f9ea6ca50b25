// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>For whom a guideline is meant.</summary>
internal enum GuidelinePopulation
{
    /// <summary>Everybody, also children and the sick, at all hours.</summary>
    General,

    /// <summary>Healthy adults at work, during a shift.</summary>
    Occupational,
}

/// <summary>What standing a guideline has.</summary>
internal enum GuidelineStatus
{
    /// <summary>A guideline in force.</summary>
    Guideline,

    /// <summary>Words on what is low or high, with no claim to be a limit.</summary>
    Orientation,

    /// <summary>A recommended limit at work.</summary>
    Recommended,

    /// <summary>A limit by law.</summary>
    Legal,

    /// <summary>Replaced by a later edition; shown for comparison.</summary>
    Superseded,
}

/// <summary>A published level of an agent, over its own averaging time and no other.</summary>
internal sealed record Guideline
{
    /// <summary>Id, such as <c>who-2021-pm25-24h</c>.</summary>
    public required string Id { get; init; }

    /// <summary>One line on what it says, with its conditions.</summary>
    public required string Description { get; init; }

    /// <summary>The file it was read from.</summary>
    public required string File { get; init; }

    /// <summary>What to do about places of a template that are still to be filled in; empty where there is none, and for shipped files.</summary>
    public string Unfilled { get; init; } = "";

    /// <summary>What it is a level of: <c>pm25</c>, <c>pm10</c>, <c>particle_number</c>, <c>tvoc</c>, or a substance.</summary>
    public required string Quantity { get; init; }

    /// <summary>What of a print is held against it: for PM2.5 and PM10 the mass of all its particles, which are all smaller.</summary>
    public required Agent Agent { get; init; }

    /// <summary>The level: number in 1/cm3, others in ug/m3.</summary>
    public required Figure Level { get; init; }

    /// <summary>Its averaging time [s], over 0; 31557600 for a year, and for the long term where a source tells no time.</summary>
    public required double AveragingS { get; init; }

    /// <summary>Its averaging time as results write it: <c>24 h</c>, <c>1 year</c>, <c>long term</c>, <c>8 h shift</c>.</summary>
    public required string Averaging { get; init; }

    /// <summary>Who published it.</summary>
    public required string Body { get; init; }

    /// <summary>Year of the edition; null where it was not seen.</summary>
    public int? Year { get; init; }

    /// <summary>Which document or edition.</summary>
    public required string Edition { get; init; }

    /// <summary>For whom it is meant.</summary>
    public required GuidelinePopulation Population { get; init; }

    /// <summary>What standing it has.</summary>
    public required GuidelineStatus Status { get; init; }

    /// <summary>Sources that the file brings along itself; others are in the shared list.</summary>
    public IReadOnlyList<SourceReference> OwnSources { get; init; } = [];

    /// <summary>Whether a forecast over a day or two can be held against it at all: a mean over years cannot.</summary>
    public bool IsForADay => AveragingS <= 86_400;
}
