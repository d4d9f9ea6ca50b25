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
    /// <param name="z">Standard deviations to the ends of the interval [-], over 0.</param>
    /// <param name="durationS">Length of the bin [s], for the cap of the particle rate.</param>
    /// <remarks>The ends of several tools are added as if they always erred together, which can only widen the interval.</remarks>
    public Uncertain BinAmount(double z, double durationS)
    {
        double low = 0, median = 0, high = 0;
        foreach (var part in parts)
        {
            ref readonly var sums = ref part.Tool.Bin;
            var amount = part.Amount(sums);
            median += amount;
            var (down, up) = part.Factors(in sums, z);
            low += amount * down;
            high += Math.Max(amount, Math.Min(amount * up, part.Highest(durationS, z)));
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
/// <param name="FactorWith">The factor with one of its figures at a number of standard deviations, the others in the middle [unit of the agent].</param>
internal sealed record Part(
    ToolEmission Tool,
    bool IsTvoc,
    double Factor,
    IReadOnlyList<Figure> FactorFigures,
    Func<ToolDraws, double[]>? FactorDraws,
    Func<Figure, double, double> FactorWith)
{
    /// <summary>Ratios are kept above this, so that their logarithm exists [-].</summary>
    private const double Smallest = 1e-3;

    public double Amount(in EmissionSums sums) => Factor * (IsTvoc ? sums.Tvoc : sums.Number);

    /// <summary>The most that is believed of the tool over some time [unit of the agent]; no limit for volatile compounds.</summary>
    public double Highest(double durationS, double z)
    {
        if (IsTvoc)
        {
            return double.PositiveInfinity;
        }

        var logs = default(SkewedSum);
        AddFactor(ref logs, z);
        return Tool.Material.Rules.NumberCapPerMin.Value / 60 * durationS * Factor * Math.Exp(logs.Quantile(z));
    }

    /// <summary>The ends of the interval over the middle value, at most 1 and at least 1 [-].</summary>
    /// <remarks>The figures err independently and multiply; those that scale a part only, such as the burst, count with its share.</remarks>
    public (double Down, double Up) Factors(in EmissionSums sums, double z)
    {
        var material = Tool.Material;
        var rules = material.Rules;
        var all = IsTvoc ? sums.Tvoc : sums.Number;
        if (!(all > 0))
        {
            return (1, 1);
        }

        var logs = default(SkewedSum);
        var yield = IsTvoc ? material.TvocYieldUgPerG : material.NumberYieldPerG;
        Add(ref logs, z, at => yield.At(at) / yield.Value);
        var slope = IsTvoc ? rules.TvocSlopePerK : rules.NumberSlopePerK;
        var step = (IsTvoc ? sums.TvocStep : sums.NumberStep) / all;
        Add(ref logs, z, at => Math.Exp((slope.At(at) - slope.Value) * step));
        AddFactor(ref logs, z);
        if (!IsTvoc)
        {
            AddShare(ref logs, z, rules.BurstSize, sums.Burst / all);
            AddShare(ref logs, z, rules.IdleShare, (sums.IdleHot + sums.WarmUp) / all);
        }

        return (Math.Exp(Math.Min(0, logs.Quantile(-z))), Math.Exp(Math.Max(0, logs.Quantile(z))));
    }

    private void AddFactor(ref SkewedSum logs, double z)
    {
        foreach (var figure in FactorFigures)
        {
            Add(ref logs, z, at => FactorWith(figure, at) / Factor);
        }
    }

    private static void AddShare(ref SkewedSum logs, double z, Figure figure, double share)
    {
        if (figure.Value > 0 && share > 0)
        {
            Add(ref logs, z, at => 1 + share * (figure.At(at) / figure.Value - 1));
        }
    }

    /// <summary>Adds a figure by the ratios it causes at both ends; which end is the upper one does not matter.</summary>
    private static void Add(ref SkewedSum logs, double z, Func<double, double> ratioAt)
    {
        var one = Math.Log(Math.Max(Smallest, ratioAt(z))) / z;
        var other = Math.Log(Math.Max(Smallest, ratioAt(-z))) / z;
        logs.Add(Math.Max(0, Math.Max(one, other)), Math.Max(0, -Math.Min(one, other)));
    }
}
