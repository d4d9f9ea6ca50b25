// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Flow;

namespace Fumecast.Emission;

/// <summary>Follows what one tool with one material gives off, slice by slice, at the middle of all figures.</summary>
/// <remarks>
/// Source of the model: emissions reference, 9a, rules 1 to 5. A hot nozzle gives off particles of its own whatever is fed, and others in
/// proportion to the mass; residue in it is a store that evaporates once, the faster the hotter, whatever is fed.
/// </remarks>
internal sealed class ToolEmission
{
    /// <summary>Hottest nozzle that has a bin of its own; hotter ones share the last [degC].</summary>
    private const int HottestC = 600;

    /// <summary>What is left of a start dose below this share is not followed any more [-].</summary>
    private const double DoseIsGone = 1e-16;

    private readonly double numberYieldPerG;
    private readonly double numberSlope;
    private readonly double numberAtC;
    private readonly (double Low, double High) numberValidC;
    private readonly double ownShare;
    private readonly double tvocYieldUgPerG;
    private readonly double tvocSlope;
    private readonly double tvocAtC;
    private readonly (double Low, double High) tvocValidC;
    private readonly double tvocOwnShare;
    private readonly double capPerS;
    private readonly double onsetC;
    private readonly double doseAtStart;
    private readonly double doseSize;
    private readonly double dosePerS;

    // What depends on the temperature alone, kept as long as it does not change.
    private double tunedC = double.NegativeInfinity;
    private bool emits;
    private double numberFactor;
    private double tvocFactor;
    private int temperatureIndex;
    private double numberOutside;
    private double tvocOutside;

    private double ownAge;
    private double ownEvaporated;

    private EmissionSums sums;
    private EmissionSums closed;
    private ToolBin bin;

    public ToolEmission(Material material, EmissionOptions options, NozzleResidue residue)
    {
        Material = material;
        Residue = residue;
        var rules = material.Rules;
        numberYieldPerG = material.NumberYieldPerG.Value;
        numberSlope = rules.NumberSlopePerK.Value;
        numberAtC = material.NumberYieldPerG.AtC ?? throw new ArgumentException("the particle yield has no reference temperature", nameof(material));
        numberValidC = rules.NumberSlopePerK.ValidC ?? (double.NegativeInfinity, double.PositiveInfinity);
        ownShare = rules.NozzleShare.Value;
        tvocYieldUgPerG = material.TvocYieldUgPerG.Value;
        tvocSlope = rules.TvocSlopePerK.Value;
        tvocAtC = material.TvocYieldUgPerG.AtC ?? throw new ArgumentException("the TVOC yield has no reference temperature", nameof(material));
        tvocValidC = rules.TvocSlopePerK.ValidC ?? (double.NegativeInfinity, double.PositiveInfinity);
        tvocOwnShare = rules.TvocNozzleShare.Value;
        capPerS = rules.NumberCapPerMin.Value / 60;
        ReferenceGPerS = rules.ReferenceRateGPerH.Value / 3600;
        onsetC = material.OnsetC.Value;
        doseAtStart = options.StartDoseLeft;
        doseSize = rules.StartDose.Value * doseAtStart;
        dosePerS = 1 / rules.StartDoseDecayS.Value;
        History = new LoadHistory(ReferenceGPerS);
    }

    public Material Material { get; }

    /// <summary>The residue in its nozzle.</summary>
    public NozzleResidue Residue { get; }

    /// <summary>Mass rate the yields belong to [g/s].</summary>
    public double ReferenceGPerS { get; }

    /// <summary>Share of the start dose that was in the nozzle at the start, 0 to 1 [-].</summary>
    public double DoseAtStart => doseAtStart;

    /// <summary>Whether nothing states its nozzle temperature, so that it may lie anywhere in the usual range.</summary>
    public bool NozzleIsAssumed { get; set; }

    /// <summary>Of what the tool would have evaporated of the start dose alone, the share that others in the same nozzle left it; 1 for a nozzle of its own [-].</summary>
    public double ShareOfDose => ownAge > 0 ? Math.Min(1, ownEvaporated / (1 - Math.Exp(-ownAge))) : 1;

    /// <summary>Share of the start dose that is in it still, 0 to 1 [-].</summary>
    public double DoseLeft => doseAtStart * Residue.Left;

    /// <summary>What happened at each temperature.</summary>
    public TemperatureBin[] Temperatures { get; } = new TemperatureBin[HottestC + 1];

    /// <summary>The rates of the particles that the job went through.</summary>
    public LoadHistory History { get; }

    /// <summary>Of the start dose, the share that evaporated after the first deposit [-].</summary>
    public double DoseSinceStart { get; private set; }

    /// <summary>Of the start dose, the share that evaporated while depositing [-].</summary>
    public double DoseWhilePrinting { get; private set; }

    /// <summary>Deposited mass above the onset [g].</summary>
    public double MassG { get; private set; }

    /// <summary>What the open bin of time holds so far.</summary>
    public ref readonly ToolBin Bin => ref bin;

    /// <summary>The whole job so far.</summary>
    public EmissionSums Total
    {
        get
        {
            var total = closed;
            total.Add(sums);
            return total;
        }
    }

    /// <summary>Closes the open bin of time.</summary>
    public void CloseBin()
    {
        closed.Add(sums);
        sums = default;
        bin = new ToolBin { AgeAtStart = Residue.Age, AgeStepK = Residue.AgeStepK };
    }

