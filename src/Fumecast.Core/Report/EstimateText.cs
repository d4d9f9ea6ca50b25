// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Uncertainty;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes an estimate as a summary that a maker understands at a glance.</summary>
public static class EstimateText
{
    private const int MaxFindings = 12;
    private const int NarrowestLabel = 16;
    private const int WidestLabel = 34;

    /// <summary>Writes the summary.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="estimate">The estimate.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, JobEstimate estimate, TextStyle style) => Write(output, estimate, style, curves: null);

    /// <summary>Writes the summary with its curves in block characters, where the layout wants them.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="estimate">The estimate.</param>
    /// <param name="style">Layout.</param>
    /// <param name="curves">The curves, or null.</param>
    internal static void Write(TextWriter output, JobEstimate estimate, TextStyle style, SeriesCurves? curves)
    {
        var page = new TextPage(output, style);
        page.Lead(Headline(estimate) + NozzleWords(estimate));
        page.Gap();
        EmissionText.Write(page, estimate);
        page.Gap();
        if (style.Sketches && curves is not null)
        {
            Sketches.Write(page, curves);
        }

        WriteJob(page, estimate);
        WriteSettings(page, estimate.Settings);
        WriteFindings(page, estimate.Diagnostics);
        WriteSources(page, estimate.Sources);
        WriteCautions(page, estimate.Cautions);
    }

    /// <summary>What is said of a job that is never hot enough, after its name.</summary>
    internal const string FedCold = "feeds filament while the nozzle is cold, which no printer can do: nothing can be forecast from it; mend its temperatures";

    private static string Headline(JobEstimate estimate)
    {
        var job = estimate.Job.File == "-" ? "The job on standard input" : estimate.Job.File;
        if (estimate.IsFedCold)
        {
            return $"{job} {FedCold}, or give one with --nozzle.";
        }

        var parts = new List<string>();
        if (Find(estimate, Agent.ParticleNumber) is { } number)
        {
            parts.Add($"{About(number)} particles{From(number)}");
        }

        if (Find(estimate, Agent.Tvoc) is { } vapours)
        {
            parts.Add($"{About(vapours)}{(vapours.Total.High > 0 ? " of" : "")} volatile organic compounds{From(vapours)}");
        }

        var what = parts.Count == 0 ? "nothing that is known of" : string.Join(" and ", parts);
        return $"{job} will give off {what} in {Together(Duration(estimate.Job.Time.TotalS))}.";
    }

    /// <summary>What was assumed for want of a temperature bears on every figure, so it stands at the top.</summary>
    private static string NozzleWords(JobEstimate estimate)
    {
        foreach (var finding in estimate.Diagnostics)
        {
            if (finding.Code == ForecastFindings.NozzleAssumed)
            {
                return $" {char.ToUpperInvariant(finding.Message[0])}{finding.Message[1..]}.";
            }
        }

        return "";
    }

    private static string About(AgentEmission emission) =>
        emission.Total.High <= 0 ? "no" : $"about {Together(Middle(emission.Total, emission.Unit))}";

    private static string From(AgentEmission emission) =>
        (emission.Unit == "1" ? MiddlePower(emission.Total) : null, Range(emission.Total, emission.Unit)) switch
        {
            ({ } power, { } range) => $" ({power}; from {Together(range)}{(emission.HighCappedBy is null ? "" : ", where the model caps it")})",
            ({ } power, null) => $" ({power})",
            (null, { } range) => $" (from {Together(range)})",
            _ => "",
        };

    /// <summary>Keeps a number and its unit on one line.</summary>
    private static string Together(string text) =>
        text.Replace(' ', TextPage.HardBlank).Replace($"{TextPage.HardBlank}to{TextPage.HardBlank}", " to ", StringComparison.Ordinal);

    private static AgentEmission? Find(JobEstimate estimate, Agent agent)
    {
        foreach (var emission in estimate.Emission)
        {
            if (emission.Agent == agent)
            {
                return emission;
            }
        }

        return null;
    }

    private static void WriteJob(TextPage page, JobEstimate estimate)
    {
        var job = estimate.Job;
        page.Heading("THE JOB");
        page.Labelled("Time", TimeWords(job));
        foreach (var tool in job.Tools)
        {
            page.Labelled(job.Tools.Count == 1 ? "Filament" : Invariant($"Tool {tool.Tool}"), ToolWords(tool));
        }

        var claimed = new List<string>();
        if (job.Claims.FilamentMm is { } lengthMm)
        {
            claimed.Add(Invariant($"{lengthMm / 1000:0.00} m"));
        }

        if (job.Claims.FilamentG is { } massG)
        {
            claimed.Add($"{Significant(massG, 3)} g");
        }

        if (claimed.Count > 0)
        {
            page.Labelled("", $"the file itself claims {string.Join(" and ", claimed)}");
        }

        page.Labelled("Flow", FlowWords(estimate.Flow));
        if (EvennessAdvice.GradeInWords(estimate.Flow) is { } evenness)
        {
            page.Labelled("Evenness", $"{evenness}. More: {Explanations.See("evenness grade")}.");
        }
    }

