// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Emission;
using Fumecast.GCode;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>What a forecast of the air rests on: its settings, sources and cautions.</summary>
internal static class AirBasis
{
    private static readonly string[] Always =
    [
        "Levels are those of well-mixed air. Near the printer it is worse; --near-field shows by how much.",
        "Levels added by the print come on top of what is in the air anyway.",
        "A level below a guideline is no all-clear, and for many substances there is no guideline at all.",
    ];

    /// <summary>Adds it to an outcome.</summary>
    /// <param name="outcome">The outcome.</param>
    /// <param name="request">What was asked.</param>
    /// <param name="options">The options.</param>
    /// <param name="jobs">What the jobs give off.</param>
    public static AirOutcome Add(AirOutcome outcome, AirRequest request, AirOptions options, IReadOnlyList<JobEstimate> jobs)
    {
        var plan = request.Plan;
        var tried = request.RemedyFilters is { } filters ? RoomChanges.Brought(plan, filters) : [];
        var own = plan.BroughtSources.Concat((request.RemedyFilters ?? []).SelectMany(static f => f.OwnSources)).Concat(request.Meters.SelectMany(static m => m.OwnSources))
            .Concat(request.Guidelines.SelectMany(static g => g.OwnSources)).ToList();
        var against = outcome.Zones.SelectMany(static z => z.Guidelines).Select(static g => g.Guideline).ToHashSet();
        var used = AirData.Sources(plan.Figures.Concat(tried).Select(static f => f.Figure)
            .Concat(request.Meters.SelectMany(static m => m.Figures()).Select(static f => f.Figure))
            .Concat(request.Guidelines.Where(g => against.Contains(g.Id)).Select(static g => g.Level)));
        return outcome with
        {
            Jobs = jobs,
            Settings =
            [
                new ResolvedSetting("room", plan.Id, options.Room is null ? "as the options describe it" : "--room"),
                .. plan.Figures.Select(static named => new ResolvedSetting(named.Name, FigureText.Show(named.Figure), Because(named.Figure))),
                .. tried.Select(static named => new ResolvedSetting($"remedies: {named.Name}", FigureText.Show(named.Figure), Because(named.Figure))),
                .. request.LeavesOutPrints ? [new ResolvedSetting("prints", "the jobs that were named", $"in place of those that the room lists ({plan.Prints.Count})")] : Array.Empty<ResolvedSetting>(),
                .. Seen([.. jobs.SelectMany(static job => job.Materials).DistinctBy(static material => material.Id)]),
                .. jobs.SelectMany(static job => job.Settings).Distinct(),
            ],
            Diagnostics = [.. Findings(request), .. jobs.SelectMany(static job => job.Diagnostics)],
            Sources = [.. AirSources.Of(used, own).Concat(jobs.SelectMany(static job => job.Sources)).DistinctBy(static s => s.Id)],
            Cautions =
            [
                .. PrintForecast.Cautions, .. Always, .. OfDay(request, options), .. Notes(plan), .. plan.Cautions, .. plan.Kinds.Concat(request.RemedyFilters ?? []).SelectMany(static kind => kind.Cautions),
                .. request.Meters.SelectMany(static m => m.Cautions), .. jobs.SelectMany(static job => job.Cautions),
            ],
        } is var full ? full with { Cautions = [.. full.Cautions.Distinct()] } : outcome;
    }

    /// <summary>What is doubtful about what was asked for: data files that are still a template, jobs that were named twice.</summary>
    /// <param name="request">What was asked.</param>
    public static IEnumerable<Diagnostic> Findings(AirRequest request)
    {
        var files = new List<(string Code, string File, string Unfilled, string Whose)> { (ForecastFindings.RoomUnfilled, request.Plan.File, request.Plan.Unfilled, "room") };
        files.AddRange(request.Plan.Kinds.Concat(request.RemedyFilters ?? []).Select(static f => (ForecastFindings.FilterUnfilled, f.File, f.Unfilled, "filter")));
        files.AddRange(request.Meters.Select(static m => (ForecastFindings.MeterUnfilled, m.File, m.Unfilled, "meter")));
        files.AddRange(request.Guidelines.Select(static g => (ForecastFindings.GuidelineUnfilled, g.File, g.Unfilled, "guideline")));
        foreach (var (code, file, unfilled, whose) in files.Where(static f => f.Unfilled.Length > 0).Distinct())
        {
            yield return Warning(code, $"{file}: {unfilled}; until then the forecast rests on figures of nobody's {whose}", changesResult: true);
        }

        foreach (var (job, times) in request.NamedAgain)
        {
            yield return Warning(
                ForecastFindings.JobNamedAgain,
                string.Create(CultureInfo.InvariantCulture, $"{job}: named {times} times and counted once; for several printers list it under prints in a file of the room, with copies"),
                changesResult: false);
        }
    }

