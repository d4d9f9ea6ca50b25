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
    private const double Gone = 1e-9;

    /// <summary>Rounds in which the mean of what is left over a stretch and what leaves it are brought together [-].</summary>
    private const int Rounds = 3;

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
        double ages = 0, warmUp = 0, printing = 0, highestFed = 0, highestAge = 0;
        foreach (ref readonly var moment in CollectionsMarshal.AsSpan(_moments)[_first..])
        {
            var age = moment.AgePerS * moment.TimeS;
            ages += age;
            warmUp += age * moment.WarmUpShare;
            printing += age * moment.PrintingShare;
            highestFed = Math.Max(highestFed, moment.FedGPerS);
            highestAge = Math.Max(highestAge, moment.AgePerS);
            HighestGPerS = Math.Max(HighestGPerS, moment.FedGPerS + (_leftFreelyG * moment.AgePerS));
        }

        var evaporates = 1 - Math.Exp(-ages);
        _leftFreelyG -= _leftFreelyG * evaporates;
        _stretches.Add(new Stretch(_first, _moments.Count, evaporates, warmUp / ages, printing / ages, highestFed, highestAge));
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

            if (stretch.HighestFedGPerS + (released.LeftG * stretch.HighestAgePerS) <= capGPerS)
            {
                released.Add(released.LeftG * stretch.Evaporates, stretch.WarmUpShare, stretch.PrintingShare);
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
        var meanG = released.LeftG;
        for (var round = 0; round < Rounds; round++)
        {
            var ages = 0.0;
            foreach (ref readonly var moment in moments)
            {
                ages += moment.TimeS * Math.Min(moment.AgePerS, Math.Max(0, capGPerS - moment.FedGPerS) / meanG);
            }

            meanG = released.LeftG * (ages > 1e-6 ? (1 - Math.Exp(-ages)) / ages : 1 - (ages / 2));
        }

        foreach (ref readonly var moment in moments)
        {
            var amountG = moment.TimeS * Math.Min(moment.AgePerS * meanG, Math.Max(0, capGPerS - moment.FedGPerS));
            released.Add(Math.Min(amountG, released.LeftG), moment.WarmUpShare, moment.PrintingShare);
        }
    }

    private readonly record struct Stretch(
        int First, int End, double Evaporates, double WarmUpShare, double PrintingShare, double HighestFedGPerS, double HighestAgePerS);

    private struct Released(double doseG)
    {
        public double LeftG = doseG;
        public double WarmUpG;
        public double PrintingG;
        public double IdleHotG;

        public void Add(double amountG, double warmUpShare, double printingShare)
        {
            LeftG -= amountG;
            WarmUpG += amountG * warmUpShare;
            PrintingG += amountG * printingShare;
            IdleHotG += amountG * (1 - warmUpShare - printingShare);
        }
    }
}
