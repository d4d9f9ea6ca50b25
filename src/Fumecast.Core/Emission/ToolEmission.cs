// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Flow;

namespace Fumecast.Emission;

/// <summary>Follows what one tool with one material gives off, slice by slice.</summary>
/// <remarks>
/// Source of the model: emissions reference, 9a, rules 1 to 5. The burst starts once for each tool, when its nozzle first reaches
/// the working temperature; it scales all particles from then on, also those of the idle nozzle.
/// </remarks>
internal sealed class ToolEmission
{
    /// <summary>Hottest nozzle that has a bin of its own; hotter ones share the last [degC].</summary>
    private const int HottestC = 600;

    /// <summary>What is left of a burst below this share is not followed any more [-]; reached after 37 decay times.</summary>
    private const double BurstIsOver = 1e-16;

    private readonly double numberYieldPerG;
    private readonly double numberSlope;
    private readonly double numberAtC;
    private readonly (double Low, double High) numberValidC;
    private readonly double tvocYieldUgPerG;
    private readonly double tvocSlope;
    private readonly double tvocAtC;
    private readonly (double Low, double High) tvocValidC;
    private readonly double capPerS;
    private readonly double idleGPerS;
    private readonly double onsetC;
    private readonly double workingC;
    private readonly double burstSize;
    private readonly double burstPerS;

    // What depends on the temperature alone, kept as long as it does not change.
    private double tunedC = double.NegativeInfinity;
    private bool emits;
    private double numberPerG;
    private double tvocUgPerG;
    private int temperatureIndex;
    private double numberOutside;
    private double tvocOutside;

    private bool burstStarted;
    private double burstStartS;
    private double burstLeft;
    private double burstEndS;

    private EmissionSums bin;
    private EmissionSums closed;

    public ToolEmission(Material material, EmissionOptions options)
    {
        Material = material;
        var rules = material.Rules;
        numberYieldPerG = material.NumberYieldPerG.Value;
        numberSlope = rules.NumberSlopePerK.Value;
        numberAtC = material.NumberYieldPerG.AtC ?? throw new ArgumentException("the particle yield has no reference temperature", nameof(material));
        numberValidC = rules.NumberSlopePerK.ValidC ?? (double.NegativeInfinity, double.PositiveInfinity);
        tvocYieldUgPerG = material.TvocYieldUgPerG.Value;
        tvocSlope = rules.TvocSlopePerK.Value;
        tvocAtC = material.TvocYieldUgPerG.AtC ?? throw new ArgumentException("the TVOC yield has no reference temperature", nameof(material));
        tvocValidC = rules.TvocSlopePerK.ValidC ?? (double.NegativeInfinity, double.PositiveInfinity);
        capPerS = rules.NumberCapPerMin.Value / 60;
        ReferenceGPerS = rules.ReferenceRateGPerH.Value / 3600;
        idleGPerS = rules.NozzleShare.Value * ReferenceGPerS;
        onsetC = material.OnsetC.Value;
        workingC = material.WorkingC;
        FlowExponent = options.FlowExponent ?? 1;
        burstSize = options.StartBurst ? rules.StartDose.Value : 0;
        burstPerS = 1 / rules.StartDoseDecayS.Value;
    }

    public Material Material { get; }

    /// <summary>Mass rate the yields belong to [g/s].</summary>
    public double ReferenceGPerS { get; }

    public double FlowExponent { get; }

    /// <summary>Particles while depositing, without the start burst [-].</summary>
    public double SteadyPrinting { get; private set; }

    /// <summary>Particles before the first deposit, without the start burst [-].</summary>
    public double SteadyWarmUp { get; private set; }

    /// <summary>Deposited mass above the onset, or its equivalent at the reference rate [g].</summary>
    public double MassG { get; private set; }

    /// <summary>What happened at each temperature.</summary>
    public TemperatureBin[] Temperatures { get; } = new TemperatureBin[HottestC + 1];

    /// <summary>What the open bin of time holds so far.</summary>
    public ref readonly EmissionSums Bin => ref bin;

    /// <summary>The whole job so far.</summary>
    public EmissionSums Total
    {
        get
        {
            var total = closed;
            total.Add(bin);
            return total;
        }
    }

