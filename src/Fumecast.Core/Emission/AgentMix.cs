// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Fumecast.Emission;

/// <summary>One agent as a sum over tools: particles or volatile compounds of each, times a factor of the material.</summary>
internal sealed class AgentMix(string agent, string displayName, string? cas, string unit)
{
    /// <summary>Share of the result from which on a figure counts for the grade [-].</summary>
    private const double ShareThatCounts = 0.05;

    private readonly List<AgentPart> parts = [];

    public string Agent => agent;

    public string DisplayName => displayName;

    public string? Cas => cas;

    public string Unit => unit;

    public IReadOnlyList<AgentPart> Parts => parts;

    /// <summary>The same for loops that run once for each bin.</summary>
    public ReadOnlySpan<AgentPart> PartsSpan => CollectionsMarshal.AsSpan(parts);

    public void Add(AgentPart part) => parts.Add(part);

    /// <summary>Amount in what the tools gave off over some time [<see cref="Unit"/>].</summary>
    public double Amount(Func<ToolEmission, EmissionSums> over)
    {
        var amount = 0.0;
        foreach (var part in parts)
        {
            amount += part.Amount(over(part.Tool));
        }

        return amount;
    }

    /// <summary>Amount in the open bins of time with its interval, in closed form.</summary>
    /// <param name="durationS">Length of the bin [s], for the cap of the particle rate.</param>
    /// <remarks>The ends of several tools are added as if they always erred together, which can only widen the interval.</remarks>
    public Uncertain BinAmount(double durationS)
    {
        double low = 0, median = 0, high = 0;
        foreach (var part in parts)
        {
            ref readonly var sums = ref part.Tool.Bin;
            var amount = part.Amount(sums);
            median += amount;
            var (down, up) = part.Factors(in sums);
            low += amount * down;
            high += Math.Max(amount, Math.Min(amount * up, part.HighestPerS * durationS));
        }

        return new Uncertain(low, median, high);
    }

    /// <summary>Share of the total outside the validity of a figure, 0 to 1 [-].</summary>
    public double OutsideShare()
    {
        double outside = 0, all = 0;
        foreach (var part in parts)
        {
            var sums = part.Tool.Total;
            all += part.Amount(sums);
            outside += part.Factor * (part.IsTvoc ? sums.TvocOutside : sums.NumberOutside);
        }

        return all > 0 ? outside / all : 0;
    }

    /// <summary>The figures that bear on at least a twentieth of the total, and those without which there would be none.</summary>
    public IEnumerable<Figure> FiguresThatCount() => parts.Where(p => p.Amount(p.Tool.Total) > 0 || parts.Count == 1).SelectMany(FiguresThatCount).Distinct();

    private static IEnumerable<Figure> FiguresThatCount(AgentPart part)
    {
        var sums = part.Tool.Total;
        var rules = part.Tool.Material.Rules;
        foreach (var figure in part.FactorFigures)
        {
            yield return figure;
        }

        yield return part.Yield;
        if (!(part.Amount(in sums) > 0))
        {
            yield break;
        }

        if (Math.Abs(part.Slope.Value * part.MeanStep(in sums)) >= ShareThatCounts)
        {
            yield return part.Slope;
        }

        if (!part.IsTvoc && sums.Burst >= ShareThatCounts * sums.Number)
        {
            yield return rules.StartDose;
            yield return rules.StartDoseDecayS;
        }

        if (!part.IsTvoc && sums.IdleHot + sums.WarmUp >= ShareThatCounts * sums.Number)
        {
            yield return rules.NozzleShare;
            yield return rules.ReferenceRateGPerH;
        }
    }
}
