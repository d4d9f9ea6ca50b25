// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>What one tool gave off over some time, at the middle values of all figures.</summary>
internal struct EmissionSums
{
    /// <summary>Particles while depositing [-].</summary>
    public double Printing;

    /// <summary>Particles of the hot nozzle without deposit, after the first one [-].</summary>
    public double IdleHot;

    /// <summary>Particles before the first deposit [-].</summary>
    public double WarmUp;

    /// <summary>Of all particles, those that the start burst added [-].</summary>
    public double Burst;

    /// <summary>Particles times temperature above the reference [K].</summary>
    public double NumberStep;

    /// <summary>Particles outside the validity of the slope [-].</summary>
    public double NumberOutside;

    /// <summary>Volatile organic compounds [ug].</summary>
    public double Tvoc;

    /// <summary>Volatile organic compounds times temperature above the reference [ug K].</summary>
    public double TvocStep;

    /// <summary>Volatile organic compounds outside the validity of the slope [ug].</summary>
    public double TvocOutside;

    /// <summary>All particles [-].</summary>
    public readonly double Number => Printing + IdleHot + WarmUp;

    public void Add(in EmissionSums other)
    {
        Printing += other.Printing;
        IdleHot += other.IdleHot;
        WarmUp += other.WarmUp;
        Burst += other.Burst;
        NumberStep += other.NumberStep;
        NumberOutside += other.NumberOutside;
        Tvoc += other.Tvoc;
        TvocStep += other.TvocStep;
        TvocOutside += other.TvocOutside;
    }
}

/// <summary>What happened at one nozzle temperature, to within a kelvin: enough to draw totals without going through the job again.</summary>
internal struct TemperatureBin
{
    /// <summary>Deposited mass, or its equivalent at the reference rate when emission is not in proportion to it [g].</summary>
    public double MassG;

    /// <summary>That mass times what was left of the start burst [g].</summary>
    public double MassBurstG;

    /// <summary>Mass times temperature [g degC].</summary>
    public double MassTimesC;

    /// <summary>Time without deposit, after the first one [s].</summary>
    public double IdleS;

    /// <summary>That time times what was left of the start burst [s].</summary>
    public double IdleBurstS;

    /// <summary>Time before the first deposit [s].</summary>
    public double WarmS;

    /// <summary>That time times what was left of the start burst [s].</summary>
    public double WarmBurstS;

    /// <summary>Time without deposit, before and after the first one, times temperature [s degC].</summary>
    public double RestTimesC;

    /// <summary>All time [s].</summary>
    public double TimeS;

    /// <summary>Time without deposit [s].</summary>
    public readonly double RestS => IdleS + WarmS;

    public void Add(in TemperatureBin other)
    {
        MassG += other.MassG;
        MassBurstG += other.MassBurstG;
        MassTimesC += other.MassTimesC;
        IdleS += other.IdleS;
        IdleBurstS += other.IdleBurstS;
        WarmS += other.WarmS;
        WarmBurstS += other.WarmBurstS;
        RestTimesC += other.RestTimesC;
        TimeS += other.TimeS;
    }
}
