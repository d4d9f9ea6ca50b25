// SPDX-License-Identifier: MIT
using System.Numerics;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>Totals of the tools with one material at every point of its figures, from what happened at each temperature.</summary>
/// <remarks>
/// The nozzle's own particles need only hot time, those by mass only mass, and the start dose only the hot time before the first deposit
/// and in all. Points at which some yield meets the cap go through the job's rates once more (<see cref="LoadHistory"/>).
/// </remarks>
internal sealed class JobDraws
{
    private readonly FigureDraws _figures;
    private readonly Figure _numberYield;
    private readonly Figure _tvocYield;
    private readonly double _capPerS;
    private readonly double _decayS;
    private readonly double _highestYieldPerG;

    private JobDraws(FigureDraws figures, double highestYieldPerG)
    {
        _highestYieldPerG = highestYieldPerG;
        _figures = figures;
        var material = figures.Material;
        (_numberYield, _tvocYield) = (material.NumberYieldPerG, material.TvocYieldUgPerG);
        _capPerS = material.Rules.NumberCapPerMin.Value / 60;
        _decayS = material.Rules.StartDoseDecayS.Value;
    }

    /// <summary>Draws the totals.</summary>
    /// <param name="tools">Tools that have printed, all with one material.</param>
    /// <param name="figures">The figures of the material.</param>
    /// <param name="interval">Coverage that is asked for [-].</param>
    /// <param name="ofParticles">Whether those of the particles; else those of the volatile organic compounds.</param>
    public static MaterialDraws Of(IReadOnlyList<ToolEmission> tools, FigureDraws figures, double interval, bool ofParticles)
    {
        var job = new JobDraws(figures, YieldCap.HighestOf(figures.Material.NumberYieldPerG, interval));
        return new MaterialDraws(figures, ofParticles ? job.NumberOf(tools) : job.TvocOf(tools));
    }

    private YieldCurves NumberOf(IReadOnlyList<ToolEmission> tools)
    {
        var (warmUp, printing, idleHot) = (New(), New(), New());
        foreach (var tool in tools)
        {
            AddNumber(tool, warmUp, printing, idleHot);
        }

        return new YieldCurves(_numberYield, warmUp, printing, idleHot, CapOf(tools));
    }

    /// <summary>Adds the particles of a tool over the yield, for each point [g].</summary>
    private void AddNumber(ToolEmission tool, double[] warmUp, double[] printing, double[] idleHot)
    {
        var (warmAge, age) = (New(), New());
        AddFed(tool, _numberYield.AtC!.Value, _figures.Slope, _figures.OwnShare, _figures.Hotter(tool), (warmUp, printing, idleHot), (warmAge, age));

        // Which part of the later dose falls on moments of printing is taken from the middle values; the sum does not depend on it.
        var whilePrinting = tool.DoseSinceStart > 0 ? tool.DoseWhilePrinting / tool.DoseSinceStart : 0;
        for (var i = 0; i < _figures.Points; i++)
        {
            var dose = _figures.Dose[i] * tool.DoseAtStart * tool.ShareOfDose * _decayS * tool.ReferenceGPerS;
            var leftAtStart = Math.Exp(-warmAge[i]);
            var later = dose * (leftAtStart - Math.Exp(-age[i]));
            warmUp[i] += dose * (1 - leftAtStart);
            printing[i] += later * whilePrinting;
            idleHot[i] += later * (1 - whilePrinting);
        }
    }

    /// <summary>Adds what the hot nozzle gives off by itself and by mass, over the yield, for each point [g]; and how much a start dose ages meanwhile.</summary>
    private void AddFed(
        ToolEmission tool, double atC, double[] slopes, double[] ownShares, double[] hotters,
        (double[] WarmUp, double[] Printing, double[] IdleHot) sums, (double[] WarmUp, double[] Whole)? ages)
    {
        foreach (var bin in tool.Temperatures)
        {
            if (!(bin.TimeS > 0))
            {
                continue;
            }

            // Mean temperatures of their own, since a kelvin already matters: the nozzle may print hotter than it waits.
            var massStep = bin.MassG > 0 ? bin.MassTimesC / bin.MassG - atC : 0;
            var timeStep = bin.TimeTimesC / bin.TimeS - atC;
            for (var i = 0; i < _figures.Points; i += Vector<double>.Count)
            {
                // The last, shorter stretch is taken from the full vector that ends there; see Store.
                var from = Math.Min(i, _figures.Points - Vector<double>.Count);
                var b = new Vector<double>(slopes, from);
                var s = new Vector<double>(ownShares, from);
                var hotter = new Vector<double>(hotters, from);
                var hot = Vector.Exp(b * timeStep) * hotter;
                var own = s * hot * tool.ReferenceGPerS;
                var byMass = bin.MassG > 0 ? (Vector<double>.One - s) * Vector.Exp(b * massStep) * hotter * bin.MassG : Vector<double>.Zero;
                Store(sums.Printing, byMass + own * bin.PrintingS, from, i);
                Store(sums.IdleHot, own * bin.IdleS, from, i);
                Store(sums.WarmUp, own * bin.WarmS, from, i);
                if (ages is var (warmAge, age))
                {
                    Store(warmAge, hot * (bin.WarmS / _decayS), from, i);
                    Store(age, hot * (bin.TimeS / _decayS), from, i);
                }
            }
        }
    }

