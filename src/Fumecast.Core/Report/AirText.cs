// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Uncertainty;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes a forecast of the air in plain words first, then in tables.</summary>
public static class AirText
{
    private const double Hardly = 1e-3;
    private const double FarBelow = 0.01;
    private const double SeenForSure = 0.9;
    private const double HardlySeen = 0.15;
    private const string Orientation = "orientation";

    /// <summary>Writes it.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="outcome">The forecast.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, AirOutcome outcome, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        ArgumentNullException.ThrowIfNull(style);
        var page = new TextPage(output, style);
        Lead(page, outcome);
        Levels(page, outcome);
        if (style.Sketches)
        {
            Sketches.Write(page, outcome);
        }

        Guidelines(page, outcome);
        Cleared(page, outcome);
        Meters(page, outcome);
        Remedies(page, outcome);
        Needed(page, outcome);
        Sorbents(page, outcome);
        Influences(page, outcome);
        Balance(page, outcome);
        EstimateText.WriteSettings(page, outcome.Settings);
        EstimateText.WriteFindings(page, outcome.Diagnostics);
        EstimateText.WriteSources(page, outcome.Sources);
        EstimateText.WriteCautions(page, outcome.Cautions);
    }

    private static void Lead(TextPage page, AirOutcome outcome)
    {
        var zone = Breathed(outcome);
        var what = new List<string>();
        foreach (var agent in new[] { Agent.ParticleNumber, Agent.Tvoc })
        {
            if (Find(zone, agent) is { Peak.High: > 0 } levels)
            {
                what.Add($"{Named(agent)} by about {WithUnit(levels.Peak, levels.Unit)}");
            }
        }

        var source = outcome.Jobs.Count switch
        {
            0 => "The source",
            1 => outcome.Jobs[0].Job.File == "-" ? "The job on standard input" : outcome.Jobs[0].Job.File,
            var count => Invariant($"These {count} jobs"),
        };
        var breathed = outcome.Zones.Count(static z => !z.IsEnclosure);
        page.Lead(what.Count == 0 && outcome.Jobs.FirstOrDefault(static job => job.IsFedCold) is { } cold ? $"{cold.Job.File} {EstimateText.FedCold}."
            : what.Count == 0 ? $"{source} will add nothing that is known of to the air of {zone.Zone}."
            : $"{source} will raise {string.Join(", and ", what)} in {zone.Zone} at the peak, on top of what is there anyway.");
        if (breathed > 1)
        {
            page.Paragraph($"Of the zones that people are in, {zone.Zone} gets the most; guidelines and remedies below are those of it.");
        }

        if (Find(zone, Agent.ParticleNumber) is { WithoutPrint: { } without and > 0 } number)
        {
            page.Paragraph($"Without the print there are about {Significant(without, 2)} particles per cm3 there; the middle forecast makes it {Significant((without + number.Peak.Median) / without, 2)} times as many at the peak.");
        }

        if (outcome.PrintEndS - outcome.PrintStartS > 0 && outcome.Jobs.Count > 0 && Find(zone, Agent.ParticleNumber) is { } worst && outcome.DurationS > 30 * 3600)
        {
            page.Paragraph($"The worst hour for particles begins {Moment(outcome, worst.WorstHourAtS)}: {WithUnit(worst.Mean1H, worst.Unit)} on average.");
        }
    }

    private static void Levels(TextPage page, AirOutcome outcome)
    {
        foreach (var zone in outcome.Zones)
        {
            page.Gap();
            page.Heading($"ADDED IN {zone.Zone.ToUpperInvariant()} ({Significant(zone.VolumeM3, 2)} m3){(zone.IsEnclosure ? ", which nobody breathes until it is opened" : "")}");
            int[] widths = [31, 23, 12];
            page.HeadingRow(widths, "  what", "peak", "when", "mean over the print");
            foreach (var levels in zone.Agents)
            {
                page.Row(widths, $"  {levels.Agent.Name}", levels.Peak.ToString(), Duration(levels.PeakAtS), levels.MeanPrint.ToString());
            }
        }

        page.Indented(Invariant($"Ranges hold the value with {100 * outcome.Interval:0.##} %, as far as what is drawn goes. Number in 1/cm3, all else in ug/m3."));
    }

    private static void Guidelines(TextPage page, AirOutcome outcome)
    {
        var zone = Breathed(outcome);
        page.Gap();
        page.Heading($"AGAINST GUIDELINES, IN {zone.Zone.ToUpperInvariant()}");
        page.Indented("This is what is added over the level of each; what is there without the print comes on top.");
        foreach (var population in zone.Guidelines.GroupBy(static g => g.Population).OrderBy(static g => g.Key))
        {
            page.Indented(population.Key == "general" ? "For everybody:" : "For healthy adults at work:");
            var far = new List<string>();
            foreach (var g in population.Where(static g => g.Status != "superseded").OrderByDescending(static g => g.Ratio.High))
            {
                var of = $"the {Plain(g.Value)} {Unit(g.Unit)} of {g.Body}{(g.Year is { } year ? Invariant($" {year}") : "")}, mean over {g.Averaging} ({Standing(g)}){(Find(zone, g.Agent)?.WithoutPrint is { } there ? $"; without the print it is {Significant(there / g.Value, 2)} times" : "")}";
                if (g.Ratio.High < FarBelow)
                {
                    far.Add($"{g.Agent.Name}, {of}");
                }
                else
                {
                    page.Point($"{g.Agent.Name}: {Times(g.Ratio)} {of}");
                }
            }

            if (far.Count > 0)
            {
                page.Point($"under a hundredth, also at the upper end: {string.Join("; ", far)}");
            }
        }

        var none = zone.Agents.Select(static a => a.Agent).Where(agent => agent != Agent.VisibleMass && !zone.Guidelines.Any(g => g.Agent == agent)).Select(static a => a.Name).ToList();
        if (none.Count > 0)
        {
            page.Indented($"No guideline over a day or less is known to us for {string.Join(", ", none)}; that does not make them safe.");
        }
    }

    private static void Cleared(TextPage page, AirOutcome outcome)
    {
        if (outcome.ClearAfter.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("WHEN IT HAS CLEARED");
        foreach (var c in outcome.ClearAfter)
        {
            var level = $"{(c.Of == "outdoors" ? Significant(c.Level, 2) : Plain(c.Level))} {Unit(c.Unit)}";
            page.Point(c.Of == "outdoors"
                ? $"{c.Zone}: what the print adds of {c.Agent.Name} is below what the air outdoors holds ({level}) {After(c.AfterPrintS, outcome)}"
                : c.WithoutPrint >= c.Level
                    ? $"{c.Zone}: {c.Agent.Name} is below {level} never: without the print there are about {Significant(c.WithoutPrint.Value, 2)}"
                    : $"{c.Zone}: {(c.Of == "added" ? "what the print adds of " : "")}{c.Agent.Name} is below {level} {After(c.AfterPrintS, outcome)}");
        }

        page.Indented("Forecasts, not measurements: before a box is opened or a sensitive person enters, wait for the longer time or measure.");
        if (outcome.ClearAfter.Any(static c => c.Of == "added"))
        {
            page.Indented("Where only what the print adds is told, nothing is stated of what is in the air without it.");
        }
    }

    private static void Meters(TextPage page, AirOutcome outcome)
    {
        if (!outcome.Zones.Any(static z => z.Meters.Count > 0))
        {
            return;
        }

        page.Gap();
        page.Heading("WHAT A METER WOULD SHOW OF IT");
        foreach (var zone in outcome.Zones)
        {
            // Its sizes differ in nothing that a print gives off.
            var shows25 = zone.Meters.Where(static m => m.Quantity == "pm25").Select(static m => m.Meter).ToHashSet();
            foreach (var m in zone.Meters.Where(m => m.Quantity is not ("pm1" or "pm10") || !shows25.Contains(m.Meter)))
            {
                var verdict = m.ProbabilitySeen switch
                {
                    >= SeenForSure => $"it sees the print with a probability of {Percent(m.ProbabilitySeen)}",
                    <= HardlySeen => "it will hardly tell it from nothing, and that is no proof of clean air",
                    _ => $"it sees the print with a probability of {Percent(m.ProbabilitySeen)}; seeing nothing is no proof of clean air",
                };
                page.Point($"{m.Meter} in {zone.Zone}, {m.Quantity}: + {WithUnit(m.MeanPrint, m.Unit)} over the print, + {m.Peak} at the peak; {verdict}");
            }
        }
    }

    private static void Remedies(TextPage page, AirOutcome outcome)
    {
        if (outcome.Remedies.Count == 0)
        {
            return;
        }

        var zone = Breathed(outcome).Zone;
        page.Gap();
        page.Heading($"REMEDIES SIDE BY SIDE, IN {zone.ToUpperInvariant()}: time integral against the room as it is");
        int[] widths = [42, 26];
        page.HeadingRow(widths, "  times as much with", "particles, number", "vapours");
        foreach (var remedy in outcome.Remedies.Where(r => r.Zone == zone).GroupBy(static r => r.Remedy))
        {
            page.Row(widths, $"  {remedy.Key}", Ratio(Agent.ParticleNumber), Ratio(Agent.Tvoc));

            string Ratio(Agent agent) => remedy.FirstOrDefault(r => r.Agent == agent) is { } ratio ? ratio.IntegralRatio.ToString() : "-";
        }

        page.Indented($"What the time integral is: {Explanations.See("time integral")}. Less than 1 is less to breathe; where the range reaches 1, the remedy may do nothing. Both sides share their draws, so what they have in common cancels.");
    }

    private static void Needed(TextPage page, AirOutcome outcome)
    {
        if (outcome.Needed.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("CLEAN AIR THAT KEEPS IT BELOW");
        var words = outcome.Zones.SelectMany(static z => z.Guidelines).Where(static g => g.Status == Orientation).DistinctBy(static g => g.Guideline).ToDictionary(static g => g.Guideline, Standing);
        foreach (var need in outcome.Needed)
        {
            var average = need.Averaging == "peak" ? "at the peak" : $"mean over {need.Averaging}";
            var bound = $"{Plain(need.Level)} {Unit(need.Unit)} ({average}{(words.GetValueOrDefault(need.Of) is { } standing ? $"; {standing}" : "")})";
            var (low, middle, high) = (need.CleanAirM3PerH.Low, need.CleanAirM3PerH.Median, need.CleanAirM3PerH.High);
            page.Point(middle > 0
                ? $"{need.Zone}: {Number(middle)} ({Number(low)} to {Number(high)}) m3/h of clean air keep what is added of {need.Agent.Name} below {bound}"
                : $"{need.Zone}: what is added of {need.Agent.Name} stays below {bound} without any by the middle forecast; at its upper end it takes {Number(high)} m3/h");
        }
    }

    private static void Sorbents(TextPage page, AirOutcome outcome)
    {
        foreach (var sorbent in outcome.Sorbents)
        {
            page.Gap();
            page.Indented($"{sorbent.Filter}: by its stated capacity ({Significant(sorbent.HoldsG, 2)} g) it lasts {sorbent.PrintHours} hours of such printing at the very most; humidity and other vapours take their share.");
        }
    }

    private static void Influences(TextPage page, AirOutcome outcome)
    {
        page.Gap();
        page.Heading("WHAT MAKES IT UNCERTAIN");
        foreach (var levels in Breathed(outcome).Agents.Where(static a => a.Agent == Agent.ParticleNumber || a.Agent == Agent.VisibleMass || a.Agent == Agent.Tvoc))
        {
            if (levels.Influences.Count > 0)
            {
                page.Point($"{levels.Agent.Name}: {(levels.Influences[0].Share >= 0.5 ? "mostly " : "")}{string.Join("; then ", levels.Influences.Select(static i => $"{i.Name} ({Percent(i.Share)})"))}");
            }
        }
    }

    private static void Balance(TextPage page, AirOutcome outcome)
    {
        page.Gap();
        page.Heading("WHERE IT GOES");
        foreach (var b in outcome.Balance.Where(static b => b.Emitted > 0 && (b.Agent == Agent.ParticleNumber || b.Agent == Agent.ParticleMass || b.Agent == Agent.Tvoc)))
        {
            var parts = new List<string>();
            foreach (var (amount, where) in new[] { (b.Vented, "outdoors"), (b.Deposited, "on surfaces"), (b.Filtered, "in filters"), (b.Coagulated, "part of other particles"), (b.Airborne, "still in the air") })
            {
                if (amount > Hardly * b.Emitted)
                {
                    parts.Add($"{Percent(amount / b.Emitted)} {where}");
                }
            }

            page.Point($"{b.Agent.Name}: {string.Join(", ", parts)}");
        }
    }

    /// <summary>The zone that people are in and breathe the most of it: no box.</summary>
    internal static ZoneAir Breathed(AirOutcome outcome) => outcome.Zones.Where(static z => !z.IsEnclosure).MaxBy(Integral) ?? outcome.Zones[0];

    private static double Integral(ZoneAir zone) => (Find(zone, Agent.ParticleNumber) ?? Find(zone, Agent.Tvoc) ?? (zone.Agents.Count > 0 ? zone.Agents[0] : null))?.TimeIntegralH.Median ?? 0;

    // Several orientations stand for one agent: their words tell which is which.
    private static string Standing(GuidelineRatio g) => g.Status == Orientation ? $"{g.Status}: {g.Description}" : g.Status;

    private static AgentLevels? Find(ZoneAir zone, Agent agent) => zone.Agents.FirstOrDefault(a => a.Agent == agent);

    private static string Named(Agent agent) => agent == Agent.ParticleNumber ? "the number of particles" : agent.Name;

    private static string Unit(string unit) => unit == "per_cm3" ? "1/cm3" : "ug/m3";

    private static string WithUnit(Uncertain value, string unit) => value.ToString(Unit(unit), null);

    private static string Times(Uncertain ratio) => $"{ratio} times";

    private static string Plain(double value) => value.ToString("0.######", System.Globalization.CultureInfo.InvariantCulture);

    private static string Number(double value) => double.IsFinite(value) ? Significant(value, 2) : "over 1000000";

    private static string After(Uncertain after, AirOutcome outcome)
    {
        var most = outcome.DurationS - outcome.PrintEndS;
        if (double.IsPositiveInfinity(after.Low))
        {
            return $"not within {Duration(most)} after the end";
        }

        return after.High <= 0 ? "as soon as it has ended, at the upper end of the forecast too"
            : after.Median <= 0 ? $"as soon as it has ended by the middle forecast, at its upper end {Later(after.High)}"
            : $"{Later(after.Median)} ({For(after.Low)} to {For(after.High)})";

        string Later(double seconds) => double.IsFinite(seconds) ? $"{For(seconds)} after the end" : $"not within {Duration(most)} after the end";

        string For(double seconds) => seconds <= 0 ? "at once" : double.IsFinite(seconds) ? Duration(seconds) : $"over {Duration(most)}";
    }

    private static string Moment(AirOutcome outcome, double timeS)
    {
        var ofDay = (outcome.TimeOfDayS + timeS) % 86_400;
        return outcome.TimeOfDayS > 0 ? Invariant($"at {(int)ofDay / 3600}:{(int)ofDay / 60 % 60:00}") : $"{Duration(timeS)} after the beginning";
    }
}
