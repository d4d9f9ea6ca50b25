// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Fumecast.Emission;

/// <summary>Moments of a job that are alike, as a start dose sees them.</summary>
/// <param name="TimeS">How long they last [s].</param>
/// <param name="FedGPerS">What they give off besides the dose, over the yield [g/s].</param>
/// <param name="AgePerS">How fast the dose evaporates in them, over what is left of it [1/s].</param>
/// <param name="WarmUpShare">Share of the time before the first deposit, 0 to 1 [-].</param>
/// <param name="PrintingShare">Share of the time with deposit, 0 to 1 [-].</param>
internal readonly record struct DoseMoment(double TimeS, double FedGPerS, double AgePerS, double WarmUpShare, double PrintingShare);

/// <summary>How a start dose leaves its nozzle under a cap on the rate, at one point of the figures and for any yield.</summary>
/// <remarks>
/// What the cap does not let out stays in the nozzle and comes later; were it lost, a hotter nozzle that drives it out faster would give off less.
/// Followed by stretches of the job, whose moments are taken as mixed. Filled anew for each point, so that nothing is allocated for it.
/// </remarks>
internal sealed class DoseUnderCap
{
    /// <summary>What is left of it below this share is not followed any more [-].</summary>
    private const double Gone = 1e-5;

    private readonly List<DoseMoment> _moments = [];
    private readonly List<Stretch> _stretches = [];
    private double _doseG;
    private double _leftFreelyG;
    private int _first;

    /// <summary>Highest rate of a moment over the yield, the dose leaving it freely [g/s].</summary>
    public double HighestGPerS { get; private set; }

    /// <summary>Begins a job anew.</summary>
    /// <param name="doseG">The dose over the yield [g].</param>
    public void Begin(double doseG)
    {
        _moments.Clear();
        _stretches.Clear();
        (_doseG, _leftFreelyG, _first, HighestGPerS) = (doseG, doseG, 0, 0);
    }

    /// <summary>Adds moments to the open stretch.</summary>
    public void Add(in DoseMoment moment) => _moments.Add(moment);

    /// <summary>Closes the open stretch.</summary>
    public void CloseStretch()
    {
        var stretch = new Stretch(_first);
        foreach (ref readonly var moment in CollectionsMarshal.AsSpan(_moments)[_first..])
        {
            stretch.Add(in moment);
            HighestGPerS = Math.Max(HighestGPerS, moment.FedGPerS + (_leftFreelyG * moment.AgePerS));
        }

        stretch.Close(_moments.Count);
        _leftFreelyG -= _leftFreelyG * stretch.Evaporates;
        _stretches.Add(stretch);
        _first = _moments.Count;
    }

    /// <summary>What leaves the nozzle in the whole job, over the yield, by phase [g].</summary>
    /// <param name="capGPerS">The cap over the yield [g/s].</param>
    public (double WarmUpG, double PrintingG, double IdleHotG) ReleasedG(double capGPerS)
    {
        var released = new Released(_doseG);
        foreach (ref readonly var stretch in CollectionsMarshal.AsSpan(_stretches))
        {
            if (!(released.LeftG > Gone * _doseG))
            {
                break;
            }

            // Most stretches are free of the cap, or at it, as a whole.
            if (stretch.HighestFedGPerS + (released.LeftG * stretch.HighestAgePerS) <= capGPerS)
            {
                released.Add(released.LeftG * stretch.Evaporates, stretch.Ages);
            }
            else if (stretch.HighestFedGPerS <= capGPerS && stretch.LowestFedGPerS + (released.LeftG * (1 - stretch.Evaporates) * stretch.LowestAgePerS) >= capGPerS)
            {
                released.Add(stretch.TimesS.Scaled(capGPerS).Less(stretch.FedG));
            }
            else
            {
                Release(CollectionsMarshal.AsSpan(_moments)[stretch.First..stretch.End], capGPerS, ref released);
            }
        }

        return (released.WarmUpG, released.PrintingG, released.IdleHotG);
    }

    private static void Release(ReadOnlySpan<DoseMoment> moments, double capGPerS, ref Released released)
    {
        // At first as if nothing left it on the way; then by the mean of what is left.
        var ages = 0.0;
        foreach (ref readonly var moment in moments)
        {
            ages += moment.TimeS * Math.Min(moment.AgePerS, Math.Max(0, capGPerS - moment.FedGPerS) / released.LeftG);
        }

        var meanG = released.LeftG * (ages > 1e-6 ? (1 - Math.Exp(-ages)) / ages : 1 - (ages / 2));
        var phases = default(ByPhase);
        foreach (ref readonly var moment in moments)
        {
            phases.Add(moment.TimeS * Math.Min(moment.AgePerS * meanG, Math.Max(0, capGPerS - moment.FedGPerS)), in moment);
        }

        released.Add(Math.Min(phases.Whole, released.LeftG), phases);
    }

    /// <summary>A sum, with the parts of it before the first deposit and while depositing.</summary>
    private struct ByPhase
    {
        public double Whole;
        public double WarmUp;
        public double Printing;

        public void Add(double amount, in DoseMoment moment)
        {
            Whole += amount;
            WarmUp += amount * moment.WarmUpShare;
            Printing += amount * moment.PrintingShare;
        }

        public readonly ByPhase Scaled(double factor) => new() { Whole = Whole * factor, WarmUp = WarmUp * factor, Printing = Printing * factor };

        public readonly ByPhase Less(in ByPhase other) =>
            new() { Whole = Whole - other.Whole, WarmUp = WarmUp - other.WarmUp, Printing = Printing - other.Printing };
    }

    /// <summary>Moments that are taken as mixed.</summary>
    private struct Stretch(int first)
    {
        public readonly int First = first;
        public int End;

        /// <summary>Share of the dose that leaves freely [-].</summary>
        public double Evaporates;

        public ByPhase Ages;
        public ByPhase TimesS;
        public ByPhase FedG;
        public double LowestFedGPerS = double.PositiveInfinity;
        public double HighestFedGPerS;
        public double LowestAgePerS = double.PositiveInfinity;
        public double HighestAgePerS;

        public void Add(in DoseMoment moment)
        {
            Ages.Add(moment.AgePerS * moment.TimeS, in moment);
            TimesS.Add(moment.TimeS, in moment);
            FedG.Add(moment.FedGPerS * moment.TimeS, in moment);
            LowestFedGPerS = Math.Min(LowestFedGPerS, moment.FedGPerS);
            HighestFedGPerS = Math.Max(HighestFedGPerS, moment.FedGPerS);
            LowestAgePerS = Math.Min(LowestAgePerS, moment.AgePerS);
            HighestAgePerS = Math.Max(HighestAgePerS, moment.AgePerS);
        }

        public void Close(int end) => (End, Evaporates) = (end, 1 - Math.Exp(-Ages.Whole));
    }

    private struct Released(double doseG)
    {
        public double LeftG = doseG;
        private ByPhase _outG;

        public readonly double WarmUpG => _outG.WarmUp;

        public readonly double PrintingG => _outG.Printing;

        public readonly double IdleHotG => _outG.Whole - _outG.WarmUp - _outG.Printing;

        /// <summary>Lets an amount out, shared as others are.</summary>
        public void Add(double amountG, in ByPhase shares) => Add(shares.Whole > 0 ? shares.Scaled(amountG / shares.Whole) : default);

        public void Add(in ByPhase amountG)
        {
            LeftG -= amountG.Whole;
            _outG.Whole += amountG.Whole;
            _outG.WarmUp += amountG.WarmUp;
            _outG.Printing += amountG.Printing;
        }
    }
}
