// SPDX-License-Identifier: MIT
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>What a trial showed.</summary>
public sealed record TrialOutcome
{
    /// <summary>Coverage of all intervals [-].</summary>
    public required double Interval { get; init; }

    /// <summary>The notebook as it was named.</summary>
    public required string Notebook { get; init; }

    /// <summary>The runs, in the order of the notebook.</summary>
    public required IReadOnlyList<RunOutcome> Runs { get; init; }

    /// <summary>Runs held against each other, a result for each quantity that both show.</summary>
    public required IReadOnlyList<PairOutcome> Pairs { get; init; }

    /// <summary>What the results rest on.</summary>
    public required IReadOnlyList<ResolvedSetting> Settings { get; init; }

    /// <summary>What was found while reading.</summary>
    public required IReadOnlyList<Diagnostic> Diagnostics { get; init; }

    /// <summary>Where the methods come from.</summary>
    public required IReadOnlyList<SourceReference> Sources { get; init; }

    /// <summary>The cautions to show with any result.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }
}

/// <summary>What one run showed.</summary>
public sealed record RunOutcome
{
    /// <summary>Its name.</summary>
    public required string Name { get; init; }

    /// <summary>Whether no job ran: it shows how the meter wanders by itself.</summary>
    public required bool IsControl { get; init; }

    /// <summary>Whether it is a decay of what was put into the air otherwise.</summary>
    public required bool IsDecay { get; init; }

    /// <summary>What was fitted; null for none.</summary>
    public string? Filter { get; init; }

    /// <summary>Its log.</summary>
    public required MeterLog Log { get; init; }

    /// <summary>The start of its job; null for a run without one.</summary>
    public RunStart? Start { get; init; }

    /// <summary>Mass that its job lays down [g]; null for a run without one.</summary>
    public double? MassG { get; init; }

    /// <summary>From the first filament of its job to the last [h]; null for a run without one.</summary>
    public double? PrintH { get; init; }

    /// <summary>Air that the meter stood in [m3]; null where none is stated.</summary>
    public double? VolumeM3 { get; init; }

    /// <summary>What each quantity showed.</summary>
    public required IReadOnlyList<QuantityOutcome> Quantities { get; init; }
}

/// <summary>When a job was started.</summary>
/// <param name="AtS">The start on the log's clock [s].</param>
/// <param name="IsFound">Whether it was found from the log; else it was stated.</param>
/// <param name="UncertaintyS">How far off it may be [s].</param>
/// <param name="FitsBetterAtS">A start that fits the log far better than the stated one; null where the stated one will do [s].</param>
public sealed record RunStart(double AtS, bool IsFound, double UncertaintyS, double? FitsBetterAtS);

/// <summary>What one quantity of one run showed.</summary>
public sealed record QuantityOutcome
{
    /// <summary>The quantity, such as <c>pm25</c>.</summary>
    public required string Quantity { get; init; }

    /// <summary>Its unit, such as <c>ug_per_m3</c>.</summary>
    public required string Unit { get; init; }

    /// <summary>Level without the print.</summary>
    public Uncertain? Background { get; init; }

    /// <summary>Drift of that [unit for each h]; null where it was not fitted.</summary>
    public double? DriftPerH { get; init; }

    /// <summary>What the print added, as a mean from its first filament to its last.</summary>
    public Uncertain? MeanPrint { get; init; }

    /// <summary>Highest record, background included.</summary>
    public double? Peak { get; init; }

    /// <summary>What a print of the job's mean flow adds once it has settled.</summary>
    public Uncertain? Plateau { get; init; }

    /// <summary>Loss rate [1/h].</summary>
    public Uncertain? LossPerH { get; init; }

    /// <summary>Stretch of the log that the loss rate rests on [s of the log's count].</summary>
    public (double FromS, double ToS)? Window { get; init; }

