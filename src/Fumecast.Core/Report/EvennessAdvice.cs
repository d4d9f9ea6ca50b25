// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Flow;

namespace Fumecast.Report;

/// <summary>Says in one plain sentence what the figures mean for a trial with an air meter.</summary>
internal static class EvennessAdvice
{
    // Averaging over an interval leaves at most P / (pi interval) of a rhythm of period P; a tenth of it counts as gone.
    private const double GoneShare = 0.1;

    // Means over the meter's interval that vary less than this are not worth a word about rhythm.
    private const double WorthAWord = 0.05;

    // Rounding inwards to whole minutes takes up to two of them off a time.
    private const double ShortestInMinutesS = 600;
    private const double ShortestInTenthsS = 60;

    /// <summary>The mark of a job whose print phase is too short.</summary>
    public const string TooShort = "too short for a trial";

    /// <summary>The mark of a job with hardly any print phase.</summary>
    public const string TooShortToJudge = "too short to judge";

    /// <summary>The mark of a job whose emission was not judged.</summary>
    public const string FlowOnly = "flow only";

    /// <summary>The sentence for a job.</summary>
    /// <param name="flow">Its figures, with the spectrum if the rhythm shall be spoken of.</param>
    /// <param name="layerS">Mean time of a layer, if known: a rhythm near it is called by that name [s].</param>
    /// <returns>One sentence with its full stop.</returns>
    public static string For(FlowEvenness flow, double? layerS = null)
    {
        ArgumentNullException.ThrowIfNull(flow);
        if (flow is not { IdleShare: { } idleShare, PrintPhaseS: { } phaseS })
        {
            return "Nothing was deposited, so there is no flow to judge.";
        }

        if (flow is not { Grade: { } grade, PlateauWander: { } wander, PlateauTimeConstantS: { } timeConstantS, PlateauS: { } plateauS })
        {
            return $"The print phase lasts {Time(phaseS)} only: {TooShortToJudge}.";
        }

        if (grade == EvennessGrade.Uneven)
        {
            return flow.FlowGrade != EvennessGrade.Uneven ? "A print at one temperature, begun with a nozzle that has been hot for a while, is steadier."
                : idleShare > RoomSmoothing.FairIdleShare ? "The idle hot nozzle, not the flow, would rule a trial: choose a print with fewer travels and pauses."
                : "Choose a print with the same cross-section on every layer.";
        }

        if (flow.LongestSteadyS is { } steadyS && steadyS >= RoomSmoothing.MostOfThePrint * phaseS && phaseS - steadyS > 60)
        {
            return $"The flow is steady for {Time(steadyS)} of {Time(phaseS)}: read the meter there and leave out the rest.";
        }

        if (wander > RoomSmoothing.FlatWander && plateauS >= 3 * timeConstantS)
        {
            return $"The flow holds a plateau for {Time(plateauS)} of {Time(phaseS)}: read the meter there and leave out the rest.";
        }

        if (flow.CvInstant > WorthAWord && RhythmSentence(flow, phaseS, layerS) is { } sentence)
        {
            return sentence;
        }

        return flow.IsTooShort || !(flow.ReadToS - flow.ReadFromS >= RoomSmoothing.TimeConstantsToRead * timeConstantS) ? $"A longer print like it could be used, with means over {Time(3 * timeConstantS)} or more."
            : flow.Source is null && grade == EvennessGrade.Flat ? $"By the flow alone the plateau would wander by {About(wander)}; what is given off is judged only with a material."
            : grade == EvennessGrade.Flat ? $"The plateau would wander by {About(wander)}: as steady as a low-cost meter can tell."
            : $"Usable, with means over {Time(3 * timeConstantS)} or more.";
    }

