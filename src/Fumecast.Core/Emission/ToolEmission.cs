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

    private readonly double _numberYieldPerG;
    private readonly double _numberSlope;
    private readonly double _numberAtC;
    private readonly (double Low, double High) _numberValidC;
    private readonly double _ownShare;
    private readonly double _tvocYieldUgPerG;
    private readonly double _tvocSlope;
    private readonly double _tvocAtC;
    private readonly (double Low, double High) _tvocValidC;
    private readonly double _tvocOwnShare;
    private readonly double _capPerS;
    private readonly double _onsetC;
    private readonly double _doseAtStart;
    private readonly double _doseSize;
    private readonly double _dosePerS;

    // What depends on the temperature alone, kept as long as it does not change.
    private double _tunedC = double.NegativeInfinity;
    private bool _emits;
    private double _numberFactor;
    private double _tvocFactor;
    private int _temperatureIndex;
    private double _numberOutside;
    private double _tvocOutside;

    private double _ownAge;
    private double _ownEvaporated;

    private EmissionSums _sums;
    private EmissionSums _closed;
    private ToolBin _bin;

    public ToolEmission(Material material, EmissionOptions options, NozzleResidue residue)
    {
        Material = material;
        Residue = residue;
        var rules = material.Rules;
        _numberYieldPerG = material.NumberYieldPerG.Value;
        _numberSlope = rules.NumberSlopePerK.Value;
        _numberAtC = material.NumberYieldPerG.AtC ?? throw new ArgumentException("the particle yield has no reference temperature", nameof(material));
        _numberValidC = rules.NumberSlopePerK.ValidC ?? (double.NegativeInfinity, double.PositiveInfinity);
        _ownShare = rules.NozzleShare.Value;
        _tvocYieldUgPerG = material.TvocYieldUgPerG.Value;
        _tvocSlope = rules.TvocSlopePerK.Value;
        _tvocAtC = material.TvocYieldUgPerG.AtC ?? throw new ArgumentException("the TVOC yield has no reference temperature", nameof(material));
        _tvocValidC = rules.TvocSlopePerK.ValidC ?? (double.NegativeInfinity, double.PositiveInfinity);
        _tvocOwnShare = rules.TvocNozzleShare.Value;
        _capPerS = rules.NumberCapPerMin.Value / 60;
        ReferenceGPerS = rules.ReferenceRateGPerH.Value / 3600;
        _onsetC = material.OnsetC.Value;
        _doseAtStart = options.StartDoseLeft;
        _doseSize = rules.StartDose.Value * _doseAtStart;
        _dosePerS = 1 / rules.StartDoseDecayS.Value;
        History = new LoadHistory(ReferenceGPerS);
        _bin = NewBin();
    }

    public Material Material { get; }

    /// <summary>The residue in its nozzle.</summary>
    public NozzleResidue Residue { get; }

    /// <summary>Mass rate the yields belong to [g/s].</summary>
    public double ReferenceGPerS { get; }

    /// <summary>Share of the start dose that was in the nozzle at the start, 0 to 1 [-].</summary>
    public double DoseAtStart => _doseAtStart;

    /// <summary>Whether nothing states its nozzle temperature, so that it may lie anywhere in the usual range.</summary>
    public bool NozzleIsAssumed { get; set; }

    /// <summary>Of what the tool would have evaporated of the start dose alone, the share that others in the same nozzle left it; 1 for a nozzle of its own [-].</summary>
    public double ShareOfDose => _ownAge > 0 ? Math.Min(1, _ownEvaporated / (1 - Math.Exp(-_ownAge))) : 1;

    /// <summary>Share of the start dose that is in its nozzle still, 0 to 1 [-].</summary>
    public double DoseLeft => _doseAtStart * Residue.Left;

    /// <summary>What happened at each temperature.</summary>
    public TemperatureBin[] Temperatures { get; } = new TemperatureBin[HottestC + 1];

    /// <summary>The rates of the particles that the job went through.</summary>
    public LoadHistory History { get; }

    /// <summary>Of the start dose, the share that evaporated after the first deposit, were there no cap [-].</summary>
    public double DoseSinceStart { get; private set; }

    /// <summary>Of the start dose, the share that evaporated while depositing, were there no cap [-].</summary>
    public double DoseWhilePrinting { get; private set; }

    /// <summary>Deposited mass above the onset [g].</summary>
    public double MassG { get; private set; }

    /// <summary>What the open bin of time holds so far.</summary>
    public ref readonly ToolBin Bin => ref _bin;

    /// <summary>The whole job so far.</summary>
    public EmissionSums Total
    {
        get
        {
            var total = _closed;
            total.Add(_sums);
            return total;
        }
    }

    /// <summary>Closes the open bin of time.</summary>
    public void CloseBin()
    {
        _closed.Add(_sums);
        _sums = default;
        _bin = NewBin();
    }

    /// <summary>Takes a slice with finite values.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(ref readonly PrintSlice slice, double densityGPerCm3)
    {
        var nozzleC = slice.NozzleC;
        if (nozzleC != _tunedC)
        {
            Tune(nozzleC);
        }

        if (!_emits)
        {
            return;
        }

        var durationS = slice.DurationS;
        var massG = slice.DepositedMm3 * densityGPerCm3 * 0.001;
        var extruding = slice.ExtrudingS / durationS;
        AddNumber(in slice, massG, extruding);
        AddTvoc(in slice, massG, extruding);

        ref var at = ref Temperatures[_temperatureIndex];
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

        History.Add(durationS, slice.ExtrudingS, massG, nozzleC, slice.HasStarted, Residue.Age);
    }

    private ToolBin NewBin() =>
        new() { LeftAtStart = Residue.Left, LeftAtEnd = Residue.Left, AgeWithoutCap = Residue.Age, AgeStepK = Residue.AgeStepK };

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void AddNumber(ref readonly PrintSlice slice, double massG, double extruding)
    {
        var step = slice.NozzleC - _numberAtC;
        var ownG = ReferenceGPerS * slice.DurationS * _numberFactor;
        var scaledG = massG * _numberFactor;
        var own = _numberYieldPerG * _ownShare * ownG;
        var byMass = _numberYieldPerG * (1 - _ownShare) * scaledG;
        var highest = _capPerS * slice.DurationS;
        var store = _numberYieldPerG * _doseSize * ReferenceGPerS / _dosePerS;
        var (evaporated, released) = Evaporate(slice.DurationS, step, own + byMass, highest, store);
        var dose = store * released;
        var fed = own + byMass;
        var cut = fed > highest ? highest / fed : 1;
        var number = (fed * cut) + dose;
        var resting = ((own * cut) + dose) * (1 - extruding);
        var restingDose = dose * (1 - extruding);

        _sums.Printing += number - resting;
        _sums.PrintingOwn += own * extruding * cut;
        _sums.PrintingDose += dose * extruding;
        _sums.CutByCap += (fed * (1 - cut)) + (store * (evaporated - released));
        _sums.NumberStep += number * step;
        _sums.NumberOutside += number * _numberOutside;
        if (slice.HasStarted)
        {
            _sums.IdleHot += resting;
            _sums.IdleHotDose += restingDose;
            DoseWhilePrinting += evaporated * extruding;
            DoseSinceStart += evaporated;
        }
        else
        {
            _sums.WarmUp += resting;
            _sums.WarmUpDose += restingDose;
        }

        _bin.Number += number;
        _bin.MassG += scaledG;
        _bin.StepGK += (_ownShare * ownG + (1 - _ownShare) * scaledG) * step;
        _bin.LeftAtEnd = Residue.Left;
        _bin.AgeWithoutCap = Residue.Age;
        _bin.AgeStepK = Residue.AgeStepK;
        if (massG > 0)
        {
            _bin.PrintingOwnG += ownG;
            _bin.PrintingS += slice.DurationS;
        }
        else
        {
            _bin.RestingOwnG += ownG;
            _bin.RestingS += slice.DurationS;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void AddTvoc(ref readonly PrintSlice slice, double massG, double extruding)
    {
        var step = slice.NozzleC - _tvocAtC;
        var ownG = ReferenceGPerS * slice.DurationS * _tvocFactor;
        var scaledG = massG * _tvocFactor;
        var own = _tvocYieldUgPerG * _tvocOwnShare * ownG;
        var tvoc = own + _tvocYieldUgPerG * (1 - _tvocOwnShare) * scaledG;
        var resting = own * (1 - extruding);
        _sums.TvocPrinting += tvoc - resting;
        _sums.TvocOwn += own;
        _sums.TvocStep += tvoc * step;
        _sums.TvocOutside += tvoc * _tvocOutside;
        if (slice.HasStarted)
        {
            _sums.TvocIdleHot += resting;
        }
        else
        {
            _sums.TvocWarmUp += resting;
        }

        _bin.TvocUg += tvoc;
        _bin.TvocOwnG += ownG;
        _bin.TvocMassG += scaledG;
        _bin.TvocStepGK += (_tvocOwnShare * ownG + (1 - _tvocOwnShare) * scaledG) * step;
    }

    private void Tune(double nozzleC)
    {
        _tunedC = nozzleC;
        _emits = nozzleC >= _onsetC;
        if (!_emits)
        {
            return;
        }

        _numberFactor = Math.Exp(_numberSlope * (nozzleC - _numberAtC));
        _tvocFactor = Math.Exp(_tvocSlope * (nozzleC - _tvocAtC));
        _numberOutside = nozzleC >= _numberValidC.Low && nozzleC <= _numberValidC.High ? 0 : 1;
        _tvocOutside = nozzleC >= _tvocValidC.Low && nozzleC <= _tvocValidC.High ? 0 : 1;
        _temperatureIndex = (int)Math.Clamp(nozzleC, 0, HottestC);
    }

    /// <summary>Lets the start dose evaporate for a while.</summary>
    /// <param name="durationS">How long [s].</param>
    /// <param name="step">Temperature above the reference [K].</param>
    /// <param name="fed">Particles that the nozzle gives off otherwise meanwhile [-].</param>
    /// <param name="highest">Particles that the cap lets out meanwhile [-].</param>
    /// <param name="store">Particles of the whole dose [-].</param>
    /// <returns>What leaves it as a share of the whole: were there no cap, and with it [-].</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private (double Free, double Capped) Evaporate(double durationS, double step, double fed, double highest, double store)
    {
        var before = Residue.Left;
        var x = _numberFactor * durationS * _dosePerS;
        _ownAge += x;
        Residue.Age += x;
        Residue.AgeStepK += x * step;
        if (before < DoseIsGone)
        {
            return (0, 0);
        }

        // A series for the short steps of the rule: its terms beyond the sixth are below rounding.
        var gone = x < 0.01 ? x * (1 - x / 2 * (1 - x / 3 * (1 - x / 4 * (1 - x / 5 * (1 - x / 6))))) : 1 - Math.Exp(-x);
        var free = Residue.LeftWithoutCap * gone;
        Residue.LeftWithoutCap -= free;
        _ownEvaporated += free;

        // Its rate is highest at the start.
        var released = fed + (store * before * x) <= highest ? before * gone : HeldBack(before, x, (highest - fed) / store);
        Residue.Left = before - released;
        return (free, released);
    }

    /// <summary>What leaves a dose where the cap leaves room for less than would evaporate; the rest stays in the nozzle.</summary>
    /// <param name="left">What is left of it [-].</param>
    /// <param name="ages">By how much it ages: time over the time in which it evaporates [-].</param>
    /// <param name="room">What there is room for [-].</param>
    private static double HeldBack(double left, double ages, double room)
    {
        if (!(room > 0))
        {
            return 0;
        }

        // At the rate of the cap until what is left evaporates no faster than that.
        var atCap = Math.Clamp((left * ages / room) - 1, 0, ages) / ages;
        return (room * atCap) + ((left - (room * atCap)) * (1 - Math.Exp(-ages * (1 - atCap))));
    }
}