    /// <summary>How far the loss rate moves when the stretch is a sixth shorter at either end [1/h]; null where it is not read off a stretch.</summary>
    public (double Low, double High)? LossMovesPerH { get; init; }

    /// <summary>Time integral of what the print added [unit times h].</summary>
    public Uncertain? NetIntegralH { get; init; }

    /// <summary>The same for each gram [unit times h for each g].</summary>
    public Uncertain? NetIntegralHPerG { get; init; }

    /// <summary>What reached the room; null where it cannot be told.</summary>
    public MeasuredEmission? Emission { get; init; }

    /// <summary>What happened beside the print.</summary>
    public IReadOnlyList<EventOutcome> Events { get; init; } = [];

    /// <summary>Whether the log shows the print at all.</summary>
    public bool IsSeen { get; init; }

    /// <summary>Whether something beside the print changed the level so much that emission, loss rate and clean air are withheld.</summary>
    public bool IsSpoiled { get; init; }

    /// <summary>Why something cannot be told; null where all can.</summary>
    public string? WhyNot { get; init; }

    /// <summary>How the fit agrees with the log; null without a fit.</summary>
    public Agreement? Agreement { get; init; }

    /// <summary>Simple figures beside the fit; null without one.</summary>
    public CrossChecks? Checks { get; init; }

    /// <summary>How a meter wanders without a print: standard deviation of means over half an hour; null where a job ran.</summary>
    public double? Wander { get; init; }

    /// <summary>Readings that went in [-].</summary>
    public required int Readings { get; init; }

    /// <summary>Readings that were left out: marked, held, spikes, or of a time that the notebook leaves out [-].</summary>
    public required int LeftOut { get; init; }

    /// <summary>The same without leaving out what the notebook leaves out; null where it leaves out nothing.</summary>
    public QuantityOutcome? WithAll { get; init; }

    /// <summary>Log and model for pictures.</summary>
    internal LogCurve? Curve { get; init; }

    /// <summary>The fit, in units of its own noise where the meter shows no mass.</summary>
    internal BoxFit? Fit { get; init; }

    /// <summary>Unit of the fit's readings over that of the quantity [-].</summary>
    internal double FitScale { get; init; } = 1;

    /// <summary>The line of a decay.</summary>

    internal DecayLine? Line { get; init; }
}

/// <summary>What reached the room of a run.</summary>
/// <param name="Total">In all [<paramref name="Unit"/>].</param>
/// <param name="PerG">For each gram of filament [<paramref name="Unit"/>/g].</param>
/// <param name="Unit"><c>ug</c>, <c>1</c> for counts, or <c>ppb_m3</c> where the meter shows parts of air.</param>
/// <param name="OfForecast">Over the forecast of the material table for each gram; null where the table does not speak of what the meter shows [-].</param>
public sealed record MeasuredEmission(Uncertain Total, Uncertain PerG, string Unit, Uncertain? OfForecast);

/// <summary>Something that happened beside the print.</summary>
/// <param name="FromS">When it began [s of the log's count].</param>
/// <param name="ToS">When it ended or began to fade; null where it lasted [s].</param>
/// <param name="Size">By how much the level changed [unit].</param>
/// <param name="Error">Standard error of that [unit].</param>
/// <param name="EquivalentPerMin">Source that would hold such a change [unit times m3 for each min]; null without a volume.</param>
/// <param name="During"><c>background</c>, <c>print</c>, or <c>after</c>.</param>
/// <param name="Noted">What the notebook says of that time; null where it says nothing.</param>
public sealed record EventOutcome(double FromS, double? ToS, double Size, double Error, double? EquivalentPerMin, string During, string? Noted);

