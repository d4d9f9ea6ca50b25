// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Fumecast.Emission;

/// <summary>Totals of one tool for every draw of the figures, from what happened at each temperature.</summary>
/// <remarks>
/// The nozzle's own particles need only hot time, those by mass only mass, and the start dose only the hot time before the first deposit
/// and in all. Draws that come near the cap go through the job's rates once more (<see cref="LoadHistory"/>).
/// </remarks>
internal sealed class ToolDraws
{
    private readonly ToolEmission tool;
    private readonly double atC;
    private readonly double capPerS;
    private readonly double decayS;

    public ToolDraws(ToolEmission tool, FigureDraws figures)
    {
        this.tool = tool;
        Figures = figures;
        var rules = tool.Material.Rules;
        atC = tool.Material.NumberYieldPerG.AtC!.Value;
        capPerS = rules.NumberCapPerMin.Value / 60;
        decayS = rules.StartDoseDecayS.Value;
        var temperatures = TemperatureBin.Merge(tool.Temperatures);
        var (printing, idleHot, warmUp) = NumberPerYield(temperatures);
        (Printing, IdleHot, WarmUp) = (Times(figures.Yield, printing), Times(figures.Yield, idleHot), Times(figures.Yield, warmUp));
        (printing, idleHot, warmUp) = TvocPerYield(temperatures);
        (TvocPrinting, TvocIdleHot, TvocWarmUp) = (Times(figures.TvocYield, printing), Times(figures.TvocYield, idleHot), Times(figures.TvocYield, warmUp));
        CutByCap();
    }

    public FigureDraws Figures { get; }

    /// <summary>Particles while depositing, for each draw [-].</summary>
    public double[] Printing { get; }

    /// <summary>Particles of the hot nozzle without deposit after the first one, for each draw [-].</summary>
    public double[] IdleHot { get; }

    /// <summary>Particles before the first deposit, for each draw [-].</summary>
    public double[] WarmUp { get; }

    /// <summary>Volatile organic compounds while depositing, for each draw [ug].</summary>
    public double[] TvocPrinting { get; }

    /// <summary>Volatile organic compounds of the hot nozzle without deposit after the first one, for each draw [ug].</summary>
    public double[] TvocIdleHot { get; }

    /// <summary>Volatile organic compounds before the first deposit, for each draw [ug].</summary>
    public double[] TvocWarmUp { get; }

    /// <summary>Particles over the yield, for each point [g].</summary>
    private (double[] Printing, double[] IdleHot, double[] WarmUp) NumberPerYield(List<TemperatureBin> temperatures)
    {
        var (printing, idleHot, warmUp) = (New(), New(), New());
        var (warmAge, age) = (New(), New());
        foreach (var bin in temperatures)
        {
            // Mean temperatures of their own, since a kelvin already matters: the nozzle may print hotter than it waits.
            var massStep = bin.MassG > 0 ? bin.MassTimesC / bin.MassG - atC : 0;
            var timeStep = bin.TimeTimesC / bin.TimeS - atC;
            for (var i = 0; i < FigureDraws.Points; i += Vector<double>.Count)
            {
                // The last, shorter stretch is taken from the full vector that ends there; see Store.
                var from = Math.Min(i, FigureDraws.Points - Vector<double>.Count);
                var b = new Vector<double>(Figures.Slope, from);
                var s = new Vector<double>(Figures.OwnShare, from);
                var hot = Vector.Exp(b * timeStep) * new Vector<double>(Figures.Hotter, from);
                var own = s * hot * tool.ReferenceGPerS;
                var byMass = bin.MassG > 0
                    ? (Vector<double>.One - s) * Vector.Exp(b * massStep) * new Vector<double>(Figures.Hotter, from) * bin.MassG
                    : Vector<double>.Zero;
                Store(printing, byMass + own * bin.PrintingS, from, i);
                Store(idleHot, own * bin.IdleS, from, i);
                Store(warmUp, own * bin.WarmS, from, i);
                Store(warmAge, hot * (bin.WarmS / decayS), from, i);
                Store(age, hot * (bin.TimeS / decayS), from, i);
            }
        }

        // Which part of the later dose falls on moments of printing is taken from the middle values; the sum does not depend on it.
        var whilePrinting = tool.DoseSinceStart > 0 ? tool.DoseWhilePrinting / tool.DoseSinceStart : 0;
        for (var i = 0; i < FigureDraws.Points; i++)
        {
            var dose = Figures.Dose[i] * decayS * tool.ReferenceGPerS;
            var leftAtStart = Math.Exp(-warmAge[i]);
            var later = dose * (leftAtStart - Math.Exp(-age[i]));
            warmUp[i] += dose * (1 - leftAtStart);
            printing[i] += later * whilePrinting;
            idleHot[i] += later * (1 - whilePrinting);
        }

        return (printing, idleHot, warmUp);
    }

