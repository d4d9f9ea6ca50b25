// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Emission;

/// <summary>A stretch of one tool, ready to take any draw of the figures.</summary>
internal readonly struct DrawnCell
{
    // A slope and a start as flat and cool as drawn at most leave the dose at this share of its usual age.
    private const double SlowestAge = 0.1;
    private const double DoseThatMatters = 1e-3;

    private readonly ToolBin _bin;
    private readonly double _step;
    private readonly double _tvocStep;
    private readonly bool _hasDose;

    /// <summary>Readies a stretch.</summary>
    /// <param name="bin">What it holds by component.</param>
    /// <param name="tool">The tool.</param>
    public DrawnCell(in ToolBin bin, ToolEmission tool)
    {
        (_bin, Tool) = (bin, tool);
        _step = BinRates.StepOf(bin.StepGK, in bin, tool.Material);
        _tvocStep = BinRates.TvocStepOf(in bin, tool.Material);
        _hasDose = tool.DoseAtStart > 0 && BinRates.LeftOf(in bin, 0, SlowestAge, tool) > DoseThatMatters;
    }

    /// <summary>The tool.</summary>
    public ToolEmission Tool { get; }

    /// <summary>Particles at the middle of all figures [-].</summary>
    public double MiddleNumber => _bin.Number;

    /// <summary>Volatile organic compounds at the middle of all figures [ug].</summary>
    public double MiddleTvocUg => _bin.TvocUg;

    /// <summary>Particles at a point of the draws, the cap put on moments with and without deposit apart [-].</summary>
    /// <param name="figures">The draws of its material.</param>
    /// <param name="point">The point.</param>
    /// <param name="yieldPerG">The yield there [1/g].</param>
    /// <param name="capPerS">No more than this leaves a nozzle [1/s].</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public double Number(FigureDraws figures, int point, double yieldPerG, double capPerS)
    {
        var off = figures.Slope[point] - Tool.Material.Rules.NumberSlopePerK.Value;
        var (hotter, share) = (figures.Hotter(Tool)[point], figures.OwnShare[point]);
        var hot = Math.Exp(off * _step) * hotter;
        var own = share;
        if (_hasDose)
        {
            own += figures.Dose[point] * Tool.DoseAtStart * BinRates.LeftOf(in _bin, off, hotter, Tool);
        }

        var printing = yieldPerG * hot * (own * _bin.PrintingOwnG + (1 - share) * _bin.MassG);
        var resting = yieldPerG * hot * own * _bin.RestingOwnG;
        return Math.Min(capPerS * _bin.PrintingS, printing) + Math.Min(capPerS * _bin.RestingS, resting);
    }

    /// <summary>Volatile organic compounds at a point of the draws [ug].</summary>
    /// <param name="figures">The draws of its material.</param>
    /// <param name="point">The point.</param>
    /// <param name="yieldUgPerG">The yield there [ug/g].</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public double TvocUg(FigureDraws figures, int point, double yieldUgPerG)
    {
        var off = figures.TvocSlope[point] - Tool.Material.Rules.TvocSlopePerK.Value;
        var share = figures.TvocOwnShare[point];
        return yieldUgPerG * Math.Exp(off * _tvocStep) * figures.TvocHotter(Tool)[point] * (share * _bin.TvocOwnG + (1 - share) * _bin.TvocMassG);
    }
}
