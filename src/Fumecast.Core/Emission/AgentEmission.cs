// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>What a job gives off of one agent.</summary>
public sealed record AgentEmission
{
    /// <summary>What is given off.</summary>
    public required Agent Agent { get; init; }

    /// <summary>Unit of totals: <c>1</c> for counts, <c>ug</c> for masses.</summary>
    public string Unit => Agent.Unit;

    /// <summary>Coverage of the intervals below, over 0 and below 1 [-].</summary>
    public required double Interval { get; init; }

    /// <summary>Emitted over the whole job [<see cref="Unit"/>].</summary>
    public required Uncertain Total { get; init; }

    /// <summary>Emitted per gram of deposited filament [<see cref="Unit"/>/g]; null when nothing was deposited.</summary>
    public Uncertain? PerGram { get; init; }

    /// <summary>Highest rate over one bin of the series [<see cref="Unit"/>/min].</summary>
    public required Uncertain PeakPerMin { get; init; }

    /// <summary>Middle of the bin with the highest rate, since the start of the job [s].</summary>
    public required double PeakAtS { get; init; }

    /// <summary>Part emitted before the first deposit, while the nozzle is hot [<see cref="Unit"/>].</summary>
    public required Uncertain WarmUp { get; init; }

    /// <summary>Part emitted while filament is deposited [<see cref="Unit"/>].</summary>
    public required Uncertain Printing { get; init; }

    /// <summary>Part emitted by the hot nozzle between and after deposits [<see cref="Unit"/>].</summary>
    public required Uncertain IdleHot { get; init; }

    /// <summary>Worst grade among the figures used, A to D.</summary>
    public required string Grade { get; init; }

    /// <summary>Share of the median total that lies outside the validity range of a figure, 0 to 1 [-].</summary>
    public required double ExtrapolatedShare { get; init; }

    /// <summary>Ids of the sources of the figures used.</summary>
    public required IReadOnlyList<string> Sources { get; init; }

    /// <summary>In words, how sure the total is ("within a factor of 20").</summary>
    public required string HowSure { get; init; }

    /// <summary>The total with its unit and interval: <c>4.8e12 particles (0.9e12 to 26e12, 90 %)</c>.</summary>
    public override string ToString() => Total.ToString(Unit == "1" ? "particles" : Unit, Interval);
}
