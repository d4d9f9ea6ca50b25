// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Forecast;
using Fumecast.Uncertainty;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes a comparison as a table: each variant against the first, and what moved the number.</summary>
public static class CompareText
{
    private const int OtherColumns = 68;
    private const int MostRefusedNamed = 5;
    private const double WorthAWord = 0.005;

    /// <summary>Writes the table.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="outcome">The variants, at least one, and what was refused.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, ComparisonOutcome outcome, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        ArgumentNullException.ThrowIfNull(style);
        var variants = outcome.Variants;
        var page = new TextPage(output, style);
        var names = Names(variants);
        var interval = variants[0].Estimate.Interval;
        if (variants.All(variant => variant.Job == variants[0].Job))
        {
            page.Lead($"{variants[0].Job}:");
        }

        page.Lead(Headline(variants, names, "", static ratio => ratio?.PerJob));
        if (variants.Any(static variant => variant.MassDiffers))
        {
            page.Lead(Headline(variants, names, "Per gram of filament, ", static ratio => ratio?.PerGram));
        }

        page.Gap();
        var nameWidth = JobNames.WidthOf(names, 12, OtherColumns, style);
        var fitted = JobNames.FitAll(names, nameWidth);
        int[] columns = [4, nameWidth, 12, 9, 10, 24];
        page.HeadingRow(columns, "", "VARIANT", "time", "filament", "particles", Invariant($"ratio ({100 * interval:0.##} % interval)"), "less?");
        for (var i = 0; i < variants.Count; i++)
        {
            if (JobNames.IsCut(names[i], nameWidth))
            {
                page.Indented(names[i]);
            }

            WriteVariant(page, columns, i, fitted[i], variants[i], variants[0]);
        }

        page.Gap();
        page.Labelled("ratio", "to the first variant, for the whole job. " + (variants.All(static variant => variant.SharesMaterials)
            ? "What is not known of a material is the same for both, so it cancels: ratios are surer than totals."
            : "What is not known of a material cancels only between variants of that material; a ratio between materials is as unsure as both totals."));
        page.Labelled("less?", "how probable it is that this variant gives off less than the first");
        page.Labelled("because", $"what the ratio of the particles is made of, as factors; more: {Explanations.See("ratio")}");
        if (variants.Any(static variant => variant.MassDiffers))
        {
            page.Labelled("per gram", Invariant($"for each gram of filament; likewise where the mass differs from that of the first by {100 * Comparison.AlikeMassShare:0.##}{TextPage.HardBlank}% or less"));
        }

        WriteNozzle(page, variants);
        if (variants.Any(static variant => variant.RestsOnNozzleShare))
        {
            page.Labelled("likely", "no figure, where most of the ratio is what the hot nozzle gives off by itself: that share is assumed, and the sources leave it open. More: " + Explanations.See("likely"));
        }

        if (outcome.Refused.Count > 0)
        {
            page.Gap();
            page.Paragraph(Closing(outcome));
        }