    /// <summary>The grade, what it is the worst of, and whether the job is long enough for it to matter.</summary>
    /// <param name="flow">The figures of a job.</param>
    /// <returns>Words without a full stop, or null where nothing was deposited.</returns>
    public static string? GradeInWords(FlowEvenness flow)
    {
        ArgumentNullException.ThrowIfNull(flow);
        if (flow.Grade is not { } grade)
        {
            return flow.PrintPhaseS is null ? null : TooShortToJudge;
        }

        var words = Word(grade);
        if (flow.IsOfFlowAlone)
        {
            words += $" ({FlowOnly}: what is given off was not judged)";
        }
        else if (flow.FlowGrade is { } flowGrade)
        {
            var judged = new List<string> { $"flow {Word(flowGrade)}" };
            if (flow.Source?.ParticleNumber is { } particles)
            {
                judged.Add($"particles {Word(particles.Grade)}");
            }

            if (flow.Source?.Tvoc is { } vapours)
            {
                judged.Add($"TVOC {Word(vapours.Grade)}");
            }

            words += $" ({string.Join(", ", judged)}; the worst counts)";
        }

        return flow.IsTooShort ? $"{TooShort}; else {words}" : words;
    }

    /// <summary>Which of flow, particles and vapours set a grade that is not the best, and by what.</summary>
    /// <param name="flow">The figures of a job.</param>
    /// <returns>One sentence with its full stop, or null for a flat job and where there is no grade.</returns>
    public static string? WhyThisGrade(FlowEvenness flow)
    {
        ArgumentNullException.ThrowIfNull(flow);
        if (flow is not { Grade: { } grade and not EvennessGrade.Flat, FlowGrade: { } flowGrade })
        {
            return null;
        }

        var reasons = new List<string>();
        var better = new List<(string Name, EvennessGrade Grade)>();
        if (flowGrade == grade)
        {
            var (mostIdle, mostWander) = grade == EvennessGrade.Fair
                ? (RoomSmoothing.FlatIdleShare, RoomSmoothing.FlatWander) : (RoomSmoothing.FairIdleShare, RoomSmoothing.FairWander);
            if (flow.IdleShare > mostIdle)
            {
                reasons.Add(string.Create(CultureInfo.InvariantCulture, $"no filament flows during {100 * flow.IdleShare:0.#} % of the print phase, while the nozzle stays hot"));
            }

            if (flow.PlateauWander > mostWander || reasons.Count == 0)
            {
                reasons.Add($"the flow would wander by {About(flow.PlateauWander ?? 0)} in the air");
            }
        }
        else
        {
            better.Add(("flow", flowGrade));
        }

        foreach (var (name, agent) in new[] { ("particles", flow.Source?.ParticleNumber), ("TVOC", flow.Source?.Tvoc) })
        {
            if (agent?.Grade == grade)
            {
                reasons.Add($"the forecast {name} would wander by {About(agent.PlateauWander)} in the air, temperature and start included");
            }
            else if (agent is not null)
            {
                better.Add((name, agent.Grade));
            }
        }

        var alone = better.GroupBy(static one => one.Grade).OrderBy(static group => group.Key)
            .Select(static group => $"{string.Join(" and ", group.Select(static one => one.Name))} {Word(group.Key)}");
        var word = Word(grade);
        return $"{char.ToUpperInvariant(word[0])}{word[1..]} because {string.Join(", and because ", reasons)}"
            + (better.Count == 0 ? "." : $"; alone, {string.Join(", ", alone)}.");
    }

    /// <summary>When to read the meter.</summary>
    /// <param name="flow">The figures of a job.</param>
    /// <returns>One sentence with its full stop; times count from the first deposit.</returns>
    public static string WhenToRead(FlowEvenness flow)
    {
        ArgumentNullException.ThrowIfNull(flow);
        if (flow is not { PrintPhaseS: { } phaseS, PlateauTimeConstantS: { } timeConstantS })
        {
            return "There is no time to read a meter.";
        }

        var settles = flow.Source?.ParticleNumber is { SettlesAfterS: { } settled and > 0 } ? $"; the particles settle from {Minute(settled)}" : "";
        var reading = flow is { ReadFromS: { } fromS, ReadToS: { } toS }
            ? $"read the meter from {ReadFrom(flow)} to {ReadTo(flow)} of the print phase, {Time(toS - fromS)}{Short(toS - fromS)}{settles}."
            : $"air with a time constant of {Time(timeConstantS)} gives no plateau to read{settles}.";
        return flow.IsTooShort
            ? $"{char.ToUpperInvariant(TooShort[0])}{TooShort[1..]}: {Time(phaseS)} of print phase, where {Time(6 * timeConstantS)} are needed; {reading}"
            : char.ToUpperInvariant(reading[0]) + reading[1..];

        string Short(double seconds) =>
            seconds < RoomSmoothing.TimeConstantsToRead * timeConstantS ? $", where a mean should last {Time(RoomSmoothing.TimeConstantsToRead * timeConstantS)}" : "";
    }

