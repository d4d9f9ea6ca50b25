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

    /// <summary>Of the particles while depositing, the nozzle's own [-].</summary>
    public double PrintingOwn;

    /// <summary>Of the particles while depositing, those of the start dose [-].</summary>
    public double PrintingDose;

    /// <summary>Of the particles before the first deposit, those of the start dose [-].</summary>
    public double WarmUpDose;

    /// <summary>Of the particles at rest after the first deposit, those of the start dose [-].</summary>
    public double IdleHotDose;

    /// <summary>Particles that the cap kept out of the sums [-].</summary>
    public double CutByCap;

    /// <summary>Particles times temperature above the reference [K].</summary>
    public double NumberStep;

    /// <summary>Particles outside the validity of the slope [-].</summary>
    public double NumberOutside;

    /// <summary>Volatile organic compounds while depositing [ug].</summary>
    public double TvocPrinting;

    /// <summary>Volatile organic compounds of the hot nozzle without deposit, after the first one [ug].</summary>
    public double TvocIdleHot;

    /// <summary>Volatile organic compounds before the first deposit [ug].</summary>
    public double TvocWarmUp;

    /// <summary>Of the volatile organic compounds, the nozzle's own [ug].</summary>
    public double TvocOwn;

    /// <summary>Volatile organic compounds times temperature above the reference [ug K].</summary>
    public double TvocStep;

    /// <summary>Volatile organic compounds outside the validity of the slope [ug].</summary>
    public double TvocOutside;

    /// <summary>All particles [-].</summary>
    public readonly double Number => Printing + IdleHot + WarmUp;

    /// <summary>All particles of the start dose [-].</summary>
    public readonly double Dose => PrintingDose + WarmUpDose + IdleHotDose;

    /// <summary>All particles of the nozzle's own share [-].</summary>
    public readonly double Own => PrintingOwn + WarmUp - WarmUpDose + IdleHot - IdleHotDose;

    /// <summary>All volatile organic compounds [ug].</summary>
    public readonly double Tvoc => TvocPrinting + TvocIdleHot + TvocWarmUp;

    public void Add(in EmissionSums other)
    {
        Printing += other.Printing;
        IdleHot += other.IdleHot;
        WarmUp += other.WarmUp;
        PrintingOwn += other.PrintingOwn;
        PrintingDose += other.PrintingDose;
        WarmUpDose += other.WarmUpDose;
        IdleHotDose += other.IdleHotDose;
        CutByCap += other.CutByCap;
        NumberStep += other.NumberStep;
        NumberOutside += other.NumberOutside;
        TvocPrinting += other.TvocPrinting;
        TvocIdleHot += other.TvocIdleHot;
        TvocWarmUp += other.TvocWarmUp;
        TvocOwn += other.TvocOwn;
        TvocStep += other.TvocStep;
        TvocOutside += other.TvocOutside;
    }
}