    private static Diagnostic Warning(string code, string message, bool changesResult) => new(code, Severity.Warning, 0, 0, 1, message, changesResult) { IsOfOptions = true };

    // The table knows the residue from prints that began with a cold nozzle; of one that has printed before it says nothing.
    private static IEnumerable<string> OfDay(AirRequest request, AirOptions options)
    {
        if (options.Jobs.StartDose && request.Sources.OfType<PlacedPrint>().Select(static print => print.StartS).Distinct().Count() > 1)
        {
            yield return "Each start of this day counts the residue in the nozzle in full, as the table has it from prints that began cold. How much of it forms again in a nozzle that has printed before "
                + "is not known: it may be less. --purged counts none; the particles of the day lie between the two.";
        }
    }

    private static string Because(Figure figure) => figure.Origin.Known == FigureKnown.Assumed ? $"assumed: {figure.Origin.Where}" : figure.Origin.Where;

    /// <summary>What the forecast of optical meters rests on, where something printed has it measured.</summary>
    private static IEnumerable<ResolvedSetting> Seen(IReadOnlyList<Material> materials)
    {
        const string What = "what an optical meter sees";
        if (!materials.Any(static material => material.VisibleYieldUgPerG is not null))
        {
            return [];
        }

        return materials.FirstOrDefault(static material => material.VisibleYieldUgPerG is null) is { } without
            ? [new ResolvedSetting(What, "follows from the sizes of the particles", $"{without.Id} has no visible_mass of its own, so that of the others is not used")]
            : materials.Select(static material => new ResolvedSetting(
                $"{What} of {material.Id}", FormattableString.Invariant($"{FigureText.Show(material.VisibleYieldUgPerG!)} at {material.VisibleYieldUgPerG!.AtC:0.#} degC"), $"visible_mass in {material.File}: good for the meter it was measured with; the mass of all particles is the table's still and may come out below it"));
    }

    private static bool TakesVapours(FilterKind kind) =>
        kind.Efficiency.Vapours is { Value: > 0 } || kind.Efficiency.Single.Any(static s => !s.Agent.IsParticles && s.Agent != Agent.VisibleMass && s.Figure.Value > 0);

    private static IEnumerable<string> Notes(RoomPlan plan)
    {
        var filters = plan.Kinds;
        if (plan.Box is { } box && !plan.Loops.Any(l => l.Through.Contains(box.Id) && (l.Through.Contains(Zone.Outdoors) || l.Filters.Any(static f => TakesVapours(f.Kind))))
            && !plan.Filters.Any(f => f.Zone == box.Id && TakesVapours(f.Kind)))
        {
            yield return "A box that nothing takes vapours out of only delays them: what the room gets in the end is the same.";
        }

        if (filters.Any(static f => (f.Efficiency.Vapours?.Value ?? 0) > 0.05 && (f.Efficiency.Particles?.Value ?? 0) < 0.3))
        {
            yield return "Carbon takes up vapours; it is no particle filter.";
        }

        if (filters.Any(static f => (f.Efficiency.Particles?.Value ?? 0) >= 0.3 && (f.Efficiency.Vapours?.Value ?? 0) < 0.05))
        {
            yield return "A particle filter takes no vapours out of the air.";
        }

        if (plan.Filters.Count > 0)
        {
            yield return "A recirculating filter needs flow and a tight seat as much as efficiency: its clean air is efficiency times the flow that really passes it.";
        }
    }
}
