// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>Particles or vapours of the tools with one material, in a job or in a bin of time, over draws of its figures.</summary>
/// <param name="Figures">The figures.</param>
/// <param name="Curves">The particles [-] or the volatile organic compounds [ug], as they depend on their yield.</param>
internal sealed record MaterialDraws(FigureDraws Figures, YieldCurves Curves)
{
    /// <summary>The factor of an agent for each point; null when it is exactly 1.</summary>
    public double[]? Factor(AgentPart part) => part.FactorDraws?.Invoke(Figures);

    /// <summary>One yield for each point.</summary>
    public double[] Yields(AgentPart part) => part.IsTvoc ? Figures.TvocYield() : Figures.NumberYield();

    /// <summary>Several yields for each point, for ratios.</summary>
    public double[] YieldDraws(AgentPart part) => part.IsTvoc ? Figures.TvocYieldDraws() : Figures.NumberYieldDraws();
}
