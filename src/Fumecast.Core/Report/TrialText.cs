// SPDX-License-Identifier: MIT
using Fumecast.Trial;
using Fumecast.Uncertainty;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes what a trial showed: the verdicts first, then run by run what they rest on.</summary>
public static class TrialText
{
    private const int LabelWidth = 17;

    /// <summary>Writes it.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="outcome">What the trial showed.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, TrialOutcome outcome, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        ArgumentNullException.ThrowIfNull(style);
        var page = new TextPage(output, style);
        Lead(page, outcome);
        foreach (var run in outcome.Runs)
        {
            Run(page, outcome, run, style);
        }

        Pairs(page, outcome);
        page.Gap();
        page.Heading("RESTS ON");
        foreach (var setting in outcome.Settings)
        {
            page.Point($"{setting.Setting}: {setting.Value} ({setting.Because})");
        }

        EstimateText.WriteFindings(page, outcome.Diagnostics);
        page.Gap();
        page.Heading("CAUTION");
        foreach (var caution in outcome.Cautions)
        {
            page.Point(caution);
        }
    }

    private static void Lead(TextPage page, TrialOutcome outcome)
    {
        if (outcome.Pairs.Count > 0)
        {
            foreach (var pair in outcome.Pairs)
            {
                page.Lead(TrialWords.Verdict(pair, outcome.Interval));
            }

            page.Paragraph(TrialWords.HowSure(outcome.Pairs[^1]));
            return;
        }

        var seen = outcome.Runs.SelectMany(static run => run.Quantities.Where(static quantity => quantity.IsSeen).Select(quantity => $"{TrialWords.Quantity(quantity.Quantity)} in '{run.Name}'")).ToList();
        page.Lead(outcome.Runs.All(static run => run.IsControl) ? "Only runs without a job: they show how the meter wanders by itself."
            : seen.Count == 0 ? "The logs show nothing of what was done."
            : $"The logs show {string.Join(", ", seen.Take(6))}; there is no pair to hold against each other.");
    }

    private static void Run(TextPage page, TrialOutcome outcome, RunOutcome run, TextStyle style)
    {
        page.Gap();
        var kind = run.IsDecay ? "decay" : run.IsControl ? "no job" : Invariant($"{run.MassG:0.#} g in {Duration(run.PrintH!.Value * 3600)}");
        page.Heading($"{run.Name.ToUpperInvariant()}: {kind}{(run.Filter is { } filter ? $", with {filter}" : "")}");
        page.Labelled("log", $"{run.Log.File}, {run.Log.Time.Show(run.Log.FromS)} to {run.Log.Time.Show(run.Log.ToS)}, one row every {LogWordsOf.Step(run.Log.IntervalS ?? 0)}", LabelWidth);
        if (run.Start is { } start)
        {
            page.Labelled("job started", $"{run.Log.Time.Show(Math.Round(start.AtS))}, {(start.IsFound ? Invariant($"found from the log, give or take {start.UncertaintyS / 60:0} min") : "as stated")}", LabelWidth);
        }

        foreach (var quantity in run.Quantities)
        {
            Quantity(page, outcome, run, quantity, style);
        }
    }

    private static void Quantity(TextPage page, TrialOutcome outcome, RunOutcome run, QuantityOutcome quantity, TextStyle style)
    {
        var unit = LogWordsOf.Unit(quantity.Unit);
        page.Gap();
        page.Indented($"{TrialWords.Quantity(quantity.Quantity)}, {unit}: {Invariant($"{quantity.Readings} readings, {quantity.LeftOut} left out")}");
        if (style.Sketches && quantity.Curve is { } curve)
        {
            Sketch(page, run, quantity, curve);
        }

        Line("background", quantity.Background is { } background ? (run.IsDecay ? $"{TrialWords.Number(background.Median)} {unit}" : TrialWords.Value(background, unit)) : null);
        Line("wander", quantity.Wander is { } wander ? $"{TrialWords.Number(wander)} {unit} between means over half an hour{(quantity.Events.Count > 0 ? ", what happened meanwhile included" : "")}: differences under {TrialWords.Number(2 * wander)} {unit} are nothing" : null);
        Line("print adds", quantity.MeanPrint is { } mean ? $"{TrialWords.Value(mean, unit)} as a mean while it prints" : null);
        Line("settles at", quantity.Plateau is { } plateau ? TrialWords.Value(plateau, unit) : null);
        Line("loss rate", quantity.LossPerH is { } loss ? $"{TrialWords.Value(loss, "1/h")}{(run.IsDecay && quantity.Window is { } window ? $", from {run.Log.Time.Show(window.FromS)} to {run.Log.Time.Show(window.ToS)}" : "")}" : null);
        Line("", quantity.LossMovesPerH is { } moves ? $"a stretch shorter by a sixth at either end gives {TrialWords.Number(moves.Low)} to {TrialWords.Number(moves.High)} 1/h" : null);
        Line("given off", quantity.Emission is { } emission ? $"{Emitted(emission.Total, emission.Unit)}; for each gram {Emitted(emission.PerG, emission.Unit)}" : null);
        Line("", quantity.Emission?.OfForecast is { } of ? $"{Significant(of.Median, 2)} times the forecast of the table ({Significant(of.Low, 2)} to {Significant(of.High, 2)})" : null);
        Line("time integral", quantity.NetIntegralHPerG is { } integral ? $"{TrialWords.Value(integral, $"{unit} h")} for each gram" : null);
        foreach (var happened in quantity.Events)
        {
            var to = happened.ToS is { } end ? $" to {Clock(run, end)}" : " on";
            Line("unexplained", $"{Clock(run, happened.FromS)}{to}, {(happened.Size >= 0 ? "+" : "-")}{TrialWords.Number(Math.Abs(happened.Size))} {unit} (give or take {TrialWords.Number(happened.Error)}), {(run.IsControl ? "without a print" : During(happened.During))}: {happened.Noted ?? "the flow of the print does not explain it; people, cleaning, doors, another source?"}");
        }

        Line("simple figures", quantity.Checks is { } checks && !run.IsDecay ? Checks(checks, unit, run) : null);
        Line("agreement", quantity.Agreement is { } agreement && TrialModelJson.IsFinite(agreement) ? Invariant($"r {agreement.R:0.00}, slope {agreement.Slope:0.00}, {(agreement.IsAdequate ? "adequate" : "not adequate")} by ASTM D5157 (thresholds recalled, not read), {agreement.IndependentReadings:0} independent readings") : null);
        Line("cannot be told", quantity.WhyNot);
        if (quantity.WithAll is { NetIntegralHPerG: { } whole } && quantity.NetIntegralHPerG is not null)
        {
            Line("nothing left out", $"time integral {TrialWords.Value(whole, $"{unit} h")} for each gram, as a check on what was left out");
        }

        void Line(string label, string? text)
        {
            if (text is not null)
            {
                page.Labelled(label, text, LabelWidth);
            }
        }
    }

    private static string Checks(CrossChecks checks, string unit, RunOutcome run)
    {
        List<string> said = [];
        if (checks.BackgroundMean is { } background)
        {
            said.Add($"mean before {TrialWords.Number(background)} {unit}");
        }

        if (checks.PlateauMean is { } plateau)
        {
            said.Add($"last third of the print {TrialWords.Number(plateau)} {unit} above it");
        }

        if (checks.DecayLossPerH is { } decay)
        {
            said.Add($"line through the fall {TrialWords.Number(decay)} 1/h");
        }

        if (checks.BalanceTotal is { } total)
        {
            said.Add($"mass balance {TrialWords.Number(total)} {unit} times m3");
        }

        if (checks.ShiftAtS is { } shift)
        {
            said.Add($"cumulative sums show a lasting shift by {Clock(run, shift)}");
        }

        return said.Count == 0 ? "none" : string.Join("; ", said);
    }

    private static void Pairs(TextPage page, TrialOutcome outcome)
    {
        if (outcome.Pairs.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("SIDE BY SIDE");
        foreach (var pair in outcome.Pairs)
        {
            page.Gap();
            page.Indented($"{TrialWords.Quantity(pair.Quantity)}: '{pair.Run}' against '{pair.Base}'");
            Line("time integral", pair.Ratio is { } ratio ? $"{Value(ratio)} of the base, for each gram{(pair.Runs > 2 ? "" : " (meter noise alone)")}" : null);
            Line("with the days", pair.RatioWithDays is { } days && pair.Runs == 2 ? Value(days) : null);
            Line("plateau", pair.PlateauRatio is { } plateau ? $"{Value(plateau)} of the base, for each gram" : null);
            Line("clean air", pair.CleanAirM3PerH is { } clean ? pair.CleanAirMayBeNone ? $"no effect shown; at most {TrialWords.Number(clean.High)} m3/h" : TrialWords.Value(clean, "m3/h") : null);
            Line("by loss alone", pair.CleanAirByLossM3PerH is { } byLoss ? TrialWords.Value(byLoss, "m3/h") : null);
            Line("agree", pair.Agree switch
            {
                true => "yes: emission for each gram is the same within what is allowed for, so ratio and clean air tell one story",
                false => "no: different amounts for each gram reached the room, or mixing or leaks changed",
                null => null,
            });
            Line("cannot be told", pair.WhyNot);
        }

        void Line(string label, string? text)
        {
            if (text is not null)
            {
                page.Labelled(label, text, LabelWidth);
            }
        }
    }

    private static void Sketch(TextPage page, RunOutcome run, QuantityOutcome quantity, LogCurve curve)
    {
        var (from, to) = (curve.TimesS[0], curve.TimesS[^1]);
        if (!(to > from))
        {
            return;
        }

        var sketch = new BlockCurve(page, to - from, 20);
        Draw("log", curve.Readings);
        if (curve.Model.Length > 0)
        {
            Draw("model", curve.Model);
        }

        sketch.WriteAxis();
        page.Indented($"from {Clock(run, from)}; a full block is {TrialWords.Number(curve.Readings.Max())} {LogWordsOf.Unit(quantity.Unit)}");

        void Draw(string name, double[] values)
        {
            List<Stretch> stretches = [];
            for (var i = 0; i + 1 < values.Length; i++)
            {
                if (!double.IsNaN(values[i]))
                {
                    stretches.Add(new Stretch(curve.TimesS[i] - from, curve.TimesS[i + 1] - from, Math.Max(0, values[i])));
                }
            }

            sketch.Write(["  " + name], stretches);
        }
    }

    private static string Clock(RunOutcome run, double seconds) => run.Log.Time.StartLocal is null ? Duration(seconds) : run.Log.Time.Show(Math.Round(seconds / 60) * 60).Replace('T', ' ');

    private static string During(string phase) => phase switch { "print" => "while it prints", "after" => "after the print", _ => "before the print" };

    private static string Value(Uncertain value) => $"{Significant(value.Median, 2)} ({Significant(value.Low, 2)} to {Significant(value.High, 2)})";

    private static string Emitted(Uncertain value, string unit) => unit is "1" or "ug"
        ? Middle(value, unit) + (Range(value, unit) is { } range ? $" ({range})" : "")
        : TrialWords.Value(value, "ppb m3");
}