        foreach (var caution in variants[0].Estimate.Cautions.Take(2))
        {
            page.Point(caution);
        }
    }

    /// <summary>Short names of the variants; the job is left out when there is only one.</summary>
    /// <param name="variants">The variants.</param>
    public static string[] Names(IReadOnlyList<ComparedVariant> variants)
    {
        ArgumentNullException.ThrowIfNull(variants);
        var jobs = JobNames.Shortened([.. variants.Select(static variant => variant.Job)]);
        var isOneJob = jobs.Distinct().Count() == 1;
        return [.. variants.Select((variant, i) =>
            variant.WhatIf == Comparison.AsItIs ? isOneJob && variants.Any(static v => v.WhatIf != Comparison.AsItIs) ? variant.WhatIf : jobs[i]
            : isOneJob ? variant.WhatIf
            : $"{jobs[i]}, {variant.WhatIf}")];
    }

    private static string Headline(IReadOnlyList<ComparedVariant> variants, string[] names, string start, Func<AgentRatio?, EmissionRatio?> of)
    {
        var least = 0;
        for (var i = 1; i < variants.Count; i++)
        {
            least = of(Number(variants[i]))?.Ratio.Median < (of(Number(variants[least]))?.Ratio.Median ?? 1) - WorthAWord ? i : least;
        }

        if (least == 0 || of(Number(variants[least])) is not { } ratio)
        {
            return $"{(start.Length == 0 ? "None" : start + "none")} of these is expected to give off fewer particles than the first, {names[0]}.";
        }

        return $"{(start.Length == 0 ? "The" : start + "the")} fewest particles are expected of {names[least]}: {Ratio(ratio.Ratio)} times those of {(names[0] == Comparison.AsItIs ? "the job as it is" : names[0])}, "
            + (variants[least].RestsOnNozzleShare
                ? "if the hot nozzle by itself gives off as much as assumed (grade C); the sources leave that open."
                : $"and fewer with a probability of {Probability(ratio, false)}.");
    }

    /// <summary>At which temperature materials are tried that were given without one.</summary>
    private static void WriteNozzle(TextPage page, IReadOnlyList<ComparedVariant> variants)
    {
        var notes = variants.Select(static variant => variant.NozzleNote).OfType<string>().Distinct().ToList();
        if (notes.Count > 0)
        {
            var others = variants.Any(static variant => variant is { IsMaterialTried: true, NozzleFrom: NozzleOrigin.Job }) ? "; the others as the job sets it" : "";
            page.Labelled("nozzle", $"{string.Join("; ", notes)}{others}. Another temperature is given as in --material pla@205.");
        }
    }

    /// <summary>How many were compared, and which could not be used.</summary>
    private static string Closing(ComparisonOutcome outcome)
    {
        var jobs = outcome.Variants.Select(static variant => variant.Job).Concat(outcome.Refused.Select(static variant => variant.Job)).Distinct().ToList();
        var compared = outcome.Variants.Select(static variant => variant.Job).Distinct().Count();
        var refused = outcome.Refused.Select(variant => outcome.Variants.Any(done => done.Job == variant.Job) ? $"{variant.Job}, {variant.WhatIf}" : variant.Job)
            .Distinct().ToList();
        return Invariant($"{compared} of {jobs.Count} compared; {refused.Count} refused: {string.Join(", ", refused.Take(MostRefusedNamed))}")
            + (refused.Count > MostRefusedNamed ? Invariant($" and {refused.Count - MostRefusedNamed} more") : "") + "."
            + (outcome.IsBasisRefused ? " The first is not among them, so all ratios are to the first that could be used." : "");
    }

    /// <summary>How sure the bars of ratios are, for below a picture.</summary>
    /// <param name="variants">The variants, the base first.</param>
    /// <returns>One sentence with its full stop.</returns>
    public static string OnBars(IReadOnlyList<ComparedVariant> variants) =>
        variants.Any(static variant => variant.RestsOnNozzleShare) ? "Some ratios rest on what a hot nozzle is assumed to give off by itself, which no source settles: a bar beside 1 is then no proof."
        : variants.All(static variant => variant.SharesMaterials) ? "Bars of one material move together, so ratios are surer than they look."
        : "Bars of different materials do not move together: their ratios are as unsure as both.";

    private static void WriteVariant(TextPage page, int[] columns, int at, string name, ComparedVariant variant, ComparedVariant basis)
    {
        var number = variant.Estimate.Emission.FirstOrDefault(static emission => emission.Agent == Agent.ParticleNumber);
        var ratio = Number(variant);
        page.Row(
            columns, Invariant($"{at + 1}"), name, Duration(variant.Estimate.Job.Time.TotalS),
            $"{Significant(variant.Estimate.Job.Tools.Sum(static tool => tool.DepositedG), 3)} g",
            number is null ? "-" : MiddlePower(number.Total) ?? Middle(number.Total, number.Unit),
            ReferenceEquals(variant, basis) ? "the base" : Ratio(ratio?.PerJob?.Ratio),
            ReferenceEquals(variant, basis) ? "" : Probability(ratio?.PerJob, variant.RestsOnNozzleShare));
        if (ReferenceEquals(variant, basis))
        {
            return;
        }

        var tvoc = variant.Ratios.FirstOrDefault(static r => r.Agent == Agent.Tvoc);
        var assumed = variant.RestsOnNozzleShare;
        const int LabelWidth = 12;
        page.Labelled("  per gram", !variant.MassDiffers ? "likewise" : Against(ratio?.PerGram, assumed), LabelWidth);
        page.Labelled("  TVOC", $"{Against(tvoc?.PerJob, assumed)}; per gram {(!variant.MassDiffers ? "likewise" : Against(tvoc?.PerGram, assumed))}", LabelWidth);
        page.Labelled("  because", Effects(variant.Effects), LabelWidth);
    }

    private static AgentRatio? Number(ComparedVariant variant) => variant.Ratios.FirstOrDefault(static ratio => ratio.Agent == Agent.ParticleNumber);

    private static string Against(EmissionRatio? ratio, bool assumed) =>
        ratio is null ? "unknown" : IsSame(ratio.Ratio) ? "the same" : $"{Ratio(ratio.Ratio)}, less: {Probability(ratio, assumed).Replace(' ', TextPage.HardBlank)}";

    private static string Ratio(Uncertain? ratio)
    {
        if (ratio is not { } known)
        {
            return "unknown";
        }

        if (IsSame(known))
        {
            return "the same";
        }

        // Two digits would not tell a narrow interval near 1 from its middle.
        var spread = known.High / known.Low;
        var digits = spread < 2 ? 3 : 2;
        var (low, median, high) = (Significant(known.Low, digits), Significant(known.Median, spread < 10 ? 3 : 2), Significant(known.High, digits));
        return spread < 1.02 ? median : $"{median} ({low} to {high})";
    }

    private static bool IsSame(Uncertain ratio) => Math.Abs(ratio.Low - 1) < 1e-9 && Math.Abs(ratio.High - 1) < 1e-9;

    /// <summary>From some thousands of draws: neither never nor always can be told.</summary>
    /// <remarks>Where the ratio rests on an assumed share, a percentage would tell of the assumption, not of the printer.</remarks>
    private static string Probability(EmissionRatio? ratio, bool assumed) =>
        ratio is null || IsSame(ratio.Ratio) ? "-"
        : assumed ? ratio.ProbabilityLower >= 0.5 ? "likely" : "unlikely"
        : ratio.ProbabilityLower >= 0.995 ? "over 99 %"
        : ratio.ProbabilityLower < 0.005 ? "under 1 %"
        : Percent(ratio.ProbabilityLower);

    private static string Effects(IReadOnlyList<Effect> effects)
    {
        var moved = effects.Where(static effect => Math.Abs(effect.Factor - 1) >= WorthAWord)
            .Select(static effect => $"{effect.Cause} x {Significant(effect.Factor, 3)}".Replace(' ', TextPage.HardBlank));
        return effects.Count == 0 ? "nothing is printed in one of the two" : string.Join(", ", moved) is { Length: > 0 } words ? words : "nothing that moves it by more than 0.5 %";
    }
}
