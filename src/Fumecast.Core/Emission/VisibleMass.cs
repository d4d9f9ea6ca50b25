// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>What an optical meter can see of a material: by its own figure where that was measured, else by the sizes of its particles.</summary>
internal static class VisibleMass
{
    /// <summary>No rate that a mass in ug comes near: the cap belongs to the number [1/min].</summary>
    private const double NoCapPerMin = 1e20;

    /// <summary>Sizes that reach no meter at all would have no logarithm [ug/g].</summary>
    private const double LeastUgPerG = 1e-12;

    /// <summary>For each gram at the reference temperature of the particle number, at the middle of all figures [ug/g].</summary>
    /// <param name="material">A material with a figure for it.</param>
    public static double MiddleUgPerG(Material material) => material.VisibleYieldUgPerG is { } figure
        ? figure.Value * Math.Exp(material.Rules.NumberSlopePerK.Value * ((material.NumberYieldPerG.AtC - figure.AtC) ?? 0))
        : throw new ArgumentException("the material has no visible mass of its own", nameof(material));

    /// <summary>The figure that the sizes of the particles give, at the reference temperature of their number.</summary>
    /// <param name="material">The material.</param>
    public static Figure BySize(Material material)
    {
        double[] logs = [.. new FigureDraws(material, StandardDraws.OfAir(material.Id, 0)).VisibleBySize(Agent.VisibleFromNm).Select(static seen => Math.Log(Math.Max(LeastUgPerG, seen)))];
        var mean = logs.Average();
        return material.NumberYieldPerG with
        {
            Quantity = Quantity.MassYield,
            Value = Math.Exp(mean),
            Gsd = Math.Exp(Math.Sqrt(logs.Average(log => (log - mean) * (log - mean)))),
            Range = null,
        };
    }

    /// <summary>A material whose particles are counted in ug that a meter sees: a job of it tells what is seen of the job.</summary>
    /// <param name="material">A material.</param>
    /// <param name="figure">What is seen of each gram.</param>
    public static Material Counted(Material material, Figure figure) => material with
    {
        NumberYieldPerG = figure,
        Rules = material.Rules with { NumberCapPerMin = material.Rules.NumberCapPerMin with { Value = NoCapPerMin, Gsd = null, Range = null } },
    };
}
