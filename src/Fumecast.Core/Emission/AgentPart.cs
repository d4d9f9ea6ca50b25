// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>What one tool adds to an agent: its particles or its volatile compounds, times a factor.</summary>
/// <param name="Tool">The tool.</param>
/// <param name="IsTvoc">Whether it is a part of the volatile compounds; else of the particles.</param>
/// <param name="Factor">Amount for each particle, or for each microgram, at the middle of its figures [unit of the agent].</param>
/// <param name="FactorFigures">The figures the factor rests on.</param>
/// <param name="FactorDraws">The factor for each draw; null when it is exact.</param>
internal sealed record AgentPart(
    ToolEmission Tool, bool IsTvoc, double Factor, IReadOnlyList<Figure> FactorFigures, Func<FigureDraws, double[]>? FactorDraws)
{
    public Figure Yield => IsTvoc ? Tool.Material.TvocYieldUgPerG : Tool.Material.NumberYieldPerG;

    public Figure Slope => IsTvoc ? Tool.Material.Rules.TvocSlopePerK : Tool.Material.Rules.NumberSlopePerK;

    /// <summary>Amount of a phase at the middle of all figures [unit of the agent].</summary>
    public double Amount(in EmissionSums sums, EmissionPhase phase) => Factor * phase switch
    {
        EmissionPhase.WarmUp => IsTvoc ? sums.TvocWarmUp : sums.WarmUp,
        EmissionPhase.Printing => IsTvoc ? sums.TvocPrinting : sums.Printing,
        EmissionPhase.IdleHot => IsTvoc ? sums.TvocIdleHot : sums.IdleHot,
        _ => IsTvoc ? sums.Tvoc : sums.Number,
    };

    /// <summary>Amount in a bin at the middle of all figures [unit of the agent].</summary>
    public double Amount(in ToolBin bin) => Factor * (IsTvoc ? bin.TvocUg : bin.Number);

    /// <summary>The figures that bear on at least a share of this part, and the yield always.</summary>
    /// <param name="share">The share [-].</param>
    public IEnumerable<Figure> FiguresThatCount(double share)
    {
        var sums = Tool.Total;
        var rules = Tool.Material.Rules;
        foreach (var figure in FactorFigures)
        {
            yield return figure;
        }

        yield return Yield;
        var (all, step, own) = IsTvoc ? (sums.Tvoc, sums.TvocStep, sums.TvocOwn) : (sums.Number, sums.NumberStep, sums.Own);
        if (!(all > 0))
        {
            yield break;
        }

        if (Math.Abs(Slope.Value * step) >= share * all)
        {
            yield return Slope;
        }

        if (own >= share * all)
        {
            yield return IsTvoc ? rules.TvocNozzleShare : rules.NozzleShare;
            yield return rules.ReferenceRateGPerH;
        }

        if (!IsTvoc && sums.Dose >= share * all)
        {
            yield return rules.StartDose;
            yield return rules.StartDoseDecayS;
        }

        if (!IsTvoc && sums.CutByCap >= share * all)
        {
            yield return rules.NumberCapPerMin;
        }
    }
}
