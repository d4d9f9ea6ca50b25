// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>One agent as a sum over tools: particles or volatile compounds of each, times a factor of the material.</summary>
internal sealed class AgentMix(Agent agent)
{
    /// <summary>Share of the result from which on a figure counts for the grade [-].</summary>
    private const double ShareThatCounts = 0.05;

    private readonly List<AgentPart> _parts = [];

    public Agent Agent => agent;

    public IReadOnlyList<AgentPart> Parts => _parts;

    /// <summary>The same for loops that run once for each bin.</summary>
    public ReadOnlySpan<AgentPart> PartsSpan => CollectionsMarshal.AsSpan(_parts);

    public void Add(AgentPart part) => _parts.Add(part);

    /// <summary>Amount of a phase of the job so far at the middle of all figures [unit of the agent].</summary>
    public double Amount(EmissionPhase phase) => _parts.Sum(part => part.Amount(part.Tool.Total, phase));

    /// <summary>Share of the total outside the validity of a figure, 0 to 1 [-].</summary>
    public double OutsideShare()
    {
        double outside = 0, all = 0;
        foreach (var part in _parts)
        {
            var sums = part.Tool.Total;
            all += part.Amount(sums, EmissionPhase.Whole);
            outside += part.Factor * (part.IsTvoc ? sums.TvocOutside : sums.NumberOutside);
        }

        return all > 0 ? outside / all : 0;
    }

    /// <summary>The figures that bear on at least a twentieth of the total, and those without which there would be none.</summary>
    public IEnumerable<Figure> FiguresThatCount() => _parts
        .Where(p => p.Amount(p.Tool.Total, EmissionPhase.Whole) > 0 || _parts.Count == 1)
        .SelectMany(static p => p.FiguresThatCount(ShareThatCounts)).Distinct();
}
