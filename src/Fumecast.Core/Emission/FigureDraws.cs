// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>The figures of one material for every point of the draws, all but its yields.</summary>
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

    // Species seldom come so far; those that do share it.
    private const int VisibleDimension = 47;

    private readonly StandardDraws _draws;
    private readonly Dictionary<int, double[]> _shares = [];
    private double[]? _particleMassUg;
    private double[]? _hotter;
    private double[]? _tvocHotter;
    private double[]? _exactly;

    /// <summary>Draws the figures of a material.</summary>
    /// <param name="material">The material.</param>
    /// <param name="draws">Its deviates.</param>
    public FigureDraws(Material material, StandardDraws draws)
    {
        Material = material;
        _draws = draws;
        var rules = material.Rules;
        Slope = At(rules.NumberSlopePerK, SlopeDimension);
        Dose = At(rules.StartDose, DoseDimension);
        OwnShare = At(rules.NozzleShare, NozzleShareDimension);
        TvocSlope = At(rules.TvocSlopePerK, TvocSlopeDimension);
        TvocOwnShare = At(rules.TvocNozzleShare, TvocNozzleShareDimension);
    }

    /// <summary>The material.</summary>
    public Material Material { get; }

    /// <summary>Points of the draws [-].</summary>
    public int Points => _draws.Points;

    /// <summary>Sensitivity of the particles to the nozzle temperature [1/K].</summary>
    public double[] Slope { get; }

    /// <summary>The whole start dose over its decay time, in reference rates [-].</summary>
    public double[] Dose { get; }

    /// <summary>The nozzle's own share of the particles [-].</summary>
    public double[] OwnShare { get; }

    /// <summary>Sensitivity of the volatile organic compounds to the nozzle temperature [1/K].</summary>
    public double[] TvocSlope { get; }

    /// <summary>The nozzle's own share of the volatile organic compounds [-].</summary>
    public double[] TvocOwnShare { get; }

    /// <summary>What the shift of an unknown set point does to the particles of a tool; 1 where it is known [-].</summary>
    public double[] Hotter(ToolEmission tool) => tool.NozzleIsAssumed ? _hotter ??= Shifted(Slope) : _exactly ??= Ones();

    /// <summary>The same for the volatile organic compounds [-].</summary>
    public double[] TvocHotter(ToolEmission tool) => tool.NozzleIsAssumed ? _tvocHotter ??= Shifted(TvocSlope) : _exactly ??= Ones();

    /// <summary>The particle yield, one for each point, for what is not put in in closed form [1/g].</summary>
    public double[] NumberYield() => At(Material.NumberYieldPerG, YieldDimension);

    /// <summary>The yield of volatile organic compounds, one for each point, for what is not put in in closed form [ug/g].</summary>
    public double[] TvocYield() => At(Material.TvocYieldUgPerG, TvocDimension);

    /// <summary>The particle yield for every draw of a ratio; draw i belongs to point i modulo <see cref="Points"/> [1/g].</summary>
    public double[] NumberYieldDraws() => Array.ConvertAll(_draws.OfYield(YieldDimension), Material.NumberYieldPerG.At);

    /// <summary>The yield of volatile organic compounds for every draw of a ratio, likewise [ug/g].</summary>
    public double[] TvocYieldDraws() => Array.ConvertAll(_draws.OfYield(TvocDimension), Material.TvocYieldUgPerG.At);

    /// <summary>Mean mass of a particle [ug].</summary>
    public double[] ParticleMassUg()
    {
        if (_particleMassUg is null)
        {
            _particleMassUg = new double[Points];
            for (var i = 0; i < _particleMassUg.Length; i++)
            {
                var (size, densityGPerCm3) = ParticlesAt(i);
                _particleMassUg[i] = size.MeanMassUg(densityGPerCm3);
            }
        }

        return _particleMassUg;
    }

    /// <summary>Sizes and density of the particles at a point.</summary>
    /// <param name="point">The point.</param>
    public (ParticleSize Size, double DensityGPerCm3) ParticlesAt(int point)
    {
        // A width below 1 does not exist, and a diameter of 0 has no mass.
        var rules = Material.Rules;
        var size = new ParticleSize(rules.GmdNm.At(_draws.Of(DiameterDimension)[point]), Math.Max(1, rules.Gsd.At(_draws.Of(WidthDimension)[point])));
        return (size, rules.ParticleDensityGPerCm3.At(_draws.Of(DensityDimension)[point]));
    }

    /// <summary>Mass that an optical meter sees, for each gram at the reference temperature of the particle number, one for each point [ug/g].</summary>
    /// <exception cref="InvalidOperationException">The material has no such figure.</exception>
    public double[] VisibleYield()
    {
        var figure = Material.VisibleYieldUgPerG ?? throw new InvalidOperationException("the material has no visible mass of its own");
        var step = (Material.NumberYieldPerG.AtC - figure.AtC) ?? 0;
        return [.. At(figure, VisibleDimension).Select((yield, i) => yield * Math.Exp(Slope[i] * step))];
    }

    /// <summary>The same as the sizes of the particles make it: mass above a diameter, for each gram at the reference temperature [ug/g].</summary>
    /// <param name="fromNm">The diameter [nm].</param>
    public double[] VisibleBySize(double fromNm) => [.. NumberYield().Select((number, i) =>
    {
        var (size, densityGPerCm3) = ParticlesAt(i);
        return number * size.MeanMassUg(densityGPerCm3) * size.MassShareAbove(fromNm);
    })];

    /// <summary>Share of a substance in the volatile organic compounds [-].</summary>
    /// <param name="index">Its place in the material's list.</param>
    public double[] ShareOf(int index)
    {
        if (!_shares.TryGetValue(index, out var share))
        {
            share = At(Material.Species[index].ShareOfTvoc, Math.Min(FirstSpeciesDimension + index, StandardDraws.Dimensions - 1));
            _shares.Add(index, share);
        }

        return share;
    }

    /// <summary>One shift for all of a tool: what is not known is its set point, and that multiplies every exponential alike.</summary>
    private double[] Shifted(double[] slopes)
    {
        var deviationK = Material.NozzleC.Range is { } usual ? (usual.High - usual.Low) / (2 * Figure.RangeEndZ) : 0;
        var z = _draws.Of(NozzleDimension);
        return [.. slopes.Select((slope, i) => Math.Exp(slope * deviationK * z[i]))];
    }

    private double[] Ones()
    {
        var ones = new double[Points];
        Array.Fill(ones, 1);
        return ones;
    }

    private double[] At(Figure figure, int dimension) => Array.ConvertAll(_draws.Of(dimension), figure.At);
}