    private static string TimeWords(JobSummary job)
    {
        var parts = new List<string>();
        foreach (var (name, seconds) in new[]
        {
            ("moving", job.Time.MotionS), ("waiting for heat", job.Time.HeatingS), ("pauses", job.Time.DwellS), ("homing", job.Time.HomingS),
            ("tool changes", job.Time.ToolChangeS), ("macros", job.Time.MacroS),
        })
        {
            if (seconds >= 0.5)
            {
                parts.Add($"{name} {DurationBeside(seconds, job.Time.TotalS)}");
            }
        }

        var words = Duration(job.Time.TotalS) + (parts.Count > 0 ? $" ({string.Join(", ", parts)})" : "");
        if (job.Time.WaitingForPersonS > 0)
        {
            words += $", and {DurationBeside(job.Time.WaitingForPersonS, job.Time.TotalS)} assumed waiting for a person, not counted";
        }

        return job.Claims.TimeS is { } claimS ? $"{words}; the file itself claims {DurationBeside(claimS, job.Time.TotalS)}" : words;
    }

    private static string ToolWords(ToolSummary tool)
    {
        var words = Invariant($"{tool.Material}, {tool.DepositedMm / 1000:0.00} m, {Significant(tool.DepositedG, 3)} g");
        if (tool.PurgedMm >= 0.5)
        {
            words += Invariant($" (of it {tool.PurgedMm / 1000:0.00} m purged)");
        }

        return (tool.NozzleMinC, tool.NozzleMaxC) is ({ } min, { } max)
            ? words + (max - min < 1 ? Invariant($", nozzle {max:0} degC") : Invariant($", nozzle {min:0} to {max:0} degC"))
            : words;
    }

    private static string FlowWords(FlowEvenness flow)
    {
        if (flow.MeanMm3PerS is not { } mean)
        {
            return "none: nothing is deposited";
        }

        var words = Invariant($"{Significant(mean, 3)} mm3/s on average");
        if (flow.Cv is { } cv)
        {
            words += Invariant($"; varies by {Percent(cv)} at {flow.IntervalS:0.##} s");
        }

        return flow.IdleShare is { } idle ? $"{words}; {Percent(idle)} of the time idle" : words;
    }

    internal static void WriteSettings(TextPage page, IReadOnlyList<ResolvedSetting> settings)
    {
        if (settings.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("RESTS ON");
        var labelWidth = Math.Clamp(settings.Max(static s => s.Setting.Length) + 3, NarrowestLabel, WidestLabel);
        for (var i = 0; i < settings.Count && i < MaxFindings; i++)
        {
            var place = settings[i].Line is { } line ? Invariant($", line {line}") : "";
            var instead = settings[i].Overrides is { } own ? Invariant($"; overrides what the file states: {own.Stated}{(own.Line is { } at ? Invariant($", line {at}") : "")}") : "";
            page.Labelled(settings[i].Setting, $"{settings[i].Value} ({settings[i].Because}{place}{instead})", labelWidth);
        }

        More(page, settings.Count);
    }

    internal static void WriteFindings(TextPage page, IReadOnlyList<Diagnostic> findings)
    {
        var serious = new List<Diagnostic>();
        foreach (var finding in findings)
        {
            if (finding.Severity != Severity.Note)
            {
                serious.Add(finding);
            }
        }

        if (serious.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("WARNINGS");
        for (var i = 0; i < serious.Count && i < MaxFindings; i++)
        {
            page.Warning(DiagnosticText.Line(serious[i]));
        }

        More(page, serious.Count);
    }

    private static void More(TextPage page, int count)
    {
        if (count > MaxFindings)
        {
            page.Indented(Invariant($"and {count - MaxFindings} more in --format json"));
        }
    }

    /// <summary>Names the sources; the citations would bury the result.</summary>
    internal static void WriteSources(TextPage page, IReadOnlyList<SourceReference> sources)
    {
        if (sources.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("SOURCES");
        page.Indented(string.Join(", ", sources.Select(static source => source.Id)) + ". In full: --format json, or fumecast materials show ID.");
    }

    internal static void WriteCautions(TextPage page, IReadOnlyList<string> cautions)
    {
        if (cautions.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("PLEASE NOTE");
        foreach (var caution in cautions)
        {
            page.Point(caution);
        }
    }
}
