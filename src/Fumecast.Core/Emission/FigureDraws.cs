// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>The figures of one tool's material for every point of the draws, and its yields for every draw.</summary>
/// <remarks>Draw i belongs to point i modulo <see cref="Points"/>.</remarks>
internal sealed class FigureDraws
{
    private const int YieldDimension = 1;
    private const int SlopeDimension = 2;
    private const int DoseDimension = 3;
    private const int NozzleShareDimension = 4;
    private const int DiameterDimension = 5;
    private const int WidthDimension = 6;
    private const int DensityDimension = 7;
    private const int TvocDimension = 8;
    private const int TvocSlopeDimension = 9;
    private const int TvocNozzleShareDimension = 10;
    private const int NozzleDimension = 11;
    private const int FirstSpeciesDimension = 12;

    private readonly Material material;
    private readonly StandardDraws draws;
    private readonly Dictionary<int, double[]> shares = [];
    private double[]? particleMassUg;

    /// <summary>Draws the figures of a tool.</summary>
    /// <param name="tool">The tool.</param>
    /// <param name="draws">Deviates of its material.</param>
    /// <param name="nozzleIsAssumed">Whether the job states no nozzle temperature, so that it may lie anywhere in the usual range.</param>
    public FigureDraws(ToolEmission tool, StandardDraws draws, bool nozzleIsAssumed)
    {
        material = tool.Material;
        this.draws = draws;
        var rules = material.Rules;
        Yield = Array.ConvertAll(draws.OfYield(YieldDimension), material.NumberYieldPerG.At);
        Slope = At(rules.NumberSlopePerK, SlopeDimension);
        Dose = Array.ConvertAll(At(rules.StartDose, DoseDimension), dose => dose * tool.DoseAtStart);
        OwnShare = At(rules.NozzleShare, NozzleShareDimension);
        TvocYield = Array.ConvertAll(draws.OfYield(TvocDimension), material.TvocYieldUgPerG.At);
        TvocSlope = At(rules.TvocSlopePerK, TvocSlopeDimension);
        TvocOwnShare = At(rules.TvocNozzleShare, TvocNozzleShareDimension);
        (Hotter, TvocHotter) = (new double[Points], new double[Points]);
        var deviationK = nozzleIsAssumed && material.NozzleC.Range is { } usual ? (usual.High - usual.Low) / (2 * Figure.RangeEndZ) : 0;
        var z = draws.Of(NozzleDimension);
        for (var i = 0; i < Points; i++)
        {
            // One shift for the whole job: what is not known is the set point, and it multiplies every exponential alike.
            Hotter[i] = Math.Exp(Slope[i] * deviationK * z[i]);
            TvocHotter[i] = Math.Exp(TvocSlope[i] * deviationK * z[i]);
        }
    }

    /// <summary>Points of the draws [-].</summary>
    public static int Points => StandardDraws.Points;

    /// <summary>Number of draws [-].</summary>
    public int Count => draws.Count;

    /// <summary>Particles for each gram at the reference temperature, for every draw [1/g].</summary>
    public double[] Yield { get; }

    /// <summary>Sensitivity of the particles to the nozzle temperature [1/K].</summary>
    public double[] Slope { get; }

    /// <summary>The start dose over its decay time, in reference rates; 0 for a purged nozzle [-].</summary>
    public double[] Dose { get; }

    /// <summary>The nozzle's own share of the particles [-].</summary>
    public double[] OwnShare { get; }

    /// <summary>Volatile organic compounds for each gram at the reference temperature, for every draw [ug/g].</summary>
    public double[] TvocYield { get; }

    /// <summary>Sensitivity of the volatile organic compounds to the nozzle temperature [1/K].</summary>
    public double[] TvocSlope { get; }

    /// <summary>The nozzle's own share of the volatile organic compounds [-].</summary>
    public double[] TvocOwnShare { get; }

    /// <summary>What the shift of an unknown set point does to the particles; 1 where it is known [-].</summary>
    public double[] Hotter { get; }

    /// <summary>The same for the volatile organic compounds [-].</summary>
    public double[] TvocHotter { get; }

    /// <summary>Mean mass of a particle [ug].</summary>
    public double[] ParticleMassUg()
    {
        if (particleMassUg is null)
        {
            var rules = material.Rules;
            var (diameter, width, density) = (draws.Of(DiameterDimension), draws.Of(WidthDimension), draws.Of(DensityDimension));
            particleMassUg = new double[Points];
            for (var i = 0; i < particleMassUg.Length; i++)
            {
                // A width below 1 does not exist, and a diameter of 0 has no mass.
                var size = new ParticleSize(rules.GmdNm.At(diameter[i]), Math.Max(1, rules.Gsd.At(width[i])));
                particleMassUg[i] = size.MeanMassUg(rules.ParticleDensityGPerCm3.At(density[i]));
            }
        }

        return particleMassUg;
    }

    /// <summary>Share of a substance in the volatile organic compounds [-].</summary>
    /// <param name="index">Its place in the material's list.</param>
    public double[] ShareOf(int index)
    {
        if (!shares.TryGetValue(index, out var share))
        {
            share = At(material.Species[index].ShareOfTvoc, Math.Min(FirstSpeciesDimension + index, StandardDraws.Dimensions - 1));
            shares.Add(index, share);
        }

        return share;
    }

    private double[] At(Figure figure, int dimension) => Array.ConvertAll(draws.Of(dimension), figure.At);
}