    /// <summary>The moment from which to read the meter, rounded inwards, and the finer the shorter the time is: else it would be told as another one, or as none.</summary>
    /// <param name="flow">The figures of a job with such a time.</param>
    internal static string ReadFrom(FlowEvenness flow) => Moment(Math.Ceiling, flow.ReadFromS ?? 0, flow);

    private static string ReadTo(FlowEvenness flow) => Moment(Math.Floor, flow.ReadToS ?? 0, flow);

    private static string Moment(Func<double, double> round, double seconds, FlowEvenness flow) => (flow.ReadToS - flow.ReadFromS) switch
    {
        >= ShortestInMinutesS => string.Create(CultureInfo.InvariantCulture, $"minute {round(seconds / 60):0}"),
        >= ShortestInTenthsS => string.Create(CultureInfo.InvariantCulture, $"minute {round(seconds / 6) / 10:0.#}"),
        _ => string.Create(CultureInfo.InvariantCulture, $"second {round(seconds):0}"),
    };

    private static string Minute(double seconds) => string.Create(CultureInfo.InvariantCulture, $"minute {Math.Ceiling(seconds / 60):0}");

    private static string Word(EvennessGrade grade) => grade switch
    {
        EvennessGrade.Flat => "flat",
        EvennessGrade.Fair => "fair",
        _ => "uneven",
    };

    /// <summary>What the meter sees of the rhythm; null when there is none, or too few periods of it to average over.</summary>
    private static string? RhythmSentence(FlowEvenness flow, double phaseS, double? layerS)
    {
        if (flow is not { DominantPeriodS: { } periodS, DominantPeriodStrength: { } strength })
        {
            return null;
        }

        var owner = layerS is { } layer && Math.Abs(periodS / layer - 1) < 0.15 ? "the rhythm of the layers" : "a rhythm";
        var start = $"{Percent(strength)} of the unevenness has {owner}, {Time(periodS)}";
        if (periodS / (Math.PI * flow.IntervalS) <= GoneShare || flow.Cv <= WorthAWord)
        {
            return $"{start}: invisible to a meter that logs every {Time(flow.IntervalS)}.";
        }

        var whole = Math.Ceiling(1 / (Math.PI * GoneShare)) * periodS;
        return whole <= phaseS / 4
            ? $"{start}: a meter that logs every {Time(flow.IntervalS)} sees it, means over {Time(whole)} do not."
            : null;
    }

    private static string Percent(double share) =>
        share < 0.01 ? "under 1 %" : string.Create(CultureInfo.InvariantCulture, $"{100 * share:0} %");

    private static string About(double share) => share < 0.01 ? Percent(share) : $"about {Percent(share)}";

    private static string Time(double seconds) => seconds switch
    {
        < 10 => string.Create(CultureInfo.InvariantCulture, $"{seconds:0.##} s"),
        < 120 => string.Create(CultureInfo.InvariantCulture, $"{seconds:0} s"),
        < 600 => string.Create(CultureInfo.InvariantCulture, $"{seconds / 60:0.#} min"),
        < 7200 => string.Create(CultureInfo.InvariantCulture, $"{seconds / 60:0} min"),
        _ => string.Create(CultureInfo.InvariantCulture, $"{seconds / 3600:0.#} h"),
    };
}
