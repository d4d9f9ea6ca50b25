// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;
using Fumecast.Emission;

namespace Fumecast.Forecast;

/// <summary>Something that gives off agents, in a zone and from a time on.</summary>
internal abstract record PlacedSource
{
    /// <summary>Id of the zone.</summary>
    public required string Zone { get; init; }

    /// <summary>Its start, in the time of the run [s], 0 or more.</summary>
    public required double StartS { get; init; }

    /// <summary>How long it lasts [s].</summary>
    public abstract double LengthS { get; }

    /// <summary>What it gives off.</summary>
    public abstract IReadOnlyList<Agent> Agents { get; }

    /// <summary>Its stretches at the middle of all figures, in the order of <see cref="Agents"/>.</summary>
    public abstract IEnumerable<SourceStep> Steps();

    /// <summary>When it runs.</summary>
    public virtual SourceTime Time() => new(Zone, StartS, StartS, StartS + LengthS, StartS + LengthS);

    /// <summary>It as the air takes it.</summary>
    public AirSource ToAir() => new(Zone, StartS, Agents, Steps());
}

/// <summary>A job that was followed once, to be placed any number of times.</summary>
/// <param name="Job">The job as it was named.</param>
/// <param name="Cells">What its tools gave off.</param>
/// <param name="Tools">Its tools, in the numbers of the cells.</param>
internal sealed record FollowedJob(string Job, ToolCells Cells, IReadOnlyList<ToolEmission> Tools)
{
    /// <summary>Agents it gives off: particle number and mass, TVOC, the substances of its materials, then what optical meters see where that was measured for all of them.</summary>
    public IReadOnlyList<Agent> Agents { get; } =
    [
        Agent.ParticleNumber, Agent.ParticleMass, Agent.Tvoc,
        .. Tools.SelectMany(static tool => tool.Material.Species).Select(static species => species.Agent).Distinct(),
        .. Tools.Count > 0 && Tools.All(static tool => tool.Material.VisibleYieldUgPerG is not null) ? (Agent[])[Agent.VisibleMass] : [],
    ];
}

/// <summary>A job on some printers in a zone, all started at once.</summary>
internal sealed record PlacedPrint : PlacedSource
{
    /// <summary>The job.</summary>
    public required FollowedJob Print { get; init; }

    /// <summary>Printers side by side, 1 or more [-].</summary>
    public int Copies { get; init; } = 1;

    /// <inheritdoc/>
    public override double LengthS => Print.Cells.EndS;

    /// <inheritdoc/>
    public override IReadOnlyList<Agent> Agents => Print.Agents;

    /// <inheritdoc/>
    public override SourceTime Time()
    {
        var (cells, first, last) = (Print.Cells, -1, -1);
        for (var cell = 0; cell < cells.Count; cell++)
        {
            if (Enumerable.Range(0, cells.Tools).Any(tool => cells.At(tool, cell).PrintingS > 0))
            {
                (first, last) = (first < 0 ? cell : first, cell);
            }
        }

        return first < 0
            ? base.Time()
            : new SourceTime(Zone, StartS, StartS + (first * cells.CellS), StartS + (last * cells.CellS) + cells.Seconds(last), StartS + LengthS);
    }

    /// <inheritdoc/>
    public override IEnumerable<SourceStep> Steps()
    {
        var (cells, agents) = (Print.Cells, Print.Agents);
        var perS = new double[agents.Count];
        var visibleAt = agents[^1] == Agent.VisibleMass ? agents.Count - 1 : -1;
        var tools = Print.Tools.Take(cells.Tools).Select(tool => (
            MeanMassUg: AirStreams.MeanMassUg(tool.Material),
            VisibleUg: visibleAt < 0 ? 0 : VisibleMass.MiddleUgPerG(tool.Material) / tool.Material.NumberYieldPerG.Value,
            Shares: tool.Material.Species.Select(species => (At: agents.Index().First(a => a.Item == species.Agent).Index, species.ShareOfTvoc.Value)).ToArray())).ToArray();
        for (var cell = 0; cell < cells.Count; cell++)
        {
            var seconds = cells.Seconds(cell);
            Array.Clear(perS);
            for (var t = 0; t < tools.Length; t++)
            {
                var bin = cells.At(t, cell);
                var (number, tvoc) = (bin.Number * Copies / seconds, bin.TvocUg * Copies / seconds);
                perS[0] += number;
                perS[1] += number * tools[t].MeanMassUg;
                perS[2] += tvoc;
                if (visibleAt >= 0)
                {
                    perS[visibleAt] += number * tools[t].VisibleUg;
                }

                foreach (var (at, share) in tools[t].Shares)
                {
                    perS[at] += tvoc * share;
                }
            }

            yield return new SourceStep(seconds, perS);
        }
    }
}

/// <summary>A source that is no print: given rates, each with a spread around them.</summary>
internal sealed record PlacedSeries : PlacedSource
{
    /// <summary>The series.</summary>
    public required GivenSeries Series { get; init; }

    /// <inheritdoc/>
    public override double LengthS => Series.EndS;

    /// <inheritdoc/>
    public override IReadOnlyList<Agent> Agents => Series.Agents;

    /// <inheritdoc/>
    public override IEnumerable<SourceStep> Steps()
    {
        var perS = new double[Agents.Count];
        for (var cell = 0; cell < Series.Count; cell++)
        {
            var seconds = Series.Seconds(cell);
            for (var a = 0; a < perS.Length; a++)
            {
                perS[a] = Series.Amount(a, cell) / seconds;
            }

            yield return new SourceStep(seconds, perS);
        }
    }
}
