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
    private readonly double[] warmAge;
    private readonly double[] age;

    public ToolDraws(ToolEmission tool, FigureDraws figures)
    {
        this.tool = tool;
        Figures = figures;
        var rules = tool.Material.Rules;
        atC = tool.Material.NumberYieldPerG.AtC!.Value;
        capPerS = rules.NumberCapPerMin.Value / 60;
        decayS = rules.StartDoseDecayS.Value;
        (Printing, IdleHot, WarmUp, warmAge, age) = (New(), New(), New(), New(), New());
        (TvocPrinting, TvocIdleHot, TvocWarmUp) = (New(), New(), New());
        var temperatures = TemperatureBin.Merge(tool.Temperatures);
        DrawNumber(temperatures);
        DrawTvoc(temperatures);
        CutByCap();

        double[] New() => new double[figures.Count];
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

    private void DrawNumber(List<TemperatureBin> temperatures)
    {
        foreach (var bin in temperatures)
        {
            // Mean temperatures of their own, since a kelvin already matters: the nozzle may print hotter than it waits.
            var massStep = bin.MassG > 0 ? bin.MassTimesC / bin.MassG - atC : 0;
            var timeStep = bin.TimeTimesC / bin.TimeS - atC;
            for (var i = 0; i < Printing.Length; i += Vector<double>.Count)
            {
                // The last, shorter stretch is taken from the full vector that ends there; see Store.
                var from = Math.Min(i, Printing.Length - Vector<double>.Count);
                var b = new Vector<double>(Figures.Slope, from);
                var y = new Vector<double>(Figures.Yield, from);
                var s = new Vector<double>(Figures.OwnShare, from);
                var hot = Vector.Exp(b * timeStep);
                var own = y * s * hot * tool.ReferenceGPerS;
                var byMass = bin.MassG > 0 ? y * (Vector<double>.One - s) * Vector.Exp(b * massStep) * bin.MassG : Vector<double>.Zero;
                Store(Printing, byMass + own * bin.PrintingS, from, i);
                Store(IdleHot, own * bin.IdleS, from, i);
                Store(WarmUp, own * bin.WarmS, from, i);
                var aging = hot * new Vector<double>(Figures.Hotter, from) / decayS;
                Store(warmAge, aging * bin.WarmS, from, i);
                Store(age, aging * bin.TimeS, from, i);
            }
        }

        if (!tool.HasDose)
        {
            return;
        }

        // Which part of the later dose falls on moments of printing is taken from the middle values; the sum does not depend on it.
        var printing = tool.DoseSinceStart > 0 ? tool.DoseWhilePrinting / tool.DoseSinceStart : 0;
        for (var i = 0; i < Printing.Length; i++)
        {
            var dose = Figures.Dose[i] * decayS * tool.ReferenceGPerS * Figures.Yield[i] / Figures.Hotter[i];
            var leftAtStart = Math.Exp(-warmAge[i]);
            var later = dose * (leftAtStart - Math.Exp(-age[i]));
            WarmUp[i] += dose * (1 - leftAtStart);
            Printing[i] += later * printing;
            IdleHot[i] += later * (1 - printing);
        }
    }

    private void DrawTvoc(List<TemperatureBin> temperatures)
    {
        var tvocAtC = tool.Material.TvocYieldUgPerG.AtC!.Value;
        foreach (var bin in temperatures)
        {
            var massStep = bin.MassG > 0 ? bin.MassTimesC / bin.MassG - tvocAtC : 0;
            var timeStep = bin.TimeTimesC / bin.TimeS - tvocAtC;
            for (var i = 0; i < TvocPrinting.Length; i += Vector<double>.Count)
            {
                var from = Math.Min(i, TvocPrinting.Length - Vector<double>.Count);
                var b = new Vector<double>(Figures.TvocSlope, from);
                var y = new Vector<double>(Figures.TvocYield, from);
                var s = new Vector<double>(Figures.TvocOwnShare, from);
                var own = y * s * Vector.Exp(b * timeStep) * tool.ReferenceGPerS;
                var byMass = bin.MassG > 0 ? y * (Vector<double>.One - s) * Vector.Exp(b * massStep) * bin.MassG : Vector<double>.Zero;
                Store(TvocPrinting, byMass + own * bin.PrintingS, from, i);
                Store(TvocIdleHot, own * bin.IdleS, from, i);
                Store(TvocWarmUp, own * bin.WarmS, from, i);
            }
        }
    }

    /// <summary>Takes off what the cap keeps out at each moment, for the draws that come near it.</summary>
    private void CutByCap()
    {
        var history = tool.History;
        var cells = history.Cells;
        var highestStep = history.HighestC - atC;
        var factors = new double[cells.Length];
        for (var i = 0; i < Printing.Length; i++)
        {
            var (y, b, s) = (Figures.Yield[i], Figures.Slope[i], Figures.OwnShare[i]);
            var highestG = (s + Figures.Dose[i]) * tool.ReferenceGPerS + (1 - s) * history.HighestGPerS;
            if (y * Math.Exp(b * highestStep) * highestG > capPerS)
            {
                CutByCap(i, cells, factors);
            }
        }
    }

    private void CutByCap(int draw, ReadOnlySpan<LoadCell> cells, Span<double> factors)
    {
        var (y, b, s) = (Figures.Yield[draw], Figures.Slope[draw], Figures.OwnShare[draw]);
        var hotter = Figures.Hotter[draw];
        double cutPrinting = 0, cutIdleHot = 0, cutWarmUp = 0, gone = 0;
        for (var first = 0; first < cells.Length;)
        {
            var end = first;
            var ages = 0.0;
            for (; end < cells.Length && cells[end].Stretch == cells[first].Stretch; end++)
            {
                ref readonly var cell = ref cells[end];
                factors[end] = Math.Exp(b * (cell.TimeTimesC / cell.TimeS - atC));
                ages += factors[end] * hotter * cell.TimeS / decayS;
            }

            // The mean of what is left of the dose over the stretch.
            var left = Math.Exp(-gone) * (ages > 1e-6 ? (1 - Math.Exp(-ages)) / ages : 1 - ages / 2);
            gone += ages;
            for (; first < end; first++)
            {
                ref readonly var cell = ref cells[first];
                var ownPerS = y * factors[first] * tool.ReferenceGPerS * (s + Figures.Dose[draw] * left);
                var byMass = y * factors[first] * (1 - s) * cell.MassG;
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
        }

        Printing[draw] = Math.Max(0, Printing[draw] - cutPrinting);
        IdleHot[draw] = Math.Max(0, IdleHot[draw] - cutIdleHot);
        WarmUp[draw] = Math.Max(0, WarmUp[draw] - cutWarmUp);
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
