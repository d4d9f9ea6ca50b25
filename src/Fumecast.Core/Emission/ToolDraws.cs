// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Fumecast.Emission;

/// <summary>Totals of one tool for every draw of the figures, from what happened at each temperature.</summary>
internal sealed class ToolDraws
{
    private const int YieldDimension = 1;
    private const int SlopeDimension = 2;
    private const int BurstDimension = 3;
    private const int IdleDimension = 4;
    private const int DiameterDimension = 5;
    private const int WidthDimension = 6;
    private const int DensityDimension = 7;
    private const int TvocDimension = 8;
    private const int TvocSlopeDimension = 9;
    private const int FirstSpeciesDimension = 10;

    private readonly ToolEmission tool;
    private readonly StandardDraws draws;
    private readonly List<TemperatureBin> temperatures;

    public ToolDraws(ToolEmission tool, StandardDraws draws)
    {
        this.tool = tool;
        this.draws = draws;
        temperatures = Merge(tool.Temperatures);
        DrawNumber();
        DrawTvoc();
    }

    /// <summary>Particles while depositing, for each draw [-].</summary>
    public double[] Printing { get; } = new double[StandardDraws.Count];

    /// <summary>Particles of the hot nozzle without deposit after the first one, for each draw [-].</summary>
    public double[] IdleHot { get; } = new double[StandardDraws.Count];

    /// <summary>Particles before the first deposit, for each draw [-].</summary>
    public double[] WarmUp { get; } = new double[StandardDraws.Count];

    /// <summary>Volatile organic compounds, for each draw [ug].</summary>
    public double[] Tvoc { get; } = new double[StandardDraws.Count];

    /// <summary>Mean mass of a particle, for each draw [ug].</summary>
    public double[] ParticleMassUg()
    {
        var rules = tool.Material.Rules;
        var diameter = draws.Of(DiameterDimension);
        var width = draws.Of(WidthDimension);
        var density = draws.Of(DensityDimension);
        var mass = new double[StandardDraws.Count];
        for (var i = 0; i < mass.Length; i++)
        {
            // A width below 1 does not exist, and a diameter of 0 has no mass.
            var size = new ParticleSize(rules.GmdNm.At(diameter[i]), Math.Max(1, rules.Gsd.At(width[i])));
            mass[i] = size.MeanMassUg(rules.ParticleDensityGPerCm3.At(density[i]));
        }

        return mass;
    }

    /// <summary>Share of a substance, for each draw [-].</summary>
    public double[] ShareOf(SpeciesFactor species, int index)
    {
        var z = draws.Of(Math.Min(FirstSpeciesDimension + index, StandardDraws.Dimensions - 1));
        return Array.ConvertAll(z, d => Math.Min(1, species.ShareOfTvoc.At(d)));
    }

    private double[] At(Figure figure, int dimension) => Array.ConvertAll(draws.Of(dimension), figure.At);

    private void DrawNumber()
    {
        var rules = tool.Material.Rules;
        var yield = At(tool.Material.NumberYieldPerG, YieldDimension);
        var slope = At(rules.NumberSlopePerK, SlopeDimension);
        var burst = At(rules.StartDose, BurstDimension);
        var idle = Array.ConvertAll(At(rules.NozzleShare, IdleDimension), share => share * tool.ReferenceGPerS);
        var atC = tool.Material.NumberYieldPerG.AtC!.Value;
        var capPerS = rules.NumberCapPerMin.Value / 60;
        foreach (var bin in temperatures)
        {
            // Mean temperatures of their own, since a kelvin already matters: the nozzle may print hotter than it waits.
            var massStep = bin.MassG > 0 ? bin.MassTimesC / bin.MassG - atC : 0;
            var restStep = bin.RestS > 0 ? bin.RestTimesC / bin.RestS - atC : 0;
            var cap = new Vector<double>(capPerS * bin.TimeS);
            for (var i = 0; i < StandardDraws.Count; i += Vector<double>.Count)
            {
                // The last, shorter stretch is taken from the full vector that ends there; see Store.
                var from = Math.Min(i, StandardDraws.Count - Vector<double>.Count);
                var b = new Vector<double>(slope, from);
                var k = new Vector<double>(burst, from);
                var y = new Vector<double>(yield, from);
                var print = bin.MassG > 0 ? y * Vector.Exp(b * massStep) * (k * bin.MassBurstG + new Vector<double>(bin.MassG)) : Vector<double>.Zero;
                var rest = bin.RestS > 0 ? y * Vector.Exp(b * restStep) * new Vector<double>(idle, from) : Vector<double>.Zero;
                var wait = rest * (k * bin.IdleBurstS + new Vector<double>(bin.IdleS));
                var warm = rest * (k * bin.WarmBurstS + new Vector<double>(bin.WarmS));
                var cut = Vector.Min(Vector<double>.One, cap / Vector.Max(print + wait + warm, new Vector<double>(double.Epsilon)));
                Store(Printing, print * cut, from, i);
                Store(IdleHot, wait * cut, from, i);
                Store(WarmUp, warm * cut, from, i);
            }
        }
    }

    private void DrawTvoc()
    {
        var yield = At(tool.Material.TvocYieldUgPerG, TvocDimension);
        var slope = At(tool.Material.Rules.TvocSlopePerK, TvocSlopeDimension);
        var atC = tool.Material.TvocYieldUgPerG.AtC!.Value;
        foreach (var bin in temperatures)
        {
            if (bin.MassG <= 0)
            {
                continue;
            }

            var step = bin.MassTimesC / bin.MassG - atC;
            for (var i = 0; i < StandardDraws.Count; i += Vector<double>.Count)
            {
                var from = Math.Min(i, StandardDraws.Count - Vector<double>.Count);
                var tvoc = new Vector<double>(yield, from) * Vector.Exp(new Vector<double>(slope, from) * step) * bin.MassG;
                Store(Tvoc, tvoc, from, i);
            }
        }
    }

    /// <summary>Joins neighbouring kelvins that hold little, up to four: a nozzle on its way passes hundreds of them.</summary>
    /// <remarks>Within four kelvins the exponential of a slope of 0.1 per K differs from that at the mean by at most 0.7 %.</remarks>
    private static List<TemperatureBin> Merge(TemperatureBin[] bins)
    {
        const int Most = 4;
        const double Little = 0.001;
        var (massG, timeS) = (bins.Sum(b => b.MassG), bins.Sum(b => b.TimeS));
        var merged = new List<TemperatureBin>();
        var open = default(TemperatureBin);
        var joined = 0;
        foreach (ref readonly var bin in bins.AsSpan())
        {
            open.Add(in bin);
            joined++;
            if (joined >= Most || open.MassG > Little * massG || open.TimeS > Little * timeS)
            {
                if (open.MassG > 0 || open.RestS > 0)
                {
                    merged.Add(open);
                }

                (open, joined) = (default, 0);
            }
        }

        if (open.MassG > 0 || open.RestS > 0)
        {
            merged.Add(open);
        }

        return merged;
    }

    /// <summary>Adds the lanes from <paramref name="first"/> on; those before it were added by the stretch before.</summary>
    private static void Store(double[] sums, Vector<double> values, int from, int first)
    {
        if (from == first)
        {
            (new Vector<double>(sums, from) + values).CopyTo(sums, from);
            return;
        }

        for (var lane = first - from; lane < Vector<double>.Count; lane++)
        {
            sums[from + lane] += values[lane];
        }
    }
}
