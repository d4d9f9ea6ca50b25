// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>What happened at one nozzle temperature, to within a kelvin: enough to draw totals without going through the job again.</summary>
internal struct TemperatureBin
{
    /// <summary>Deposited mass [g].</summary>
    public double MassG;

    /// <summary>Mass times temperature [g degC].</summary>
    public double MassTimesC;

    /// <summary>Time with deposit [s].</summary>
    public double PrintingS;

    /// <summary>Time without deposit, after the first one [s].</summary>
    public double IdleS;

    /// <summary>Time before the first deposit [s].</summary>
    public double WarmS;

    /// <summary>All time times temperature [s degC].</summary>
    public double TimeTimesC;

    /// <summary>All time [s].</summary>
    public readonly double TimeS => PrintingS + IdleS + WarmS;
}