    /// <summary>Volatile organic compounds over the yield, for each point [g].</summary>
    private (double[] Printing, double[] IdleHot, double[] WarmUp) TvocPerYield(List<TemperatureBin> temperatures)
    {
        var (printing, idleHot, warmUp) = (New(), New(), New());
        var tvocAtC = tool.Material.TvocYieldUgPerG.AtC!.Value;
        foreach (var bin in temperatures)
        {
            var massStep = bin.MassG > 0 ? bin.MassTimesC / bin.MassG - tvocAtC : 0;
            var timeStep = bin.TimeTimesC / bin.TimeS - tvocAtC;
            for (var i = 0; i < FigureDraws.Points; i += Vector<double>.Count)
            {
                var from = Math.Min(i, FigureDraws.Points - Vector<double>.Count);
                var b = new Vector<double>(Figures.TvocSlope, from);
                var s = new Vector<double>(Figures.TvocOwnShare, from);
                var hotter = new Vector<double>(Figures.TvocHotter, from);
                var own = s * Vector.Exp(b * timeStep) * hotter * tool.ReferenceGPerS;
                var byMass = bin.MassG > 0 ? (Vector<double>.One - s) * Vector.Exp(b * massStep) * hotter * bin.MassG : Vector<double>.Zero;
                Store(printing, byMass + own * bin.PrintingS, from, i);
                Store(idleHot, own * bin.IdleS, from, i);
                Store(warmUp, own * bin.WarmS, from, i);
            }
        }

        return (printing, idleHot, warmUp);
    }

    private static double[] New() => new double[FigureDraws.Points];

    private static double[] Times(double[] yields, double[] perYield)
    {
        var amounts = new double[yields.Length];
        for (var first = 0; first < amounts.Length; first += perYield.Length)
        {
            for (var i = 0; i < perYield.Length; i++)
            {
                amounts[first + i] = yields[first + i] * perYield[i];
            }
        }

        return amounts;
    }

    /// <summary>Takes off what the cap keeps out at each moment, for the draws that come near it.</summary>
    private void CutByCap()
    {
        var history = tool.History;
        var cells = history.Cells;
        var highestStep = history.HighestC - atC;
        var perYield = new CellRate[cells.Length];
        for (var point = 0; point < FigureDraws.Points; point++)
        {
            var (b, s) = (Figures.Slope[point], Figures.OwnShare[point]);
            var highestG = (s + Figures.Dose[point]) * tool.ReferenceGPerS + (1 - s) * history.HighestGPerS;
            var mostPerYield = Math.Exp(b * highestStep) * Figures.Hotter[point] * highestG;
            var isFilled = false;
            for (var draw = point; draw < Printing.Length; draw += FigureDraws.Points)
            {
                if (Figures.Yield[draw] * mostPerYield <= capPerS)
                {
                    continue;
                }

                if (!isFilled)
                {
                    Fill(point, cells, perYield);
                    isFilled = true;
                }

                CutByCap(draw, cells, perYield);
            }
        }
    }

    /// <summary>What each cell gives off over the yield, at one point.</summary>
    private void Fill(int point, ReadOnlySpan<LoadCell> cells, Span<CellRate> rates)
    {
        var (b, s, hotter) = (Figures.Slope[point], Figures.OwnShare[point], Figures.Hotter[point]);
        var gone = 0.0;
        for (var first = 0; first < cells.Length;)
        {
            var end = first;
            var ages = 0.0;
            for (; end < cells.Length && cells[end].Stretch == cells[first].Stretch; end++)
            {
                ref readonly var cell = ref cells[end];
                var hot = Math.Exp(b * (cell.TimeTimesC / cell.TimeS - atC)) * hotter;
                rates[end] = new CellRate(hot, hot * (1 - s) * cell.MassG);
                ages += hot * cell.TimeS / decayS;
            }

            // The mean of what is left of the dose over the stretch.
            var left = Math.Exp(-gone) * (ages > 1e-6 ? (1 - Math.Exp(-ages)) / ages : 1 - ages / 2);
            gone += ages;
            for (; first < end; first++)
            {
                rates[first] = rates[first] with { OwnGPerS = rates[first].OwnGPerS * tool.ReferenceGPerS * (s + Figures.Dose[point] * left) };
            }
        }
    }

    private void CutByCap(int draw, ReadOnlySpan<LoadCell> cells, ReadOnlySpan<CellRate> rates)
    {
        var y = Figures.Yield[draw];
        double cutPrinting = 0, cutIdleHot = 0, cutWarmUp = 0;
        for (var i = 0; i < cells.Length; i++)
        {
            ref readonly var cell = ref cells[i];
            var (ownPerS, byMass) = (y * rates[i].OwnGPerS, y * rates[i].ByMassG);
            var all = ownPerS * cell.TimeS + byMass;
            var highest = capPerS * cell.TimeS;
            if (all > highest)
            {
                var cut = 1 - highest / all;
                cutPrinting += cut * (byMass + ownPerS * cell.PrintingS);
                cutIdleHot += cut * ownPerS * cell.IdleS;
                cutWarmUp += cut * ownPerS * cell.WarmS;
            }
        }

        Printing[draw] = Math.Max(0, Printing[draw] - cutPrinting);
        IdleHot[draw] = Math.Max(0, IdleHot[draw] - cutIdleHot);
        WarmUp[draw] = Math.Max(0, WarmUp[draw] - cutWarmUp);
    }

    private readonly record struct CellRate(double OwnGPerS, double ByMassG);

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
