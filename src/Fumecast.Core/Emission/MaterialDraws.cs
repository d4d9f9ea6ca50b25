// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>What the tools with one material give off, in a job or in a bin of time, over draws of its figures.</summary>
/// <param name="Figures">The figures.</param>
/// <param name="Number">Particles as they depend on their yield [-].</param>
/// <param name="Tvoc">Volatile organic compounds as they depend on their yield [ug].</param>
internal sealed record MaterialDraws(FigureDraws Figures, YieldCurves Number, YieldCurves Tvoc)
{
    /// <summary>What an agent is a part of.</summary>
    public YieldCurves Curves(AgentPart part) => part.IsTvoc ? Tvoc : Number;

    /// <summary>The factor of an agent for each point; null when it is exactly 1.</summary>
    public double[]? Factor(AgentPart part) => part.FactorDraws?.Invoke(Figures);

    /// <summary>One yield for each point.</summary>
    public double[] Yields(AgentPart part) => part.IsTvoc ? Figures.TvocYield() : Figures.NumberYield();

    /// <summary>Several yields for each point, for ratios.</summary>
    public double[] YieldDraws(AgentPart part) => part.IsTvoc ? Figures.TvocYieldDraws() : Figures.NumberYieldDraws();
}
