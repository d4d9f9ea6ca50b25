// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>How even the flow of a job is over its print phase (first to last deposit of the object, purge before it left out).</summary>
/// <remarks>All figures are weighted by time. Absent means undefined for this job, never 0.</remarks>
public sealed record FlowEvenness
{
    /// <summary>Averaging interval of <see cref="Cv"/>: the meter's logging interval [s].</summary>
    public required double IntervalS { get; init; }

    /// <summary>Mean flow over the print phase, idle time included [mm3/s].</summary>
    public double? MeanMm3PerS { get; init; }

    /// <summary>Median flow over the time with flow [mm3/s].</summary>
    public double? MedianMm3PerS { get; init; }

    /// <summary>Share of the print phase without flow, 0 to 1 [-].</summary>
    public double? IdleShare { get; init; }

    /// <summary>Coefficient of variation of the flow itself, not averaged, idle time included [-].</summary>
    public double? CvInstant { get; init; }

    /// <summary>Coefficient of variation of means over <see cref="IntervalS"/>, idle time included [-].</summary>
    public double? Cv { get; init; }

    /// <summary>Lower limit of an individuals chart over means of <see cref="IntervalS"/>: a drawing aid, no verdict [mm3/s].</summary>
    public double? IndividualsLowMm3PerS { get; init; }

    /// <summary>Upper limit of the same chart [mm3/s].</summary>
    public double? IndividualsHighMm3PerS { get; init; }

    /// <summary>Coefficient of variation over the time with flow [-].</summary>
    public double? CvWhileExtruding { get; init; }

    /// <summary>Share of the time with flow that lies within 10 % of the median, 0 to 1 [-].</summary>
    public double? ShareWithin10Percent { get; init; }

    /// <summary>Longest stretch during which the mean flow of each second stays within 10 % of the median [s].</summary>
    public double? LongestSteadyS { get; init; }

    /// <summary>Period of the strongest rhythm, or null when there is none [s].</summary>
    public double? DominantPeriodS { get; init; }

    /// <summary>Share of the unevenness that repeats with <see cref="DominantPeriodS"/>: the unbiased autocorrelation, 0 to 1 [-].</summary>
    public double? DominantPeriodStrength { get; init; }

    /// <summary>Relative Allan deviation (overlapping) at averaging times that double, up to a quarter of the print phase.</summary>
    public IReadOnlyList<AllanPoint> Allan { get; init; } = [];

    /// <summary>Length of the print phase [s].</summary>
    public double? PrintPhaseS { get; init; }

    /// <summary>Standard deviation over mean that air of time constant <see cref="PlateauTimeConstantS"/> leaves of the flow [-].</summary>
    /// <remarks>Where <see cref="LongestSteadyS"/> is 80 % of the print phase or more, that stretch alone is judged: the rest is its lead-in.</remarks>
    public double? PlateauWander { get; init; }

    /// <summary>The wander of what wanders most, flow, particles or volatile organic compounds: the grade rests on it [-].</summary>
    internal double? HighestWander => new[] { PlateauWander, Source?.ParticleNumber?.PlateauWander, Source?.Tvoc?.PlateauWander }.Max();

    /// <summary>Time constant of the air that <see cref="PlateauWander"/> is worked out with, the same for prints of any length [s].</summary>
    public double? PlateauTimeConstantS { get; init; }

    /// <summary>Longest time during which the flow that this air leaves stays within 10 % of its own middle there [s].</summary>
    public double? PlateauS => PlateauToS - PlateauFromS;

    /// <summary>Start of that time, from the first deposit [s].</summary>
    public double? PlateauFromS { get; init; }

    /// <summary>End of that time, from the first deposit [s].</summary>
    public double? PlateauToS { get; init; }

    /// <summary>How even the forecast emission is, or null where no material is known.</summary>
    public SourceEvenness? Source { get; init; }

    /// <summary>The grade of the flow alone, from <see cref="PlateauWander"/>, <see cref="PlateauS"/> and <see cref="IdleShare"/>; null when hardly anything was deposited (under 3 s).</summary>
    public EvennessGrade? FlowGrade { get; init; }

    /// <summary>The grade: the worst of flow, particles and volatile compounds.</summary>
    public EvennessGrade? Grade { get; init; }

    /// <summary>Whether <see cref="Grade"/> is that of the flow alone: what the job gives off is not known, or too short to tell.</summary>
    public bool IsOfFlowAlone => Grade is not null && Source is null;

    /// <summary>Whether the print phase is shorter than the six time constants that a plateau takes to form and to be read.</summary>
    public bool IsTooShort { get; init; }

    /// <summary>From when on to read the meter, from the first deposit: the plateaus of flow and emission have begun and the air has had three time constants to fill; null when there is no such time [s].</summary>
    public double? ReadFromS { get; init; }

    /// <summary>Until when to read the meter, from the first deposit [s].</summary>
    public double? ReadToS { get; init; }
}

/// <summary>One point of the Allan curve.</summary>
/// <param name="TauS">Averaging time [s].</param>
/// <param name="Relative">Allan deviation over the mean flow [-].</param>
public readonly record struct AllanPoint(double TauS, double Relative);

/// <summary>How flat the flow is for a trial with an air meter.</summary>
public enum EvennessGrade
{
    /// <summary>The plateau will look steady to a meter.</summary>
    Flat,

    /// <summary>The plateau will wander, yet can be used with longer averaging.</summary>
    Fair,

    /// <summary>The print is a poor source for a trial.</summary>
    Uneven,
}
