// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Forecast;

/// <summary>The front door to the air: what prints, or any other source, do to the air of a room.</summary>
public static class AirForecast
{
    /// <summary>Forecasts what jobs do to the air.</summary>
    /// <param name="jobs">Jobs that all start at once in the first zone of the room, one that is named again counting once; none for those that the room lists.</param>
    /// <param name="options">The room, and what is asked of it.</param>
    /// <param name="progress">Told the share of the jobs that has been read, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">A job, the room or another file cannot be used, or an option is out of range.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static AirOutcome OfJobs(IReadOnlyList<string> jobs, AirOptions options, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(jobs);
        ArgumentNullException.ThrowIfNull(options);
        var request = Request(options);
        (jobs, var again) = PrintDay.EachOnce(jobs);
        request = request with { LeavesOutPrints = jobs.Count > 0 && request.Plan.Prints.Count > 0, NamedAgain = again };
        if (options.Jobs.Strict && AirBasis.Findings(request).FirstOrDefault(static finding => finding.ChangesResult) is { } warning)
        {
            throw new InputProblem(warning.Message + " (an error because of --strict)");
        }

        var day = PrintDay.Read(request.Plan, jobs, options.Jobs with { Interval = options.Interval, Seed = options.Seed }, progress, cancel);
        request = request with { Sources = day.Sources };
        return AirBasis.Add(AirForecastRun.Run(request, cancel), request, options, day.Estimates);
    }

    /// <summary>Forecasts what any sources do to the air.</summary>
    /// <param name="sources">The sources, at least one.</param>
    /// <param name="options">The room, and what is asked of it.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">The room or another file cannot be used, or an option is out of range.</exception>
    /// <exception cref="ArgumentException">A source is out of range, or stands in a zone that is not there.</exception>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static AirOutcome OfSources(IReadOnlyList<GivenSource> sources, AirOptions options, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(sources);
        ArgumentNullException.ThrowIfNull(options);
        if (sources.Count == 0)
        {
            throw new ArgumentException("there is no source", nameof(sources));
        }

        var request = Request(options);
        var outcome = AirForecastRun.Run(request with { Sources = [.. sources.Select(source => Place(source, request.Plan))] }, cancel);
        return AirBasis.Add(outcome, request, options, []);
    }

    /// <summary>Forecasts what a job does to the air, and what meters show of it in each draw, without the filter of the options and with it.</summary>
    /// <param name="job">The job, which starts at once in the first zone of the room.</param>
    /// <param name="options">The room, the filter, and the meter.</param>
    /// <param name="others">Further meters to look through.</param>
    /// <param name="progress">Told the share of the job that has been read, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">The job, the room or another file cannot be used, or an option is out of range.</exception>
    internal static FilterOutlook WithFilter(string job, AirOptions options, IReadOnlyList<MeterKind> others, IProgress<double>? progress, CancellationToken cancel)
    {
        var without = options with { Filter = null, FilterFlow = null, Remedies = false, NearField = false };
        var request = Request(without);
        var kind = AirData.Filters.Load(options.Filter!);
        var changed = Possible(Filtered(request.Plan, options));
        request = request with { LeavesOutPrints = request.Plan.Prints.Count > 0 };
        var day = PrintDay.Read(request.Plan, [job], options.Jobs with { Interval = options.Interval, Seed = options.Seed }, progress, cancel);
        var box = request.Plan.Box;
        var zone = request.Plan.Zones.FirstOrDefault(one => one != box) ?? request.Plan.Zones[0];
        var (outcome, seen) = AirForecastRun.RunThrough(request with { Sources = day.Sources, Meters = [.. request.Meters, .. others], Guidelines = [] }, changed, zone.Id, cancel);
        return new(AirBasis.Add(outcome, request with { Plan = changed }, without, day.Estimates), request.Plan, zone, kind, seen);
    }

    /// <summary>The room that options name or describe.</summary>
    /// <param name="options">The options.</param>
    /// <exception cref="InputProblem">It cannot be used, or there is none.</exception>
    internal static RoomPlan RoomOf(AirOptions options)
    {
        var plan = options.Room is { } named ? AirData.Rooms.Load(named) : Described(options);
        plan = Filtered(plan, options);
        if (options.NearField)
        {
            // Around the box where there is one, else where the printer stands.
            var zone = plan.AroundBox() ?? plan.Zones[0].Id;
            plan = plan.WithNearField(zone) ?? throw new InputProblem($"the air near the printer would be more than half of {zone}; leave out --near-field");
        }

        return Possible(plan);
    }

    private static RoomPlan Filtered(RoomPlan plan, AirOptions options) => options.Filter is { } filter
        ? plan.WithFilterByPrinter(AirData.Filters.Load(filter), Optional(options.FilterFlow, Quantity.AirFlow, 1e-3, RoomFile.MostFlowM3PerH, "--filter-flow"))
        : plan;

    private static RoomPlan Possible(RoomPlan plan) => plan.ProblemAtEnds() is { } problem
        ? throw new InputProblem($"the values of the options cannot be taken together, or their ranges reach too far: {problem}") { IsOfOptions = true }
        : plan;

    private static RoomPlan Described(AirOptions options)
    {
        if (options.Volume is not { } volume)
        {
            throw new InputProblem("the room is missing; give its volume with --volume 30m3, or a description with --room ID or FILE (see: fumecast rooms list)") { IsOfOptions = true };
        }

        var roomM3 = FigureReader.OfOption(volume, Quantity.AirVolume, RoomFile.LeastVolumeM3, RoomFile.MostVolumeM3, "--volume");
        var boxM3 = Optional(options.Enclosure, Quantity.AirVolume, RoomFile.LeastVolumeM3, RoomFile.MostVolumeM3, "--enclosure");
        if (boxM3 is not null && boxM3.Value >= roomM3.Value)
        {
            throw new InputProblem($"--enclosure: found '{options.Enclosure}', which is no smaller than the room around it ({volume}); expected less than --volume") { IsOfOptions = true };
        }

        return RoomRemedies.Simple(
            roomM3,
            Optional(options.AirChanges, Quantity.RatePerH, 0, RoomFile.MostChangesPerH, "--air-changes"),
            boxM3,
            Optional(options.Leak, Quantity.AirFlow, 0, RoomFile.MostFlowM3PerH, "--leak"));
    }

    private static Figure? Optional(string? text, Quantity quantity, double min, double max, string option) =>
        text is null ? null : FigureReader.OfOption(text, quantity, min, max, option);

    private static AirRequest Request(AirOptions options)
    {
        if (!(options.Interval > 0 && options.Interval < 1))
        {
            throw new ArgumentOutOfRangeException(nameof(options), options.Interval, "the interval is not between 0 and 1");
        }

        return new AirRequest
        {
            Plan = RoomOf(options),
            Sources = [],
            Interval = options.Interval,
            Seed = options.Seed,
            Guidelines = [.. AirData.Guidelines.Ids.Select(AirData.Guidelines.Load)],
            Meters = [.. options.Meters.Select(AirData.Meters.Load)],
            Levels = [.. options.Levels.Select(LevelOf)],
            RemedyFilters = options.Remedies ? [.. AirData.Filters.Ids.Select(AirData.Filters.Load)] : null,
            KeepSeries = options.KeepSeries,
        };
    }

    private static (Agent, double) LevelOf(string text)
    {
        var at = text.IndexOf('=', StringComparison.Ordinal);
        if (at <= 0)
        {
            throw new InputProblem($"--level: found '{text}', expected AGENT=VALUE such as styrene=30ug/m3") { IsOfOptions = true };
        }

        var agent = AgentWords.OfLevel(text[..at].Trim(), static message => throw new InputProblem($"--level: {message}") { IsOfOptions = true })[0];
        var level = FigureReader.OfOption(text[(at + 1)..].Trim(), AgentWords.LevelOf(agent), 1e-9, 1e12, "--level");
        return level.Gsd is > 1 || level.Range is not null
            ? throw new InputProblem($"--level: found a range in '{text}', expected one value") { IsOfOptions = true }
            : (agent, level.Value);
    }

    private static PlacedSeries Place(GivenSource source, RoomPlan plan)
    {
        var zone = source.Zone ?? plan.Zones[0].Id;
        if (!plan.Zones.Any(z => z.Id == zone))
        {
            throw new ArgumentException($"there is no zone '{zone}'; expected {string.Join(", ", plan.Zones.Select(static z => z.Id))}");
        }

        if (!(source.StartS >= 0 && source.StartS < 1e9) || source.Agents.Count == 0 || source.Agents.Distinct().Count() != source.Agents.Count)
        {
            throw new ArgumentException("a source starts at 0 or later and gives off agents, each named once");
        }

        var particles = source.Agents.Any(static a => a == Agent.ParticleNumber || a == Agent.ParticleMass)
            ? new GivenParticles(new ParticleSize(source.MedianDiameterNm, source.DiameterGsd), source.DensityGPerCm3)
            : null;
        var (agents, steps) = (source.Agents, source.Steps);
        if (particles is not null && (agents.Contains(Agent.ParticleNumber), agents.Contains(Agent.ParticleMass)) is var has && has.Item1 != has.Item2)
        {
            // Number and mass belong together by the stated sizes.
            var meanUg = particles.Size.MeanMassUg(particles.DensityGPerCm3);
            var (missing, factor) = has.Item1 ? (Agent.ParticleMass, meanUg) : (Agent.ParticleNumber, 1 / meanUg);
            var known = source.Agents.ToList().IndexOf(has.Item1 ? Agent.ParticleNumber : Agent.ParticleMass);
            agents = [.. agents, missing];
            steps = source.Steps.Select(step => (step.Seconds, (IReadOnlyList<double>)[.. step.PerS, step.PerS[known] * factor]));
        }

        double[] gsd = [.. agents.Select(a => source.Gsd.TryGetValue(a, out var own) ? own : a.IsParticles && source.Gsd.FirstOrDefault(static g => g.Key.IsParticles).Value is > 0 and var other ? other : 1)];
        if (gsd.Any(static g => !(g is >= 1 and <= 1000)))
        {
            throw new ArgumentException("expected geometric standard deviations of 1 to 1000");
        }

        var series = new GivenSeries(agents, gsd, particles, steps);
        return series.EndS > 0
            ? new PlacedSeries { Zone = zone, StartS = source.StartS, Series = series }
            : throw new ArgumentException("a source lasts no time");
    }
}
