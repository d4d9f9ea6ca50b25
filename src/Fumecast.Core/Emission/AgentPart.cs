// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>What one tool adds to an agent: its particles or its volatile compounds, times a factor.</summary>
internal sealed class AgentPart
{
    /// <summary>Ratios are kept above this, so that their logarithm exists [-].</summary>
    private const double Smallest = 1e-3;

    private readonly double z;
    private readonly SkewedSum fixedLogs;
    private readonly Side slope;
    private readonly Side burst;
    private readonly Side idle;

    /// <summary>Describes a part.</summary>
    /// <param name="tool">The tool.</param>
    /// <param name="isTvoc">Whether it is a part of the volatile compounds; else of the particles.</param>
    /// <param name="factor">Amount for each particle, or for each microgram [unit of the agent].</param>
    /// <param name="factorFigures">The figures the factor rests on.</param>
    /// <param name="factorWith">The factor with one of its figures at a number of standard deviations, the others in the middle [unit of the agent].</param>
    /// <param name="factorDraws">The factor for each draw; null when it is exact.</param>
    /// <param name="z">Standard deviations to the ends of the intervals [-], over 0.</param>
    public AgentPart(
        ToolEmission tool, bool isTvoc, double factor, IReadOnlyList<Figure> factorFigures, Func<Figure, double, double>? factorWith, Func<ToolDraws, double[]>? factorDraws, double z)
    {
        (Tool, IsTvoc, Factor, FactorFigures, FactorDraws, this.z) = (tool, isTvoc, factor, factorFigures, factorDraws, z);
        var rules = tool.Material.Rules;
        slope = new Side(Slope.At(z) - Slope.Value, Slope.At(-z) - Slope.Value);
        burst = Side.Relative(rules.StartDose, z);
        idle = Side.Relative(rules.NozzleShare, z);

        var factorLogs = default(SkewedSum);
        foreach (var figure in factorFigures)
        {
            Add(ref factorLogs, Log(factorWith!(figure, z) / factor), Log(factorWith(figure, -z) / factor));
        }

        // No limit is known for volatile compounds.
        HighestPerS = isTvoc ? double.PositiveInfinity : rules.NumberCapPerMin.Value / 60 * factor * Math.Exp(factorLogs.Quantile(z));
        Add(ref factorLogs, Log(Yield.At(z) / Yield.Value), Log(Yield.At(-z) / Yield.Value));
        fixedLogs = factorLogs;
    }

    public ToolEmission Tool { get; }

    public bool IsTvoc { get; }

    public double Factor { get; }

    public IReadOnlyList<Figure> FactorFigures { get; }

    public Func<ToolDraws, double[]>? FactorDraws { get; }

    /// <summary>The most that is believed of the tool [unit of the agent per s].</summary>
    public double HighestPerS { get; }

    public Figure Yield => IsTvoc ? Tool.Material.TvocYieldUgPerG : Tool.Material.NumberYieldPerG;

    public Figure Slope => IsTvoc ? Tool.Material.Rules.TvocSlopePerK : Tool.Material.Rules.NumberSlopePerK;

    public double Amount(in EmissionSums sums) => Factor * (IsTvoc ? sums.Tvoc : sums.Number);

    /// <summary>Mean temperature above the reference, by what was given off [K].</summary>
    public double MeanStep(in EmissionSums sums) => IsTvoc ? sums.TvocStep / sums.Tvoc : sums.NumberStep / sums.Number;

    /// <summary>The ends of the interval over the middle value, at most 1 and at least 1 [-].</summary>
    /// <remarks>The figures err independently and multiply; those that scale a part only, such as the burst, count with its share.</remarks>
    public (double Down, double Up) Factors(in EmissionSums sums)
    {
        if (!((IsTvoc ? sums.Tvoc : sums.Number) > 0))
        {
            return (1, 1);
        }

        var logs = fixedLogs;
        var step = MeanStep(in sums);
        Add(ref logs, slope.Above * step, slope.Below * step);
        if (!IsTvoc)
        {
            AddShare(ref logs, in burst, sums.Burst / sums.Number);
            AddShare(ref logs, in idle, (sums.IdleHot + sums.WarmUp) / sums.Number);
        }

        return (Math.Exp(Math.Min(0, logs.Quantile(-z))), Math.Exp(Math.Max(0, logs.Quantile(z))));
    }

    private static double Log(double ratio) => Math.Log(ratio > Smallest ? ratio : Smallest);

    private void AddShare(ref SkewedSum logs, in Side side, double share)
    {
        if (share > 0)
        {
            Add(ref logs, Log(1 + share * side.Above), Log(1 + share * side.Below));
        }
    }

    /// <summary>Adds a figure by the logarithms it causes at both ends; which of them is the upper one does not matter.</summary>
    private void Add(ref SkewedSum logs, double one, double other) =>
        logs.Add(Math.Max(0, Math.Max(one, other)) / z, Math.Max(0, -Math.Min(one, other)) / z);

    /// <summary>How a figure differs from its middle at both ends of the interval.</summary>
    private readonly record struct Side(double Above, double Below)
    {
        public static Side Relative(Figure figure, double z) =>
            figure.Value > 0 ? new Side(figure.At(z) / figure.Value - 1, figure.At(-z) / figure.Value - 1) : default;
    }
}
