// SPDX-License-Identifier: MIT
using Fumecast.Trial;
using Fumecast.Uncertainty;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes what came of a calibration: how much surer the next forecast is, and for what it holds.</summary>
public static class CalibrationText
{
    private const int LabelWidth = 17;

    /// <summary>Writes it.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="outcome">What came of it.</param>
    /// <param name="file">The file that the material was written to.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, CalibrationOutcome outcome, string file, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        ArgumentNullException.ThrowIfNull(style);
        var page = new TextPage(output, style);
        var (what, unit) = (What(outcome.Factor), outcome.Unit);
        page.Lead($"{outcome.Id}: {what} for each gram of such a job, {PerG(outcome.After, unit)}. The forecast was sure within a factor of {Factor(outcome.Before)} before, it is within {Factor(outcome.After)} now ({Invariant($"{100 * outcome.Interval:0.#}")} %).");
        page.Paragraph(string.Join(' ', outcome.HoldsFor));
        page.Gap();
        page.Heading("MEASURED");
        foreach (var run in outcome.Runs)
        {
            page.Labelled(run.Run, $"{TrialWords.Quantity(outcome.Quantity)}, {PerG(run.PerG, unit)} for each gram ({Invariant($"{run.MassG:0.#} g, nozzle {run.NozzleC:0.#}")} degC, started {run.Start})", LabelWidth);
        }

        page.Labelled("together", $"{PerG(outcome.Measured, unit)}, what differs from run to run included", LabelWidth);
        if (outcome.Disagreement > 1)
        {
            page.Labelled("", $"the runs differ by {Significant(outcome.Disagreement, 2)} times what their intervals let expect, so the spread was widened by that", LabelWidth);
        }

        page.Gap();
        page.Heading("COMBINED");
        page.Labelled("before", $"{PerG(outcome.Before, unit)} by {outcome.Base} ({outcome.BaseFile}){(outcome.Factor == "visible_mass" && outcome.BaseHasNoFigure ? ", which the sizes of the particles make of it" : "")}", LabelWidth);
        page.Labelled("weight of that", Invariant($"{100 * outcome.WeightOfBase:0.##}") + " %; the rest is the measurement's (precisions on the scale of logarithms)", LabelWidth);
        page.Labelled("now", PerG(outcome.After, unit), LabelWidth);
        page.Labelled("written", $"{outcome.Factor} {TrialWords.Number(outcome.YieldPerG)} {(unit == "1" ? "1/g" : "ug/g")} at {Invariant($"{outcome.AtC:0.#}")} degC, GSD {Significant(outcome.Gsd, 3)}, in {file}", LabelWidth);
        page.Paragraph("The hot nozzle's own share, the residue at the start and the way with temperature are as in the base: a job of another flow or temperature is less sure than this one, and its forecast says how much.");
        page.Paragraph(outcome.Factor == "visible_mass"
            ? $"It counts in 'room' and 'trial', for what optical meters see; particle number and mass stay those of the table, so what is seen may come out above the mass of all particles. To use it: fumecast room JOB --material {file} ..."
            : $"To use it: fumecast estimate JOB --material {file}");
        EstimateText.WriteFindings(page, outcome.Diagnostics);
        page.Gap();
        page.Heading("CAUTION");
        foreach (var caution in outcome.Cautions)
        {
            page.Point(caution);
        }
    }

    private static string What(string factor) => factor switch
    {
        "visible_mass" => "mass that an optical meter sees",
        "tvoc" => "TVOC",
        _ => "particle number",
    };

    private static string PerG(Uncertain value, string unit) => Middle(value, unit) + (Range(value, unit) is { } range ? $" ({range})" : "");

    /// <summary>How far the ends of an interval lie from its middle, as a factor.</summary>
    private static string Factor(Uncertain value) => Math.Max(value.High / value.Median, value.Median / value.Low) is var factor && factor < 10 ? Significant(factor, 2) : Power(factor, 1);
}
