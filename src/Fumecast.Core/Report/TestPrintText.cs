// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.Forecast.TestPrint;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Says what a test print is, what its check found, and how to run the trial.</summary>
internal static class TestPrintText
{
    /// <summary>Writes the text.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="estimate">What the check of the written file found; its job is named as the user knows it.</param>
    /// <param name="because">Temperatures that were chosen for the user, and why.</param>
    /// <param name="style">Layout.</param>
    public static void Write(TextWriter output, TestPrintPlan plan, JobEstimate estimate, IEnumerable<string> because, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(estimate);
        ArgumentNullException.ThrowIfNull(because);
        var request = plan.Request;
        var flow = estimate.Flow;
        var page = new TextPage(output, style);
        page.Lead($"{estimate.Job.File}: {request.MaterialId} at {Invariant($"{request.FlowMm3PerS:0.####}")} mm3/s "
            + $"for {Duration(plan.PrintS)}, {Duration(estimate.Job.Time.TotalS)} with all phases.");
        page.Gap();
        page.Heading("THE PRINT");
        page.Labelled("Body", plan.Shape == TestPrintShape.SingleWall
            ? Invariant($"single wall, {2 * plan.OuterRadiusMm:0.#} mm across, {plan.HeightMm:0.#} mm high, {plan.Layers} turns")
            : Invariant($"ring, {2 * plan.OuterRadiusMm + request.WidthMm:0.#} mm across, its wall {plan.OuterRadiusMm - plan.InnerRadiusMm + request.WidthMm:0.##} mm thick, {plan.HeightMm:0.#} mm high, {plan.Layers} layers"));
        page.Labelled("Line", Invariant($"{request.WidthMm:0.##} x {request.LayerMm:0.##} mm at {plan.SpeedMmPerS:0.#} mm/s"));
        page.Labelled("Heat", Invariant($"nozzle {request.NozzleC:0.#} degC, bed {request.BedC:0.#} degC, fan {100 * request.FanShare:0} %"));
        foreach (var reason in because)
        {
            page.Labelled("", reason);
        }

        foreach (var note in plan.Notes)
        {
            page.Point(note);
        }

        page.Gap();
        page.Heading("CHECKED (simulated from the written file)");
        page.Labelled("Flow", Invariant($"{Significant(flow.MeanMm3PerS ?? 0, 4)} mm3/s on average; varies by {(flow.Cv < 5e-5 ? "less than 0.01" : Invariant($"{100 * (flow.Cv ?? 0):0.00}"))} % at {flow.IntervalS:0.##} s; no pause"));
        if (EvennessAdvice.GradeInWords(flow) is { } evenness)
        {
            page.Labelled("Evenness", evenness);
        }

        page.Labelled("Phase", Invariant($"{Duration(flow.PrintPhaseS ?? 0)} of printing"));
        page.Labelled("Meter", $"{EvennessAdvice.WhenToRead(flow)} More: {Explanations.See("plateau")}.");
        var given = estimate.Emission.Where(static emission => emission.Agent == Agent.ParticleNumber || emission.Agent == Agent.Tvoc).Select(Words);
        page.Labelled("Gives off", string.Join("; ", given));
        page.Gap();
        page.Heading("RUN THE TRIAL");
        page.Point("Put meter, printer and filter in their places, start the log, and check that the clocks agree. Nobody stays in that air longer than needed.");
        if (request.BackgroundS > 0)
        {
            page.Point($"Start the file. For {Duration(request.BackgroundS)} it waits with the heaters off: the background.");
        }

        if (request.PurgeS > 0)
        {
            page.Point($"It heats and waits for {Duration(request.PurgeS)} with the nozzle hot, so that residue in it evaporates before the print. It may drip: take the drops away with tweezers, never with fingers.");
        }

        page.Point($"It heats, then prints for {Duration(plan.PrintS)} without a change. Keep doors, windows and fans as they are, and stay within reach.");
        if (request.DecayS > 0)
        {
            page.Point($"It turns the heaters off and waits for {Duration(request.DecayS)}: the decay. Keep the log running, and the doors shut, to its end.");
        }

        page.Point(Settles(flow));
        if (!(flow.ReadToS - flow.ReadFromS >= RoomSmoothing.TimeConstantsToRead * flow.PlateauTimeConstantS))
        {
            page.Warning(Invariant($"Less than {RoomSmoothing.TimeConstantsToRead} time constants of the air remain to read the meter: print longer{(request.PurgeS > 0 ? "" : ", or let the residue of the nozzle evaporate before the print with --phases purge=30min")}."));
        }

        page.Point("For a comparison run the same file again with one thing changed: same spool, same room, same order of steps.");
        page.Gap();
        page.Heading("SAFETY");
        if (estimate.Diagnostics.Any(static finding => finding.Code == ForecastFindings.NozzleUnusual))
        {
            page.Warning("The nozzle is far from what is usual for this material: too hot a material decomposes and gives off much more, and other things, than the forecast says.");
        }

        page.Warning("Never leave the printer unattended: a hot printer needs a person nearby who can switch it off.");
        page.Warning("Follow the printer maker's instructions and your local rules; they come first.");
        foreach (var caution in estimate.Cautions.Take(2))
        {
            page.Warning(caution);
        }
    }

    private static string Settles(FlowEvenness flow)
    {
        var settled = flow.Source?.ParticleNumber?.SettlesAfterS switch
        {
            null => "By the forecast the particles do not settle during the print",
            0 => "By the forecast the particles are steady from the start of the print",
            { } afterS => Invariant($"By the forecast the particles settle from minute {Math.Ceiling(afterS / 60):0} of the print"),
        };
        return flow.ReadFromS is not null
            ? Invariant($"{settled}; the air takes {Duration(RoomSmoothing.TimeConstantsToForm * (flow.PlateauTimeConstantS ?? 0))} to fill: read from {EvennessAdvice.ReadFrom(flow)}.")
            : settled + ".";
    }

    private static string Words(AgentEmission emission)
    {
        var name = emission.Agent == Agent.Tvoc ? "TVOC" : "particles";
        string?[] more =
        [
            emission.Unit == "1" ? MiddlePower(emission.Total) : null, Range(emission.Total, emission.Unit),
            emission.HighCappedBy is null ? null : EmissionText.CappedInShort,
        ];
        var said = string.Join("; ", more.OfType<string>());
        return $"about {Middle(emission.Total, emission.Unit)} {name}{(said.Length > 0 ? $" ({said})" : "")}";
    }
}