    /// <summary>Closes the open bin of time.</summary>
    public void CloseBin()
    {
        closed.Add(bin);
        bin = default;
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

        var massG = slice.DepositedMm3 * densityGPerCm3 * 0.001;
        if (FlowExponent != 1 && massG > 0)
        {
            massG = EquivalentMass(massG, slice.ExtrudingS > 0 ? slice.ExtrudingS : slice.DurationS);
        }

        var restS = slice.DurationS - slice.ExtrudingS;
        var left = burstSize > 0 ? BurstLeft(in slice) : 0;
        var factor = 1 + burstSize * left;
        var perG = numberPerG * factor;
        var printing = massG * perG;
        var rest = restS * idleGPerS * perG;
        var highest = capPerS * slice.DurationS;
        if (printing + rest > highest)
        {
            var cut = highest / (printing + rest);
            printing *= cut;
            rest *= cut;
        }

        var number = printing + rest;
        SteadyPrinting += printing / factor;
        MassG += massG;
        bin.Printing += printing;
        bin.Burst += number * (factor - 1) / factor;
        bin.NumberStep += number * (nozzleC - numberAtC);
        bin.NumberOutside += number * numberOutside;

        var tvoc = massG * tvocUgPerG;
        bin.Tvoc += tvoc;
        bin.TvocStep += tvoc * (nozzleC - tvocAtC);
        bin.TvocOutside += tvoc * tvocOutside;

        ref var at = ref Temperatures[temperatureIndex];
        at.MassG += massG;
        at.MassBurstG += massG * left;
        at.MassTimesC += massG * nozzleC;
        at.RestTimesC += restS * nozzleC;
        at.TimeS += slice.DurationS;
        if (slice.HasStarted)
        {
            bin.IdleHot += rest;
            at.IdleS += restS;
            at.IdleBurstS += restS * left;
        }
        else
        {
            bin.WarmUp += rest;
            SteadyWarmUp += rest / factor;
            at.WarmS += restS;
            at.WarmBurstS += restS * left;
        }
    }

    private void Tune(double nozzleC)
    {
        tunedC = nozzleC;
        emits = nozzleC >= onsetC;
        if (!emits)
        {
            return;
        }

        numberPerG = numberYieldPerG * Math.Exp(numberSlope * (nozzleC - numberAtC));
        tvocUgPerG = tvocYieldUgPerG * Math.Exp(tvocSlope * (nozzleC - tvocAtC));
        numberOutside = nozzleC >= numberValidC.Low && nozzleC <= numberValidC.High ? 0 : 1;
        tvocOutside = nozzleC >= tvocValidC.Low && nozzleC <= tvocValidC.High ? 0 : 1;
        temperatureIndex = (int)Math.Clamp(nozzleC, 0, HottestC);
    }

    /// <summary>Mass at the reference rate that gives off as much, when emission goes with a power of the mass rate.</summary>
    private double EquivalentMass(double massG, double extrudingS)
    {
        var referenceG = ReferenceGPerS * extrudingS;
        return referenceG * Math.Pow(massG / referenceG, FlowExponent);
    }

    /// <summary>Mean over the slice of what is left of the burst, 1 at its start.</summary>
    private double BurstLeft(ref readonly PrintSlice slice)
    {
        if (!burstStarted)
        {
            if (slice.NozzleC < workingC)
            {
                return 0;
            }

            burstStarted = true;
            burstStartS = slice.StartS;
            burstEndS = slice.StartS;
            burstLeft = 1;
        }

        if (burstLeft < BurstIsOver)
        {
            return 0;
        }

        // Slices follow one another, so a product of short steps replaces the exponential; a gap starts it afresh.
        if (Math.Abs(slice.StartS - burstEndS) > 1e-6)
        {
            burstLeft = Math.Exp((burstStartS - slice.StartS) * burstPerS);
        }

        burstEndS = slice.StartS + slice.DurationS;
        var x = slice.DurationS * burstPerS;
        var mean = x < 0.01
            ? 1 - x / 2 * (1 - x / 3 * (1 - x / 4 * (1 - x / 5 * (1 - x / 6))))
            : (1 - Math.Exp(-x)) / x;
        var meanLeft = burstLeft * mean;
        burstLeft *= 1 - x * mean;
        return meanLeft;
    }
}