    private YieldCurves TvocOf(IReadOnlyList<ToolEmission> tools)
    {
        var (warmUp, printing, idleHot) = (New(), New(), New());
        foreach (var tool in tools)
        {
            AddFed(tool, _tvocYield.AtC!.Value, _figures.TvocSlope, _figures.TvocOwnShare, _figures.TvocHotter(tool), (warmUp, printing, idleHot), null);
        }

        return new YieldCurves(_tvocYield, warmUp, printing, idleHot, null);
    }

    private double[] New() => new double[_figures.Points];

    private YieldCap CapOf(IReadOnlyList<ToolEmission> tools)
    {
        var lowest = New();
        for (var point = 0; point < lowest.Length; point++)
        {
            lowest[point] = Math.Log(_capPerS / tools.Max(tool => HighestGPerS(tool, point)));
        }

        var moments = new CapCell[tools.Sum(static tool => tool.History.Cells.Length)];
        var doses = tools.Select(static _ => new DoseUnderCap()).ToArray();
        return new YieldCap(lowest, _highestYieldPerG, point =>
        {
            var filled = 0;
            for (var i = 0; i < tools.Count; i++)
            {
                filled += Fill(tools[i], point, moments.AsSpan(filled), doses[i]);
            }

            return CapCurve.Of(moments, doses, _capPerS, _highestYieldPerG);
        });
    }

    /// <summary>No moment of the tool gives off more than this over the yield [g/s].</summary>
    private double HighestGPerS(ToolEmission tool, int point)
    {
        var (b, s) = (_figures.Slope[point], _figures.OwnShare[point]);
        var atReferenceC = (s + _figures.Dose[point] * tool.DoseAtStart * tool.ShareOfDose) * tool.ReferenceGPerS + (1 - s) * tool.History.HighestGPerS;
        return Math.Exp(b * (tool.History.HighestC - _numberYield.AtC!.Value)) * _figures.Hotter(tool)[point] * atReferenceC;
    }

    /// <summary>What the moments of a tool give off over the yield, at one point: all but the start dose, and how that leaves the nozzle.</summary>
    private int Fill(ToolEmission tool, int point, Span<CapCell> moments, DoseUnderCap dose)
    {
        var (b, s, hotter) = (_figures.Slope[point], _figures.OwnShare[point], _figures.Hotter(tool)[point]);
        var atC = _numberYield.AtC!.Value;
        var cells = tool.History.Cells;
        dose.Begin(_figures.Dose[point] * tool.DoseAtStart * tool.ShareOfDose * _decayS * tool.ReferenceGPerS);
        for (var i = 0; i < cells.Length; i++)
        {
            ref readonly var cell = ref cells[i];
            var hot = Math.Exp(b * (cell.TimeTimesC / cell.TimeS - atC)) * hotter;
            var own = s * hot * tool.ReferenceGPerS;
            var moment = new CapCell(cell.TimeS, own * cell.WarmS, (own * cell.PrintingS) + ((1 - s) * hot * cell.MassG), own * cell.IdleS);
            moments[i] = moment;
            dose.Add(new DoseMoment(cell.TimeS, moment.WholeG / cell.TimeS, hot / _decayS, cell.WarmS / cell.TimeS, cell.PrintingS / cell.TimeS));
            if (i + 1 == cells.Length || cells[i + 1].Stretch != cell.Stretch)
            {
                dose.CloseStretch();
            }
        }

        return cells.Length;
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