/// <summary>How a model agrees with a log, by the measures of ASTM D5157 (its thresholds are recalled, not read).</summary>
/// <param name="R">Correlation [-].</param>
/// <param name="Slope">Of the line of the model's values over the readings [-].</param>
/// <param name="Intercept">Of that line [unit].</param>
/// <param name="Nmse">Normalised mean square error [-].</param>
/// <param name="Fb">Fractional bias [-].</param>
/// <param name="Fs">Fractional bias of the variances [-].</param>
/// <param name="IndependentReadings">Readings that count, since neighbours hang together [-].</param>
/// <param name="IsAdequate">Whether all keep to the thresholds.</param>
public sealed record Agreement(double R, double Slope, double Intercept, double Nmse, double Fb, double Fs, double IndependentReadings, bool IsAdequate);

/// <summary>Simple figures that stand beside a fit, in plain sight.</summary>
/// <param name="BackgroundMean">Mean before the job [unit]; null where there are too few readings.</param>
/// <param name="PlateauMean">Mean of the last third of the print, less that [unit].</param>
/// <param name="DecayLossPerH">Slope of the logarithm after the print [1/h].</param>
/// <param name="BalanceTotal">Volume times rise and loss over the log [unit times m3].</param>
public sealed record CrossChecks(double? BackgroundMean, double? PlateauMean, double? DecayLossPerH, double? BalanceTotal)
{
    /// <summary>When cumulative sums of what the fit leaves first pass their limit: a lasting shift [s of the log's count]; null where they never do.</summary>
    public double? ShiftAtS { get; init; }
}

/// <summary>Two runs held against each other.</summary>
public sealed record PairOutcome
{
    /// <summary>Name of the run without the filter.</summary>
    public required string Base { get; init; }

    /// <summary>Name of the run with it.</summary>
    public required string Run { get; init; }

    /// <summary>The quantity.</summary>
    public required string Quantity { get; init; }

    /// <summary>What was fitted in the run with it; null where the notebook does not say.</summary>
    public string? Filter { get; init; }

    /// <summary>Time integral for each gram with the filter over that without; null where there is none to give [-].</summary>
    public Uncertain? Ratio { get; init; }

    /// <summary>The same with what differs from day to day allowed for; null where there is none to give [-].</summary>
    public Uncertain? RatioWithDays { get; init; }

    /// <summary>Plateau with the filter over that without; null where there is none to give [-].</summary>
    public Uncertain? PlateauRatio { get; init; }

    /// <summary>What the filter delivers [m3/h]; null where it cannot be told.</summary>
    public Uncertain? CleanAirM3PerH { get; init; }

    /// <summary>Whether the log sets no lower end to the clean air: then it may be nothing.</summary>
    public bool CleanAirMayBeNone { get; init; }

    /// <summary>The same by the difference of the two loss rates alone: needs no equal emission, and is wide [m3/h].</summary>
    public Uncertain? CleanAirByLossM3PerH { get; init; }

    /// <summary>Whether the emissions for each gram agree, so that clean air and ratio say the same; null where that cannot be told.</summary>
    public bool? Agree { get; init; }

    /// <summary>What comes of it.</summary>
    public required PairEffect Effect { get; init; }

    /// <summary>Why something is not given; null where all is.</summary>
    public string? WhyNot { get; init; }

    /// <summary>How many runs stand on either side: over two in all, the runs are the sample.</summary>
    public int Runs { get; init; } = 2;
}

/// <summary>What a pair of runs shows.</summary>
public enum PairEffect
{
    /// <summary>Less with the filter.</summary>
    Less,

    /// <summary>More with the filter.</summary>
    More,

    /// <summary>No difference, and one of half would have been seen.</summary>
    NoneSeen,

    /// <summary>The logs do not tell.</summary>
    CannotTell,
}

/// <summary>A log and what the fit makes of it, for pictures.</summary>
/// <param name="TimesS">Middle of each record [s of the log's count].</param>
/// <param name="Readings">What the meter showed.</param>
/// <param name="Model">What the fit says; empty without one.</param>
/// <param name="Background">What the fit says without the print; empty without one.</param>
internal sealed record LogCurve(double[] TimesS, double[] Readings, double[] Model, double[] Background);
