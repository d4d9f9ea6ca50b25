// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>One agent as a sum over tools: particles or volatile compounds of each, times a factor of the material.</summary>
internal sealed class AgentMix(string agent, string displayName, string? cas, string unit)
{
    /// <summary>Share of the result from which on a figure counts for the grade [-].</summary>
    private const double ShareThatCounts = 0.05;

    private readonly List<Part> parts = [];

    public string Agent => agent;

    public string DisplayName => displayName;

    public string? Cas => cas;

    public string Unit => unit;

    public IReadOnlyList<Part> Parts => parts;

    public void Add(Part part) => parts.Add(part);

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
    /// <remarks>The ends of several tools are added as if they always erred together, which can only widen the interval.</remarks>
    public Uncertain BinAmount(double z)
    {
        double low = 0, median = 0, high = 0;
        foreach (var part in parts)
        {
            ref readonly var sums = ref part.Tool.Bin;
            var amount = part.Amount(sums);
            median += amount;
            low += amount * Math.Exp(-part.Deviation(in sums, -z));
            high += amount * Math.Exp(part.Deviation(in sums, z));
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

    private static IEnumerable<Figure> FiguresThatCount(Part part)
    {
        var sums = part.Tool.Total;
        var material = part.Tool.Material;
        var rules = material.Rules;
        foreach (var figure in part.FactorFigures)
        {
            yield return figure;
        }

        yield return part.IsTvoc ? material.TvocYieldUgPerG : material.NumberYieldPerG;
        var all = part.IsTvoc ? sums.Tvoc : sums.Number;
        var step = all > 0 ? (part.IsTvoc ? sums.TvocStep : sums.NumberStep) / all : 0;
        var slope = part.IsTvoc ? rules.TvocSlopePerK : rules.NumberSlopePerK;
        if (Math.Abs(slope.Value * step) >= ShareThatCounts)
        {
            yield return slope;
        }

        if (!part.IsTvoc && sums.Burst >= ShareThatCounts * all && all > 0)
        {
            yield return rules.BurstSize;
            yield return rules.BurstDecayS;
        }

        if (!part.IsTvoc && sums.IdleHot + sums.WarmUp >= ShareThatCounts * all && all > 0)
        {
            yield return rules.IdleShare;
            yield return rules.ReferenceRateGPerH;
        }

        if (part.Tool.FlowExponent != 1)
        {
            yield return rules.FlowExponentCase;
        }
    }
}

/// <summary>What one tool adds to an agent.</summary>
/// <param name="Tool">The tool.</param>
/// <param name="IsTvoc">Whether it is a part of the volatile compounds; else of the particles.</param>
/// <param name="Factor">Amount for each particle, or for each microgram [unit of the agent].</param>
/// <param name="FactorFigures">The figures the factor rests on.</param>
/// <param name="FactorDraws">The factor for each draw; null when it is exact.</param>
/// <param name="FactorAt">The factor at a number of standard deviations, over the factor [-].</param>
internal sealed record Part(
    ToolEmission Tool, bool IsTvoc, double Factor, IReadOnlyList<Figure> FactorFigures, Func<ToolDraws, double[]>? FactorDraws, Func<double, double> FactorAt)
{
    public double Amount(in EmissionSums sums) => Factor * (IsTvoc ? sums.Tvoc : sums.Number);

    /// <summary>How far the amount may lie off in the direction of <paramref name="z"/>, as a logarithm, 0 or more [-].</summary>
    /// <remarks>The figures err independently, so their logarithmic deviations add as squares; those that scale a part only count with its share.</remarks>
    public double Deviation(in EmissionSums sums, double z)
    {
        var material = Tool.Material;
        var rules = material.Rules;
        var all = IsTvoc ? sums.Tvoc : sums.Number;
        if (!(all > 0))
        {
            return 0;
        }

        var step = (IsTvoc ? sums.TvocStep : sums.NumberStep) / all;
        var slope = IsTvoc ? rules.TvocSlopePerK : rules.NumberSlopePerK;
        var slopeZ = step < 0 ? -z : z;
        var squares = Square(LogRatio(IsTvoc ? material.TvocYieldUgPerG : material.NumberYieldPerG, z))
            + Square((slope.At(slopeZ) - slope.Value) * step)
            + Square(Math.Log(Math.Max(double.Epsilon, FactorAt(z))));
        if (!IsTvoc)
        {
            squares += Square(LogShare(rules.BurstSize, sums.Burst / all, z))
                + Square(LogShare(rules.IdleShare, (sums.IdleHot + sums.WarmUp) / all, z));
        }

        return Math.Sqrt(squares);
    }

    private static double Square(double x) => x * x;

    private static double LogRatio(Figure figure, double z) => figure.Value > 0 ? Math.Log(Math.Max(1e-300, figure.At(z) / figure.Value)) : 0;

    private static double LogShare(Figure figure, double share, double z) =>
        figure.Value > 0 && share > 0 ? Math.Log(Math.Max(1e-3, 1 + share * (figure.At(z) / figure.Value - 1))) : 0;
}