    /// <summary>Takes a slice with finite values.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(ref readonly PrintSlice slice, double densityGPerCm3)
    {
        var nozzleC = slice.NozzleC;
        if (nozzleC != tunedC)
        {
            Tune(nozzleC);
        }

        if (!emits)
        {
            return;
        }

        var durationS = slice.DurationS;
        var massG = slice.DepositedMm3 * densityGPerCm3 * 0.001;
        var extruding = slice.ExtrudingS / durationS;
        AddNumber(in slice, massG, extruding);
        AddTvoc(in slice, massG, extruding);

        ref var at = ref Temperatures[temperatureIndex];
        at.MassG += massG;
        at.MassTimesC += massG * nozzleC;
        at.TimeTimesC += durationS * nozzleC;
        MassG += massG;
        if (slice.HasStarted)
        {
            at.PrintingS += slice.ExtrudingS;
            at.IdleS += durationS - slice.ExtrudingS;
        }
        else
        {
            at.WarmS += durationS;
        }

        History.Add(durationS, slice.ExtrudingS, massG, nozzleC, slice.HasStarted);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void AddNumber(ref readonly PrintSlice slice, double massG, double extruding)
    {
        var step = slice.NozzleC - numberAtC;
        var ownG = ReferenceGPerS * slice.DurationS * numberFactor;
        var scaledG = massG * numberFactor;
        var own = numberYieldPerG * ownShare * ownG;
        var byMass = numberYieldPerG * (1 - ownShare) * scaledG;
        var evaporated = Evaporate(slice.DurationS, step);
        var dose = numberYieldPerG * doseSize * ReferenceGPerS / dosePerS * evaporated;
        var uncut = own + byMass + dose;
        var highest = capPerS * slice.DurationS;
        var cut = uncut > highest ? highest / uncut : 1;
        var number = uncut * cut;
        var resting = (own + dose) * (1 - extruding) * cut;
        var restingDose = dose * (1 - extruding) * cut;

        sums.Printing += number - resting;
        sums.PrintingOwn += own * extruding * cut;
        sums.PrintingDose += dose * extruding * cut;
        sums.CutByCap += uncut - number;
        sums.NumberStep += number * step;
        sums.NumberOutside += number * numberOutside;
        if (slice.HasStarted)
        {
            sums.IdleHot += resting;
            sums.IdleHotDose += restingDose;
            DoseWhilePrinting += evaporated * extruding;
            DoseSinceStart += evaporated;
        }
        else
        {
            sums.WarmUp += resting;
            sums.WarmUpDose += restingDose;
        }

        bin.Number += number;
        bin.MassG += scaledG;
        bin.StepGK += (ownShare * ownG + (1 - ownShare) * scaledG) * step;
        bin.AgeStepK = Residue.AgeStepK;
        if (massG > 0)
        {
            bin.PrintingOwnG += ownG;
            bin.PrintingS += slice.DurationS;
        }
        else
        {
            bin.RestingOwnG += ownG;
            bin.RestingS += slice.DurationS;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void AddTvoc(ref readonly PrintSlice slice, double massG, double extruding)
    {
        var step = slice.NozzleC - tvocAtC;
        var ownG = ReferenceGPerS * slice.DurationS * tvocFactor;
        var scaledG = massG * tvocFactor;
        var own = tvocYieldUgPerG * tvocOwnShare * ownG;
        var tvoc = own + tvocYieldUgPerG * (1 - tvocOwnShare) * scaledG;
        var resting = own * (1 - extruding);
        sums.TvocPrinting += tvoc - resting;
        sums.TvocOwn += own;
        sums.TvocStep += tvoc * step;
        sums.TvocOutside += tvoc * tvocOutside;
        if (slice.HasStarted)
        {
            sums.TvocIdleHot += resting;
        }
        else
        {
            sums.TvocWarmUp += resting;
        }

        bin.TvocUg += tvoc;
        bin.TvocOwnG += ownG;
        bin.TvocMassG += scaledG;
        bin.TvocStepGK += (tvocOwnShare * ownG + (1 - tvocOwnShare) * scaledG) * step;
    }

    private void Tune(double nozzleC)
    {
        tunedC = nozzleC;
        emits = nozzleC >= onsetC;
        if (!emits)
        {
            return;
        }

        numberFactor = Math.Exp(numberSlope * (nozzleC - numberAtC));
        tvocFactor = Math.Exp(tvocSlope * (nozzleC - tvocAtC));
        numberOutside = nozzleC >= numberValidC.Low && nozzleC <= numberValidC.High ? 0 : 1;
        tvocOutside = nozzleC >= tvocValidC.Low && nozzleC <= tvocValidC.High ? 0 : 1;
        temperatureIndex = (int)Math.Clamp(nozzleC, 0, HottestC);
    }

    /// <summary>Lets the start dose evaporate for a while.</summary>
    /// <returns>What leaves it, as a share of the whole [-].</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private double Evaporate(double durationS, double step)
    {
        var before = Residue.Left;
        var x = numberFactor * durationS * dosePerS;
        ownAge += x;
        Residue.Age += x;
        Residue.AgeStepK += x * step;
        if (before < DoseIsGone)
        {
            return 0;
        }

        // A series for the short steps of the rule: its terms beyond the sixth are below rounding.
        var gone = x < 0.01 ? x * (1 - x / 2 * (1 - x / 3 * (1 - x / 4 * (1 - x / 5 * (1 - x / 6))))) : 1 - Math.Exp(-x);
        Residue.Left = before * (1 - gone);
        ownEvaporated += before * gone;
        return before * gone;
    }
}
